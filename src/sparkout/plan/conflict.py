"""Which rules stand against an option: as few as there can be, and found near the plan.

Starting from the plan with the option taken, rules are added one by one where the nearest
combination that keeps those so far breaks another, until none is left. Rules that are not needed
are then taken away again. What stays cannot hold together, and would if any one of it were gone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from sparkout.plan.compile import Compiled
from sparkout.plan.joined import Plan, joined
from sparkout.solve import (
    NO_BOUND,
    Amount,
    Choice,
    Model,
    NoPlan,
    OverBudget,
    Window,
    best,
)

__all__ = ["Conflict", "Questions"]


FEW = 3
"""Rules that a reason may have before a plainer one is looked for."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Rules that cannot hold together with what was forced; `silent` ones count without a name."""

    rules: tuple[str, ...]
    silent: tuple[str, ...] = ()


class Questions:
    """One model and one plan to ask about."""

    def __init__(self, compiled: Compiled, plan: Plan) -> None:
        self.compiled = compiled
        self.model = compiled.model
        self.plan = plan
        self.windows = {item.name: item for item in self.model.windows}
        self.place = {item.name: at for at, item in enumerate(self.model.windows)}
        self.about: dict[str, list[Window]] = {}
        for item in self.model.windows:
            for name in item.scope:
                self.about.setdefault(name, []).append(item)
        # the plan may be an engine left as it is, which keeps few rules
        self.sore = [item for item in self.model.windows if not _keeps(item, plan)]

    def alone(self, choice: str, option: int) -> tuple[str, ...]:
        """Rules that by themselves forbid an option, whatever else is done."""
        found = []
        for item in self.about.get(choice, ()):
            if choice not in item.choices or item.amounts:
                continue
            allowed = item.allowed & (item.lower <= 0) & (item.upper >= 0)
            if not allowed.take(option, axis=item.choices.index(choice)).any():
                found.append(item.name)
        return tuple(found)

    def broken(self, plan: Plan, near: Iterable[str]) -> list[Window]:
        """Windows that a plan breaks which differs from this one in these names, plainest first."""
        some = {item.name: item for item in self.sore}
        some |= {item.name: item for name in near for item in self.about.get(name, ())}
        found = [item for item in some.values() if not _keeps(item, plan)]
        return sorted(found, key=lambda item: (len(item.scope), self.place[item.name]))

    def keeps(self, name: str, plan: Plan) -> bool:
        """Whether a plan keeps a rule."""
        return _keeps(self.windows[name], plan)

    def swapped(self, choice: str, option: int) -> tuple[Plan, list[str]]:
        """The plan with one option swapped, its amounts as small as they may be; what moved."""
        options = {**self.plan.options, choice: option}
        amounts = dict(self.plan.amounts)
        moved = [choice]
        for item in self.about.get(choice, ()):
            if item.choices == (choice,) and len(item.amounts) == 1:
                name = item.amounts[0]
                low, high = int(item.lower[option]), int(item.upper[option])
                coef = int((item.coef if item.coef.ndim == 1 else item.coef[option])[0])
                if coef == 1 and not low <= amounts[name] <= high:
                    amounts[name] = low if amounts[name] < low else high
                    moved.append(name)
        return Plan(options, amounts), moved

    def against(self, forced: Mapping[str, int]) -> Conflict | None:
        """Rules that cannot hold with these options forced; None where a plan has them.

        Where they are many, other rules that the options break at once are tried first in their
        place: fewer rules are a plainer reason.
        """
        found, near = self._near(forced, ())
        if near and (found is None or len(found.rules) <= FEW):
            return found
        swapped = Plan({**self.plan.options, **forced}, self.plan.amounts)
        tried: set[str] = set()
        for item in self.broken(swapped, forced):
            kind = item.name.rpartition(": ")[2]
            if kind in tried or len(tried) > FEW:
                continue
            tried.add(kind)
            other, _ = self._near(forced, (item,))
            if other is not None and (found is None or len(other.rules) < len(found.rules)):
                found = other
        return found if near or found is not None else self._stepwise(forced)

    def _near(
        self, forced: Mapping[str, int], first: Sequence[Window]
    ) -> tuple[Conflict | None, bool]:
        """The same, beginning with these rules; and whether it could be told near the plan."""
        only = {name: [at] for name, at in forced.items()}
        taken = list(first)
        try:
            while True:
                cell = joined(self.model, taken, only).nearest(self.plan)
                if cell is None:
                    break
                plan = Plan(
                    {**self.plan.options, **forced, **cell.options},
                    {**self.plan.amounts, **cell.amounts},
                )
                broken = self.broken(plan, self._moved(plan, forced))
                if not broken:
                    return None, self._counts(plan)
                taken.append(broken[0])
            return self._least(taken, lambda some: joined(self.model, some, only).possible), True
        except OverBudget:
            return None, False

    def _counts(self, plan: Plan) -> bool:
        """Whether a plan keeps the tallies."""
        for tally in self.model.tallies:
            total = 0
            for name, option, weight in tally.weights:
                choice = self.model.choices[self.model.choice_at[name]]
                if choice.options[plan.options[name]] == option:
                    total += weight
            if tally.at_most is not None and total > tally.at_most:
                return False
            if tally.at_least is not None and total < tally.at_least:
                return False
        return True

    def named(self, name: str) -> bool:
        """Whether a rule is one to be told of; others (a reach, a tie) only count."""
        return not isinstance(self.compiled.rules.get(name), str)

    def _least(self, taken: list[Window], holds: Callable[[Sequence[Window]], bool]) -> Conflict:
        """The same without needless rules: wide ones go first, then those far down the sheet."""
        kept = self._wide_first(taken)
        for item in list(kept):
            rest = [other for other in kept if other is not item]
            if not holds(rest):
                kept = rest
        return self._told(kept)

    def _wide_first(self, some: Iterable[Window]) -> list[Window]:
        return sorted(some, key=lambda item: (-len(item.scope), -self.place[item.name]))

    def _told(self, some: Iterable[Window]) -> Conflict:
        """Rules by their place on the sheet, those with a name and those that only count."""
        names = [item.name for item in sorted(some, key=lambda item: self.place[item.name])]
        return Conflict(
            tuple(name for name in names if self.named(name)),
            tuple(name for name in names if not self.named(name)),
        )

    def _moved(self, plan: Plan, forced: Iterable[str]) -> list[str]:
        """Choices and amounts that are other than in the plan, or are forced."""
        return [
            *(n for n, at in plan.options.items() if at != self.plan.options[n]),
            *(n for n, k in plan.amounts.items() if k != self.plan.amounts[n]),
            *forced,
        ]

    def _stepwise(self, forced: Mapping[str, int]) -> Conflict | None:
        """The same by a solver, where there are too many combinations to lay out."""
        taken: list[Window] = []
        while True:
            plan = self._kept_near(taken, forced)
            if plan is None:
                break
            broken = self.broken(plan, self._moved(plan, forced))
            if not broken:
                return None if self._counts(plan) else self._solved(forced)
            taken.append(broken[0])
        return self._least(taken, lambda some: self._kept_near(some, forced) is not None)

    def _kept_near(self, some: Sequence[Window], forced: Mapping[str, int]) -> Plan | None:
        """A plan that keeps some rules and changes few options of this one; None: there is none."""
        names = {name for item in some for name in item.choices} | set(forced)
        moving = {name for item in some for name in item.amounts}
        choices = tuple(
            Choice(c.name, c.options, tuple(int(k != self.plan.options[c.name]) for k in range(n)))
            for c in self.model.choices
            if c.name in names and (n := len(c.options))
        )
        amounts = tuple(
            Amount(a.name, a.low, a.high) for a in self.model.amounts if a.name in moving
        )
        pins = [_pin(self.model, name, at) for name, at in forced.items()]
        found = best(Model(choices, amounts, (*pins, *some)))
        if isinstance(found, NoPlan):
            return None
        places = {c.name: c.options.index(found.picks[c.name]) for c in choices}
        return Plan({**self.plan.options, **places}, {**self.plan.amounts, **found.amounts})

    def _solved(self, forced: Mapping[str, int]) -> Conflict | None:
        """The long way round: rules left out of the whole model, chunk by chunk."""
        near = neighbourhood(self.model, forced) if forced else self.model
        pins = [_pin(near, name, at) for name, at in forced.items()]

        def stands(some: Sequence[Window]) -> bool:
            trial = Model(near.choices, near.amounts, (*pins, *some), (), near.tallies)
            return not isinstance(best(trial), NoPlan)

        if stands(near.windows):
            return None
        kept = self._wide_first(near.windows)
        size = max(1, len(kept) // 4)
        while True:
            start = 0
            while start < len(kept):
                rest = kept[:start] + kept[start + size :]
                if stands(rest):
                    start += size
                else:
                    kept = rest
            if size == 1:
                break
            size = max(1, size // 4)
        return self._told(kept)


def neighbourhood(model: Model, names: Iterable[str]) -> Model:
    """The part of a model that some choices hang together with, for what is possible: no costs."""
    reached = set(names)
    waiting: list[tuple[set[str], object]] = [(set(w.scope), w) for w in model.windows]
    waiting += [({name for name, _, _ in t.weights}, t) for t in model.tallies]
    while True:
        inside = [scope for scope, _ in waiting if scope & reached]
        if not inside:
            break
        waiting = [(scope, item) for scope, item in waiting if not scope & reached]
        for scope in inside:
            reached |= scope
    return Model(
        tuple(
            type(c)(c.name, c.options, (0,) * len(c.options))
            for c in model.choices
            if c.name in reached
        ),
        tuple(type(a)(a.name, a.low, a.high) for a in model.amounts if a.name in reached),
        tuple(w for w in model.windows if set(w.scope) <= reached),
        (),
        tuple(t for t in model.tallies if {name for name, _, _ in t.weights} <= reached),
    )


def _pin(model: Model, name: str, at: int) -> Window:
    from sparkout.solve import table

    count = len(model.choices[model.choice_at[name]].options)
    return table(f"forced: {name}", (name,), [k == at for k in range(count)])


def _keeps(item: Window, plan: Plan) -> bool:
    row = tuple([plan.options[name] for name in item.choices])
    if not item.allowed[row]:
        return False
    total = 0
    if item.amounts:
        coef = (item.coef if item.coef.ndim == 1 else item.coef[row]).tolist()
        total = sum(k * plan.amounts[name] for k, name in zip(coef, item.amounts, strict=True))
    lower, upper = int(item.lower[row]), int(item.upper[row])
    return (lower == -NO_BOUND or total >= lower) and (upper == NO_BOUND or total <= upper)
