"""Steady film of a full plain bearing of finite length: the grid solution's table, interpolated."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence

from sparkout.mechanics import _bounds
from sparkout.mechanics._root import root_between
from sparkout.mechanics.oil_film.film_numbers import FilmNumbers, friction_variable
from sparkout.mechanics.oil_film.short_bearing import (
    short_bearing_attitude,
    short_bearing_sommerfeld,
)
from sparkout.mechanics.oil_film.steady_table import ECCENTRICITIES, LENGTH_RATIOS, ROWS

__all__ = ["FilmTooThinError", "eccentricity_for_load", "sommerfeld_number", "steady_film"]

_LEAST, _MOST = 0.001, ECCENTRICITIES[-1]


class FilmTooThinError(ValueError):
    """The load needs a film thinner than the table goes; in practice the metals touch."""


def _weights(nodes: Sequence[float], x: float) -> tuple[int, tuple[float, ...]]:
    """Four neighbouring nodes and their weights in the cubic through them (Lagrange)."""
    first = min(max(bisect_right(nodes, x) - 2, 0), len(nodes) - 4)
    near = nodes[first : first + 4]
    weights = []
    for i, a in enumerate(near):
        weight = 1.0
        for j, b in enumerate(near):
            if i != j:
                weight *= (x - b) / (a - b)
        weights.append(weight)
    return first, tuple(weights)


# Smooth coordinates: halvings of length, and -ln(1 - ε), which spreads out the thin films.
_ALONG = tuple(math.log(ratio) for ratio in LENGTH_RATIOS)
_ACROSS = tuple(-math.log1p(-eps) for eps in ECCENTRICITIES)


def _columns() -> tuple[tuple[tuple[float, ...], ...], ...]:
    """The table over the short bearing's closed form: what is left varies slowly."""
    return tuple(
        tuple(
            (
                math.log(row[0] / short_bearing_sommerfeld(ratio, eps)),
                row[1] / short_bearing_attitude(eps),
                row[2],
                row[3] / eps,
                row[4],
            )
            for eps, row in zip(ECCENTRICITIES, block, strict=True)
        )
        for ratio, block in zip(LENGTH_RATIOS, ROWS, strict=True)
    )


_TABLE = _columns()


def _spread(eccentricity: float) -> float:
    return -math.log1p(-eccentricity)


def _at_length(length_ratio: float, columns: range) -> list[list[float]]:
    """Chosen columns of the scaled table at one length ratio, a list over the eccentricities."""
    first, along = _weights(_ALONG, math.log(length_ratio))
    return [
        [
            sum(weight * _TABLE[first + i][row][column] for i, weight in enumerate(along))
            for row in range(len(ECCENTRICITIES))
        ]
        for column in columns
    ]


def _at_eccentricity(columns: list[list[float]], eccentricity: float) -> list[float]:
    # Below the first row the scaled table is level within a part in a thousand.
    start, across = _weights(_ACROSS, _spread(max(eccentricity, ECCENTRICITIES[0])))
    return [
        sum(weight * column[start + j] for j, weight in enumerate(across)) for column in columns
    ]


def steady_film(length_ratio: float, eccentricity: float) -> FilmNumbers:
    """Performance of a full plain bearing at one eccentricity, from the table.

    Cubic interpolation of the grid solution of Reynolds' equation over the short bearing's closed
    form, in ln(l/d) and ln(1 − ε).

    length_ratio: length over diameter [-], 0.177 to 2.
    eccentricity: offset of the centres over radial clearance [-], 0.001 to 0.97.
    Returns load number, attitude, friction, flow, side flow share and pressure ratio.
    Holds for steady load, smooth round rigid surfaces, one viscosity, laminar flow, no groove; half
    a per cent from the grid solution.
    Source: own solution of Reynolds' equation; A. A. Raimondi and J. Boyd, ASLE Transactions 1
    (1958) tabulate the same variables and the tests hold the two together.
    Raises ValueError naming the number when one is out of range.

    >>> film = steady_film(1.0, 0.6); round(film.sommerfeld, 3), round(film.friction, 2)
    (0.121, 3.22)
    """
    _bounds.within("length_ratio", length_ratio, LENGTH_RATIOS[0], LENGTH_RATIOS[-1])
    _bounds.within("eccentricity", eccentricity, _LEAST, _MOST)
    load, attitude, flow, side, pressure = _at_eccentricity(
        _at_length(length_ratio, range(5)), eccentricity
    )
    sommerfeld = math.exp(load) * short_bearing_sommerfeld(length_ratio, eccentricity)
    attitude *= short_bearing_attitude(eccentricity)
    return FilmNumbers(
        sommerfeld,
        attitude,
        friction_variable(eccentricity, sommerfeld, attitude),
        flow,
        side * eccentricity,
        pressure,
    )


