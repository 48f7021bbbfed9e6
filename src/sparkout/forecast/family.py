"""Many measured engines of one family planned in one call, from one shelf.

Each engine is planned alone first. Where together they want more of a part than there is, and it
cannot be ordered, each engine is planned again for every lower number of it that changes anything;
which engine goes without is then settled for all of them at once by dynamic programming over the
stock left. The answer is the least total there is: proven, like each plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sparkout.engine.state import State
from sparkout.judge.checks import Check
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import problem_of
from sparkout.plan.problem import Problem
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import Model, NoPlan, Optimum, Tally, best
from sparkout.solve.batch import batch, stacked

__all__ = ["EnginePlan", "FamilyPlan", "Unit", "plan_family"]

Usage = tuple[int, ...]
_STATES = 500_000


@dataclass(frozen=True, slots=True)
class Unit:
    """One engine of the family: its name and its measured state."""

    name: str
    state: State


@dataclass(frozen=True, slots=True, eq=False)
class EnginePlan:
    """What is done to one engine. cost: cents, None where no plan keeps its limits. extra: cents
    that going without a scarce part costs it. uses: pieces of scarce parts. instead: what is done
    other than with the shelf to itself, each with what that would have been, in words."""

    name: str
    cost: int | None
    picks: Mapping[str, str]
    extra: int
    uses: Mapping[str, int]
    instead: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class FamilyPlan:
    """All plans. scarce: parts of which there are too few, with pieces on the shelf. possible:
    False where the shelf does not do however it is shared out; then every engine stands as if it
    had the shelf to itself."""

    engines: tuple[EnginePlan, ...]
    total: int
    scarce: Mapping[str, int]
    possible: bool


def plan_family(
    sheet: DataSheet, shop: Shop, checks: tuple[Check, ...], units: Sequence[Unit]
) -> FamilyPlan:
    """The plans of least total cost that all keep their limits and share what is on the shelf.

    Raises OverflowError where so many parts are scarce that sharing them out takes too many cases.
    """
    made = [compile_problem(problem_of(sheet, shop, unit.state, checks)) for unit in units]
    alone = _all([each.model for each in made])
    shelf = _shelf(shop)
    used = [
        _uses(each.problem, answer, tuple(shelf)) for each, answer in zip(made, alone, strict=True)
    ]
    totals = [sum(column) for column in zip(*used, strict=True)] if used else []
    scarce = tuple(part for part, total in zip(shelf, totals, strict=False) if total > shelf[part])
    ways = [_ways(each, answer, scarce) for each, answer in zip(made, alone, strict=True)]
    shared = _shared(ways, tuple(shelf[part] for part in scarce))
    taken = [rows[0] for rows in ways] if shared is None else shared
    plans = tuple(
        _plan(unit, each.problem, way, rows[0], scarce)
        for unit, each, way, rows in zip(units, made, taken, ways, strict=True)
    )
    return FamilyPlan(
        plans,
        sum(plan.cost or 0 for plan in plans),
        {part: shelf[part] for part in scarce},
        shared is not None,
    )


def _shelf(shop: Shop) -> dict[str, int]:
    """Pieces of every part that is on the shelf and cannot be ordered."""
    return {
        name: supply.on_hand * supply.sold_in
        for name, supply in shop.supply.items()
        if supply.on_hand is not None and not supply.lead_days
    }


def _all(models: Sequence[Model]) -> list[Optimum | NoPlan]:
    """Each model's optimum; those of one structure in one batch."""
    try:
        answers = batch(stacked(models))
        return [answers[at] for at in range(len(models))]
    except ValueError:
        return [best(model) for model in models]


def _weights(problem: Problem, part: str) -> tuple[tuple[str, str, int], ...]:
    return tuple(
        (group.name, option.name, sum(use.count for use in option.parts if use.part == part))
        for group in problem.groups
        for option in group.options
        if any(use.part == part for use in option.parts)
    )


