"""An output that is not a linear sum: a formula of estimates, and its derivatives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..estimate import Estimate
from .special import Floats

__all__ = ["Formula", "gradient"]

Function = Callable[..., Any]

_TINY = 1e-30  # an imaginary step this small has no truncation error and loses no digits
_AGREES = 1e-4
_OFFSETS = np.array([-2.0, -1.0, 1.0, 2.0])


@dataclass(frozen=True, slots=True)
class Formula:
    """A function of estimates, such as a compression ratio.

    function: takes one number or array for each argument, works element by element.
    arguments: the estimates it is applied to; a source that two of them share is one error.
    """

    function: Function
    arguments: tuple[Estimate, ...]

    @property
    def values(self) -> tuple[float, ...]:
        return tuple(float(argument.value) for argument in self.arguments)


def gradient(function: Function, values: Floats, steps: Floats) -> tuple[Floats, Floats]:
    """Value and first derivatives of a function at many points.

    Complex step: ∂f/∂x = Im f(x + i·h)/h with h = 1e-30, exact to rounding. Where the function
    refuses complex numbers, or drops the imaginary part (the slopes then disagree with how it rises
    over a hundredth of `steps`), the fourth-order central difference over that is taken instead.

    function: of as many arrays as there are arguments, element by element [-].
    values: points, shape (any, arguments) [units of the arguments].
    steps: widths over which each argument really varies, same shape [units of the arguments], > 0.
    Returns the values, shape (any,), and the derivatives, shape (any, arguments).
    Holds for functions that are smooth within one step.
    Source: JCGM 100:2008, 5.1.3, note 2 (numerical derivatives); Squire and Trapp, SIAM Review 40
    (1998) 110-112 (complex step).
    Raises ValueError naming the shape of the points when it is not (any, arguments).

    >>> point, width = np.array([[2.0, 3.0]]), np.full((1, 2), 0.1)
    >>> value, slopes = gradient(lambda bore, stroke: bore**2 * stroke, point, width)
    >>> value.tolist(), slopes.round(12).tolist()
    ([12.0], [[12.0, 4.0]])
    """
    if values.ndim != 2:
        raise ValueError(f"points have shape {values.shape}; expected (points, arguments)")
    fine = 0.01 * steps
    value, slopes = stepped(function, values, fine)
    # along every argument at once, forwards and with every second one turned round
    turns = np.array([1.0, -1.0])[:, None] ** np.arange(values.shape[1])
    away = turns[:, None, :] * fine
    rise = applied(function, values + away) - applied(function, values - away)
    told = 2.0 * np.einsum("tpj,pj->tp", away, slopes)
    scale = 2.0 * np.abs(fine * slopes).max(axis=1) + 1e-300
    if (np.abs(rise - told) <= _AGREES * scale).all():
        return value, slopes
    return value, central_difference(function, values, fine)


def applied(function: Function, points: Floats) -> Floats:
    """The function at points whose last axis runs over the arguments."""
    return called(function, [points[..., j] for j in range(points.shape[-1])])


def called(function: Function, arguments: list[Floats]) -> Floats:
    """The function of arrays of one shape; an answer that does not depend on them is spread out."""
    answer = np.asarray(function(*arguments), dtype=np.float64)
    shape = arguments[0].shape
    return answer if answer.shape == shape else np.broadcast_to(answer, shape)


def stepped(function: Function, values: Floats, steps: Floats) -> tuple[Floats, Floats]:
    """Value and first derivatives by an imaginary step, by differences if the function refuses."""
    points = values[..., None, :] + 1j * _TINY * np.eye(values.shape[-1])
    try:
        answer = np.asarray(function(*(points[..., j] for j in range(points.shape[-1]))))
    except (TypeError, ValueError):
        return applied(function, values), central_difference(function, values, steps)
    answer = np.broadcast_to(answer, values.shape)
    return answer.real[..., 0], answer.imag / _TINY


def central_difference(function: Function, values: Floats, steps: Floats) -> Floats:
    """First derivatives by the fourth-order central difference, shape of `values`."""
    across = steps[..., None, :] * np.eye(values.shape[-1])
    moved = values[..., None, :] + across * _OFFSETS.reshape(-1, *[1] * across.ndim)
    along = applied(function, moved)
    derivative: Floats = (8.0 * (along[2] - along[1]) - (along[3] - along[0])) / (12.0 * steps)
    return derivative
