"""Models asked another question: picks forced, picks forbidden, limits left out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

import numpy as np

from sparkout.solve.model import Model, Pick, Window, table, window

__all__ = ["fixed_name", "relaxed", "with_fixed", "without", "without_name"]


def fixed_name(name: str, value: str | int) -> str:
    """What `with_fixed` calls the window that fixes a choice or an amount."""
    return f"fixed: {name} = {value}"


def without_name(choice: str, option: str) -> str:
    """What `without` calls the window that forbids an option."""
    return f"without: {choice} = {option}"


def with_fixed(
    model: Model,
    picks: Mapping[str, str] | None = None,
    amounts: Mapping[str, int] | None = None,
) -> Model:
    """The model with options picked and amounts set beforehand, each by a window of its own.

    Raises ValueError for a choice, option or amount that the model does not have.
    """
    more = []
    for name, option in (picks or {}).items():
        at, count = _place(model, name, option)
        more.append(table(fixed_name(name, option), (name,), np.arange(count) == at))
    for name, steps in (amounts or {}).items():
        if name not in model.amount_at:
            raise ValueError(f"there is no amount {name!r} to fix")
        more.append(window(fixed_name(name, steps), (), (name,), (1,), steps, steps))
    return _and(model, more)


def without(model: Model, picks: Iterable[Pick]) -> Model:
    """The model with these options forbidden, each by a window of its own.

    Raises ValueError for a choice or an option that the model does not have.
    """
    more = []
    for name, option in dict.fromkeys(picks):
        at, count = _place(model, name, option)
        more.append(table(without_name(name, option), (name,), np.arange(count) != at))
    return _and(model, more)


def relaxed(model: Model, drop: Collection[str]) -> Model:
    """The model without these windows and tallies.

    Raises ValueError for a name that is neither.
    """
    gone = set(drop)
    known = {part.name for part in model.windows} | {tally.name for tally in model.tallies}
    if not gone <= known:
        raise ValueError(f"no window and no tally is called {sorted(gone - known)[0]!r}")
    return replace(
        model,
        windows=tuple([part for part in model.windows if part.name not in gone]),
        tallies=tuple([tally for tally in model.tallies if tally.name not in gone]),
    )


def _place(model: Model, name: str, option: str) -> tuple[int, int]:
    at = model.choice_at.get(name)
    if at is None:
        raise ValueError(f"there is no choice {name!r}")
    options = model.choices[at].options
    if option not in options:
        raise ValueError(f"choice {name!r} has no option {option!r}; it has {options}")
    return options.index(option), len(options)


def _and(model: Model, more: Iterable[Window]) -> Model:
    known = {part.name for part in model.windows}
    return replace(
        model, windows=(*model.windows, *[part for part in more if part.name not in known])
    )