def _uses(problem: Problem, answer: Optimum | NoPlan, parts: tuple[str, ...]) -> Usage:
    if isinstance(answer, NoPlan):
        return (0,) * len(parts)
    return tuple(
        sum(n for group, option, n in _weights(problem, part) if answer.picks[group] == option)
        for part in parts
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """One engine planned with at most so many pieces of each scarce part."""

    cost: int | None
    uses: Usage
    picks: Mapping[str, str]


def _ways(made: Compiled, free: Optimum | NoPlan, scarce: tuple[str, ...]) -> list[_Way]:
    """Every way that differs in what it takes of the scarce parts; the freest first.

    Lower caps are tried one part at a time from what a way uses: between its use and the next lower
    cap nothing changes.
    """
    if isinstance(free, NoPlan):
        return [_Way(None, (0,) * len(scarce), {})]
    weights = [_weights(made.problem, part) for part in scarce]
    first = _Way(free.cost, _uses(made.problem, free, scarce), free.picks)
    found = [first]
    seen: set[tuple[int | None, ...]] = {(None,) * len(scarce)}
    open_: list[tuple[tuple[int | None, ...], Usage]] = [((None,) * len(scarce), first.uses)]
    while open_:
        caps, uses = open_.pop()
        for at, use in enumerate(uses):
            lower = (*caps[:at], use - 1, *caps[at + 1 :])
            if not use or lower in seen:
                continue
            seen.add(lower)
            answer = best(_capped(made.model, weights, lower))
            if isinstance(answer, NoPlan):
                continue
            way = _Way(answer.cost, _uses(made.problem, answer, scarce), answer.picks)
            found.append(way)
            open_.append((lower, way.uses))
    return found


def _capped(
    model: Model, weights: Sequence[tuple[tuple[str, str, int], ...]], caps: Sequence[int | None]
) -> Model:
    tallies = tuple(
        Tally(f"share of the shelf {at}", rows, None, cap)
        for at, (rows, cap) in enumerate(zip(weights, caps, strict=True))
        if cap is not None
    )
    return Model(
        model.choices, model.amounts, model.windows, model.shared, (*model.tallies, *tallies)
    )


def _shared(ways: Sequence[Sequence[_Way]], shelf: Usage) -> list[_Way] | None:
    """One way for each engine, of least total, that together take no more than there is."""
    best_: dict[Usage, tuple[int, tuple[int, ...]]] = {(0,) * len(shelf): (0, ())}
    for rows in ways:
        after: dict[Usage, tuple[int, tuple[int, ...]]] = {}
        for taken, (cost, chosen) in best_.items():
            for k, way in enumerate(rows):
                now = tuple(a + b for a, b in zip(taken, way.uses, strict=True))
                if any(a > b for a, b in zip(now, shelf, strict=True)):
                    continue
                total = cost + (way.cost or 0)
                known = after.get(now)
                if known is None or total < known[0]:
                    after[now] = total, (*chosen, k)
        if len(after) > _STATES:
            raise OverflowError(
                f"{len(shelf)} parts are scarce for {len(ways)} engines: more than {_STATES} ways "
                "to share them out; plan fewer engines at a time"
            )
        best_ = after
    if not best_:
        return None
    _, chosen = min(best_.values())
    return [rows[k] for rows, k in zip(ways, chosen, strict=True)]


def _plan(
    unit: Unit, problem: Problem, way: _Way, free: _Way, scarce: tuple[str, ...]
) -> EnginePlan:
    extra = 0 if way.cost is None or free.cost is None else way.cost - free.cost
    uses = {part: n for part, n in zip(scarce, way.uses, strict=True) if n}
    instead = tuple(
        (group.option(way.picks[group.name]).words, group.option(free.picks[group.name]).words)
        for group in problem.groups
        if group.name in way.picks and way.picks[group.name] != free.picks[group.name]
    )
    return EnginePlan(unit.name, way.cost, way.picks, extra, uses, instead)
