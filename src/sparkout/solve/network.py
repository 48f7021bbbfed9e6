"""A model as numbered variables and the links between them: what elimination works on.

Variables are the choices, the amounts, one yes/no variable per shared cost and running totals for
the tallies, numbered in that order. A tally over several choices becomes a chain of small links,
total after pick − total before = weight of the pick; a shared cost forbids its picks where its
variable says no. So there is only one kind of constraint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from sparkout.solve.answer import OverBudget
from sparkout.solve.model import NO_BOUND, BoolArray, IntArray, Model, Tally
from sparkout.solve.objective import Objective, pack

__all__ = ["Link", "Network", "Stack", "condensed", "network", "trimmed", "with_tallies"]

# Running totals of a tally with more different sums than this are not worth a table.
MOST_TOTALS = 4096


class Link(NamedTuple):
    """A window with numbered variables: rows over `choices`, sums over `amounts`.

    late: part of a tally. It ties much together, so bounds are worked out without it.
    """

    choices: tuple[int, ...]
    amounts: tuple[int, ...]
    coef: IntArray
    lower: IntArray
    upper: IntArray
    allowed: BoolArray
    late: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """Links whose tables have one shape, put together: arrays with the links along axis 0."""

    # The number of every link.
    members: IntArray
    # Variables of the choices (links, axes) and of the amounts (links, amounts).
    choices: IntArray
    amounts: IntArray
    # For every axis of choices: where its options stand in the flat lists, (links, options).
    options: tuple[IntArray, ...]
    coef: IntArray
    lower: IntArray
    upper: IntArray
    allowed: BoolArray
    variables: frozenset[int]
    late: bool

    def spread(self, axis: int) -> tuple[int, ...]:
        """Shape that lays (links, options of one axis) along its axis."""
        shape = [1] * self.allowed.ndim
        shape[0], shape[axis + 1] = self.options[axis].shape
        return tuple(shape)


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Variables with their values and packed costs, and the links that forbid combinations.

    The values of variable v are values[start[v]:start[v + 1]], sorted; cost is lined up with them
    and owner says whose they are. Choices and shared costs count options from 0; amounts and
    running totals hold the numbers themselves.
    possible: False where a choice has no option or a tally cannot be kept whatever is picked.
    """

    objective: Objective
    start: IntArray
    values: IntArray
    cost: IntArray
    owner: IntArray
    stacks: tuple[Stack, ...]
    n_choices: int
    n_amounts: int
    n_links: int
    possible: bool

    @property
    def count(self) -> int:
        """How many variables there are."""
        return len(self.start) - 1


class _Builder:
    """Variables numbered from `first` on, and links."""

    def __init__(self, first: int) -> None:
        self.first = first
        self.values: list[IntArray] = []
        self.cost: list[IntArray] = []
        self.links: list[Link] = []

    def variable(self, values: IntArray, cost: IntArray) -> int:
        self.values.append(values)
        self.cost.append(cost)
        return self.first + len(self.values) - 1


def network(model: Model) -> Network:
    """The network of a model without its tallies; `with_tallies` adds them."""
    objective = pack(model)
    build = _Builder(0)
    for packed in objective.choices:
        build.variable(np.arange(len(packed)), packed)
    for amount, step in zip(model.amounts, objective.steps, strict=True):
        steps = np.arange(amount.low, amount.high + 1)
        build.variable(steps, steps * step)
    n_choices, n_amounts = len(model.choices), len(model.amounts)
    at = model.choice_at | {name: n_choices + k for name, k in model.amount_at.items()}
    for part in model.windows:
        build.links.append(
            Link(
                tuple([at[name] for name in part.choices]),
                tuple([at[name] for name in part.amounts]),
                part.coef,
                part.lower,
                part.upper,
                part.allowed,
            )
        )
    for shared, cost in zip(model.shared, objective.shared, strict=True):
        asked: dict[int, list[int]] = {}
        for name, option in shared.when:
            place = at[name]
            asked.setdefault(place, []).append(model.choices[place].options.index(option))
        if asked:
            here = build.variable(np.arange(2), np.array([0, cost]))
            for place, options in asked.items():
                allowed = np.ones((len(build.values[place]), 2), dtype=np.bool_)
                allowed[options, 0] = False
                build.links.append(_table((place, here), allowed))
    none = np.empty(0, dtype=np.int64)
    possible = all(known.size for known in build.values)
    empty = Network(
        objective,
        np.zeros(1, dtype=np.int64),
        none,
        none,
        none,
        (),
        n_choices,
        n_amounts,
        0,
        possible,
    )
    return _extended(empty, build)


def with_tallies(net: Network, model: Model, tallies: Sequence[Tally], alive: BoolArray) -> Network:
    """The network with running totals and links that keep these tallies.

    alive: values that stand; what others would add up to is not counted. Raises OverBudget where a
    tally has too many different sums to be counted in tables.
    """
    build = _Builder(net.count)
    # All of them: each adds its part.
    kept = [_count(build, net, model, tally, alive) for tally in tallies]
    return replace(_extended(net, build), possible=net.possible and all(kept))


def _extended(net: Network, build: _Builder) -> Network:
    """The network with more variables and links."""
    sizes = [known.size for known in build.values]
    start = np.concatenate([net.start, net.start[-1] + np.cumsum(sizes, dtype=np.int64)])
    return replace(
        net,
        start=start,
        values=np.concatenate([net.values, *build.values]),
        cost=np.concatenate([net.cost, *build.cost]),
        owner=np.concatenate([net.owner, np.repeat(net.count + np.arange(len(sizes)), sizes)]),
        stacks=net.stacks + _stacks(build.links, start, net.n_links),
        n_links=net.n_links + len(build.links),
    )


