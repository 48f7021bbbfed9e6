"""What the best plan with each option costs: every price of changing one's mind, at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np

from sparkout.solve.answer import Fixed, OverBudget
from sparkout.solve.eliminate import CELLS
from sparkout.solve.model import IntArray, Model
from sparkout.solve.objective import BIG
from sparkout.solve.part import Box, Meter, Part
from sparkout.solve.search import Opened, joined, opened
from sparkout.solve.tree import excess

__all__ = ["Value", "cost_with_each"]

Value = tuple[int, int] | None
"""Cost and preference of a plan; None: there is no such plan."""


def cost_with_each(
    model: Model,
    choices: Collection[str] | None = None,
    *,
    cells: int = CELLS,
) -> Mapping[str, Mapping[str, Value]]:
    """The least (cost, preference) of a plan that uses an option, for every option of the choices.

    Exactly what solving again with each option forced would give, from one elimination there and
    back. None: no plan uses the option. Raises OverBudget where that takes more than `cells` table
    entries; then `best` of `with_fixed`, option by option, is the way.
    """
    asked = [c for c in model.choices if choices is None or c.name in choices]
    nothing: dict[str, dict[str, Value]] = {c.name: dict.fromkeys(c.options) for c in asked}
    start = opened(model)
    packed = None if start is None else _all(start, cells)
    if packed is None:
        return Fixed({name: Fixed(row) for name, row in nothing.items()})
    assert start is not None
    net, found = start.net, {}
    for choice in asked:
        v = model.choice_at[choice.name]
        own = packed[net.start[v] : net.start[v + 1]].tolist()
        row: dict[str, Value] = {}
        for option, value in zip(choice.options, own, strict=True):
            if value >= BIG:
                row[option] = None
            else:
                row[option] = net.objective.unpack(value)
        found[choice.name] = Fixed(row)
    return Fixed(found)


def _all(start: Opened, cells: int) -> IntArray | None:
    """Packed cost of the best plan with each value: BIG where there is none.

    None where there is no plan at all.
    """
    net = start.net
    result = np.full(net.values.size, BIG, dtype=np.int64)
    over = np.zeros(net.values.size, dtype=np.int64)
    total = 0
    meter = Meter(1 << 62)
    parts = _parts(start, cells, meter)
    if parts is None:
        return None
    tied: set[int] = set()
    for part in parts:
        known = _part(part, cells, meter)
        if known is None:
            return None
        bound, own = known
        total += bound
        tied |= part.free
        for v in part.free:
            if v < net.count:
                where = slice(net.start[v], net.start[v + 1])
                over[where] = own[where]
    for v, places in enumerate(start.keep):
        where = net.start[v] + places
        if v not in tied:
            cost = net.cost[where]
            total += int(cost.min())
            over[where] = cost - cost.min()
        result[where] = over[where]
    result[result < BIG] += total
    return result


def _parts(start: Opened, cells: int, meter: Meter) -> list[Part] | None:
    """The parts, those tied by a tally joined; None where that shows that there is no plan."""
    tallies = start.model.tallies
    if not tallies:
        return start.parts
    whole = joined(start, tallies, meter)
    if whole is None:
        return None
    return [whole, *[part for part in start.parts if part.free.isdisjoint(whole.free)]]


def _part(part: Part, cells: int, meter: Meter) -> tuple[int, IntArray] | None:
    """Least cost of a part, and by how much the best plan with each value exceeds it."""
    box = Box(part, part.standing, None)
    if box.cells > cells:
        raise OverBudget(f"{box.cells} table entries are more than {cells}")
    tree = box.build(None, meter)
    return None if tree.bound >= BIG else (tree.bound, excess(part.net, tree))
