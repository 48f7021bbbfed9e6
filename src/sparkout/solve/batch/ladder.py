"""One model of a stack to its proven optimum, by compiled elimination of what matters.

1. A relaxation: wide links, whose tables would be large, are left out. Its exact elimination gives
   a lower bound and a plan. If that plan keeps what was left out it is an optimum.
2. If not, the relaxation says of every value how much a plan with it must exceed the bound. Values
   with little excess make a core, in which links are put back as plans break them.
3. The best plan of the core is an optimum where it costs no more than what the core was cut at.
   Otherwise it is a ceiling: what exceeds it goes, and the rest is eliminated once more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from sparkout.solve.batch import _kernels as k
from sparkout.solve.model import BoolArray, IntArray
from sparkout.solve.objective import BIG

if TYPE_CHECKING:
    from sparkout.solve.batch.many import Budget

__all__ = ["Found", "Limit", "Task", "climb"]


class Found(NamedTuple):
    """Packed cost and places of an optimum; places None: there is no plan."""

    packed: int
    places: IntArray | None


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """One model: its links, its numbers, and what is known of the structure.

    narrow: links that are worth striking values out by before anything is known. counts: tallies,
    each with its links, weights per option, limits and whether it can be counted.
    """

    skel: k.Skeleton
    fig: k.Figures
    narrow: BoolArray
    tallies: tuple[Limit, ...]
    option_at: IntArray

    def broken(self, places: IntArray, use: BoolArray) -> BoolArray | None:
        """Links that a plan breaks; None where a tally among them cannot be counted."""
        bad = k.broken(self.skel, self.fig, places)
        picks = self.option_at + places[: self.option_at.size]
        for tally in self.tallies:
            # Totals mean nothing where they do not count yet.
            bad[tally.links] = False
            total = int(tally.weight[picks].sum())
            if not tally.at_least <= total <= tally.at_most:
                if not tally.countable:
                    return None
                bad[tally.links] = True
        return bad


class Limit(NamedTuple):
    """A tally in one model."""

    links: slice
    weight: IntArray
    at_least: int
    at_most: int
    countable: bool


def climb(task: Task, budget: Budget) -> Found | None:
    """The optimum; None where it would pass the budget."""
    skel, fig = task.skel, task.fig
    alive = np.ones(int(fig.start[-1]), dtype=np.bool_)
    none = Found(BIG, None)
    if k.propagate(skel, fig, task.narrow, alive) >= 0:
        return none
    every = np.ones(task.narrow.size, dtype=np.bool_)
    for tally in task.tallies:
        every[tally.links] = False
    many, place = k.kept(fig, alive)
    bound = k.binding(skel, fig, every, many, place)
    cells = k.sizes_of(skel, many)
    for limit in budget.links:
        use = bound & (cells <= limit)
        order = k.order_of(skel, use, many)
        if order.cells <= budget.first:
            break
    else:
        if order.cells > budget.last:
            return None
    least, tables, table_at, messages, message_at = k.eliminate(skel, fig, use, many, place, order)
    if least >= BIG:
        return none
    places = k.decode(fig, many, place, order, tables, table_at)
    bad = task.broken(places, use)
    if bad is None:
        return None
    if not bad.any():
        return Found(least, places)
    over = k.excess(fig, many, place, order, tables, table_at, messages, message_at)
    use = use | bad
    if k.propagate(skel, fig, use, alive) >= 0:
        return none
    cut = _cut(skel, fig, alive, over, bound | use, budget.core)
    while True:
        inner = _within(task, alive & (over <= cut), use, BIG, budget.last)
        if inner is None:
            return None
        plan, use = inner
        if plan.places is not None:
            break
        beyond = over[(over > cut) & (over < BIG) & alive]
        if not beyond.size:
            return none
        cut = max(2 * cut, int(beyond.min()))
    if plan.packed <= least + cut:
        return plan
    inner = _within(task, alive & (over <= plan.packed - 1 - least), use, plan.packed, budget.last)
    if inner is None:
        return None
    better, _ = inner
    return plan if better.places is None else better


def _within(
    task: Task, alive: BoolArray, use: BoolArray, ceiling: int, cells: float
) -> tuple[Found, BoolArray] | None:
    """The best plan of these values below the ceiling, and the links it took to find it."""
    skel, fig = task.skel, task.fig
    none = Found(BIG, None)
    while True:
        if k.propagate(skel, fig, use, alive) >= 0:
            return none, use
        many, place = k.kept(fig, alive)
        bound = k.binding(skel, fig, use, many, place)
        order = k.order_of(skel, bound, many)
        if order.cells > cells:
            return None
        least, tables, table_at, _, _ = k.eliminate(skel, fig, bound, many, place, order)
        if least >= ceiling:
            return none, use
        places = k.decode(fig, many, place, order, tables, table_at)
        bad = task.broken(places, use)
        if bad is None:
            return None
        if not bad.any():
            return Found(least, places), use
        use = use | bad


def _cut(
    skel: k.Skeleton,
    fig: k.Figures,
    alive: BoolArray,
    over: IntArray,
    use: BoolArray,
    cells: float,
) -> int:
    """The largest excess that leaves values for at most so many cells, all links counted."""
    first = fig.start[:-1]
    flat = np.where(alive, over, BIG)
    least = int(np.minimum.reduceat(flat, first).max())
    steps = np.unique(flat[(flat >= least) & (flat < BIG)])
    if steps.size > 32:
        steps = steps[np.linspace(0, steps.size - 1, 32).astype(np.int64)]
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high + 1) // 2
        left = np.add.reduceat(flat <= steps[middle], first, dtype=np.int64)
        if k.order_of(skel, use, left).cells <= cells:
            low = middle
        else:
            high = middle - 1
    return int(steps[low])
