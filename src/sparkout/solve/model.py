"""The abstract model: choices, amounts, and the windows that tie them together. Integers only.

A plan picks exactly one option of every choice and one integer of every amount. It is allowed when
every window and every tally holds. It costs the sum of its picks, its amounts and the shared costs
its picks call for; preference decides between plans of equal cost. The solver knows nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "NO_BOUND",
    "Amount",
    "Choice",
    "Model",
    "Pick",
    "Shared",
    "Tally",
    "Window",
    "table",
    "window",
]

Pick = tuple[str, str]
"""A choice and one of its options, both by name: nothing is lined up by position."""

NO_BOUND = 1 << 62
"""±NO_BOUND as the bound of a window's row: no bound on that side."""

# Finite bounds and every reachable sum stay below this, so that sums and differences of two of them
# fit in int64 with room to spare.
REACH = 1 << 60

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Choice:
    """Something of which exactly one option is picked. `prefer` counts against an option."""

    name: str
    options: tuple[str, ...]
    cost: tuple[int, ...]
    prefer: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not self.prefer:
            object.__setattr__(self, "prefer", (0,) * len(self.options))
        sizes = {len(self.options), len(self.cost), len(self.prefer)}
        if len(sizes) != 1:
            raise ValueError(
                f"choice {self.name!r}: {len(self.options)} options, {len(self.cost)} costs and "
                f"{len(self.prefer)} preferences; there must be one of each per option"
            )
        if len(set(self.options)) != len(self.options):
            raise ValueError(f"choice {self.name!r}: an option is listed twice in {self.options}")


@dataclass(frozen=True, slots=True)
class Amount:
    """An integer number of machine steps from low to high, both included."""

    name: str
    low: int
    high: int
    cost_per_step: int = 0
    prefer_per_step: int = 0

    def __post_init__(self) -> None:
        if max(abs(self.low), abs(self.high)) > 1 << 31:
            raise ValueError(f"amount {self.name!r}: {self.low} to {self.high} is beyond ±2^31")


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """For every combination of options of `choices`, what Σ coefficient × amount may lie between.

    `lower`, `upper` and `allowed` have one axis per choice, in the order of `choices`. `coef` has a
    last axis with one entry per amount, either alone (the same for all combinations) or after the
    axes of the choices. A combination that is not allowed is forbidden whatever the amounts. With
    no amounts the sum is 0. Build one with `window` or `table`, which spread single numbers out.
    """

    name: str
    choices: tuple[str, ...]
    amounts: tuple[str, ...]
    coef: IntArray
    lower: IntArray
    upper: IntArray
    allowed: BoolArray

    def __post_init__(self) -> None:
        shape = self.allowed.shape
        if len(shape) != len(self.choices):
            raise ValueError(
                f"window {self.name!r}: {len(self.choices)} choices but arrays of {len(shape)} axes"
            )
        if self.lower.shape != shape or self.upper.shape != shape:
            raise ValueError(
                f"window {self.name!r}: lower {self.lower.shape}, upper {self.upper.shape} and "
                f"allowed {shape} must have the same shape"
            )
        width = (len(self.amounts),)
        if self.coef.shape not in (width, shape + width):
            raise ValueError(
                f"window {self.name!r}: coefficients of shape {self.coef.shape}; expected {width} "
                f"or {shape + width}"
            )
        if len(set(self.choices)) != len(self.choices):
            raise ValueError(f"window {self.name!r}: a choice is listed twice in {self.choices}")
        if len(set(self.amounts)) != len(self.amounts):
            raise ValueError(f"window {self.name!r}: an amount is listed twice in {self.amounts}")
        for side, array in (("lower", self.lower), ("upper", self.upper)):
            wild = (np.abs(array) > REACH) & (np.abs(array) != NO_BOUND)
            if wild.any():
                raise OverflowError(
                    f"window {self.name!r}: {side} bound {int(array[wild][0])} is beyond ±2^60; "
                    f"use ±NO_BOUND for 'no bound'"
                )

    @property
    def scope(self) -> tuple[str, ...]:
        return self.choices + self.amounts


def window(
    name: str,
    choices: Sequence[str],
    amounts: Sequence[str],
    coef: ArrayLike,
    lower: ArrayLike,
    upper: ArrayLike,
    allowed: ArrayLike = True,
    *,
    shape: tuple[int, ...] | None = None,
) -> Window:
    """A window from arrays or single numbers that NumPy can spread over the combinations.

    `shape`, the number of options per choice, is needed only where lower, upper and allowed do not
    show it between them.
    """
    low, high = np.asarray(lower, dtype=np.int64), np.asarray(upper, dtype=np.int64)
    mask = np.asarray(allowed, dtype=np.bool_)
    full = np.broadcast_shapes(low.shape, high.shape, mask.shape) if shape is None else shape
    return Window(
        name,
        tuple(choices),
        tuple(amounts),
        np.asarray(coef, dtype=np.int64),
        np.broadcast_to(low, full),
        np.broadcast_to(high, full),
        np.broadcast_to(mask, full),
    )


