"""One part of a model, tied together by its links, and the search for its best values."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sparkout.solve.answer import Effort, OverBudget
from sparkout.solve.model import NO_BOUND, BoolArray, IntArray
from sparkout.solve.network import Network, Stack
from sparkout.solve.objective import BIG
from sparkout.solve.order import cells_of_order, elimination_order, largest_of_order, ranked
from sparkout.solve.propagate import Deadlock, Standing, propagate
from sparkout.solve.tables import binding, cut_down, kept
from sparkout.solve.tree import Tree, build, decode, excess

__all__ = ["Bounds", "Box", "Member", "Meter", "Part"]

LIMIT = 8_000
"""Cells of the largest table of a split elimination."""
CORE = 1_000_000
"""Cells of all tables of an exact elimination."""
FEW = 12
"""Values of a variable that are branched on one by one."""
STEPS = 32
"""Different excesses at which a core may be cut."""


@dataclass(slots=True)
class Meter:
    """Counts work, and stops it past its budget."""

    budget: int
    cells: int = 0
    rounds: int = 0

    def add(self, cells: int) -> None:
        self.cells += cells
        if self.cells > self.budget:
            raise OverBudget(f"more than {self.budget} table entries")

    @property
    def effort(self) -> Effort:
        return Effort(rounds=self.rounds, cells=self.cells)


Member = tuple[Stack, int]
"""A link: its stack and its place in it."""


@dataclass(slots=True)
class Bounds:
    """What is known of a part: no plan is below `bound`, and by how much values exceed it."""

    bound: int
    over: IntArray


class Part:
    """Variables tied together, and the search for their best values."""

    def __init__(self, net: Network, standing: Standing, members: list[Member]) -> None:
        self.net = net
        self.standing = standing
        self.members = members
        sizes = [places.size for places in kept(net, standing)]
        self.free = {v for member in members for v in _scope(member) if sizes[v] > 1}
        self.known: Bounds | None = None
        self._tree: Tree | None = None

    def bounds(self, meter: Meter) -> Bounds:
        """The first bounds found, over all values that stood."""
        if self.known is None:
            if self._tree is None:
                self._tree = Box(self, self.standing, None).build(LIMIT, meter)
            self.known = Bounds(self._tree.bound, excess(self.net, self._tree))
        return self.known

    def solve(self, meter: Meter) -> list[int] | None:
        """Places of the values of an optimum; None where there is no plan."""
        best: list[int] | None = None
        ceiling = BIG
        # Open branches with their bounds, the most hopeful on top.
        waiting: list[tuple[int, Box]] = [(0, Box(self, self.standing, None))]
        while waiting:
            bound, box = waiting.pop()
            if bound >= ceiling:
                continue
            whole = box.standing is self.standing
            meter.rounds += 1
            if box.cells <= CORE:
                tree = box.build(None, meter)
                if whole and self.known is None:
                    self._tree = tree
                if tree.bound < ceiling:
                    best, ceiling = decode(tree), tree.bound
                continue
            known = self.known if whole else None
            if known is None:
                tree = box.build(LIMIT, meter)
                if tree.bound >= ceiling:
                    continue
                if tree.exact:
                    best, ceiling = decode(tree), tree.bound
                    if whole:
                        self._tree = tree
                    continue
                known = Bounds(tree.bound, excess(self.net, tree))
                if whole:
                    self.known = known
            if best is None:
                cut, inner = self._core(box, known, CORE)
                if inner is not None and inner.cells <= 4 * CORE:
                    tree = inner.build(None, meter)
                    if tree.bound < BIG:
                        best, ceiling = decode(tree), tree.bound
                        if ceiling <= known.bound + cut:
                            continue
            left = box.within(known.over, ceiling - 1 - known.bound, CORE)
            if left is None:
                continue
            if left.cells <= CORE:
                tree = left.build(None, meter)
                if tree.bound < ceiling:
                    best, ceiling = decode(tree), tree.bound
                continue
            waiting += left.branches(known)
        return best

    def _core(self, box: Box, known: Bounds, core: int) -> tuple[int, Box | None]:
        """The largest excess whose values leave a core of so many cells, and that core."""
        room = core * 32
        while True:
            cut = box.cut(known.over, room)
            inner = box.within(known.over, cut, core)
            if inner is None or inner.cells <= core or room < core:
                return cut, inner
            room //= 8


class Box:
    """Values that stand, the links that bind them, and the order in which to eliminate."""

    def __init__(self, part: Part, standing: Standing, order: list[int] | None) -> None:
        self.part = part
        self.standing = standing
        net = part.net
        self.keep = kept(net, standing)
        sizes = [places.size if v in part.free else 1 for v, places in enumerate(self.keep)]
        binds = {id(stack): binding(stack, standing) for stack in net.stacks}
        self.members = [(stack, at) for stack, at in part.members if binds[id(stack)][at]]
        scopes = [_scope(member) for member in self.members]
        if order is None:
            order = elimination_order(sizes, scopes)
        self.order = [v for v in order if sizes[v] > 1]
        self.scopes = ranked(self.order, scopes)
        self.cells = cells_of_order([sizes[v] for v in self.order], self.scopes)
        # What the variables without a choice left cost.
        self.fixed = sum(
            [int(net.cost[net.start[v] + self.keep[v][0]]) for v in part.free if sizes[v] == 1]
        )

    def build(self, limit: int | None, meter: Meter) -> Tree:
        if limit is None:
            meter.add(self.cells)
        used = [member for member in self.members if limit is None or not member[0].late]
        parts = [cut_down(stack, at, self.standing) for stack, at in used]
        tree = build(self.part.net, self.standing, self.keep, parts, self.order, limit)
        if tree.possible:
            tree.bound += self.fixed
        tree.exact = tree.exact and len(used) == len(self.members)
        if limit is not None:
            meter.add(tree.cells)
        return tree

    def within(self, over: IntArray, cut: int, cells: int) -> Box | None:
        """The values of this box with no more excess; None where that leaves no plan.

        cells: above so many the order of elimination is worked out anew.
        """
        net = self.part.net
        standing = _narrowed(net, self.standing, over <= cut)
        if standing is None:
            return None
        try:
            propagate(net, standing)
        except Deadlock:
            return None
        box = Box(self.part, standing, self.order)
        return box if box.cells <= cells else Box(self.part, standing, None)

    def branches(self, known: Bounds) -> list[tuple[int, Box]]:
        """A box for every value of a variable, or for halves of its values; the best one last.

        The variable is one of the largest table, and such that least is left once it is set.
        """
        net = self.part.net
        sizes = [self.keep[v].size for v in self.order]
        few = [k for k in largest_of_order(sizes, self.scopes) if sizes[k] <= FEW]
        if not few:
            few = largest_of_order(sizes, self.scopes)
        left = {}
        for k in few:
            left[k] = cells_of_order([*sizes[:k], 1, *sizes[k + 1 :]], self.scopes)
        v = self.order[min(few, key=left.__getitem__)]
        values = net.start[v] + self.keep[v]
        parts = np.array_split(values, len(values) if len(values) <= FEW else 2)
        made = []
        for part in parts:
            stay = np.ones(net.values.size, dtype=np.bool_)
            stay[values] = False
            stay[part] = True
            standing = _narrowed(net, self.standing, stay)
            if standing is None:
                continue
            try:
                propagate(net, standing)
            except Deadlock:
                continue
            made.append((known.bound + int(known.over[part].min()), Box(self.part, standing, None)))
        return sorted(made, key=lambda pair: -pair[0])

    def cut(self, over: IntArray, cells: int) -> int:
        """The largest excess that leaves values for at most so many cells."""
        net = self.part.net
        places = np.concatenate([net.start[v] + self.keep[v] for v in self.order])
        sizes = [self.keep[v].size for v in self.order]
        first = np.cumsum([0, *sizes[:-1]])
        flat = over[places]
        least = int(np.minimum.reduceat(flat, first).max())
        steps = np.unique(flat[(flat >= least) & (flat < BIG)])
        if steps.size > STEPS:
            steps = steps[np.linspace(0, steps.size - 1, STEPS).astype(np.int64)]
        low, high = 0, len(steps) - 1
        while low < high:
            middle = (low + high + 1) // 2
            left = np.add.reduceat(flat <= steps[middle], first).tolist()
            if cells_of_order(left, self.scopes) <= cells:
                low = middle
            else:
                high = middle - 1
        return int(steps[low])


def _scope(member: Member) -> list[int]:
    stack, at = member
    return [*stack.choices[at].tolist(), *stack.amounts[at].tolist()]


def _narrowed(net: Network, standing: Standing, stay: BoolArray) -> Standing | None:
    """Only these values of those that stand; None where a variable has none."""
    alive = standing.alive & stay
    first = net.start[:-1]
    low = np.minimum.reduceat(np.where(alive, net.values, NO_BOUND), first)
    high = np.maximum.reduceat(np.where(alive, net.values, -NO_BOUND), first)
    return None if (low > high).any() else Standing(alive, low, high)
