"""One model of a stack to its proven optimum, by compiled elimination of what matters.

1. A relaxation: wide links, whose tables would be large, are left out. Its exact elimination gives
   a lower bound and a plan. If that plan keeps what was left out it is an optimum.
2. If not, the relaxation says of every value how much a plan with it must exceed the bound. Values
   with little excess make a core, in which links are put back as plans break them.
3. The best plan of the core is an optimum where it costs no more than what the core was cut at.
   Otherwise it is a ceiling: what exceeds it goes, and the rest is eliminated once more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from sparkout.solve.batch import _kernels as k
from sparkout.solve.batch.skeleton import Form, Rows, broken_by, fill
from sparkout.solve.model import BoolArray, IntArray
from sparkout.solve.objective import BIG

if TYPE_CHECKING:
    from sparkout.solve.batch.many import Budget

__all__ = ["Found", "Limit", "Room", "Task", "climb"]


GROWTH = 6.0
"""Tables and cores grow by this from round to round."""
SMALLER = 4
"""Cores that are tried for one bound."""


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

    narrow: links that are worth striking values out by, before anything is known. rows: of its
    windows. written: links whose rows stand in the numbers; the others are large and seldom bind,
    so they are written in where a plan breaks them.
    """

    form: Form
    fig: k.Figures
    narrow: BoolArray
    tallies: tuple[Limit, ...]
    rows: Sequence[Rows]
    written: BoolArray
    room: Room

    def broken(self, places: IntArray) -> BoolArray | None:
        """Links that a plan breaks; None where a tally among them cannot be counted."""
        bad = k.broken(self.form.skeleton, self.fig, self.written, places)
        for link in np.flatnonzero(~self.written).tolist():
            if broken_by(self.form, self.fig, link, self.rows[link], places):
                fill(self.form, self.fig, link, self.rows[link])
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
    alive = np.ones(int(fig.start[-1]), dtype=np.bool_)
    none = Found(BIG, None)
    if k.propagate(skel, fig, task.narrow, alive) >= 0:
        return none
    asked = np.zeros(task.narrow.size, dtype=np.bool_)
    best = none
    first, core = budget.first, budget.core
    while True:
        relaxed = _relaxed(task, alive, asked, first, budget)
        if relaxed is None:
            return None
        least, over, places, broken = relaxed
        if least >= best.packed:
            return best
        if places is not None:
            return Found(least, places)
        asked |= broken
        if k.propagate(skel, fig, task.narrow | asked, alive) >= 0:
            return best
        if best.places is None:
            cut, best = _core(task, alive, over, asked, core, budget)
            if best.places is not None and best.packed <= least + cut:
                return best
        if best.places is not None:
            alive &= over <= best.packed - 1 - least
            whole = _within(task, alive, asked, best.packed, min(8 * first, budget.last))
            if whole is not None:
                return best if whole.places is None else whole
        # Sharper bounds over what is left, and a larger core.
        first, core = GROWTH * first, GROWTH * core
        if first > budget.last:
            return None
        if k.propagate(skel, fig, task.narrow | asked, alive) >= 0:
            return best


class _Relaxed(NamedTuple):
    """A bound, and by how much values exceed it; or the plan, where it breaks nothing."""

    least: int
    over: IntArray
    places: IntArray | None
    broken: BoolArray


def _relaxed(
    task: Task, alive: BoolArray, asked: BoolArray, cells: float, budget: Budget
) -> _Relaxed | None:
    """Wide links left out, as many as it takes; None where that is not enough, or not allowed."""
    skel, fig = task.form.skeleton, task.fig
    many, place = k.kept(fig, alive)
    base = task.written.copy()
    for tally in task.tallies:
        base[tally.links] = False
    bound = k.binding(skel, fig, base | asked, many, place)
    wide = k.sizes_of(skel, many)
    for limit in budget.links:
        for kept in (asked, np.zeros_like(asked)):
            use = bound & (kept | (base & (wide <= limit)))
            order = k.order_of(skel, use, many)
            if order.cells <= cells:
                break
        if order.cells <= cells:
            break
    if order.cells > max(cells, budget.last):
        return None
    least, tables, table_at, messages, message_at = k.eliminate(
        skel, fig, use, many, place, order, task.room.of(order.cells)
    )
    if least >= BIG:
        return _Relaxed(BIG, messages, None, asked)
    places = k.decode(fig, many, place, order, tables, table_at)
    bad = task.broken(places)
    if bad is None:
        return None
    if not bad.any():
        return _Relaxed(least, messages, places, bad)
    over = k.excess(fig, many, place, order, tables, table_at, messages, message_at)
    return _Relaxed(least, over, None, bad)


def _core(
    task: Task, alive: BoolArray, over: IntArray, asked: BoolArray, cells: float, budget: Budget
) -> tuple[int, Found]:
    """What the core was cut at, and the best plan in it; links that plans broke are now asked."""
    none = Found(BIG, None)
    for _ in range(SMALLER):
        cut = _cut(task, alive, over, asked, cells)
        found = _within(task, alive & (over <= cut), asked, BIG, budget.last)
        if found is not None and found.places is not None:
            return cut, found
        # Too large once more links were asked: a smaller one. Without a plan: a larger one.
        cells = cells / GROWTH if found is None else cells * GROWTH
    return -1, none


def _within(
    task: Task, alive: BoolArray, asked: BoolArray, ceiling: int, cells: float
) -> Found | None:
    """The best plan of these values below the ceiling; links that plans broke are now asked."""
    skel, fig = task.form.skeleton, task.fig
    none = Found(BIG, None)
    alive = alive.copy()
    while True:
        use = task.narrow | asked
        if k.propagate(skel, fig, use, alive) >= 0:
            return none
        many, place = k.kept(fig, alive)
        bound = k.binding(skel, fig, use, many, place)
        order = k.order_of(skel, bound, many)
        if order.cells > cells:
            return None
        least, tables, table_at, _, _ = k.eliminate(
            skel, fig, bound, many, place, order, task.room.of(order.cells)
        )
        if least >= ceiling:
            return none
        places = k.decode(fig, many, place, order, tables, table_at)
        bad = task.broken(places)
        if bad is None:
            return None
        if not bad.any():
            return Found(least, places)
        asked |= bad


def _cut(task: Task, alive: BoolArray, over: IntArray, asked: BoolArray, cells: float) -> int:
    """The largest excess that leaves values for at most so many cells."""
    skel, fig = task.form.skeleton, task.fig
    many, place = k.kept(fig, alive)
    use = k.binding(skel, fig, task.narrow | asked, many, place)
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