def table(name: str, choices: Sequence[str], allowed: ArrayLike) -> Window:
    """A window without amounts: which combinations of options go together."""
    return window(name, choices, (), np.empty(0, dtype=np.int64), 0, 0, allowed)


@dataclass(frozen=True, slots=True)
class Shared:
    """A cost paid once if any of the picks in `when` is made: a set-up, a set of parts.

    Neither cost nor prefer may make plans cheaper: (cost, prefer) is at least (0, 0).
    """

    name: str
    cost: int
    when: tuple[Pick, ...]
    prefer: int = 0

    def __post_init__(self) -> None:
        if (self.cost, self.prefer) < (0, 0):
            raise ValueError(
                f"shared cost {self.name!r}: ({self.cost}, {self.prefer}) is below (0, 0); put the "
                f"saving on the options that earn it"
            )


@dataclass(frozen=True, slots=True)
class Tally:
    """A limit on the summed weights of the picks made: stock of a part, a budget, days."""

    name: str
    weights: tuple[tuple[str, str, int], ...]
    at_least: int | None = None
    at_most: int | None = None

    def __post_init__(self) -> None:
        if sum(abs(weight) for _, _, weight in self.weights) > REACH:
            raise OverflowError(f"tally {self.name!r}: the weights add up to more than 2^60")


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """Choices and amounts with what ties and prices them. Names are unique, references hold."""

    choices: tuple[Choice, ...]
    amounts: tuple[Amount, ...] = ()
    windows: tuple[Window, ...] = ()
    shared: tuple[Shared, ...] = ()
    tallies: tuple[Tally, ...] = ()
    # Where each name stands; worked out once, used by every route.
    choice_at: dict[str, int] = field(init=False, repr=False)
    amount_at: dict[str, int] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        choice_at = {choice.name: i for i, choice in enumerate(self.choices)}
        amount_at = {amount.name: i for i, amount in enumerate(self.amounts)}
        object.__setattr__(self, "choice_at", choice_at)
        object.__setattr__(self, "amount_at", amount_at)
        _unique("choice or amount", [c.name for c in self.choices] + [a.name for a in self.amounts])
        _unique(
            "window, tally or shared cost",
            [w.name for w in self.windows]
            + [t.name for t in self.tallies]
            + [s.name for s in self.shared],
        )
        sizes = {choice.name: len(choice.options) for choice in self.choices}
        for part in self.windows:
            self._check_window(part, sizes)
        for tally in self.tallies:
            self._check_picks(tally.name, ((choice, option) for choice, option, _ in tally.weights))
        for shared in self.shared:
            self._check_picks(shared.name, shared.when)

    def _check_window(self, part: Window, sizes: dict[str, int]) -> None:
        try:
            shape = tuple([sizes[name] for name in part.choices])
            spans = [self.amounts[self.amount_at[name]] for name in part.amounts]
        except KeyError as missing:
            raise ValueError(
                f"window {part.name!r} names {missing.args[0]!r}, which is not in the model"
            ) from None
        if part.allowed.shape != shape:
            raise ValueError(
                f"window {part.name!r} has arrays of shape {part.allowed.shape}; its choices have "
                f"{shape} options"
            )
        if spans:
            widest = np.abs(part.coef).reshape(-1, len(spans)).max(axis=0, initial=0)
            reach = sum(
                int(most) * max(abs(span.low), abs(span.high))
                for most, span in zip(widest, spans, strict=True)
            )
            if reach > REACH:
                raise OverflowError(
                    f"window {part.name!r}: coefficient × amount reaches {reach}, beyond 2^60"
                )

    def _check_picks(self, owner: str, picks: Iterable[Pick]) -> None:
        for choice, option in picks:
            if choice not in self.choice_at:
                raise ValueError(f"{owner!r} names choice {choice!r}, which is not in the model")
            if option not in self.choices[self.choice_at[choice]].options:
                raise ValueError(
                    f"{owner!r} names option {option!r}, which choice {choice!r} does not have"
                )


def _unique(what: str, names: Sequence[str]) -> None:
    if len(set(names)) != len(names):
        twice = sorted({name for name in names if names.count(name) > 1})
        raise ValueError(f"{what} names must differ; more than one is called {twice}")
