"""A first guess of a cycle's orbit by coarse implicit steps in plain arithmetic."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from sparkout.mechanics.oil_film._film import NARROW, NARROW_ASIDE, WIDE, WIDE_ASIDE
from sparkout.mechanics.oil_film._rates import Array, Problem

_COARSE = 72
"""Steps of the first guess, a cycle: enough for Newton's method to close in on the whole."""


def march(
    cosine: Any, sine: Any, strength: Any, spin: Any, ratio_squared: float, on: float, path: Any
) -> None:
    """Implicit Euler steps through a cycle and a quarter, the places written into path.

    Strength and spin are already multiplied with the step. The bare form of the film is enough (its
    fit would only cost time), and so is a rough Newton's method.
    """
    wide, wide2 = WIDE * on, WIDE_ASIDE * on
    narrow, narrow2 = NARROW / ratio_squared, NARROW_ASIDE / ratio_squared
    count = len(cosine)
    x = y = 0.0
    for number in range(-(count // 4), count):
        place = number % count
        c, s, k, w = cosine[place], sine[place], strength[place], spin[place]
        x0, y0 = x, y
        for _ in range(12):
            eta = y * c - x * s
            gap = 1.0 - x * c - y * s
            root = math.sqrt(gap)
            side = k * root * (wide2 + narrow2 * gap)
            m, n = k * gap * root * (wide + narrow * gap), -eta * side
            miss_x = x - x0 - (m * c - n * s - w * y)
            miss_y = y - y0 - (m * s + n * c + w * x)
            m_xi = -k * root * (1.5 * wide + 2.5 * narrow * gap)
            n_xi = k * eta / root * (0.5 * wide2 + 1.5 * narrow2 * gap)
            column, other = n_xi * c + side * s, n_xi * s - side * c
            xx, xy = 1.0 - (m_xi * c * c - column * s), -(m_xi * s * c - other * s - w)
            yx, yy = -(m_xi * c * s + column * c + w), 1.0 - (m_xi * s * s + other * c)
            whole = xx * yy - xy * yx
            move_x = (xy * miss_y - yy * miss_x) / whole
            move_y = (yx * miss_x - xx * miss_y) / whole
            new_gap = gap - move_x * c - move_y * s
            part = 1.0
            if new_gap <= 0.1 * gap:
                part = 0.9 * gap / (gap - new_gap)
            x, y = x + part * move_x, y + part * move_y
            if abs(move_x) + abs(move_y) < 0.02 * gap:
                break
        radius = math.hypot(x, y)
        if radius > 0.995:  # a coarse step may leave the circle; the answer cannot
            x, y = x * 0.995 / radius, y * 0.995 / radius
        path[place][0], path[place][1] = x, y


def march_plainly(
    cosine: Array, sine: Array, strength: Array, spin: Array, ratio_squared: float, on: float,
    path: Array,
) -> None:  # fmt: skip
    """`march` on lists: single numbers out of arrays are slow in plain Python."""
    places = path.tolist()
    march(
        cosine.tolist(), sine.tolist(), strength.tolist(), spin.tolist(), ratio_squared, on, places
    )
    path[:] = places


def first_guess(problem: Problem, step: Array, turn: float, marching: Callable[..., None]) -> Array:
    """Both coordinates at the nodes: a march through a cycle and a quarter from the middle."""
    angle = np.cumsum(step) - step
    coarse_angle = np.arange(_COARSE) * turn / _COARSE
    near = np.searchsorted(angle, coarse_angle, side="right") - 1
    length = turn / _COARSE
    path = np.zeros((_COARSE, 2))
    marching(
        problem.cosine[near], problem.sine[near], problem.strength[near] * length,
        problem.spin[near] * length, problem.ratio_squared, problem.on, path,
    )  # fmt: skip
    closed = np.vstack((path, path[:1]))
    knots = np.append(coarse_angle, turn)
    return np.stack([np.interp(angle, knots, closed[:, axis]) for axis in (0, 1)])