def _table(choices: tuple[int, ...], allowed: BoolArray) -> Link:
    zero = np.broadcast_to(np.zeros((), dtype=np.int64), allowed.shape)
    return Link(choices, (), np.empty(0, dtype=np.int64), zero, zero, allowed)


def _count(build: _Builder, net: Network, model: Model, tally: Tally, alive: BoolArray) -> bool:
    """Add running totals and links that keep a tally. False: it cannot be kept at all."""
    weight: dict[int, IntArray] = {}
    for name, option, of_one in tally.weights:
        at = model.choice_at[name]
        options = model.choices[at].options
        known = weight.setdefault(at, np.zeros(len(options), dtype=np.int64))
        known[options.index(option)] += of_one
    low = -NO_BOUND if tally.at_least is None else tally.at_least
    high = NO_BOUND if tally.at_most is None else tally.at_most
    stand = {at: each[alive[net.start[at] : net.start[at + 1]]] for at, each in weight.items()}
    # What the picks still to come add at least and at most.
    least = sum(int(each.min()) for each in stand.values())
    most = sum(int(each.max()) for each in stand.values())
    if low <= least and most <= high:
        return True
    if most < low or least > high:
        return False
    before: int | None = None
    totals = np.zeros(1, dtype=np.int64)
    last = max(weight)
    for at in sorted(weight):
        each = weight[at]
        least -= int(stand[at].min())
        most -= int(stand[at].max())
        totals = np.unique(totals[:, None] + stand[at])
        totals = totals[(totals + most >= low) & (totals + least <= high)]
        if totals.size == 0:
            return False
        if totals.size > MOST_TOTALS:
            raise OverBudget(f"tally {tally.name!r} has more than {MOST_TOTALS} different sums")
        scope: tuple[int, ...] = () if before is None else (before,)
        if at == last:
            # low ≤ total before + weight ≤ high
            signs, lower, upper = [1] * len(scope), low - each, high - each
        else:
            # total after − total before = weight
            signs, lower, upper = [-1] * len(scope) + [1], each, each
            before = build.variable(totals, np.zeros(totals.size, dtype=np.int64))
            scope += (before,)
        build.links.append(
            Link(
                (at,),
                scope,
                np.array(signs, dtype=np.int64),
                np.clip(lower, -NO_BOUND, NO_BOUND),
                np.clip(upper, -NO_BOUND, NO_BOUND),
                np.ones(each.shape, dtype=np.bool_),
                late=True,
            )
        )
    return True


def _stacks(links: Sequence[Link], start: IntArray, first: int) -> tuple[Stack, ...]:
    """The links, numbered from `first` on, put together by shape, small tables first."""
    groups: dict[tuple[tuple[int, ...], int, int, bool], list[int]] = {}
    for number, link in enumerate(links):
        key = (link.allowed.shape, len(link.amounts), link.coef.ndim, link.late)
        groups.setdefault(key, []).append(number)
    made = []
    for (shape, width, _, late), numbers in groups.items():
        mine = [links[number] for number in numbers]
        choices = np.array([link.choices for link in mine], dtype=np.int64)
        amounts = np.array([link.amounts for link in mine], dtype=np.int64)
        options = [
            start[choices[:, axis], None] + np.arange(size) for axis, size in enumerate(shape)
        ]
        made.append(
            Stack(
                first + np.array(numbers),
                choices.reshape(len(mine), len(shape)),
                amounts.reshape(len(mine), width),
                tuple(options),
                np.array([link.coef for link in mine]),
                np.array([link.lower for link in mine]),
                np.array([link.upper for link in mine]),
                np.array([link.allowed for link in mine]),
                frozenset(v for link in mine for v in link.choices + link.amounts),
                late,
            )
        )
    made.sort(key=lambda stack: stack.allowed.size)
    return tuple(made)


def condensed(net: Network, binds: Sequence[BoolArray], alive: BoolArray) -> Network:
    """The same network without links that forbid nothing and without options that are gone.

    binds: for every stack, which of its links forbid something.
    """
    made = []
    for stack, binding in zip(net.stacks, binds, strict=True):
        mine = np.flatnonzero(binding)
        if mine.size:
            made.append(_cut(stack, mine, alive))
    return replace(net, stacks=tuple(made))


def trimmed(net: Network, alive: BoolArray) -> Network:
    """The same network without options that are gone."""
    every = [np.arange(len(stack.members)) for stack in net.stacks]
    made = [_cut(stack, mine, alive) for stack, mine in zip(net.stacks, every, strict=True)]
    return replace(net, stacks=tuple(made))


def _cut(stack: Stack, mine: IntArray, alive: BoolArray) -> Stack:
    """Some links of a stack, without options that are gone in all of them."""
    options = [part[mine] for part in stack.options]
    # An option stays along its axis where it stands in any of the links.
    stay = [np.flatnonzero(alive[part].any(axis=0)) for part in options]
    if len(mine) == len(stack.members) and all(
        left.size == part.shape[1] for left, part in zip(stay, options, strict=True)
    ):
        return stack
    cell = np.ix_(mine, *stay)
    choices, amounts = stack.choices[mine], stack.amounts[mine]
    return Stack(
        stack.members[mine],
        choices,
        amounts,
        tuple([part[:, left] for part, left in zip(options, stay, strict=True)]),
        stack.coef[mine] if stack.coef.ndim == 2 else stack.coef[cell],
        stack.lower[cell],
        stack.upper[cell],
        stack.allowed[cell],
        frozenset(choices.ravel().tolist() + amounts.ravel().tolist()),
        stack.late,
    )
