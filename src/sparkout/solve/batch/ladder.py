"""One model of a stack to its proven optimum, by compiled elimination of what matters.

1. A relaxation: wide links, whose tables would be large, are left out. Its exact elimination gives
   a lower bound and a plan. If that plan keeps what was left out it is an optimum.
2. If not, the relaxation says of every value how much a plan with it must exceed the bound. Values
   with little excess make a core, in which links are put back as plans break them.
3. The best plan of the core is an optimum where it costs no more than what the core was cut at.
   Otherwise it is a ceiling: what exceeds it goes. What is left is eliminated whole where its
   tables are small. Where not, it is parted by the values of one variable, and each part goes the
   same way: its links are narrower, so its relaxation leaves out less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from sparkout.solve.batch._decode import decode
from sparkout.solve.batch._figures import Figures, Order
from sparkout.solve.batch._order import cells_with, order_of
from sparkout.solve.batch._strike import binding, broken, kept, propagate, sizes_of
from sparkout.solve.batch._tables import eliminate, excess
from sparkout.solve.batch.rows import Rows, broken_by, fill
from sparkout.solve.batch.skeleton import Form
from sparkout.solve.model import BoolArray, IntArray
from sparkout.solve.objective import BIG

if TYPE_CHECKING:
    from sparkout.solve.batch.many import Budget

__all__ = ["Found", "Limit", "Room", "Task", "climb"]


GROWTH = 6.0
"""Cores grow or shrink by this where one has no plan or is too large."""
SMALLER = 4
"""Cores that are tried for one bound."""
FEW = 12
"""Values of a variable that are branched on one by one."""


class Found(NamedTuple):
    """Packed cost and places of an optimum; places None: there is no plan."""

    packed: int
    places: IntArray | None


class Room:
    """Memory for tables, kept from one elimination to the next."""

    def __init__(self) -> None:
        self._cells = np.empty(1 << 20, dtype=np.int64)

    def of(self, cells: float) -> IntArray:
        """Room for tables of so many cells and their messages."""
        if self._cells.size < 2 * cells:
            self._cells = np.empty(int(2.5 * cells), dtype=np.int64)
        return self._cells


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """One model: its links, its numbers, and what is known of the structure.

    narrow: links that are worth striking values out by, before anything is known. large: rows of
    its large windows. written: links whose rows stand in the numbers; the large ones seldom bind,
    so they are written in where a plan breaks them.
    """

    form: Form
    fig: Figures
    narrow: BoolArray
    tallies: tuple[Limit, ...]
    large: Sequence[Rows]
    written: BoolArray
    room: Room

    def broken(self, places: IntArray) -> BoolArray | None:
        """Links that a plan breaks; None where a tally among them cannot be counted."""
        bad = broken(self.form.skeleton, self.fig, self.written, places)
        if self.large:
            listed = places.tolist()
            steps = (self.fig.low + places).tolist()
            for link, rows in enumerate(self.large, start=self.form.small):
                if not self.written[link] and broken_by(self.form, link, rows, listed, steps):
                    fill(self.form, self.fig, link, rows)
                    self.written[link] = bad[link] = True
        picks = self.form.choice_at[:-1] + places[: self.form.options.size]
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
    skel, fig = task.form.skeleton, task.fig
    asked = np.zeros(task.narrow.size, dtype=np.bool_)
    best = Found(BIG, None)
    # Open branches with their bounds, the most hopeful on top.
    waiting = [(0, np.ones(int(fig.start[-1]), dtype=np.bool_))]
    for _ in range(budget.branches):
        if not waiting:
            return best
        bound, alive = waiting.pop()
        if bound >= best.packed or propagate(skel, fig, task.narrow | asked, alive) >= 0:
            continue
        relaxed = _relaxed(task, alive, asked, budget)
        if relaxed is None:
            return None
        least, over, places, bad = relaxed
        if least >= best.packed:
            continue
        if places is not None:
            best = Found(least, places)
            continue
        asked |= bad
        if best.places is None:
            cut, best = _core(task, alive, over, asked, budget)
            if best.places is not None and best.packed <= least + cut:
                continue
        alive &= over <= best.packed - 1 - least
        whole, order = _within(task, alive, asked, best.packed, budget.whole)
        if whole is not None:
            best = best if whole.places is None else whole
        elif order is None:
            return None
        else:
            waiting += _branches(task, alive, asked, least, over, order)
    return None


def _branches(
    task: Task, alive: BoolArray, asked: BoolArray, least: int, over: IntArray, order: Order
) -> list[tuple[int, BoolArray]]:
    """One branch for every value of a variable, or for halves of its values; the best one last.

    The variable is one of the largest table, and such that what is left is smallest once it is set.
    """
    skel, fig = task.form.skeleton, task.fig
    many, place = kept(fig, alive)
    use = binding(skel, fig, task.narrow | asked, many, place)
    tables = np.split(order.scope, order.scope_at[1:-1])
    # In floating point: tables that will never be made may be of any size.
    largest = max(tables, key=lambda scope: float(np.prod(order.size[scope], dtype=np.float64)))
    members = order.variables[largest].tolist()
    few = [v for v in members if many[v] <= FEW] or members
    left = {}
    for v in few:
        trial = many.copy()
        trial[v] = 1
        left[v] = order_of(skel, use, trial).cells
    v = min(few, key=left.__getitem__)
    first = int(fig.start[v])
    values = first + place[first : first + many[v]]
    parts = [values[at : at + 1] for at in range(len(values))]
    if len(values) > FEW:
        parts = [values[: len(values) // 2], values[len(values) // 2 :]]
    made = []
    for part in parts:
        branch = alive.copy()
        branch[values] = False
        branch[part] = True
        made.append((least + int(over[part].min()), branch))
    made.sort(key=lambda pair: -pair[0])
    return made


class _Relaxed(NamedTuple):
    """A bound, and by how much values exceed it; or the plan, where it breaks nothing."""

    least: int
    over: IntArray
    places: IntArray | None
    broken: BoolArray


def _relaxed(task: Task, alive: BoolArray, asked: BoolArray, budget: Budget) -> _Relaxed | None:
    """Wide links left out, as many as it takes; None where that is not enough, or not allowed."""
    skel, fig = task.form.skeleton, task.fig
    many, place = kept(fig, alive)
    base = task.written.copy()
    for tally in task.tallies:
        base[tally.links] = False
    bound = binding(skel, fig, base | asked, many, place)
    wide = sizes_of(skel, many)
    order: Order | None = None
    uses: list[BoolArray] = []
    for limit in budget.links:
        for also in (asked, np.zeros_like(asked)):
            use = bound & (also | (base & (wide <= limit)))
            if not uses or not np.array_equal(use, uses[-1]):
                uses.append(use)
    # The first that is small enough, or else the last: each leaves out more than the one before.
    low, high = 0, len(uses)
    while low < high:
        middle = (low + high) // 2
        trial = order_of(skel, uses[middle], many)
        if trial.cells <= budget.first:
            high, order, use = middle, trial, uses[middle]
        else:
            low = middle + 1
    if order is None:
        use = uses[-1]
        order = order_of(skel, use, many)
    if order.cells > budget.last:
        return None
    least, tables, table_at, messages, message_at = eliminate(
        skel, fig, use, many, place, order, task.room.of(order.cells)
    )
    if least >= BIG:
        return _Relaxed(BIG, messages, None, asked)
    places = decode(fig, many, place, order, tables, table_at)
    bad = task.broken(places)
    if bad is None:
        return None
    if not bad.any():
        return _Relaxed(least, messages, places, bad)
    over = excess(fig, many, place, order, tables, table_at, messages, message_at)
    return _Relaxed(least, over, None, bad)


def _core(
    task: Task, alive: BoolArray, over: IntArray, asked: BoolArray, budget: Budget
) -> tuple[int, Found]:
    """What the core was cut at, and the best plan in it; links that plans broke are now asked."""
    none = Found(BIG, None)
    cells = budget.core
    for _ in range(SMALLER):
        cut = _cut(task, alive, over, asked, cells)
        found, _ = _within(task, alive & (over <= cut), asked, BIG, budget.whole)
        if found is not None and found.places is not None:
            return cut, found
        # Too large once more links were asked: a smaller one. Without a plan: a larger one.
        cells = cells / GROWTH if found is None else cells * GROWTH
    return -1, none


def _within(
    task: Task, alive: BoolArray, asked: BoolArray, ceiling: int, cells: float
) -> tuple[Found | None, Order | None]:
    """The best plan of these values below the ceiling; links that plans broke are now asked.

    Strikes out what does not stand. None and an order: that would take more than so many cells.
    None and none: a tally cannot be counted.
    """
    skel, fig = task.form.skeleton, task.fig
    none = Found(BIG, None)
    while True:
        use = task.narrow | asked
        if propagate(skel, fig, use, alive) >= 0:
            return none, None
        many, place = kept(fig, alive)
        bound = binding(skel, fig, use, many, place)
        order = order_of(skel, bound, many)
        if order.cells > cells:
            return None, order
        least, tables, table_at, _, _ = eliminate(
            skel, fig, bound, many, place, order, task.room.of(order.cells)
        )
        if least >= ceiling:
            return none, None
        places = decode(fig, many, place, order, tables, table_at)
        bad = task.broken(places)
        if bad is None:
            return None, None
        if not bad.any():
            return Found(least, places), None
        asked |= bad


def _cut(task: Task, alive: BoolArray, over: IntArray, asked: BoolArray, cells: float) -> int:
    """The largest excess that leaves values for at most so many cells."""
    skel, fig = task.form.skeleton, task.fig
    many, place = kept(fig, alive)
    use = binding(skel, fig, task.narrow | asked, many, place)
    first = fig.start[:-1]
    flat = np.where(alive, over, BIG)
    least = int(np.minimum.reduceat(flat, first).max())
    steps = np.unique(flat[(flat >= least) & (flat < BIG)])
    if steps.size > 32:
        steps = steps[np.linspace(0, steps.size - 1, 32).astype(np.int64)]
    order = order_of(skel, use, many)
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high + 1) // 2
        left = np.add.reduceat(flat <= steps[middle], first, dtype=np.int64)
        if cells_with(order, left) <= cells:
            low = middle
        else:
            high = middle - 1
    return int(steps[low])
