"""What a plan does to every limit, and how far each cut may be moved before a limit gives."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.plan.compile import Compiled
from sparkout.plan.tables import MICRO
from sparkout.solve import NO_BOUND, Window

__all__ = ["AmountRange", "Bound", "amount_ranges"]


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
