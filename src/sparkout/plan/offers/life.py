"""How long what is kept will last: wear so far over hours run, to the limit of wear.

The hours are those of the engine. A part that was renewed in between has worn faster than they say;
nothing in a reading shows that, so every forecast says what it takes for granted.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

from sparkout.faults import Place
from sparkout.job.bodies import Intake
from sparkout.job.replay import Standing
from sparkout.judge.finding import Finding, Verdict
from sparkout.measure.wear.gamma_process import GammaProcess
from sparkout.measure.wear.rates import Rate, own_rate
from sparkout.measure.wear.remaining import (
    RemainingLife,
    remaining_by_process,
    remaining_by_rate,
)
from sparkout.plan.offers.wear import Wearing
from sparkout.sheet.shop import Shop
from sparkout.units import QuantityError, parse

__all__ = [
    "STEADY_THUMB",
    "History",
    "Life",
    "history_of",
    "lives_of",
    "rates_of",
    "read_hours",
    "wear_so_far",
]

STEADY_THUMB = 0.25
"""How far (one standard deviation) wear to come is taken to differ from past wear where the shop
says nothing. A rule of thumb, marked as one wherever a forecast rests on it."""


@dataclass(frozen=True, slots=True)
class History:
    """What is known of the running so far.

    hours: run by this engine. steady: relative scatter of the wear rate to come; thumb: whether
    that is the rule of thumb. families: a fitted process of wear by characteristic, from other
    engines of the family.
    """

    hours: Fraction
    steady: float = STEADY_THUMB
    thumb: bool = True
    families: Mapping[str, GammaProcess] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def taken_for_granted(self) -> str:
        thumb = ", a rule of thumb" if self.thumb else ", this shop's figure"
        return (
            f"Takes for granted that each part has run the engine's {int(self.hours)} h and goes "
            f"on being used as before; rates steady within {self.steady:.0%}{thumb}."
        )


@dataclass(frozen=True, slots=True)
class Life:
    """One limit of wear of a part that runs on.

    left: to the limit; share: of the wear allowed. remaining: hours to the limit, None where no
    rate can be told; why: then, why not.
    """

    finding: Finding
    left: Fraction
    share: Fraction
    remaining: RemainingLife | None
    why: str = ""


def read_hours(typed: str) -> Fraction | None:
    """Hours run as typed at intake (`14200`, `14 200 h`); None where that is no time."""
    if not typed.strip():
        return None
    try:
        seconds = parse(typed, "time", "h").value
    except QuantityError:
        return None
    hours = seconds / 3600
    return hours if hours > 0 else None


def history_of(
    standing: Iterable[Standing],
    shop: Shop,
    families: Mapping[str, GammaProcess] | None = None,
) -> History | None:
    """The running so far as the log's intake has it; None where no hours were entered."""
    for entry in standing:
        if isinstance(entry.body, Intake):
            hours = read_hours(entry.body.hours_run)
            if hours is None:
                continue
            steady = None if shop.value_of_life is None else shop.value_of_life.steady
            return History(
                hours,
                STEADY_THUMB if steady is None else float(steady),
                steady is None,
                MappingProxyType(dict(families or {})),
            )
    return None


def wear_so_far(item: Wearing, finding: Finding) -> tuple[float, float] | None:
    """Wear since new and its standard uncertainty, the size it began at included.

    A new part lies anywhere in its new limits, each size equally likely: half their width over √3.
    None where nothing was read or the sheet does not say where a new one begins.
    """
    value = finding.high if item.sign > 0 else finding.low
    if value is None or item.start is None:
        return None
    wear = float(value.value - item.start) * item.sign
    return wear, math.hypot(value.u, float(item.spread) / math.sqrt(3))


def _rate(item: Wearing, finding: Finding, history: History) -> Rate | None:
    found = wear_so_far(item, finding)
    if found is None or found[0] <= 0.0:
        return None
    place = Place(key=item.check.name)
    rate, _ = own_rate(float(history.hours), found[0], found[1], history.steady, place)
    return rate


def rates_of(
    items: Iterable[Wearing], findings: Mapping[str, Finding], history: History
) -> dict[str, Fraction]:
    """Wear per hour by check, for what has worn by more than can be mistaken for nothing.

    findings: as the engine came in. A family's process, where there is one, stands over the
    engine's own rate.
    """
    rates: dict[str, Fraction] = {}
    for item in items:
        name = item.check.name
        family = history.families.get(item.check.limit.characteristic)
        if family is not None:
            rates[name] = Fraction(family.rate).limit_denominator(10**12)
            continue
        finding = findings.get(name)
        if finding is None or _rate(item, finding, history) is None:
            continue
        # exact, so that a level that just reaches a limit does so for judge and planner alike
        value = finding.high if item.sign > 0 else finding.low
        assert value is not None
        assert item.start is not None
        rates[name] = (value.value - item.start) * item.sign / history.hours
    return rates


def lives_of(
    items: Iterable[Wearing], after: Iterable[Finding], history: History | None
) -> tuple[Life, ...]:
    """Every limit of wear of what runs on, what lasts least first.

    after: the findings as a plan leaves the engine; only what is used again counts, and only what
    holds its limit. history: None where the hours run are not known.
    """
    by_name = {item.check.name: item for item in items}
    found = []
    for finding in after:
        item = by_name.get(finding.check.name)
        if item is None or finding.side != "service" or finding.verdict is not Verdict.WITHIN:
            continue
        value = finding.high if item.sign > 0 else finding.low
        if value is None:
            continue
        left = (item.worn - value.value) * item.sign
        remaining, why = _remaining(item, finding, history)
        found.append(Life(finding, left, left / item.room, remaining, why))
    return tuple(sorted(found, key=_soonest))


def _soonest(life: Life) -> tuple[float, float]:
    hours = math.inf if life.remaining is None else life.remaining.p50
    return hours, float(life.share)


def _remaining(
    item: Wearing, finding: Finding, history: History | None
) -> tuple[RemainingLife | None, str]:
    if history is None:
        return None, "the hours run are not known"
    found = wear_so_far(item, finding)
    if found is None or item.start is None:
        return None, "the data sheet does not say where a new one begins"
    wear, u_wear = found
    limit = float((item.worn - item.start) * item.sign)
    place = Place(key=item.check.name)
    family = history.families.get(item.check.limit.characteristic)
    if family is not None and wear >= 0.0:
        life, faults = remaining_by_process(family, float(history.hours), wear, limit, place)
    else:
        rate, faults = own_rate(float(history.hours), wear, u_wear, history.steady, place)
        if rate is None:
            return None, "no wear that stands out from its uncertainty"
        life, faults = remaining_by_rate(rate, wear, u_wear, limit, place)
    if life is None:
        return None, "; ".join(fault.found for fault in faults)
    return life, ""
