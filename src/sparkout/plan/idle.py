"""Combinations that no plan has: one piece of a set where the set is not used.

Which piece of a set of pistons goes in a bore matters only with the option that brings the set. All
other combinations stand for nothing, but tables have room for them. They are not worked out, and
they take the values of the option that is bound to nothing: so a rule that does not hang on the
piece does not seem to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.plan.forms import Group
from sparkout.plan.guard import Edges
from sparkout.plan.tables import Table

__all__ = ["Idle", "Ties", "filled", "idle_in", "ties_of"]

Bools = NDArray[np.bool_]


class _Tie(NamedTuple):
    """Which options of another group go with each option; base: one that goes with all of them."""

    other: str
    allowed: Bools
    base: int


Ties = Mapping[str, Sequence[_Tie]]
"""By group, what its options are tied to."""


class Idle(NamedTuple):
    """What stands for nothing along an axis of a table, and the class it takes its values from."""

    axis: int
    base: int
    mask: Bools


def ties_of(groups: Sequence[Group]) -> Ties:
    """The ties of groups that have an option bound to nothing."""
    by_name = {group.name: group for group in groups}
    found: dict[str, list[_Tie]] = {}
    for group in groups:
        bound = [{tie.group: tie.options for tie in option.together} for option in group.options]
        base = next((at for at, ties in enumerate(bound) if not ties), None)
        if base is None:
            continue
        for other in dict.fromkeys(name for ties in bound for name in ties):
            if other in by_name:
                names = [option.name for option in by_name[other].options]
                allowed = [[name in ties.get(other, names) for name in names] for ties in bound]
                found.setdefault(group.name, []).append(_Tie(other, np.array(allowed), base))
    return found


def idle_in(table: Table, ties: Ties) -> list[Idle]:
    """What stands for nothing in a table: masks along its axes, of length one where they do not
    matter."""
    found = []
    for axis, group in enumerate(table.groups[0]):
        for tie in ties.get(group, ()):
            if tie.other in table.groups[0]:
                made = _idle(table, ties, axis, table.groups[0].index(tie.other))
                if made is not None:
                    found.append(made)
    return found


def _idle(table: Table, ties: Ties, axis: int, across: int) -> Idle | None:
    """The same for one pair of axes; None where the members differ in more than names."""
    own, other = np.array(table.classes[axis]), np.array(table.classes[across])
    shape = (int(own.max()) + 1, int(other.max()) + 1)
    masks, bases = [], set()
    for names in table.groups:
        tie = next((t for t in ties.get(names[axis], ()) if t.other == names[across]), None)
        if tie is None:
            return None
        allowed = np.zeros(shape, np.bool_)
        np.logical_or.at(allowed, (own[:, None], other[None, :]), tie.allowed)
        masks.append(~allowed)
        bases.add(int(own[tie.base]))
    if len(bases) > 1 or not any(mask.any() for mask in masks):
        return None
    stacked = np.stack(masks)
    if across < axis:
        stacked = stacked.transpose(0, 2, 1)
    thin = [len(masks), *[1] * table.axes]
    thin[axis + 1], thin[across + 1] = shape
    return Idle(axis + 1, bases.pop(), stacked.reshape(thin))


def filled(table: Table, edges: Edges, idle: Sequence[Idle]) -> tuple[Table, Edges]:
    """A table and its edges with the values of what is bound to nothing where nothing stands."""
    if not idle:
        return table, edges
    table = replace(table, low=_filled(table.low, idle), moves=_filled(table.moves, idle))
    return table, Edges(_filled(edges.least, idle), _filled(edges.most, idle))


def _filled(array: NDArray[Any], idle: Sequence[Idle]) -> NDArray[Any]:
    for axis, base, mask in idle:
        if array.shape[axis] > 1:
            where = mask if array.ndim == mask.ndim else mask[..., None]
            array = np.where(where, array.take([base], axis), array)
    return array
