"""What one plausible engine would come to: its proven cheapest plan, as money, time and work."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.state import State
from sparkout.forecast.case import Case
from sparkout.forecast.mendable import to_be_had, without_hopeless
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import problem_of
from sparkout.plan.forms import Group, Option
from sparkout.plan.offers.days import days_of, hours_of
from sparkout.sheet.model import Bounds, DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan, best

__all__ = [
    "Chosen",
    "Outcome",
    "chosen_of",
    "limits_said",
    "outcome_of",
    "parts_at_middle",
    "said",
]


@dataclass(frozen=True, slots=True)
class Chosen:
    """One thing a plan does: the same words for all features it is done to. count: of them."""

    words: str
    cost: int
    count: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """One draw. cost: cents, set-ups included, before contingency and tax; None: no plan exists.

    hopeless: limits that nothing on the shop's lists mends, left to a person and out of the cost.
    """

    draw: int
    cost: int | None
    hours: float = 0.0
    days: int = 0
    chosen: tuple[Chosen, ...] = ()
    hopeless: tuple[str, ...] = ()


def parts_at_middle(sheet: DataSheet) -> DataSheet:
    """The sheet with new parts at the middle of the range they are sold in.

    A plan has to allow for the whole range until a part is in hand and measured; a forecast is
    about the time after that.
    """
    parts = tuple(
        replace(
            part,
            sizes=MappingProxyType({name: _middle(b) for name, b in part.sizes.items()}),
        )
        for part in sheet.parts
    )
    return replace(sheet, parts=parts)


def _middle(bounds: Bounds) -> Bounds:
    if bounds.low is None or bounds.high is None:
        return bounds
    return Bounds(bounds.middle, bounds.middle, bounds.typed)


def outcome_of(case: Case, sheet: DataSheet, state: State, draw: int) -> Outcome:
    """The proven cheapest plan of one state."""
    compiled = compile_problem(problem_of(sheet, case.shop, state, case.checks))
    model, hopeless = without_hopeless(compiled.model, to_be_had(compiled))
    found = best(model)
    left = limits_said(hopeless)
    if isinstance(found, NoPlan):
        return Outcome(draw, None, hopeless=left)
    picks = tuple((g, g.option(found.picks[g.name])) for g in compiled.problem.groups)
    return Outcome(
        draw,
        found.cost,
        float(hours_of(picks, case.shop)),
        days_of(picks, case.shop),
        chosen_of(picks, case.shop),
        left,
    )


def limits_said(names: tuple[str, ...]) -> tuple[str, ...]:
    """The limits without the features, each once, in order of the alphabet."""
    return tuple(sorted({name.rsplit(": ", 1)[-1] for name in names}))


def chosen_of(picks: tuple[tuple[Group, Option], ...], shop: Shop) -> tuple[Chosen, ...]:
    """What is done beyond leaving things, likes together; with the set-ups each calls for."""
    found: dict[str, list[tuple[Group, Option]]] = {}
    for group, option in picks:
        if option.name != group.keep and option.cost:
            found.setdefault(said(group, option), []).append((group, option))
    return tuple(
        Chosen(words, sum(o.cost for _, o in rows) + _set_ups(rows, shop), len(rows))
        for words, rows in found.items()
    )


def said(group: Group, option: Option) -> str:
    """The words of an option without the number of the one feature it is about."""
    if len(group.features) != 1:
        return option.words
    own = group.features[0].rsplit(" ", 1)[-1]
    if not any(letter.isdigit() for letter in own):
        return option.words
    return " ".join("…" if word == own else word for word in option.words.split())


def _set_ups(rows: list[tuple[Group, Option]], shop: Shop) -> int:
    total = Fraction(0)
    for name in dict.fromkeys(work.operation for _, option in rows for work in option.work):
        rate = shop.operations.get(name)
        if rate is None:
            continue
        if rate.outside is not None:
            total += rate.outside
        else:
            per_hour: Mapping[str, Fraction] = shop.rates
            total += rate.set_up * per_hour.get(rate.rate, Fraction(0)) * (1 + shop.consumables)
    return math.floor(total * 100 + Fraction(1, 2))
