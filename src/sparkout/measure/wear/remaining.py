"""How long until a limit: remaining life of a part that is kept, as P10, P50 and P90."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.faults import Fault, Place
from sparkout.measure.studies.distributions import normal_quantile
from sparkout.measure.studies.special import root
from sparkout.measure.wear.gamma_process import (
    GammaProcess,
    hours_quantile_with_doubt,
    wear_probability,
)
from sparkout.measure.wear.rates import Rate

__all__ = ["RemainingLife", "remaining_by_process", "remaining_by_rate"]

_SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class RemainingLife:
    """Hours until the limit. p10: one in ten such parts has reached it by then; and so on.

    Infinite where the chance of ever reaching it stays below the share: a rate that may be zero.
    basis: what it rests on; warnings: what speaks against relying on it; says: one sentence.
    """

    p10: float
    p50: float
    p90: float
    basis: str
    warnings: tuple[str, ...]

    @property
    def says(self) -> str:
        def hours(value: float) -> str:
            return "no end in sight" if math.isinf(value) else f"{_rounded(value):.0f} h"

        return (
            f"Reaches the limit in about {hours(self.p50)} of use as before "
            f"(P10 {hours(self.p10)}, P90 {hours(self.p90)})."
        )


def _rounded(hours: float) -> float:
    """Two significant digits: a forecast has no more."""
    if hours <= 0.0:
        return 0.0
    return round(hours, 1 - math.floor(math.log10(hours)))


def _check(wear: float, limit: float, place: Place) -> tuple[Fault, ...]:
    if not (math.isfinite(wear) and wear >= 0.0 and math.isfinite(limit) and limit > 0.0):
        return (
            Fault(
                place,
                f"wear {wear!r} mm and limit {limit!r} mm",
                "wear not below zero and a limit above it",
            ),
        )
    if wear >= limit:
        return (
            Fault(
                place,
                f"wear of {wear:g} mm at or beyond the limit of {limit:g} mm",
                "wear below the limit",
                "There is no life left to foretell: machine or replace the part.",
            ),
        )
    return ()


def remaining_by_process(
    process: GammaProcess, hours: float, wear: float, limit: float, place: Place | None = None
) -> tuple[RemainingLife | None, tuple[Fault, ...]]:
    """Remaining life by a gamma process fitted to a family of units.

    Time for a further limit - wear, the doubt of the fit included. Hours run do not change it (the
    process has no memory) but tell whether this part wears as its family does.

    process: process of the family [-].
    hours: this part has run [h], above zero.
    wear: of this part so far [mm], not below zero.
    limit: of wear [mm], above the wear; from the sheet, never assumed.
    place: where wear and limit stand, named in faults [-].
    Returns the remaining life, or nothing with the faults [h].
    Holds for use as the family's, wear steady in the mean, gauge error small beside the room left.
    Source: van Noortwijk, Reliability Engineering and System Safety 94 (2009) 2-21.

    >>> from sparkout.measure.wear.gamma_process import fit_gamma_process
    >>> from sparkout.measure.wear.inspections import Inspection
    >>> data = [Inspection(u, 1000.0, w) for u, w in (("a", 0.09), ("b", 0.12), ("c", 0.10))]
    >>> life, _ = remaining_by_process(fit_gamma_process(data)[0], 5000.0, 0.5, 1.0)
    >>> life.p10 < life.p50 < life.p90
    True
    """
    place = place or Place(key="remaining life")
    faults = _check(wear, limit, place)
    if not (math.isfinite(hours) and hours > 0.0):
        faults += (
            Fault(place, f"{hours!r} hours run", "hours above zero", "Find out the hours run."),
        )
    if faults:
        return None, faults
    warnings = process.warnings
    below = wear_probability(process, hours, wear)
    if not 0.025 <= below <= 0.975:
        word = "less" if below < 0.5 else "more"
        warnings += (
            f"{wear:g} mm in {hours:g} h is {word} than 97.5 % of its family's units would show: "
            "this part does not wear as they do, so weigh its own rate in.",
        )
    p10, p50, p90 = hours_quantile_with_doubt(process, limit - wear, _SHARES)
    basis = f"gamma process of {process.units} unit(s), {len(process.steps)} steps of wear"
    return RemainingLife(p10, p50, p90, basis, warnings), ()


def remaining_by_rate(
    rate: Rate, wear: float, u_wear: float, limit: float, place: Place | None = None
) -> tuple[RemainingLife | None, tuple[Fault, ...]]:
    """Remaining life by a linear wear rate with its uncertainty.

    P(T <= t) = Phi((wear + rate t - limit) / sqrt(u_wear^2 + 2 t cov + t^2 u_rate^2)).

    rate: of wear for this part [mm/h], above zero.
    wear: of this part so far [mm], not below zero.
    u_wear: its standard uncertainty [mm], not below zero.
    limit: of wear [mm], above the wear; from the sheet, never assumed.
    place: where wear and limit stand, named in faults [-].
    Returns the remaining life, or nothing with the faults [h].
    Holds for linear wear; with u_rate above rate/1.3 the P90 has no end.
    Source: Ahmad and Sheikh, Reliability Engineering 8 (1984) 131-148 (Bernstein distribution).

    >>> from sparkout.measure.wear.rates import own_rate
    >>> r, _ = own_rate(10000.0, 0.5, 0.01, 0.2)
    >>> round(remaining_by_rate(r, 0.5, 0.01, 1.0)[0].p50)
    10000
    """
    place = place or Place(key="remaining life")
    faults = _check(wear, limit, place)
    if not (rate.rate > 0.0 and rate.u >= 0.0 and u_wear >= 0.0):
        faults += (
            Fault(
                place,
                f"rate {rate.rate!r} ± {rate.u!r} mm/h, uncertainty of wear {u_wear!r} mm",
                "a rate above zero and uncertainties not below it",
            ),
        )
    if faults:
        return None, faults
    # In parts of the room left and of the hours the mean rate takes for it, so that no square of a
    # small uncertainty is lost: reached with the share of z where tau - 1 = z * spread(tau).
    room = limit - wear
    hours = room / rate.rate
    u_room, u_rate = u_wear / room, rate.u / rate.rate
    shared = rate.covariance / (room * rate.rate)

    def spread(tau: float) -> float:
        return math.sqrt(u_room * u_room + 2.0 * tau * shared + (tau * u_rate) ** 2)

    warnings = rate.warnings
    lives = []
    for wanted in _SHARES:
        z = normal_quantile(wanted)
        if z * spread(0.0) <= -1.0:
            lives.append(0.0)
        elif z * u_rate >= 1.0:
            lives.append(math.inf)
        else:
            high = 1.0
            while high - 1.0 < z * spread(high):
                high *= 2.0
            tau = root(lambda x, z=z: x - 1.0 - z * spread(x), 0.0, high)  # type: ignore[misc]
            lives.append(hours * tau)
    if lives[0] == 0.0:
        warnings += ("The reading does not prove that the part is still within its limit.",)
    if math.isinf(lives[2]):
        warnings += ("The rate is too uncertain to put an upper end to the life.",)
    return RemainingLife(lives[0], lives[1], lives[2], rate.basis, warnings), ()
