"""What a first-order budget leaves out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..estimate import Estimate, combine
from .formula import Function, gradient

__all__ = ["SecondOrder", "second_order_terms"]

_STEP = 0.01  # of a standard uncertainty; the slopes it compares are exact to rounding


@dataclass(frozen=True, slots=True)
class SecondOrder:
    """Second-order terms of a model.

    variance: what they add to the variance (it may be negative). shift: how far the mean of the
    output lies from the output of the means. pairs: the largest terms, (source, source, term of the
    standard uncertainty with the sign of its variance), largest first.
    """

    variance: float
    shift: float
    pairs: tuple[tuple[str, str, float], ...]


def second_order_terms(function: Function, arguments: tuple[Estimate, ...]) -> SecondOrder:
    """Terms of the next order in the combined variance of a model.

    Σᵢ Σⱼ (½·(∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ·∂³f/∂xᵢ∂xⱼ²)·u²(xᵢ)·u²(xⱼ), taken over sources of error.

    function: measurement model, element by element on arrays [-].
    arguments: estimates it is applied to; a source that two of them share is one error [any units].
    Returns the variance the terms add, the shift of the mean and the terms by pairs of sources.
    Holds for errors with symmetric distributions; the source states it for nearly normal ones.
    Source: JCGM 100:2008 (GUM), 5.1.2, note; worked in H.1.7.

    >>> from fractions import Fraction
    >>> from sparkout.measure.estimate import Component
    >>> x = Estimate(Fraction(0), (Component("a", 2.0),))
    >>> y = Estimate(Fraction(0), (Component("b", 3.0),))
    >>> round(second_order_terms(lambda a, b: a * b, (x, y)).variance, 6)
    36.0
    """
    effects: dict[str, np.ndarray] = {}
    for place, argument in enumerate(arguments):
        for part in combine(argument.components):
            effect = effects.setdefault(part.source, np.zeros(len(arguments)))
            effect[place] += part.u
    names = list(effects)
    if not names:
        return SecondOrder(0.0, 0.0, ())
    moves = np.array([effects[name] for name in names])
    centre = np.array([float(argument.value) for argument in arguments])
    points = np.concatenate([[centre], centre + _STEP * moves, centre - _STEP * moves])
    steps = np.abs(moves).max(axis=0)
    steps = np.broadcast_to(np.where(steps > 0.0, steps, 1.0), points.shape)
    _, slopes = gradient(function, points, steps)
    by_source = slopes @ moves.T  # row: where; column: slope along that source
    count = len(names)
    here, up, down = by_source[0], by_source[1 : count + 1], by_source[count + 1 :]
    second = ((up - down) / (2.0 * _STEP)).T  # ∂²f by (source i, source j)
    second = 0.5 * (second + second.T)
    third = ((up + down - 2.0 * here) / _STEP**2).T  # ∂³f/∂xᵢ∂xⱼ²
    terms = 0.5 * second**2 + here[:, None] * third
    both = terms + terms.T
    pairs = []
    for i in range(count):
        for j in range(i, count):
            term = float(terms[i, i] if i == j else both[i, j])
            if abs(term) > 1e-12 * float(here @ here):
                pairs.append((names[i], names[j], float(np.sign(term)) * abs(term) ** 0.5))
    pairs.sort(key=lambda pair: -abs(pair[2]))
    return SecondOrder(float(terms.sum()), 0.5 * float(np.trace(second)), tuple(pairs))
