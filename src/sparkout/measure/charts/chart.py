"""A chart: readings plotted against the limits their base period gave."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from sparkout.faults import Fault, Place
from sparkout.measure.charts._readings import bad_numbers, check_subgroups, mean, range_of, sd
from sparkout.measure.charts.base import Base, ChartKind
from sparkout.measure.charts.constants import c4, chart_factors

__all__ = ["Chart", "Line", "Point", "individuals_chart", "subgroup_chart"]


@dataclass(frozen=True, slots=True)
class Point:
    """One plotted point with the limits that hold for it.

    number: the reading or subgroup it stands for, counted from 1. sd: standard deviation of what
    is plotted, the width of one zone. The lower limit of a spread is never below zero.
    """

    number: int
    value: float
    centre: float
    lower: float
    upper: float
    sd: float


@dataclass(frozen=True, slots=True)
class Line:
    """One of the two traces of a chart. what: what is plotted, in words."""

    what: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """Location above, spread below, both against one base."""

    base: Base
    location: Line
    spread: Line


def _spread_point(number: int, value: float, centre: float, sd: float) -> Point:
    return Point(number, value, centre, max(0.0, centre - 3.0 * sd), centre + 3.0 * sd, sd)


def _location_point(number: int, value: float, base: Base, n: int) -> Point:
    sd = base.sigma / math.sqrt(n)
    return Point(number, value, base.centre, base.centre - 3.0 * sd, base.centre + 3.0 * sd, sd)


def individuals_chart(
    base: Base, values: Sequence[float], place: Place | None = None
) -> tuple[Chart | None, tuple[Fault, ...]]:
    """Chart of single readings and their moving ranges against a base.

    Limits: centre +- 3 sigma; moving range 0 (or d2 - 3 d3 if above) to (d2 + 3 d3) sigma, n = 2.

    base: what the base period taught, of the kind for individuals [-].
    values: readings in the order made [any], one or more.
    place: where the readings stand, named in faults [-].
    Returns the chart, or nothing with the faults that stopped it [-].
    Holds as the base holds; the moving range has one point fewer, numbered by its later reading.
    Source: ISO 7870-2 and ASTM E2587, chart for individuals and moving ranges.
    Raises ValueError naming the kind when the base was made for subgroups.

    >>> from sparkout.measure.charts.base import individuals_base
    >>> base, _ = individuals_base([10.0, 10.2, 9.9, 10.1])
    >>> round(individuals_chart(base, [10.0])[0].location.points[0].upper, 3)
    10.67
    """
    if base.kind is not ChartKind.INDIVIDUALS:
        raise ValueError(f"a base for {base.kind} cannot chart single readings")
    place = place or Place(key="chart")
    faults = bad_numbers(values, place, "reading")
    if not values:
        faults += (Fault(place, "no reading", "one reading or more", "Add readings."),)
    if faults:
        return None, faults
    pair = chart_factors(2)
    centre, width = pair.d2 * base.sigma, pair.d3 * base.sigma
    moving = tuple(
        _spread_point(number, abs(b - a), centre, width)
        for number, (a, b) in enumerate(pairwise(values), 2)
    )
    single = tuple(_location_point(number, v, base, 1) for number, v in enumerate(values, 1))
    return Chart(base, Line("reading", single), Line("moving range", moving)), ()


def subgroup_chart(
    base: Base, subgroups: Sequence[Sequence[float]], place: Place | None = None
) -> tuple[Chart | None, tuple[Fault, ...]]:
    """Chart of subgroup means and their ranges or standard deviations against a base.

    Mean: centre +- 3 sigma/sqrt(n). Range: (d2 +- 3 d3) sigma. Standard deviation:
    (c4 +- 3 sqrt(1 - c4^2)) sigma. Lower limits below zero become zero.

    base: what the base period taught, of a kind for subgroups [-].
    subgroups: readings made together, in the order made [any], two or more in each.
    place: where the readings stand, named in faults [-].
    Returns the chart, or nothing with the faults that stopped it [-].
    Holds as the base holds; each subgroup has the limits of its own size.
    Source: ISO 7870-2 and ASTM E2587, charts for mean and range, mean and standard deviation.
    Raises ValueError naming the kind when the base was made for single readings.

    >>> from sparkout.measure.charts.base import mean_range_base
    >>> base, _ = mean_range_base([[5.0, 5.1], [5.0, 5.2]])
    >>> round(subgroup_chart(base, [[5.0, 5.1]])[0].location.points[0].upper, 4)
    5.357
    """
    if base.kind is ChartKind.INDIVIDUALS:
        raise ValueError(f"a base for {base.kind} cannot chart subgroups")
    place = place or Place(key="chart")
    faults = check_subgroups(subgroups, place)
    if faults:
        return None, faults
    by_range = base.kind is ChartKind.MEAN_RANGE
    widths: dict[int, tuple[float, float]] = {}
    for n in {len(group) for group in subgroups}:
        if by_range:
            factors = chart_factors(n)
            widths[n] = (factors.d2, factors.d3)
        else:
            widths[n] = (c4(n), math.sqrt(1.0 - c4(n) ** 2))
    means = tuple(
        _location_point(number, mean(group), base, len(group))
        for number, group in enumerate(subgroups, 1)
    )
    spreads = tuple(
        _spread_point(
            number,
            range_of(group) if by_range else sd(group),
            widths[len(group)][0] * base.sigma,
            widths[len(group)][1] * base.sigma,
        )
        for number, group in enumerate(subgroups, 1)
    )
    what = "range" if by_range else "standard deviation"
    return Chart(base, Line("mean", means), Line(what, spreads)), ()
