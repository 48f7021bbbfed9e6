"""What sets one plan apart from another: choices, depths, and how near limits come."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import How
from sparkout.judge.finding import Finding
from sparkout.plan.decide import Plan
from sparkout.sheet.model import Bounds

__all__ = ["AmountChange", "MarginChange", "OptionChange", "amounts_changed", "margins_changed",
           "options_changed"]  # fmt: skip


@dataclass(frozen=True, slots=True)
class OptionChange:
    """A group that is treated otherwise. was, now: names; the words are what a machinist reads; ""
    where the group is in one of the plans only."""

    group: str
    was: str
    now: str
    was_words: str
    now_words: str


@dataclass(frozen=True, slots=True)
class AmountChange:
    """A depth that is another, in mm."""

    amount: str
    was: Fraction
    now: Fraction


@dataclass(frozen=True, slots=True)
class MarginChange:
    """A limit that comes nearer or goes further off; distances to its nearest end, below zero
    beyond it. None where it is not known or has no limit."""

    check: str
    characteristic: str
    was: Fraction | None
    now: Fraction | None
    share: Fraction | None


def options_changed(was: Plan, now: Plan) -> tuple[OptionChange, ...]:
    before = {group.name: option for group, option in was.chosen}
    after = {group.name: option for group, option in now.chosen}
    keeps = {g.name: g.keep for plan in (was, now) for g, _ in plan.chosen}
    found = []
    for name in dict.fromkeys((*after, *before)):
        old, new = before.get(name), after.get(name)
        if (old.name if old else keeps[name]) == (new.name if new else keeps[name]):
            continue
        found.append(
            OptionChange(
                name,
                old.name if old else "",
                new.name if new else "",
                old.words if old else "",
                new.words if new else "",
            )
        )
    return tuple(found)


def amounts_changed(was: Plan, now: Plan) -> tuple[AmountChange, ...]:
    before = {item.name: item.value for item in was.amounts}
    after = {item.name: item.value for item in now.amounts}
    zero = Fraction(0)
    return tuple(
        AmountChange(name, before.get(name, zero), after.get(name, zero))
        for name in dict.fromkeys((*after, *before))
        if before.get(name, zero) != after.get(name, zero)
    )


def margins_changed(was: Plan, now: Plan) -> tuple[MarginChange, ...]:
    """Limits whose distance changed, the one that is tightest now (by its own width) first.

    Ratios are left out: their limits are held in volumes, which nobody reads. So is what is only
    taken to be as new: how near that is to its limit says nothing.
    """
    before = {finding.check.name: finding for finding in was.after}
    found = []
    for finding in now.after:
        old = before.get(finding.check.name)
        then = None if old is None else margin(old)
        here = margin(finding)
        if then == here or finding.check.instance.inner:
            continue
        if _taken_for_granted(now, finding):
            continue
        found.append(
            MarginChange(
                finding.check.name,
                finding.check.limit.characteristic,
                then,
                here,
                _share(finding, here),
            )
        )
    return tuple(sorted(found, key=lambda m: (m.share is None, m.share or 0)))


def _taken_for_granted(plan: Plan, finding: Finding) -> bool:
    size = plan.sizes.get(finding.key)
    return size is not None and size.how is How.ASSUMED


def margin(finding: Finding) -> Fraction | None:
    """Distance of a value to the nearer end of its limits."""
    bounds, low, high = finding.bounds, finding.low, finding.high
    if bounds is None or low is None or high is None:
        return None
    ends = []
    if bounds.low is not None:
        ends.append(low.value - bounds.low)
    if bounds.high is not None:
        ends.append(bounds.high - high.value)
    return min(ends, default=None)


def _share(finding: Finding, distance: Fraction | None) -> Fraction | None:
    """The distance as a share of what the limits leave; for one-sided ones, of the limit itself."""
    bounds: Bounds | None = finding.bounds
    if bounds is None or distance is None:
        return None
    width = bounds.width
    if width is None:
        end = bounds.low if bounds.low is not None else bounds.high
        new = finding.check.limit.new
        service = finding.check.limit.service
        if new is not None and service is not None:
            edges = [(a, b) for a, b in ((new.low, service.low), (new.high, service.high))]
            spans = [abs(a - b) for a, b in edges if a is not None and b is not None and a != b]
            width = spans[0] if spans else end
        else:
            width = end
    return distance / abs(width) if width else None
