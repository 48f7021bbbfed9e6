"""The base period of a process: where it lies and how much it scatters when left alone.

A base is learned once from readings the shop trusts and then kept; later readings are plotted
against it. Three ways of learning sigma: from moving ranges of single readings, from the ranges or
from the standard deviations of subgroups. Subgroups may differ in size (four bores of one engine,
six of the next): each range or standard deviation is first brought to sigma by its own constant.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from sparkout.faults import Fault, Place
from sparkout.measure.charts._readings import bad_numbers, check_subgroups, mean, range_of, sd
from sparkout.measure.charts.constants import c4, chart_factors
from sparkout.measure.studies.special import root

__all__ = ["Base", "ChartKind", "individuals_base", "mean_range_base", "mean_sd_base"]

# Fewer subgroups than this make limits provisional: Montgomery, Introduction to Statistical Quality
# Control, asks for 20 to 25; ISO 7870-2 for about 25 (both recalled from memory).
_ENOUGH = 20


class ChartKind(StrEnum):
    """Which pair of charts a base is for."""

    INDIVIDUALS = "individuals and moving range"
    MEAN_RANGE = "mean and range"
    MEAN_SD = "mean and standard deviation"


@dataclass(frozen=True, slots=True)
class Base:
    """What a base period taught.

    centre: mean of the readings (of the subgroup means where subgroups have one size).
    sigma: scatter of single readings within subgroups or from one reading to the next.
    spread: mean moving range, mean range or mean standard deviation, as computed, unrounded.
    subgroups: how many subgroups (readings, for individuals); readings: how many readings.
    dof: degrees of freedom the sigma is worth, matched to its coefficient of variation.
    """

    kind: ChartKind
    centre: float
    sigma: float
    spread: float
    subgroups: int
    readings: int
    dof: float


def _worth(variation: float) -> float:
    """Degrees of freedom of a sample standard deviation with this coefficient of variation."""
    return root(lambda dof: math.sqrt(1.0 / c4(dof + 1.0) ** 2 - 1.0) - variation, 1e-3, 1e8, 1e-10)


def _no_scatter(place: Place) -> Fault:
    return Fault(
        place,
        "no scatter at all between readings that should differ",
        "readings that differ by at least one step of the gauge",
        "Use a gauge with a finer step: limits of width zero would call every change a signal.",
    )


def _few(count: int, what: str, place: Place) -> tuple[Fault, ...]:
    if count >= _ENOUGH:
        return ()
    return (
        Fault(
            place,
            f"{count} {what} in the base period",
            f"{_ENOUGH} or more for limits that stand",
            "The limits are provisional: compute them again when more readings are there.",
            stops=False,
        ),
    )


def individuals_base(
    values: Sequence[float], place: Place | None = None
) -> tuple[Base | None, tuple[Fault, ...]]:
    """Centre and scatter of a process read one part at a time.

    sigma = mean moving range of two / d2(2); limits are centre +- 3 sigma.

    values: readings in the order made [any], two or more.
    place: where the readings stand, named in faults [-].
    Returns the base, or nothing with the faults that stopped it; a short base has a warning [-].
    Holds for readings that follow one another in time, nearly normal, not strongly correlated.
    Source: ISO 7870-2 and ASTM E2587, chart for individuals and moving ranges.

    >>> round(individuals_base([10.0, 10.2, 9.9, 10.1])[0].sigma, 4)
    0.2068
    """
    place = place or Place(key="base period")
    faults = bad_numbers(values, place, "reading")
    if len(values) < 2:
        faults += (
            Fault(
                place,
                f"{len(values)} readings",
                "two or more readings in the order made",
                "Add readings.",
            ),
        )
    if faults:
        return None, faults
    steps = [abs(b - a) for a, b in pairwise(values)]
    spread = math.fsum(steps) / len(steps)
    if spread == 0.0:
        return None, (_no_scatter(place),)
    # Neighbouring moving ranges share a reading. With rho = -1/2 between successive differences,
    # E|d1 d2| = (4/pi)(sqrt(3)/2 + pi/12) sigma^2 (Nabeya 1951), so their covariance follows.
    m = len(steps)
    variance = 2.0 - 4.0 / math.pi
    covariance = (4.0 / math.pi) * (math.sqrt(0.75) + math.pi / 12.0) - 4.0 / math.pi
    of_mean = (m * variance + 2 * (m - 1) * covariance) / (m * m)
    base = Base(
        kind=ChartKind.INDIVIDUALS,
        centre=math.fsum(values) / len(values),
        sigma=spread * math.sqrt(math.pi) / 2.0,  # d2(2) = 2/sqrt(pi), exactly
        spread=spread,
        subgroups=len(values),
        readings=len(values),
        dof=_worth(math.sqrt(of_mean * math.pi / 4.0)),
    )
    return base, _few(len(values), "readings", place)


def _subgroup_base(
    kind: ChartKind, subgroups: Sequence[Sequence[float]], place: Place
) -> tuple[Base | None, tuple[Fault, ...]]:
    faults = check_subgroups(subgroups, place)
    if faults:
        return None, faults
    sizes = [len(group) for group in subgroups]
    # Per size: mean of the spread in sigmas, and its coefficient of variation.
    known: dict[int, tuple[float, float]] = {}
    for n in set(sizes):
        if kind is ChartKind.MEAN_RANGE:
            factors = chart_factors(n)
            known[n] = (factors.d2, factors.d3 / factors.d2)
        else:
            known[n] = (c4(n), math.sqrt(1.0 / c4(n) ** 2 - 1.0))
    spread_of = range_of if kind is ChartKind.MEAN_RANGE else sd
    spreads = [spread_of(group) for group in subgroups]
    variations = [known[n][1] for n in sizes]
    sigma = mean([s / known[n][0] for s, n in zip(spreads, sizes, strict=True)])
    if sigma == 0.0:
        return None, (_no_scatter(place),)
    count = len(subgroups)
    base = Base(
        kind=kind,
        # Every reading counts once; with one size that is the mean of the subgroup means.
        centre=math.fsum(math.fsum(group) for group in subgroups) / sum(sizes),
        sigma=sigma,
        spread=mean(spreads),
        subgroups=count,
        readings=sum(sizes),
        dof=_worth(math.sqrt(math.fsum(v * v for v in variations)) / count),
    )
    return base, _few(count, "subgroups", place)


def mean_range_base(
    subgroups: Sequence[Sequence[float]], place: Place | None = None
) -> tuple[Base | None, tuple[Fault, ...]]:
    """Centre and scatter of a process from the ranges of small subgroups.

    sigma = mean of R / d2(n); limits of the mean are centre +- 3 sigma / sqrt(n).

    subgroups: readings made together, in the order made [any], two to about ten in each.
    place: where the readings stand, named in faults [-].
    Returns the base, or nothing with the faults that stopped it; a short base has a warning [-].
    Holds for nearly normal readings whose scatter within a subgroup is all that chance brings.
    Source: ISO 7870-2 and ASTM E2587, chart for mean and range.

    >>> round(mean_range_base([[5.0, 5.1], [5.0, 5.2]])[0].sigma, 5)
    0.13293
    """
    return _subgroup_base(ChartKind.MEAN_RANGE, subgroups, place or Place(key="base period"))


def mean_sd_base(
    subgroups: Sequence[Sequence[float]], place: Place | None = None
) -> tuple[Base | None, tuple[Fault, ...]]:
    """Centre and scatter of a process from the standard deviations of subgroups.

    sigma = mean of s / c4(n); limits of the mean are centre +- 3 sigma / sqrt(n).

    subgroups: readings made together, in the order made [any], two or more in each.
    place: where the readings stand, named in faults [-].
    Returns the base, or nothing with the faults that stopped it; a short base has a warning [-].
    Holds for nearly normal readings whose scatter within a subgroup is all that chance brings.
    Source: ISO 7870-2 and ASTM E2587, chart for mean and standard deviation.

    >>> round(mean_sd_base([[5.0, 5.1], [5.0, 5.2]])[0].sigma, 5)
    0.13293
    """
    return _subgroup_base(ChartKind.MEAN_SD, subgroups, place or Place(key="base period"))
