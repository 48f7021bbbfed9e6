"""What the cheapest plan with each option costs over the cheapest of all: every option at once.

Elimination passes costs up a tree of tables; passed back down they give, for every value of every
variable, the cost of the best plan that uses it.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sparkout.solve import Model, Optimum, OverBudget
from sparkout.solve.network import Network, condensed, network, with_tallies
from sparkout.solve.objective import BIG
from sparkout.solve.propagate import Deadlock, Standing, everything, propagate
from sparkout.solve.search import Box, Meter, Part, _components
from sparkout.solve.tables import binding, kept
from sparkout.solve.tree import excess

__all__ = ["extra_costs"]

_MOST = 6_000_000
"""Cells that the tables may take."""


def extra_costs(
    model: Model, optimum: Optimum
) -> Mapping[tuple[str, str], int | None] | None:  # fmt: skip
    """Extra cost of every option over the optimum, None for one that no plan has.

    None as a whole where there is no plan, or the tables would be too large.
    """
    net = network(model)
    if not net.possible:
        return None
    standing = everything(net)
    try:
        propagate(net, standing)
    except Deadlock:
        return None
    net = condensed(net, [binding(stack, standing) for stack in net.stacks], standing.alive)
    if model.tallies:
        try:
            counted = with_tallies(net, model, model.tallies)
        except OverBudget:
            return None
        standing = _grown(net, counted, standing)
        net = counted
        try:
            propagate(net, standing)
        except Deadlock:
            return None
    keep = kept(net, standing)
    over = np.full(net.values.size, BIG, dtype=np.int64)
    for v, places in enumerate(keep):
        own = net.cost[net.start[v] + places]
        over[net.start[v] + places] = own - own.min()
    meter = Meter(_MOST)
    for members in _components(net, [places.size for places in keep]):
        part = Part(net, standing, members)
        box = Box(part, standing, None)
        if meter.cells + box.cells > _MOST:
            return None
        tree = box.build(None, meter)
        mine = excess(net, tree)
        for v in part.free:
            cells = slice(net.start[v], net.start[v + 1])
            over[cells] = np.where(standing.alive[cells], mine[cells], BIG)
    # cost and preference are packed into one figure, so a difference is unpacked from a whole cost
    objective = net.objective
    whole = optimum.cost * objective.scale + optimum.preference - objective.shift
    found: dict[tuple[str, str], int | None] = {}
    for at, choice in enumerate(model.choices):
        for k, option in enumerate(choice.options):
            packed = int(over[net.start[at] + k])
            found[choice.name, option] = (
                None if packed >= BIG else objective.unpack(whole + packed)[0] - optimum.cost
            )
    return found


def _grown(net: Network, counted: Network, standing: Standing) -> Standing:
    """What stands, with the running totals of tallies."""
    extra = counted.values[net.values.size :]
    first = counted.start[net.count : -1]
    last = counted.start[net.count + 1 :] - 1
    return Standing(
        np.concatenate([standing.alive, np.ones(extra.size, dtype=np.bool_)]),
        np.concatenate([standing.low, counted.values[first]]),
        np.concatenate([standing.high, counted.values[last]]),
    )
