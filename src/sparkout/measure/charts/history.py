"""What reading is acceptable, learned from the shop's own history of good parts.

Where no sheet gives a limit (how much vacuum a good seat loses on this tester, how flat the shop's
own surfacing leaves a deck) the shop's readings on parts known to be good say what is normal. The
answer is a record with its count and assumptions, never a bare number, and it is a rule of the shop
and not of any maker: whatever shows it says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sparkout.faults import Fault, Place
from sparkout.measure.charts._readings import bad_numbers, mean, sd
from sparkout.measure.charts.base import individuals_base
from sparkout.measure.charts.chart import individuals_chart
from sparkout.measure.charts.rules import NELSON_RULES, SPREAD_RULES, signals
from sparkout.measure.charts.tolerance import (
    one_sided_factor,
    order_confidence,
    order_count,
    two_sided_factor,
)
from sparkout.measure.studies.distributions import normal_probability

__all__ = ["AcceptableRange", "Method", "Sides", "acceptable_range", "normality_probability"]

# Below this count nobody can see from the readings whether they are normal: the test for it is
# stated for eight and more (D'Agostino and Stephens 1986, recalled from memory).
_TESTABLE = 8
# A result from fewer than this many carries a warning; a rule of thumb, common practice.
_ADVISED = 20


class Sides(StrEnum):
    """On which side a reading can be bad."""

    BOTH = "too low or too high"
    LOWER = "too low only"
    UPPER = "too high only"


class Method(StrEnum):
    """How the range is got from the history."""

    NORMAL = "normal distribution"
    ORDER = "least and greatest reading"


@dataclass(frozen=True, slots=True)
class AcceptableRange:
    """A range learned from history. lower or upper is None on a side that cannot be bad.

    coverage, confidence: with this confidence at least this share of readings on good parts lies
    inside. With Method.ORDER confidence is what the count reaches, at least what was asked.
    warnings: what speaks against relying on it, in plain sentences; empty when nothing does.
    """

    lower: float | None
    upper: float | None
    sides: Sides
    method: Method
    readings: int
    coverage: float
    confidence: float
    mean: float
    sd: float
    factor: float | None
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]


def normality_probability(values: Sequence[float]) -> float:
    """Probability of readings at least this far from normal, if they are normal.

    Anderson-Darling A^2 with mean and standard deviation estimated, A* = A^2 (1 + 0.75/n +
    2.25/n^2), then Stephens' fitted curves for the probability.

    values: readings [any], eight or more, not all equal.
    Returns the probability [-], 0 to 1; below 0.05 the readings do not look normal.
    Holds for n of eight or more; readings rounded to coarse steps look less normal than they are.
    Source: D'Agostino and Stephens, Goodness-of-Fit Techniques (1986), table 4.9.
    Raises ValueError naming the count when there are too few, or when all are equal.

    >>> round(normality_probability([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0]), 2)
    0.96
    """
    n = len(values)
    if n < _TESTABLE:
        raise ValueError(f"{_TESTABLE} readings or more are needed, got {n}")
    centre, scatter = mean(values), sd(values)
    if scatter == 0.0:
        raise ValueError("readings all equal have no distribution to test")
    z = sorted((v - centre) / scatter for v in values)
    tiny = 1e-300
    total = math.fsum(
        (2 * i + 1)
        * (
            math.log(max(normal_probability(z[i]), tiny))
            + math.log(max(normal_probability(-z[n - 1 - i]), tiny))
        )
        for i in range(n)
    )
    a = (-n - total / n) * (1.0 + 0.75 / n + 2.25 / (n * n))
    if a >= 0.6:
        # The fitted curve is stated up to A* = 13, where the probability is below 1e-30.
        return math.exp(1.2937 - 5.709 * min(a, 13.0) + 0.0186 * min(a, 13.0) ** 2)
    if a >= 0.34:
        return math.exp(0.9177 - 4.279 * a - 1.38 * a * a)
    if a >= 0.2:
        return 1.0 - math.exp(-8.318 + 42.796 * a - 59.938 * a * a)
    return 1.0 - math.exp(-13.436 + 101.14 * a - 223.73 * a * a)


def _control_warnings(values: Sequence[float]) -> tuple[str, ...]:
    base, _ = individuals_base(values)
    if base is None:
        return ("There is no scatter to judge control by.",)
    chart, _ = individuals_chart(base, values)
    if chart is None:  # the base accepted the same readings
        raise AssertionError("readings good for a base are good for its chart")
    broken = (*signals(chart.location, NELSON_RULES), *signals(chart.spread, SPREAD_RULES))
    if not broken:
        return ()
    return (
        "The process was not in control, so no range learned from it foretells the next reading.",
        *(signal.text for signal in broken),
    )


def _normal_warnings(values: Sequence[float]) -> tuple[str, ...]:
    n = len(values)
    if n < _TESTABLE:
        return (
            f"{n} readings are too few to see whether they are normal: the range rests on the "
            "assumption.",
        )
    p = normality_probability(values)
    if p < 0.05:
        return (
            f"The readings do not look normal (Anderson-Darling p = {p:.2g}): take the least and "
            "greatest reading instead, with enough history.",
        )
    return ()


def _too_few(n: int, ends: int, coverage: float, confidence: float, place: Place) -> Fault:
    needed = order_count(ends, coverage, confidence)
    reached = order_confidence(n, ends, coverage) if n >= ends else 0.0
    return Fault(
        place,
        f"{n} readings, whose extremes hold {coverage:.0%} of all with confidence {reached:.1%}",
        f"{needed} readings for confidence {confidence:.0%}",
        "Keep measuring good parts, ask for less coverage, or assume a normal distribution and "
        "say so.",
    )


def acceptable_range(
    values: Sequence[float],
    sides: Sides,
    coverage: float = 0.95,
    confidence: float = 0.95,
    method: Method = Method.NORMAL,
    place: Place | None = None,
) -> tuple[AcceptableRange | None, tuple[Fault, ...]]:
    """Range within which a reading on a good part lies, from the shop's own history.

    Normal: mean -+ k s with the exact tolerance factor k(n, coverage, confidence). Order: the least
    and the greatest reading, once there are enough of them.

    values: readings on parts known to be good, in the order made [any], three or more.
    sides: on which side a reading can be bad [-].
    coverage: share of readings on good parts that is to lie inside [-], between 0 and 1.
    confidence: how sure that it does [-], between 0 and 1.
    method: normal distribution, or least and greatest reading [-].
    place: where the history stands, named in faults [-].
    Returns the range with its assumptions and warnings, or nothing with the faults [-].
    Holds for independent readings of one process in control, on one gauge.
    Source: ISO 16269-6:2014, statistical tolerance intervals.
    Raises ValueError naming the value when coverage or confidence is not between 0 and 1.

    >>> drops = [2.0, 3.0, 2.5, 3.5, 2.0, 3.0, 2.5, 3.0, 2.5, 2.0]
    >>> r, _ = acceptable_range(drops, Sides.UPPER)
    >>> round(r.upper, 2), r.readings
    (4.1, 10)
    """
    for name, share in (("coverage", coverage), ("confidence", confidence)):
        if not 0.0 < share < 1.0:
            raise ValueError(f"{name} lies between 0 and 1, got {share!r}")
    place = place or Place(key="history")
    n, ends = len(values), 2 if sides is Sides.BOTH else 1
    faults = bad_numbers(values, place, "reading")
    if n < 3:
        faults += (
            Fault(
                place,
                f"{n} readings",
                "three at the very least, twenty to be of use",
                "There is too little history to learn from: use the sheet's limit or judgement.",
            ),
        )
    elif not faults and sd(values) == 0.0:
        faults += (
            Fault(place, "readings all equal", "readings that differ", "Use a finer gauge."),
        )
    elif method is Method.ORDER and order_confidence(n, ends, coverage) < confidence:
        faults += (_too_few(n, ends, coverage, confidence, place),)
    if faults:
        return None, faults

    centre, scatter = mean(values), sd(values)
    warnings = _control_warnings(values)
    assumptions = [
        "the parts read were good",
        "the readings follow one another in time and are independent",
        "gauge, fixture and method stay the same",
    ]
    factor = None
    low, high, reached = min(values), max(values), confidence
    if method is Method.ORDER:
        reached = order_confidence(n, ends, coverage)
    else:
        get = two_sided_factor if sides is Sides.BOTH else one_sided_factor
        factor = get(n, coverage, confidence)
        low, high = centre - factor * scatter, centre + factor * scatter
        assumptions.append("the readings are normally distributed")
        warnings += _normal_warnings(values)
        if _TESTABLE <= n < _ADVISED:
            warnings += (
                f"Only {n} readings: the range is wide because little is known, and will narrow.",
            )
    return (
        AcceptableRange(
            lower=None if sides is Sides.UPPER else low,
            upper=None if sides is Sides.LOWER else high,
            sides=sides,
            method=method,
            readings=n,
            coverage=coverage,
            confidence=reached,
            mean=centre,
            sd=scatter,
            factor=factor,
            assumptions=tuple(assumptions),
            warnings=warnings,
        ),
        (),
    )
