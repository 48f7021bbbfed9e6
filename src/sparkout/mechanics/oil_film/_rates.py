"""Rates of a journal's eccentricity under its loads, for every step of a cycle at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.mechanics.oil_film._film import brackets, turned

Array = NDArray[np.float64]


class Problem(NamedTuple):
    """Load direction and strength, spin, and the film's constants, at equal steps of the cycle."""

    cosine: Array
    sine: Array
    strength: Array
    """F (c/r)² ÷ (µ L D ω): rate per radian of the crank at unit mobility"""
    spin: Array
    ratio_squared: float
    on: float
    """1 for the finite film, 0 for the short one"""


def directed(loads: Array, scale: float, ratio_squared: float, on: float) -> list[Problem]:
    """Problems of loads along, loads aside and spins, one for each row of the three blocks."""
    along, aside, spin = loads
    load = np.sqrt(along * along + aside * aside)
    safe = np.where(load > 0.0, load, 1.0)
    rows = zip(along / safe, aside / safe, load * scale, spin, strict=True)
    return [Problem(*row, ratio_squared, on) for row in rows]


def rates(problem: Problem, x: Array, y: Array) -> Array | None:
    """Rates x, y per radian and their derivatives xx, xy, yx, yy as six rows.

    Nothing where a trial point lies outside the clearance circle.
    """
    if not float((x * x + y * y).max()) < 1.0:
        return None
    c, s = problem.cosine, problem.sine
    xi, eta = x * c + y * s, y * c - x * s
    gap = 1.0 - xi
    q = gap / problem.ratio_squared
    film = brackets(xi, eta, q, np.sqrt(q), gap, problem.on)
    rows = np.empty((6, len(x)))
    for row, values in enumerate(
        turned(x, y, c, s, problem.strength, problem.spin, eta, gap, np.sqrt(gap), *film)
    ):
        rows[row] = values
    return rows
