"""How much windows and tallies would have to give for a plan to exist.

Only bounds give. A combination of options that a window forbids outright stays forbidden, whatever
is given.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sparkout.solve.answer import Fixed, NoPlan
from sparkout.solve.best import best
from sparkout.solve.eliminate import CELLS
from sparkout.solve.model import (
    NO_BOUND,
    REACH,
    Amount,
    Choice,
    IntArray,
    Model,
    Shared,
    Tally,
    Window,
)

__all__ = ["Give", "Relaxation", "cheapest_relaxation", "least_give", "widened"]


def widened(model: Model, name: str, by: int) -> Model:
    """The model with the bounds of one window or tally moved out on both sides.

    Raises ValueError for a name that is neither, or an amount below zero.
    """
    if by < 0:
        raise ValueError(f"{name!r} cannot be widened by {by}: give zero or more")
    rules: dict[str, Window | Tally] = {part.name: part for part in model.windows}
    rules |= {tally.name: tally for tally in model.tallies}
    rule = rules.get(name)
    if rule is None:
        raise ValueError(f"no window and no tally is called {name!r}")
    if isinstance(rule, Tally):
        wider = replace(
            rule,
            at_least=None if rule.at_least is None else rule.at_least - by,
            at_most=None if rule.at_most is None else rule.at_most + by,
        )
        return replace(
            model, tallies=tuple([wider if t.name == name else t for t in model.tallies])
        )
    other = replace(rule, lower=_moved(rule.lower, -by), upper=_moved(rule.upper, by))
    return replace(model, windows=tuple([other if w.name == name else w for w in model.windows]))


def least_give(
    model: Model, name: str, *, cells: int = CELLS, seconds: float = 600.0
) -> int | None:
    """By how much one window or tally alone must be widened for a plan to exist, at least.

    In the units of its sum. 0: there is a plan as it is. None: however wide, there is none. Found
    by halving, with `best` to tell whether there is a plan; cells, seconds: its budget for each
    question. Raises ValueError for a name that is neither, OverBudget where the budget is spent.
    """

    def holds(by: int) -> bool:
        trial = widened(model, name, by)
        return not isinstance(best(trial, cells=cells, seconds=seconds, compiled=None), NoPlan)

    if holds(0):
        return 0
    low, high = 0, _enough(model, name)
    if not holds(high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle
    return high


def _enough(model: Model, name: str) -> int:
    """An amount past which more makes no difference: no bound binds any more."""
    for tally in model.tallies:
        if tally.name == name:
            reach = sum([abs(weight) for _, _, weight in tally.weights])
            bounds = [abs(bound) for bound in (tally.at_least, tally.at_most) if bound is not None]
            return max(1, reach + max(bounds, default=0))
    part = next(w for w in model.windows if w.name == name)
    ends = [model.amounts[model.amount_at[a]] for a in part.amounts]
    most = np.array([max(abs(end.low), abs(end.high)) for end in ends], dtype=np.int64)
    reach = int((np.abs(part.coef) * most).sum(axis=-1).max(initial=0)) if ends else 0
    furthest = 0
    for bounds_of in (part.lower, part.upper):
        finite = np.abs(bounds_of[np.abs(bounds_of) != NO_BOUND])
        furthest = max(furthest, int(finite.max(initial=0)))
    return max(1, reach + furthest)


def _moved(bound: IntArray, by: int) -> IntArray:
    # What no sum reaches needs no moving further.
    return np.where(np.abs(bound) == NO_BOUND, bound, np.clip(bound + by, -REACH, REACH))


@dataclass(frozen=True, slots=True)
class Give:
    """A window that may give on both sides: in steps of its sum's units, each at a cost.

    step: units of one step, above zero. most: steps it may give at most.
    """

    window: str
    step: int
    most: int
    cost_per_step: int

    def __post_init__(self) -> None:
        if self.step < 1 or self.most < 0 or self.cost_per_step < 0:
            raise ValueError(
                f"window {self.window!r} cannot give {self.most} steps of {self.step} at "
                f"{self.cost_per_step} each: a step is above zero, the rest is not below it"
            )


@dataclass(frozen=True, slots=True)
class Relaxation:
    """The least that must give, and the cheapest plan then.

    cost: of giving. given: units by which every window that gives is widened. plan_cost, picks,
    amounts: of the least-cost plan among those that ask for no more giving.
    """

    cost: int
    given: Mapping[str, int]
    plan_cost: int
    picks: Mapping[str, str]
    amounts: Mapping[str, int]


def cheapest_relaxation(
    model: Model, give: Sequence[Give], *, cells: int = CELLS, seconds: float = 600.0
) -> Relaxation | None:
    """The least total cost of giving with which a plan exists, proven; None where none does.

    One model with an amount for every window that may give: giving is its cost, and what the plan
    costs decides between equals. Raises ValueError for a window that is not in the model or listed
    twice, OverBudget where `best` does not finish within its budget.
    """
    listed = {one.window: one for one in give}
    if len(listed) != len(give):
        raise ValueError("a window is listed twice among those that may give")
    for name in listed:
        if name not in {part.name for part in model.windows}:
            raise ValueError(f"no window is called {name!r}")
    taken = model.choice_at.keys() | model.amount_at.keys()
    names = {name: _new(f"give: {name}", taken) for name in listed}
    windows: list[Window] = []
    for part in model.windows:
        one = listed.get(part.name)
        windows += [part] if one is None else _giving(part, one, names[part.name])
    answer = best(
        Model(
            tuple(
                [Choice(c.name, c.options, (0,) * len(c.options), c.cost) for c in model.choices]
            ),
            (
                *[Amount(a.name, a.low, a.high, 0, a.cost_per_step) for a in model.amounts],
                *[Amount(names[n], 0, one.most, one.cost_per_step) for n, one in listed.items()],
            ),
            tuple(windows),
            tuple([Shared(s.name, 0, s.when, s.cost) for s in model.shared]),
            model.tallies,
        ),
        cells=cells,
        seconds=seconds,
    )
    if isinstance(answer, NoPlan):
        return None
    given = {name: answer.amounts[names[name]] * one.step for name, one in listed.items()}
    return Relaxation(
        answer.cost,
        Fixed({name: units for name, units in given.items() if units}),
        answer.preference,
        answer.picks,
        Fixed({a.name: answer.amounts[a.name] for a in model.amounts}),
    )


def _giving(part: Window, one: Give, amount: str) -> list[Window]:
    """lower ≤ sum + step·given, and sum − step·given ≤ upper."""
    sides = []
    for sign, word in ((1, "not below"), (-1, "not above")):
        more = np.full((*part.coef.shape[:-1], 1), sign * one.step, dtype=np.int64)
        sides.append(
            Window(
                f"{part.name}: {word}",
                part.choices,
                (*part.amounts, amount),
                np.concatenate([part.coef, more], axis=-1),
                part.lower if sign > 0 else np.full_like(part.lower, -NO_BOUND),
                part.upper if sign < 0 else np.full_like(part.upper, NO_BOUND),
                part.allowed,
            )
        )
    return sides


def _new(name: str, taken: Collection[str]) -> str:
    while name in taken:
        name += "'"
    return name
