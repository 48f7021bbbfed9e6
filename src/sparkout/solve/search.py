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
from sparkout.solve.model import IntArray, Model, Tally
from sparkout.solve.network import Network, condensed, network, with_tallies
from sparkout.solve.objective import BIG
from sparkout.solve.part import Bounds, Member, Meter, Part
from sparkout.solve.propagate import Deadlock, Standing, propagate, stands
from sparkout.solve.tables import binding, kept

__all__ = ["Opened", "broken_tallies", "joined", "opened", "search"]

MOST_AXES = 64
"""Axes of an array, at most."""


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """A model after propagation: its parts, tallies left out. keep: values that stand."""

    model: Model
    net: Network
    standing: Standing
    keep: list[IntArray]
    parts: list[Part]

    def cheapest(self, v: int) -> int:
        """The place of the cheapest value of a variable that nothing ties."""
        places = self.keep[v]
        return int(places[np.argmin(self.net.cost[self.net.start[v] + places])])


def opened(model: Model) -> Opened | None:
    """A model propagated and taken apart; None where that shows that there is no plan.

    Raises OverBudget where a window ties more together than a table has axes.
    """
    widest = max([len(part.scope) for part in model.windows], default=0)
    if widest > MOST_AXES:
        raise OverBudget(f"a window over {widest} choices and amounts; a table has {MOST_AXES}")
    net = network(model)
    if not net.possible:
        return None
    try:
        net, standing = stands(net)
    except Deadlock:
        return None
    net = condensed(net, [binding(stack, standing) for stack in net.stacks], standing.alive)
    keep = kept(net, standing)
    parts = [
        Part(net, standing, members)
        for members in _components(net, [places.size for places in keep])
    ]
    return Opened(model, net, standing, keep, parts)


def search(model: Model, budget: int) -> tuple[list[int] | None, Effort]:
    """Places of the values of choices and amounts in an optimum; None where there is no plan.

    Raises OverBudget where more than `budget` table entries would be filled in.
    """
    meter = Meter(budget)
    start = opened(model)
    if start is None:
        return None, meter.effort
    found = [start.cheapest(v) for v in range(start.net.count)]
    waiting = start.parts
    asked: list[Tally] = []
    while True:
        for part in waiting:
            best = part.solve(meter)
            if best is None:
                return None, meter.effort
            for v in part.free:
                if v < start.net.count:
                    found[v] = best[v]
        broken = broken_tallies(model, found)
        if not broken:
            return found, meter.effort
        asked += broken
        together = joined(start, asked, meter)
        if together is None:
            return None, meter.effort
        waiting = [together]


def broken_tallies(model: Model, found: Sequence[int]) -> list[Tally]:
    """Tallies that a plan does not keep. found: places of the options of the choices, first."""
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


def joined(start: Opened, tallies: Sequence[Tally], meter: Meter) -> Part | None:
    """The parts that these tallies tie together as one, with their bounds; None: no plan."""
    net, standing, model = start.net, start.standing, start.model
    counted = with_tallies(net, model, tallies, standing.alive)
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
    mine = [part for part in start.parts if not part.free.isdisjoint(tied)]
    late = [
        (stack, at) for stack in counted.stacks if stack.late for at in range(len(stack.members))
    ]
    members = late + [member for part in mine for member in part.members]
    whole = Part(counted, grown, members)
    # What nothing tied before has its own costs as bounds.
    known = Bounds(0, np.zeros(counted.values.size, dtype=np.int64))
    for v in whole.free:
        cells = slice(counted.start[v], counted.start[v + 1])
        if not any(v in part.free for part in mine):
            cost = np.where(grown.alive[cells], counted.cost[cells], BIG)
            known.over[cells] = cost - cost.min()
            known.bound += int(cost.min())
    for part in mine:
        theirs = part.bounds(meter)
        known.bound += theirs.bound
        for v in part.free:
            cells = slice(net.start[v], net.start[v + 1])
            known.over[cells] = theirs.over[cells]
    whole.known = known
    try:
        propagate(counted, grown)
    except Deadlock:
        return None
    return whole
