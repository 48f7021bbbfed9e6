"""A few windows at once, over every combination of their options and amounts.

Explaining asks many small questions: can these rules hold together, and if so how near to the plan?
Joined tables answer them faster than a solver that is made for whole engines. One amount is kept as
an interval, the others are laid out step by step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sparkout.solve import Model, OverBudget, Window

__all__ = ["Cell", "Joined", "Plan", "joined"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MOST = 4_000_000
"""Cells that one question may take."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What is picked of each choice (by place) and how much of each amount."""

    options: Mapping[str, int]
    amounts: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Cell:
    """One combination that keeps all rules: places of options, and amounts."""

    options: dict[str, int]
    amounts: dict[str, int]


@dataclass(slots=True, eq=False)
class Joined:
    """All combinations. axes: choices, then the amounts that are laid out. low, high: what the last
    amount may lie between; holds: whether anything is left there."""

    choices: list[str]
    domains: list[list[int]]
    grid: list[str]
    steps: list[Ints]
    last: str
    low: Ints
    high: Ints
    holds: Bools

    @property
    def possible(self) -> bool:
        return bool(self.holds.any())

    def nearest(self, plan: Plan, badness: Sequence[Any] = ()) -> Cell | None:
        """The combination that changes least of a plan; first of all the least bad one.

        badness: of each combination, with the last amount at its least and at its most.
        """
        if not self.holds.any():
            return None
        away = np.zeros(self.holds.shape, np.int64)
        for axis, (name, domain) in enumerate(zip(self.choices, self.domains, strict=True)):
            away = away + self._along(
                axis, np.array([int(at != plan.options[name]) * 8 for at in domain])
            )
        for k, (name, steps) in enumerate(zip(self.grid, self.steps, strict=True)):
            mine = (steps != plan.amounts[name]) * 1
            away = away + self._along(len(self.choices) + k, mine)
        value = plan.amounts.get(self.last, 0)
        if self.last:
            away = away + ((self.low > value) | (self.high < value))
        away = np.where(self.holds, away, 1 << 40)
        if badness:
            worst = np.where(self.holds, np.minimum(*badness), np.inf)
            away = np.where(worst <= worst.min(), away, 1 << 40)
        at = np.unravel_index(int(np.argmin(away)), away.shape)
        options = {
            name: domain[k] for name, domain, k in zip(self.choices, self.domains, at, strict=False)
        }
        amounts = {
            name: int(steps[at[len(self.choices) + k]])
            for k, (name, steps) in enumerate(zip(self.grid, self.steps, strict=True))
        }
        if self.last:
            low, high = int(self.low[at]), int(self.high[at])
            if badness and badness[0][at] != badness[1][at]:
                amounts[self.last] = low if badness[0][at] < badness[1][at] else high
            else:
                amounts[self.last] = min(max(value, low), high)
        return Cell(options, amounts)

    def _along(self, axis: int, values: Ints) -> Ints:
        shape = [1] * self.holds.ndim
        shape[axis] = -1
        return values.reshape(shape)


def joined(
    model: Model, windows: Sequence[Window], forced: Mapping[str, Sequence[int]]
) -> Joined:  # fmt: skip
    """The windows joined. forced: options that alone are looked at, by choice.

    Raises OverBudget where there are too many combinations.
    """
    choices = list(dict.fromkeys([*forced, *(c for item in windows for c in item.choices)]))
    amounts = list(dict.fromkeys(a for item in windows for a in item.amounts))
    spans = {name: model.amounts[model.amount_at[name]] for name in amounts}
    amounts.sort(key=lambda name: spans[name].high - spans[name].low)
    domains = [_domain(model, name, windows, forced) for name in choices]
    grid, last = amounts[:-1], amounts[-1] if amounts else ""
    steps = [np.arange(spans[n].low, spans[n].high + 1) for n in grid]
    shape = tuple([len(d) for d in domains] + [s.size for s in steps])
    if np.prod(shape, dtype=np.float64) > MOST:
        raise OverBudget(f"{shape} combinations")
    low = np.full(shape, spans[last].low if last else 0, np.int64)
    high = np.full(shape, spans[last].high if last else 0, np.int64)
    made = Joined(choices, domains, grid, steps, last, low, high, np.ones(shape, np.bool_))
    place = {name: at for at, name in enumerate(choices)}
    for item in windows:
        _narrow(made, item, place)
    made.holds &= made.low <= made.high
    return made


def _domain(
    model: Model, name: str, windows: Sequence[Window], forced: Mapping[str, Sequence[int]]
) -> list[int]:  # fmt: skip
    """Options of a choice that its own windows leave."""
    own = forced.get(name)
    left = list(range(len(model.choices[model.choice_at[name]].options)) if own is None else own)
    for item in windows:
        if item.choices == (name,) and not item.amounts:
            kept = item.allowed & (item.lower <= 0) & (item.upper >= 0)
            left = [at for at in left if kept[at]]
    return left


def _narrow(made: Joined, item: Window, place: Mapping[str, int]) -> None:
    """Take a window into account."""
    ends = made.holds.ndim
    axes = [place[name] for name in item.choices]
    cell = np.ix_(*[made.domains[axis] for axis in axes]) if axes else ()
    turn = sorted(range(len(axes)), key=axes.__getitem__)
    thin = [1] * ends
    for axis in axes:
        thin[axis] = len(made.domains[axis])

    def lie(array: NDArray[Any]) -> NDArray[Any]:
        cut = array[cell] if axes else array
        return cut.transpose(turn).reshape(thin) if axes else cut.reshape(thin)

    allowed = lie(item.allowed)
    if not item.amounts:
        made.holds &= allowed & lie(item.lower <= 0) & lie(item.upper >= 0)
        return
    made.holds &= allowed
    lower, upper = lie(item.lower), lie(item.upper)
    own: Any = 0
    for k, name in enumerate(item.amounts):
        coef = item.coef[k] if item.coef.ndim == 1 else lie(item.coef[..., k])
        if name == made.last:
            own = np.asarray(coef)
            continue
        axis = len(made.choices) + made.grid.index(name)
        span = [1] * ends
        span[axis] = -1
        total = coef * made.steps[made.grid.index(name)].reshape(span)
        lower, upper = lower - total, upper - total
    own = np.asarray(own)
    divisor = np.where(own == 0, 1, own)
    up = own > 0
    first = np.where(up, -((-lower) // divisor), -((-upper) // divisor))
    final = np.where(up, upper // divisor, lower // divisor)
    still = own == 0
    made.holds &= ~still | ((lower <= 0) & (upper >= 0))
    made.low = np.maximum(made.low, np.where(still, made.low, first))
    made.high = np.minimum(made.high, np.where(still, made.high, final))
