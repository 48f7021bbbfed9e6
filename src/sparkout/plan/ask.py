"""Asking the model: can this option be taken at all, and if not, which rules stand against it?

Only what hangs together with the option is asked: rules tie choices and amounts into
neighbourhoods, and whether an option is possible is decided inside its own.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

import numpy as np

from sparkout.solve import Amount, Choice, Model, NoPlan, Tally, Window, best, table

__all__ = ["alone_against", "broken_windows", "impossible_together", "neighbourhood", "with_pick"]


def with_pick(model: Model, choice: str, option: str) -> Model:
    """The model with one option forced."""
    found = model.choices[model.choice_at[choice]]
    mask = np.array([name == option for name in found.options])
    forced = table(f"forced: {choice}", (choice,), mask)
    return Model(
        model.choices, model.amounts, (*model.windows, forced), model.shared, model.tallies
    )


def neighbourhood(model: Model, choice: str) -> Model:
    """The part of a model that a choice hangs together with, for what is possible: no costs."""
    links: list[tuple[set[str], Window | Tally]] = [
        (set(item.scope), item) for item in model.windows
    ]
    links += [({name for name, _, _ in item.weights}, item) for item in model.tallies]
    reached = {choice}
    waiting = links
    while True:
        inside = [(scope, item) for scope, item in waiting if scope & reached]
        if not inside:
            break
        waiting = [(scope, item) for scope, item in waiting if not scope & reached]
        for scope, _ in inside:
            reached |= scope
    return Model(
        tuple(_free(item) for item in model.choices if item.name in reached),
        tuple(Amount(a.name, a.low, a.high) for a in model.amounts if a.name in reached),
        tuple(item for item in model.windows if set(item.scope) & reached),
        (),
        tuple(item for item in model.tallies if {name for name, _, _ in item.weights} & reached),
    )


def _free(choice: Choice) -> Choice:
    return Choice(choice.name, choice.options, (0,) * len(choice.options))


def broken_windows(
    model: Model, picks: Mapping[str, str], amounts: Mapping[str, int]
) -> tuple[str, ...]:
    """Names of the windows that these picks and amounts break."""
    at = {choice.name: choice.options.index(picks[choice.name]) for choice in model.choices}
    found = []
    for item in model.windows:
        row = tuple(at[name] for name in item.choices)
        coef = item.coef if item.coef.ndim == 1 else item.coef[row]
        total = sum(int(k) * amounts[name] for k, name in zip(coef, item.amounts, strict=True))
        if not (item.allowed[row] and item.lower[row] <= total <= item.upper[row]):
            found.append(item.name)
    return tuple(found)


def alone_against(model: Model, choice: str, option: str) -> tuple[str, ...]:
    """Rules that by themselves forbid an option, whatever else is done."""
    at = model.choices[model.choice_at[choice]].options.index(option)
    found = []
    for item in model.windows:
        if choice not in item.choices or item.amounts:
            continue
        allowed = item.allowed & (item.lower <= 0) & (item.upper >= 0)
        if not allowed.take(at, axis=item.choices.index(choice)).any():
            found.append(item.name)
    return tuple(found)


def impossible_together(model: Model, fixed: Collection[str]) -> tuple[str, ...]:
    """The names of rules that cannot hold together, none of them needless; empty if all can.

    fixed: rules that are not in question (what an amount can reach, what belongs together); they
    count but are not named.
    """
    given = [item for item in model.windows if item.name in fixed]
    asked = [item for item in model.windows if item.name not in fixed]

    def stands(some: Sequence[Window]) -> bool:
        trial = Model(model.choices, model.amounts, (*given, *some), (), model.tallies)
        return not isinstance(best(trial), NoPlan)

    if stands(asked):
        return ()
    return tuple(item.name for item in _least(stands, asked))


def _least(stands: Callable[[Sequence[Window]], bool], rules: list[Window]) -> list[Window]:
    """A set of rules that cannot stand, from which nothing can be left out.

    Whole chunks are left out first; what must stay is then gone through one by one (a deletion
    filter). Rules over few choices, and of these the ones that stand first on the data sheet, are
    tried last, so that the plainest reason is the one that is kept.
    """
    place = {rule.name: i for i, rule in enumerate(rules)}
    kept = sorted(rules, key=lambda rule: (-len(rule.scope), -place[rule.name]))
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
            return kept
        size = max(1, size // 4)
