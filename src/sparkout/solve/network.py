"""A model as numbered variables and the links between them: what elimination works on.

Variables are the choices, the amounts, one yes/no variable per shared cost and running totals for
the tallies, numbered in that order. A tally over several choices becomes a chain of small links,
total after pick − total before = weight of the pick; a shared cost forbids its picks where its
variable says no. So there is only one kind of constraint.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sparkout.solve.model import NO_BOUND, BoolArray, IntArray, Model, Tally
from sparkout.solve.objective import Objective, pack

__all__ = ["Link", "Network", "network"]

# Running totals of a tally with more different sums than this are not worth a table.
MOST_TOTALS = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """A window with numbered variables: rows over `choices`, sums over `amounts`."""

    choices: tuple[int, ...]
    amounts: tuple[int, ...]
    coef: IntArray
    lower: IntArray
    upper: IntArray
    allowed: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Variables with their values and packed costs, and the links that forbid combinations.

    values[v] is sorted; cost[v] is lined up with it. Choices and shared costs count options from 0;
    amounts and running totals hold the numbers themselves.
    complete: False where a tally was too fine to be counted and is left out.
    """

    objective: Objective
    values: tuple[IntArray, ...]
    cost: tuple[IntArray, ...]
    links: tuple[Link, ...]
    n_choices: int
    n_amounts: int
    possible: bool
    complete: bool


def network(model: Model) -> Network:
    objective = pack(model)
    values = [np.arange(len(choice.options)) for choice in model.choices]
    cost = list(objective.choices)
    for amount, step in zip(model.amounts, objective.steps, strict=True):
        steps = np.arange(amount.low, amount.high + 1)
        values.append(steps)
        cost.append(steps * step)
    n_choices, n_amounts = len(model.choices), len(model.amounts)
    links = [
        Link(
            tuple([model.choice_at[name] for name in part.choices]),
            tuple([n_choices + model.amount_at[name] for name in part.amounts]),
            part.coef,
            part.lower,
            part.upper,
            part.allowed,
        )
        for part in model.windows
    ]
    for shared, packed in zip(model.shared, objective.shared, strict=True):
        asked: dict[int, list[int]] = {}
        for name, option in shared.when:
            at = model.choice_at[name]
            asked.setdefault(at, []).append(model.choices[at].options.index(option))
        if not asked:
            continue
        here = len(values)
        values.append(np.arange(2))
        cost.append(np.array([0, packed]))
        for at, options in asked.items():
            allowed = np.ones((len(values[at]), 2), dtype=np.bool_)
            allowed[options, 0] = False
            links.append(_table((at, here), allowed))
    possible = all(len(known) > 0 for known in values)
    complete = True
    for tally in model.tallies:
        counted = _count(model, tally, values, cost, links)
        possible = possible and counted is not False
        complete = complete and counted is not None
    return Network(
        objective,
        tuple(values),
        tuple(cost),
        tuple(links),
        n_choices,
        n_amounts,
        possible,
        complete,
    )


def _table(choices: tuple[int, ...], allowed: BoolArray) -> Link:
    none = np.zeros((), dtype=np.int64)
    zero = np.broadcast_to(none, allowed.shape)
    return Link(choices, (), np.empty(0, dtype=np.int64), zero, zero, allowed)


def _count(
    model: Model,
    tally: Tally,
    values: list[IntArray],
    cost: list[IntArray],
    links: list[Link],
) -> bool | None:
    """Add what keeps a tally. False: it cannot be kept. None: too many sums, it was left out."""
    weight: dict[int, IntArray] = {}
    for name, option, of_one in tally.weights:
        at = model.choice_at[name]
        known = weight.setdefault(at, np.zeros(len(values[at]), dtype=np.int64))
        known[model.choices[at].options.index(option)] += of_one
    low = -NO_BOUND if tally.at_least is None else tally.at_least
    high = NO_BOUND if tally.at_most is None else tally.at_most
    if any(each.size == 0 for each in weight.values()):
        return False
    # What the picks still to come add at least and at most.
    least = sum(int(each.min()) for each in weight.values())
    most = sum(int(each.max()) for each in weight.values())
    if low <= least and most <= high:
        return True
    if most < low or least > high:
        return False
    before: int | None = None
    totals = np.zeros(1, dtype=np.int64)
    last = max(weight)
    for at in sorted(weight):
        each = weight[at]
        least -= int(each.min())
        most -= int(each.max())
        totals = np.unique(totals[:, None] + each)
        totals = totals[(totals + most >= low) & (totals + least <= high)]
        if totals.size == 0:
            return False
        if totals.size > MOST_TOTALS:
            return None
        scope: tuple[int, ...] = () if before is None else (before,)
        if at == last:
            # low ≤ total before + weight ≤ high
            signs, lower, upper = [1] * len(scope), low - each, high - each
        else:
            # total after − total before = weight
            signs, lower, upper = [-1] * len(scope) + [1], each, each
            before = len(values)
            scope += (before,)
            values.append(totals)
            cost.append(np.zeros(totals.size, dtype=np.int64))
        links.append(
            Link(
                (at,),
                scope,
                np.array(signs, dtype=np.int64),
                np.clip(lower, -NO_BOUND, NO_BOUND),
                np.clip(upper, -NO_BOUND, NO_BOUND),
                np.ones(each.shape, dtype=np.bool_),
            )
        )
    return True
