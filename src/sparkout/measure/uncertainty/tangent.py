"""Curved outputs sorted into groups, and their tangents at a limit.

The probability that an output stays below a limit is nearly that of the tangent plane at the
likeliest point of the limit, whose sum of errors has an exact distribution. (First-order
reliability, but with the true shapes of the errors instead of normal ones.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..estimate import Shape, combine
from .formula import Formula, Function, gradient, stepped
from .special import Floats, Places
from .sums import Sums

__all__: list[str] = []

Kind = tuple[Shape, float]  # shape and degrees of freedom of one error that is not normal
# Variance of one unit of an error: half-width, half-width, scale.
VARIANCE = {Shape.RECTANGULAR: 1.0 / 3.0, Shape.TRIANGULAR: 1.0 / 6.0, Shape.STUDENT: 1.0}


@dataclass(frozen=True, slots=True)
class Group:
    """Outputs with one function and one pattern of errors, worked on together.

    rows: their places among all outputs. values: arguments, (outputs, arguments).
    normal: effect of the normal errors on the arguments, (outputs, arguments, directions).
    other: effect of one unit of each error of another shape, (outputs, arguments, errors).
    kinds: shapes of those errors: rectangular ones first, then Student, then triangular.
    """

    function: Function
    rows: tuple[int, ...]
    values: Floats
    normal: Floats
    other: Floats
    kinds: tuple[Kind, ...]

    def covariance(self) -> Floats:
        share = np.array([VARIANCE[shape] for shape, _ in self.kinds])
        scaled = self.other * share
        out: Floats = self.normal @ self.normal.transpose(0, 2, 1)
        out += scaled @ self.other.transpose(0, 2, 1)
        return out


def grouped(outputs: list[tuple[int, Formula]]) -> list[Group]:
    """Formulas sorted into groups that can be computed as arrays."""
    found: dict[tuple[Function, int, tuple[Kind, ...]], list[tuple[int, Formula, Floats, Floats]]]
    found = {}
    for row, formula in outputs:
        normal, other, kinds = _effects(formula)
        key = (formula.function, len(formula.arguments), kinds)
        found.setdefault(key, []).append((row, formula, normal, other))
    return [
        Group(
            function,
            tuple(row for row, _, _, _ in members),
            np.array([formula.values for _, formula, _, _ in members]),
            _stacked([normal for _, _, normal, _ in members]),
            np.array([other for _, _, _, other in members]),
            kinds,
        )
        for (function, _, kinds), members in found.items()
    ]


def _effects(formula: Formula) -> tuple[Floats, Floats, tuple[Kind, ...]]:
    """Effects of normal errors and of others on the arguments, and the shapes of the others."""
    width = len(formula.arguments)
    normal: dict[str, list[float]] = {}
    other: dict[str, list[float]] = {}
    kinds: dict[str, tuple[Shape, float, int]] = {}
    for place, argument in enumerate(formula.arguments):
        for part in combine(argument.components):
            shape, u, dof = part.shape, part.u, 0.0
            if shape is Shape.STUDENT and math.isinf(part.dof):
                shape = Shape.NORMAL
            if shape is Shape.STUDENT:
                dof = part.dof
            elif shape is not Shape.NORMAL:
                u /= math.sqrt(VARIANCE[shape])
            effects = normal if shape is Shape.NORMAL else other
            if part.source not in effects:
                effects[part.source] = [0.0] * width
                kinds[part.source] = (shape, dof, place)
            effects[part.source][place] += u
    # one order for outputs of one pattern, whatever their sources are called
    names = sorted(other, key=kinds.__getitem__)
    return (
        _few(np.array(list(normal.values())).reshape(-1, width).T),
        np.array([other[name] for name in names]).reshape(-1, width).T,
        tuple(kinds[name][:2] for name in names),
    )


def _few(effects: Floats) -> Floats:
    """The same covariance from no more normal errors than there are arguments."""
    arguments, errors = effects.shape
    if errors <= arguments:
        return effects
    size, direction = np.linalg.eigh(effects @ effects.T)
    keep = size > 1e-24 * size[-1]
    kept: Floats = direction[:, keep] * np.sqrt(size[keep])
    return kept


def _stacked(effects: list[Floats]) -> Floats:
    width = max(effect.shape[1] for effect in effects)
    out = np.zeros((len(effects), effects[0].shape[0], width))
    for row, effect in zip(out, effects, strict=True):
        row[:, : effect.shape[1]] = effect
    return out


@dataclass(frozen=True, slots=True)
class Tangents:
    """A tangent for each row: an output of a group (`owner`) and one of its limits.

    The output is not above `limit` about when slope·(x − values) is not above `place`.
    """

    owner: Places
    limit: Floats
    slope: Floats
    place: Floats


def nominal(group: Group) -> tuple[Floats, Floats]:
    """Value and slopes at the estimates."""
    steps = np.sqrt(np.einsum("gjj->gj", group.covariance()))
    return gradient(group.function, group.values, np.where(steps > 0.0, steps, 1.0))


def flat_sums(group: Group, owner: Places, slope: Floats) -> Sums:
    """The sums slope·(x − values), one row for each owner."""
    effect = np.abs(np.einsum("rj,rje->re", slope, group.other[owner]))
    turned = np.einsum("rj,rjs->rs", slope, group.normal[owner])
    shapes = [shape for shape, _ in group.kinds]
    first = shapes.count(Shape.RECTANGULAR)
    last = first + shapes.count(Shape.STUDENT)
    halved = 0.5 * effect[:, last:]
    freedoms = np.array([dof for _, dof in group.kinds[first:last]])
    return Sums(
        np.sqrt(np.einsum("rs,rs->r", turned, turned)),
        np.hstack([effect[:, :first], halved, halved]) if halved.size else effect[:, :first],
        effect[:, first:last],
        np.broadcast_to(freedoms, (len(effect), last - first)),
    )


def tangents(group: Group, value: Floats, slope: Floats, limits: Floats) -> Tangents:
    """Tangents near the likeliest point of each limit; limits has shape (outputs, limits).

    They are taken where the slope at the estimates meets the limit; that is near enough, because
    what a tangent misses is sampled. An infinite limit keeps the slope at the estimates.
    """
    owner = np.repeat(np.arange(len(value)), limits.shape[1])
    limit = limits.ravel()
    start, spread = group.values[owner], group.covariance()[owner]
    steps = 1e-2 * np.sqrt(np.einsum("gjj->gj", spread))
    steps = np.where(steps > 0.0, steps, 1.0)
    straight = limit - value[owner]
    point = start + _likeliest(spread, slope[owner]) * straight[:, None]
    with np.errstate(all="ignore"):
        reached, steep = stepped(group.function, point, steps)
        place = limit - reached + np.einsum("rj,rj->r", steep, point - start)
    usable = np.isfinite(place) & np.isfinite(steep).all(axis=1)
    if not usable.all():
        steep = np.where(usable[:, None], steep, slope[owner])
        place = np.where(usable, place, straight)
    return Tangents(owner, limit, steep, place)


def _likeliest(spread: Floats, slope: Floats) -> Floats:
    """How far each argument goes when the tangent sum goes by one."""
    effect = np.einsum("rjk,rk->rj", spread, slope)
    variance = np.einsum("rj,rj->r", slope, effect)
    out: Floats = effect / np.maximum(variance, 1e-300)[:, None]
    return out
