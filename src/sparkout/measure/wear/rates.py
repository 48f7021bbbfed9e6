"""Wear rates: of a family of units, of this engine alone, and of the two together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.faults import Fault, Place
from sparkout.measure.wear.inspections import Increment, Inspection, increments

__all__ = [
    "Rate",
    "combined_rate",
    "family_rate",
    "own_rate",
    "pooled_rate",
    "through_origin_rate",
]

# From fewer units than this the scatter between them is hardly known; a rule of thumb.
_FEW_UNITS = 5


@dataclass(frozen=True, slots=True)
class Rate:
    """A wear rate.

    rate: [mm/h]; u: standard uncertainty of the rate this rate is used for [mm/h].
    covariance: with the wear measured now [mm·mm/h], zero unless the rate was got from it.
    basis: what it rests on, in words; warnings: what speaks against relying on it.
    """

    rate: float
    u: float
    covariance: float
    basis: str
    warnings: tuple[str, ...] = ()


def _last(steps: Sequence[Increment]) -> list[tuple[float, float]]:
    """Hours and wear of each unit at its last inspection."""
    units: dict[str, tuple[float, float]] = {}
    for step in steps:
        _, wear = units.get(step.unit, (0.0, 0.0))
        units[step.unit] = (step.end, wear + step.wear)
    return list(units.values())


def _few(units: int) -> tuple[str, ...]:
    if units >= _FEW_UNITS:
        return ()
    return (f"Only {units} unit(s): how units differ is hardly known from so few.",)


def pooled_rate(
    inspections: Sequence[Inspection], place: Place | None = None
) -> tuple[Rate | None, tuple[Fault, ...]]:
    """Mean wear rate of a family: all the wear over all the hours.

    rate = sum of last wear / sum of last hours; u^2 = n/(n-1) * sum (w - rate t)^2 / (sum t)^2.

    inspections: readings of two or more units [h, mm].
    place: where the readings stand, named in faults [-].
    Returns the rate of the family's mean, or nothing with the faults [mm/h].
    Holds for wear in proportion to hours, scatter growing with the square root of hours.
    Source: ratio estimator, Cochran, Sampling Techniques (1977), 6.3 and 6.4.

    >>> r, _ = pooled_rate([Inspection("1", 1000.0, 0.1), Inspection("2", 3000.0, 0.22)])
    >>> round(r.rate * 1000, 4)
    0.08
    """
    place = place or Place(key="inspections")
    steps, faults = increments(inspections, place)
    last = _last(steps)
    if not any(f.stops for f in faults) and len(last) < 2:
        faults += (Fault(place, f"{len(last)} unit", "two units or more", "Use own_rate for one."),)
    if any(f.stops for f in faults):
        return None, faults
    n = len(last)
    hours = math.fsum(t for t, _ in last)
    rate = math.fsum(w for _, w in last) / hours
    squares = math.fsum((w - rate * t) ** 2 for t, w in last)
    u = math.sqrt(n / (n - 1) * squares) / hours
    basis = f"all wear over all hours of {n} units ({hours:.0f} h)"
    return Rate(rate, u, 0.0, basis, _few(n)), faults


def through_origin_rate(
    inspections: Sequence[Inspection], place: Place | None = None
) -> tuple[Rate | None, tuple[Fault, ...]]:
    """Wear rate by least squares through new: the line from zero that fits all readings.

    rate = sum t w / sum t^2. One unit: u from the residuals. Several: from the units' summed
    t*residual, since readings of one unit go wrong together; factor units/(units - 1).

    inspections: readings of one or more units [h, mm], two readings or more.
    place: where the readings stand, named in faults [-].
    Returns the rate, or nothing with the faults [mm/h].
    Holds for wear in proportion to hours, with the same scatter at all hours.
    Source: least squares; grouped residuals after Liang and Zeger, Biometrika 73 (1986) 13-22.

    >>> r, _ = through_origin_rate([Inspection("1", 1000.0, 0.1), Inspection("1", 2000.0, 0.18)])
    >>> round(r.rate * 1000, 4)
    0.092
    """
    place = place or Place(key="inspections")
    _, faults = increments(inspections, place)
    if not any(f.stops for f in faults) and len(inspections) < 2:
        faults += (Fault(place, "1 reading", "two readings or more", "Use own_rate for one."),)
    if any(f.stops for f in faults):
        return None, faults
    square = math.fsum(i.hours**2 for i in inspections)
    rate = math.fsum(i.hours * i.wear for i in inspections) / square
    units = tuple(dict.fromkeys(i.unit for i in inspections))
    if len(units) == 1:
        left = math.fsum((i.wear - rate * i.hours) ** 2 for i in inspections)
        u = math.sqrt(left / (len(inspections) - 1) / square)
    else:
        sums = [
            math.fsum(i.hours * (i.wear - rate * i.hours) for i in inspections if i.unit == unit)
            for unit in units
        ]
        factor = len(units) / (len(units) - 1)
        u = math.sqrt(factor * math.fsum(s * s for s in sums)) / square
    basis = f"least squares through new, {len(inspections)} readings of {len(units)} unit(s)"
    return Rate(rate, u, 0.0, basis, _few(len(units))), faults


def family_rate(
    inspections: Sequence[Inspection], place: Place | None = None
) -> tuple[Rate | None, tuple[Fault, ...]]:
    """Wear rate to be expected of one more unit of a family.

    Mean of the units' own rates at their last inspection; u = their standard deviation *
    sqrt(1 + 1/n), which is how one more unit scatters.

    inspections: readings of three or more units [h, mm].
    place: where the readings stand, named in faults [-].
    Returns the rate of a further unit, or nothing with the faults [mm/h].
    Holds for units used alike; every unit counts once, however long it ran.
    Source: prediction of a further observation, ISO 16269-8:2004.

    >>> data = [Inspection(str(k), 1000.0, w) for k, w in enumerate((0.08, 0.10, 0.12))]
    >>> r, _ = family_rate(data)
    >>> round(r.rate * 1000, 3), round(r.u * 1000, 4)
    (0.1, 0.0231)
    """
    place = place or Place(key="inspections")
    steps, faults = increments(inspections, place)
    rates = [w / t for t, w in _last(steps)]
    n = len(rates)
    if not any(f.stops for f in faults) and n < 3:
        faults += (
            Fault(
                place,
                f"{n} unit(s)",
                "three units or more",
                "There is too little family history: state an assumption for this engine instead.",
            ),
        )
    if any(f.stops for f in faults):
        return None, faults
    mean = math.fsum(rates) / n
    sd = math.sqrt(math.fsum((r - mean) ** 2 for r in rates) / (n - 1))
    return Rate(mean, sd * math.sqrt(1 + 1 / n), 0.0, f"{n} units of its family", _few(n)), faults


def own_rate(
    hours: float, wear: float, u_wear: float, steadiness: float, place: Place | None = None
) -> tuple[Rate | None, tuple[Fault, ...]]:
    """Wear rate of this engine alone, from what it has lost so far.

    rate = wear / hours; u^2 = (u_wear / hours)^2 + (steadiness * rate)^2.

    hours: run since new [h], above zero.
    wear: since new [mm].
    u_wear: standard uncertainty of the wear, new size included [mm], not below zero.
    steadiness: assumed relative scatter of the rate to come about the past one [-], above zero.
    place: where the readings stand, named in faults [-].
    Returns the rate with the assumption in its basis, or nothing with the faults [mm/h].
    Holds for use that goes on as before; the assumption is the shop's and is shown.
    Source: propagation of uncertainty, JCGM 100:2008 (GUM), 5.1.2; linear wear is common practice.

    >>> r, _ = own_rate(10000.0, 0.5, 0.01, 0.2)
    >>> round(r.rate * 1000, 3), round(r.u * 1000, 5)
    (0.05, 0.01005)
    """
    place = place or Place(key="this engine")
    faults: list[Fault] = []
    if not (math.isfinite(hours) and hours > 0.0):
        faults.append(
            Fault(place, f"{hours!r} hours run", "hours above zero", "Find out the hours run.")
        )
    if not (math.isfinite(steadiness) and steadiness > 0.0):
        faults.append(
            Fault(
                place,
                f"steadiness {steadiness!r}",
                "a relative scatter above zero, such as 0.2",
                "No wear rate is exactly steady: state how far it may change.",
            )
        )
    if not (math.isfinite(u_wear) and u_wear >= 0.0):
        faults.append(
            Fault(place, f"uncertainty {u_wear!r} mm", "a standard uncertainty, not below zero")
        )
    elif not (math.isfinite(wear) and wear > 2.0 * u_wear):
        faults.append(
            Fault(
                place,
                f"wear of {wear:g} mm with uncertainty {u_wear:g} mm",
                "wear that stands out from its uncertainty (twice and more)",
                "There is no rate to be had from wear that cannot be told from none.",
            )
        )
    if faults:
        return None, tuple(faults)
    rate = wear / hours
    basis = f"this engine's wear over {hours:.0f} h, assumed steady within {steadiness:.0%} (1 sd)"
    u = math.hypot(u_wear / hours, steadiness * rate)
    return Rate(rate, u, u_wear * u_wear / hours, basis), ()


def combined_rate(own: Rate, family: Rate) -> Rate:
    """Wear rate of this engine, its family's history weighed in.

    Weights 1/u^2: rate = (own/u_o^2 + family/u_f^2) * u^2, u^2 = 1/(1/u_o^2 + 1/u_f^2).

    own: rate of this engine [mm/h], u above zero.
    family: rate to be expected of one more unit of the family [mm/h], u above zero.
    Returns the combined rate [mm/h]; a warning where the two contradict each other.
    Holds for nearly normal scatter of rates between units.
    Source: normal prior and normal observation, Gelman and others, Bayesian Data Analysis, 2.5.
    Raises ValueError naming the values when an uncertainty is not above zero.

    >>> r = combined_rate(Rate(1e-4, 1e-5, 0.0, "own"), Rate(8e-5, 2e-5, 0.0, "family"))
    >>> round(r.rate * 1e4, 3), round(r.u * 1e5, 3)
    (0.96, 0.894)
    """
    if not (own.u > 0.0 and family.u > 0.0):
        raise ValueError(f"uncertainties must be above zero, got {own.u!r} and {family.u!r}")
    weight_own, weight_family = own.u**-2, family.u**-2
    share = weight_own / (weight_own + weight_family)
    warnings = own.warnings + family.warnings
    apart = abs(own.rate - family.rate) / math.hypot(own.u, family.u)
    if apart > 2.0:
        way = "faster" if own.rate > family.rate else "slower"
        warnings += (
            f"This engine wears {way} than its family by {apart:.1f} standard uncertainties: find "
            "out why before relying on either.",
        )
    return Rate(
        rate=share * own.rate + (1.0 - share) * family.rate,
        u=(weight_own + weight_family) ** -0.5,
        covariance=share * own.covariance,
        basis=f"{own.basis} (weight {share:.0%}); {family.basis} (weight {1.0 - share:.0%})",
        warnings=warnings,
    )
