"""Levels of life on one scale: hours of running where they are known, else wear still allowed.

A level is a whole number of steps, so that `the cheapest plan with at least this much life` is a
question with a finite number of answers, each proven.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.dimension import Dimension, Key
from sparkout.judge.checks import Check
from sparkout.judge.conformity.rules import Outcome
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.proof import Range, decide, prove_all
from sparkout.plan.offers.wear import Wearing
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Bounds

__all__ = ["HOURS_STEP", "WEAR_STEP", "Scale", "levels_of", "tightened"]

HOURS_STEP = Fraction(100)
WEAR_STEP = Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Scale:
    """What one step of life is.

    unit: `hours` or `wear` (a share of the wear that a limit allows from new). top: the highest
    level that is looked at. rates: wear per hour by name of the check; one without a rate shows no
    wear and bounds nothing.
    """

    unit: str
    step: Fraction
    top: int
    rates: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))

    def need(self, item: Wearing, level: int) -> Fraction:
        """How far from worn out a value must be to have this much life left."""
        if self.unit == "wear":
            return item.room * self.step * level
        return self.rates.get(item.check.name, Fraction(0)) * self.step * level

    def amount(self, level: int) -> Fraction:
        """Hours, or share of the wear allowed."""
        return self.step * level

    def said(self, level: int) -> str:
        more = " or more" if level >= self.top else ""
        if self.unit == "hours":
            return f"{int(self.step * level)} h{more}"
        return f"{float(self.step * level * 100):.0f} % of the wear allowed"


def tightened(check: Check, item: Wearing, need: Fraction) -> Check:
    """The check with its limits moved in by the room that must be left.

    What goes back as new is held to its new limit as before, and to the moved one where that is
    closer.
    """
    limit = check.limit
    assert limit.service is not None
    assert limit.new is not None
    edge = item.worn - item.sign * need
    moved = replace(
        limit, service=_inside(limit.service, item, edge), new=_inside(limit.new, item, edge)
    )
    return Check(check.instance, moved)


def _inside(bounds: Bounds, item: Wearing, edge: Fraction) -> Bounds:
    if item.sign > 0:
        high = edge if bounds.high is None else min(bounds.high, edge)
        return replace(bounds, high=high)
    low = edge if bounds.low is None else max(bounds.low, edge)
    return replace(bounds, low=low)


def levels_of(
    problem: Problem, items: Iterable[Wearing], scale: Scale, sizes: Mapping[Key, Dimension]
) -> dict[str, int]:
    """The level of life each limit is proven to have left, by the judge's own rule.

    0 where the limit only just holds or does not; the top where it has that much or more, or
    nothing is known of it.
    """
    some = {item.check.name: item for item in items if scale.need(item, 1) > 0}
    low = dict.fromkeys(some, 0)
    high = dict.fromkeys(some, scale.top)
    known: dict[str, Finding] = {}
    for finding in judge_all(
        tuple(item.check for item in some.values()),
        sizes,
        confidence=problem.confidence,
        rule=problem.rule,
    ):
        if finding.low is None or finding.high is None or finding.bounds is None:
            low[finding.check.name] = scale.top
        else:
            known[finding.check.name] = finding
    while True:
        asked = [name for name in some if low[name] < high[name]]
        if not asked:
            return low
        tries = [(low[name] + high[name] + 1) // 2 for name in asked]
        ranges = [
            _range(known[name], some[name], scale.need(some[name], level))
            for name, level in zip(asked, tries, strict=True)
        ]
        for name, level, limits, proof in zip(asked, tries, ranges, prove_all(ranges), strict=True):
            if decide(limits, proof, problem.rule, problem.confidence) is Outcome.WITHIN:
                low[name] = level
            else:
                high[name] = level - 1


def _range(finding: Finding, item: Wearing, need: Fraction) -> Range:
    """What was found against its limits with the life that is asked for left."""
    bounds = finding.bounds
    side = item.check.limit.side(finding.side)
    assert bounds is not None
    assert side is not None
    assert finding.low is not None
    assert finding.high is not None
    # The limits of an over- or undersize lie that far off those of the standard size.
    if item.sign > 0:
        assert bounds.high is not None
        assert side.high is not None
        edge = item.worn + bounds.high - side.high - need
        return Range(finding.low, finding.high, bounds.low, min(bounds.high, edge))
    assert bounds.low is not None
    assert side.low is not None
    edge = item.worn + bounds.low - side.low + need
    return Range(finding.low, finding.high, max(bounds.low, edge), bounds.high)
