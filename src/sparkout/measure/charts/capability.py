"""Capability: does the process fit between its limits, and how sure is that."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.faults import Fault, Place
from sparkout.measure.charts._readings import bad_numbers, mean, sd
from sparkout.measure.charts.base import Base
from sparkout.measure.studies.distributions import (
    chi_square_quantile,
    normal_probability,
    normal_quantile,
)

__all__ = ["Capability", "Index", "capability", "share_outside"]


class Index(NamedTuple):
    """A capability index with its two-sided confidence bounds."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Capability:
    """Indices of one process against one pair of limits.

    cp, cpk: from the scatter within subgroups (what the process could do if it stayed put);
    pp, ppk: from the scatter of all readings (what it did). cp and pp exist only with two limits.
    share_outside: of the readings to come, by the normal distribution, with the overall scatter.
    """

    cp: Index | None
    cpk: Index
    pp: Index | None
    ppk: Index
    share_outside: float
    mean: float
    sd_within: float
    sd_overall: float
    readings: int
    confidence: float


def share_outside(mean: float, sd: float, lower: float | None, upper: float | None) -> float:
    """Share of a normal process that falls outside its limits.

    P = Phi((lower - mean)/sd) + Phi((mean - upper)/sd); a limit not given adds nothing.

    mean: mean of the process [any].
    sd: its standard deviation [as mean], above zero.
    lower: lower limit [as mean], or None where there is none.
    upper: upper limit [as mean], or None where there is none.
    Returns the share [-], 0 to 1.
    Holds for a normal process in control.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.1.6.
    Raises ValueError naming the value when sd is not above zero.

    >>> round(share_outside(10.0, 0.4, 9.0, 11.0), 5)
    0.01242
    """
    if not sd > 0.0:
        raise ValueError(f"the standard deviation must be above zero, got {sd!r}")
    below = 0.0 if lower is None else normal_probability((lower - mean) / sd)
    above = 0.0 if upper is None else normal_probability((mean - upper) / sd)
    return below + above


def _width_index(width: float, sigma: float, dof: float, confidence: float) -> Index:
    """Cp with its exact interval: Cp * sqrt(chi-square / dof)."""
    value = width / (6.0 * sigma)
    tail = 0.5 * (1.0 - confidence)
    low = value * math.sqrt(chi_square_quantile(tail, dof) / dof)
    high = value * math.sqrt(chi_square_quantile(1.0 - tail, dof) / dof)
    return Index(value, low, high)


def _edge_index(room: float, sigma: float, dof: float, n: int, confidence: float) -> Index:
    """Cpk with Bissell's interval: Cpk +- z sqrt(1/(9n) + Cpk^2/(2 dof))."""
    value = room / (3.0 * sigma)
    z = normal_quantile(0.5 * (1.0 + confidence))
    half = z * math.sqrt(1.0 / (9.0 * n) + value * value / (2.0 * dof))
    return Index(value, value - half, value + half)


def capability(
    base: Base,
    values: Sequence[float],
    lower: float | None,
    upper: float | None,
    confidence: float = 0.95,
    place: Place | None = None,
) -> tuple[Capability | None, tuple[Fault, ...]]:
    """How a process fits between its limits, with how sure that is.

    Cp = (upper - lower)/(6 sigma), Cpk = nearest limit's room/(3 sigma) with sigma within
    subgroups; Pp, Ppk the same with the standard deviation of all readings. Intervals: chi-square
    for Cp and Pp; value +- z sqrt(1/(9 n) + value^2/(2 dof)) for Cpk and Ppk.

    base: base period, for the scatter within subgroups and its degrees of freedom [-].
    values: all readings of that period, in the order made [any], three or more.
    lower: lower limit [as values], or None where there is none.
    upper: upper limit [as values], or None where there is none.
    confidence: confidence of the two-sided bounds [-], between 0 and 1.
    place: where readings and limits stand, named in faults [-].
    Returns the indices, or nothing with the faults that stopped it [-].
    Holds for a normal process in control; judge the chart first.
    Source: Bissell, Applied Statistics 39 (1990) 331-340; NIST/SEMATECH e-Handbook 6.1.6.
    Raises ValueError naming the value when confidence is not between 0 and 1.

    >>> from sparkout.measure.charts.base import individuals_base
    >>> v = [10.0, 10.2, 9.9, 10.1]
    >>> c, _ = capability(individuals_base(v)[0], v, 9.0, 11.0)
    >>> round(c.cp.value, 2), round(c.cpk.value, 2)
    (1.61, 1.53)
    """
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence lies between 0 and 1, got {confidence!r}")
    place = place or Place(key="capability")
    faults = bad_numbers(values, place, "reading")
    if len(values) < 3:
        faults += (
            Fault(place, f"{len(values)} readings", "three or more readings", "Add readings."),
        )
    if lower is None and upper is None:
        faults += (
            Fault(place, "no limit", "a lower or an upper limit, or both", "Give the limit."),
        )
    if lower is not None and upper is not None and not lower < upper:
        faults += (
            Fault(place, f"lower limit {lower} and upper limit {upper}", "lower below upper"),
        )
    if not faults and sd(values) == 0.0:
        faults += (
            Fault(place, "readings all equal", "readings that differ", "Use a finer gauge."),
        )
    if faults:
        return None, faults
    n, centre, overall = len(values), mean(values), sd(values)
    rooms = [
        room
        for room in (
            None if upper is None else upper - centre,
            None if lower is None else centre - lower,
        )
        if room is not None
    ]
    room = min(rooms)
    both = lower is not None and upper is not None
    width = upper - lower if lower is not None and upper is not None else 0.0
    return (
        Capability(
            cp=_width_index(width, base.sigma, base.dof, confidence) if both else None,
            cpk=_edge_index(room, base.sigma, base.dof, n, confidence),
            pp=_width_index(width, overall, n - 1.0, confidence) if both else None,
            ppk=_edge_index(room, overall, n - 1.0, n, confidence),
            share_outside=share_outside(centre, overall, lower, upper),
            mean=centre,
            sd_within=base.sigma,
            sd_overall=overall,
            readings=n,
            confidence=confidence,
        ),
        (),
    )
