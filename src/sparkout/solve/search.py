"""From bounds to a proven optimum: keep what can still matter, then eliminate exactly.

1. A split elimination gives a lower bound, and for every value by how much, at least, a plan that
   uses it must exceed that bound.
2. Values with little excess make a core: as many as one exact elimination affords. The best plan
   in the core is an optimum if it costs no more than what the core was cut at: a plan with any
   value outside costs more.
3. If it costs more, it is still a plan: values whose excess rules out anything better go, and the
   rest is small. If the core holds no plan, bounds are sharpened and the core is cut again.

Parts of the model that share no variable are searched apart. Tallies tie everything together and
seldom bind: they are left out at first. Where the optimum breaks some, the parts they tie together
are joined, with the bounds already found, and the tallies are counted in the exact eliminations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sparkout.solve.answer import Effort, OverBudget
from sparkout.solve.model import NO_BOUND, BoolArray, IntArray, Model, Tally
from sparkout.solve.network import Network, Stack, condensed, network, with_tallies
from sparkout.solve.objective import BIG
from sparkout.solve.order import cells_of_order, elimination_order, ranked
from sparkout.solve.propagate import Deadlock, Standing, everything, propagate
from sparkout.solve.tables import binding, cut_down, kept
from sparkout.solve.tree import Tree, build, decode, excess

__all__ = ["search"]

LIMIT = 8_000
"""Cells of the largest table of the first split elimination."""
CORE = 1_000_000
"""Cells of all tables of the first exact elimination."""
GROWTH = 6
"""Both grow by this from round to round."""
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


def search(model: Model, budget: int) -> tuple[list[int] | None, Effort]:
    """Places of the values of choices and amounts in an optimum; None where there is no plan.

    Raises OverBudget where more than `budget` table entries would be filled in.
    """
    meter = Meter(budget)
    net = network(model)
    if not net.possible:
        return None, meter.effort
    standing = everything(net)
    try:
        propagate(net, standing)
    except Deadlock:
        return None, meter.effort
    net = condensed(net, [binding(stack, standing) for stack in net.stacks], standing.alive)
    keep = kept(net, standing)
    # A variable that nothing ties takes its cheapest value.
    found = [
        int(places[np.argmin(net.cost[net.start[v] + places])]) for v, places in enumerate(keep)
    ]
    parts = [
        Part(net, standing, members)
        for members in _components(net, [places.size for places in keep])
    ]
    waiting = parts
    asked: list[Tally] = []
    while True:
        for part in waiting:
            best = part.solve(meter)
            if best is None:
                return None, meter.effort
            for v in part.free:
                if v < net.count:
                    found[v] = best[v]
        broken = _broken(model, found)
        if not broken:
            break
        asked += broken
        joined = _joined(model, net, standing, parts, asked)
        if joined is None:
            return None, meter.effort
        waiting = [joined]
    return found, meter.effort


def _broken(model: Model, found: list[int]) -> list[Tally]:
    picks = {c.name: c.options[at] for c, at in zip(model.choices, found, strict=False)}
    broken = []
    for tally in model.tallies:
        total = sum([weight for name, option, weight in tally.weights if picks[name] == option])
        low, high = tally.at_least, tally.at_most
        if (low is not None and total < low) or (high is not None and total > high):
            broken.append(tally)
    return broken


def _components(net: Network, sizes: Sequence[int]) -> list[list[Member]]:
    """Links that share no variable with a choice left, apart."""
    groups: list[tuple[int, list[Member]]] = []
    for stack in net.stacks:
        scopes = np.concatenate([stack.choices, stack.amounts], axis=1).tolist()
        for at, scope in enumerate(scopes):
            bits = sum([1 << v for v in scope if sizes[v] > 1])
            apart = []
            mine: list[Member] = []
            for other, members in groups:
                if other & bits:
                    bits |= other
                    mine += members
                else:
                    apart.append((other, members))
            mine.append((stack, at))
            apart.append((bits, mine))
            groups = apart
    return [members for _, members in groups]


def _joined(
    model: Model, net: Network, standing: Standing, parts: list[Part], tallies: list[Tally]
) -> Part | None:
    """The parts that these tallies tie together as one, with the bounds already found."""
    counted = with_tallies(net, model, tallies)
    if not counted.possible:
        return None
    extra = counted.values[net.values.size :]
    first = counted.start[net.count : -1]
    grown = Standing(
        np.concatenate([standing.alive, np.ones(extra.size, dtype=np.bool_)]),
        np.concatenate([standing.low, counted.values[first]]),
        np.concatenate([standing.high, counted.values[counted.start[net.count + 1 :] - 1]]),
    )
    tied = {model.choice_at[name] for tally in tallies for name, _, _ in tally.weights}
    mine = [part for part in parts if not part.free.isdisjoint(tied)]
    late = [
        (stack, at) for stack in counted.stacks if stack.late for at in range(len(stack.members))
    ]
    members = late + [member for part in mine for member in part.members]
    joined = Part(counted, grown, members)
    # What nothing tied before has its own costs as bounds.
    known = Bounds(0, np.zeros(counted.values.size, dtype=np.int64))
    for v in joined.free:
        cells = slice(counted.start[v], counted.start[v + 1])
        if not any(v in part.free for part in mine):
            cost = np.where(grown.alive[cells], counted.cost[cells], BIG)
            known.over[cells] = cost - cost.min()
            known.bound += int(cost.min())
    for part in mine:
        theirs = part.bounds()
        known.bound += theirs.bound
        for v in part.free:
            cells = slice(net.start[v], net.start[v + 1])
            known.over[cells] = theirs.over[cells]
    joined.known = known
    try:
        propagate(counted, grown)
    except Deadlock:
        return None
    return joined


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

    def bounds(self) -> Bounds:
        """The first bounds found, over all values that stood."""
        if self.known is None:
            assert self._tree is not None
            self.known = Bounds(self._tree.bound, excess(self.net, self._tree))
        return self.known

    def solve(self, meter: Meter) -> list[int] | None:
        box = Box(self, self.standing, None)
        known = self.known
        limit, core = LIMIT, CORE
        best: list[int] | None = None
        ceiling = BIG
        while True:
            if box.cells <= core:
                meter.rounds += 1
                tree = box.build(None, meter)
                if self.known is None:
                    self._tree = tree
                return decode(tree) if tree.bound < ceiling else best
            if known is None:
                meter.rounds += 1
                tree = box.build(limit, meter)
                if tree.bound >= ceiling:
                    return best
                if tree.exact:
                    self._tree = tree
                    return decode(tree)
                known = Bounds(tree.bound, excess(self.net, tree))
                if self.known is None:
                    self.known = known
            if best is None:
                cut, inner = self._core(box, known, core)
                if inner is not None:
                    meter.rounds += 1
                    tree = inner.build(None, meter)
                    if tree.bound < BIG:
                        best, ceiling = decode(tree), tree.bound
                        if ceiling <= known.bound + cut:
                            return best
            if best is not None:
                left = box.within(known.over, ceiling - 1 - known.bound, core)
                if left is None:
                    return best
                box = left
            known = None
            limit *= GROWTH
            core *= GROWTH

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