def sommerfeld_number(
    load: float,
    rev_per_min: float,
    diameter: float,
    length: float,
    radial_clearance: float,
    viscosity_mpas: float,
) -> float:
    """Load number of a plain bearing.

    S = (r ÷ c)² × µ × N ÷ P, P = F ÷ (D × L).

    load: on the bearing [N], above zero.
    rev_per_min: journal speed, bearing still [1/min], above zero.
    diameter: of the journal [mm], above zero.
    length: of the bearing [mm], above zero.
    radial_clearance: half the diametral clearance [mm], above zero.
    viscosity_mpas: dynamic viscosity of the film [mPa·s], above zero.
    Returns S [-].
    Holds for steady load.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 12-7.
    Raises ValueError naming the number when one is out of range.

    >>> round(sommerfeld_number(2224.1, 1800.0, 38.1, 38.1, 0.0381, 27.58), 3)
    0.135
    """
    for name, value, unit in (
        ("load", load, "N"),
        ("rev_per_min", rev_per_min, "1/min"),
        ("diameter", diameter, "mm"),
        ("length", length, "mm"),
        ("radial_clearance", radial_clearance, "mm"),
        ("viscosity_mpas", viscosity_mpas, "mPa·s"),
    ):
        _bounds.above(name, value, 0.0, unit)
    mean_pressure = load / (diameter * length)
    speed = rev_per_min / 60.0
    return (diameter / 2.0 / radial_clearance) ** 2 * viscosity_mpas * 1e-9 * speed / mean_pressure


def eccentricity_for_load(length_ratio: float, sommerfeld: float) -> float:
    """Eccentricity at which a finite bearing carries a load number.

    Inverse of S(ε) of `steady_film`, which falls all the way.

    length_ratio: length over diameter [-], 0.177 to 2.
    sommerfeld: S [-], above zero.
    Returns the eccentricity [-], 0.001 to 0.97.
    Holds as `steady_film`.
    Source: own solution of Reynolds' equation; Raimondi and Boyd (1958).
    Raises ValueError when the film is thinner than the table goes, or a number is out of range.

    >>> round(eccentricity_for_load(1.0, 0.121), 2)
    0.6
    """
    _bounds.within("length_ratio", length_ratio, LENGTH_RATIOS[0], LENGTH_RATIOS[-1])
    _bounds.above("sommerfeld", sommerfeld, 0.0)
    loads = _at_length(length_ratio, range(1))

    def over(eccentricity: float) -> float:
        """How far S at an eccentricity is above the one wanted, in logarithms."""
        (scaled,) = _at_eccentricity(loads, eccentricity)
        return scaled + math.log(short_bearing_sommerfeld(length_ratio, eccentricity) / sommerfeld)

    if over(_MOST) > 0.0:
        least = sommerfeld * math.exp(over(_MOST))
        raise FilmTooThinError(
            f"sommerfeld is {sommerfeld:.4g}, a film thinner than 3% of the radial clearance; it "
            f"has to be {least:.4g} or more at length ratio {length_ratio:.4g}: less load, thicker "
            "oil or less clearance"
        )
    if over(_LEAST) < 0.0:
        return _LEAST
    # Along -ln(1 - ε) the curve is nearly straight.
    found = root_between(
        lambda spread: over(-math.expm1(-spread)), _spread(_LEAST), _spread(_MOST), 1e-11
    )
    return -math.expm1(-found)
