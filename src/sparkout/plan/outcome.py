"""What a plan does to every limit, and how far each cut may be moved before a limit gives."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.judge.checks import Check
from sparkout.plan.compile import Compiled
from sparkout.plan.tables import MICRO
from sparkout.solve import NO_BOUND, Window

__all__ = ["AmountRange", "Bound", "amount_ranges", "centred"]


@dataclass(frozen=True, slots=True)
class Bound:
    """One rule that holds an amount from below or above, and where."""

    rule: str
    at: Fraction


@dataclass(frozen=True, slots=True)
class AmountRange:
    """One chosen amount: its value, the window it may lie in with all else as planned, and why.

    needs: every rule that asks for at least something, the largest first. limits: every rule that
    allows at most something, the smallest first. All in mm.
    """

    name: str
    value: Fraction
    least: Fraction
    most: Fraction
    needs: tuple[Bound, ...]
    limits: tuple[Bound, ...]

    def steps(self, step: Fraction) -> tuple[int, int]:
        """The window in whole steps of the dial."""
        return math.ceil(self.least / step), math.floor(self.most / step)


def amount_ranges(
    compiled: Compiled, picks: Mapping[str, str], amounts: Mapping[str, int]
) -> tuple[AmountRange, ...]:
    """The window of every amount that is not zero."""
    found = []
    for name, steps in amounts.items():
        if not steps:
            continue
        step = Fraction(compiled.steps[name], MICRO)
        needs: list[Bound] = []
        limits: list[Bound] = []
        for item in compiled.model.windows:
            if name not in item.amounts:
                continue
            low, high = _own_range(compiled, item, name, picks, amounts)
            if low is not None and low > 0:
                needs.append(Bound(item.name, low * step))
            if high is not None:
                limits.append(Bound(item.name, high * step))
        needs.sort(key=lambda bound: -bound.at)
        limits.sort(key=lambda bound: bound.at)
        least = max([bound.at for bound in needs], default=Fraction(0))
        most = min([bound.at for bound in limits], default=step * steps)
        found.append(AmountRange(name, step * steps, least, most, tuple(needs), tuple(limits)))
    return tuple(found)


def centred(
    compiled: Compiled, picks: Mapping[str, str], amounts: Mapping[str, int]
) -> tuple[dict[str, int], tuple[AmountRange, ...]]:
    """The same amounts, moved off the ends of their windows where that costs nothing; with the
    windows they then have.

    An amount has no price, so of all that hold every limit the solver gives any. What is only there
    to bring a size between two limits goes near the middle of its window, where neither is near;
    what takes off metal until something is clean stays the least that does it. Amounts are moved
    one after another, each within what the others leave, so every limit holds as before.
    """
    now = dict(amounts)
    ranges = amount_ranges(compiled, picks, now)
    for name in [item.name for item in ranges]:
        item = next(one for one in ranges if one.name == name)
        middle = _middle(compiled, item)
        if middle is not None and middle != now[name]:
            now[name] = middle
            ranges = amount_ranges(compiled, picks, now)
    return now, ranges


def _middle(compiled: Compiled, item: AmountRange) -> int | None:
    """Where an amount goes, in steps; None where it stays."""
    rule = compiled.rules.get(item.needs[0].rule) if item.needs else None
    if not isinstance(rule, Check) or not _two_sided(rule):
        return None
    step = Fraction(compiled.steps[item.name], MICRO)
    first, final = item.steps(step)
    at, room = item.value / step, final - first
    # what is well inside stays where it is: a plan that was approved is not moved about
    if room < 2 or room <= 4 * (at - first) <= 3 * room:
        return None
    return (first + final) // 2


def _two_sided(check: Check) -> bool:
    bounds = check.limit.side("service")
    return bounds is not None and bounds.low is not None and bounds.high is not None


def _row(compiled: Compiled, item: Window, picks: Mapping[str, str]) -> tuple[int, ...]:
    choices = {choice.name: choice for choice in compiled.model.choices}
    return tuple(choices[name].options.index(picks[name]) for name in item.choices)


def _own_range(
    compiled: Compiled,
    item: Window,
    name: str,
    picks: Mapping[str, str],
    amounts: Mapping[str, int],
) -> tuple[Fraction | None, Fraction | None]:
    """What one window alone allows an amount to be, in steps; None where it does not bound it."""
    row = _row(compiled, item, picks)
    coef = item.coef if item.coef.ndim == 1 else item.coef[row]
    own = int(coef[item.amounts.index(name)])
    if not own:
        return None, None
    rest = sum(
        int(k) * amounts[other]
        for k, other in zip(coef, item.amounts, strict=True)
        if other != name
    )
    ends: list[Fraction | None] = []
    for bound in (int(item.lower[row]), int(item.upper[row])):
        ends.append(None if abs(bound) == NO_BOUND else Fraction(bound - rest, own))
    low, high = ends if own > 0 else (ends[1], ends[0])
    return (
        None if low is None else Fraction(math.ceil(low * 1000), 1000),
        None if high is None else Fraction(math.floor(high * 1000), 1000),
    )
