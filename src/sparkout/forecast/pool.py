"""The parts of many engines as one pool, sorted into sets that are alike."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.names import known_names
from sparkout.engine.state import State
from sparkout.faults import Fault, Place
from sparkout.forecast.matched import matched_sets
from sparkout.units import QuantityError, parse

__all__ = ["Pool", "pool_of"]


@dataclass(frozen=True, slots=True)
class Pool:
    """Sets of parts, each by engine and feature. characteristic: what they are alike in, within
    the spread [base unit]. left: parts that are in no set. unread: how many were not measured."""

    characteristic: str
    spread: Fraction
    sets: tuple[tuple[str, ...], ...]
    left: tuple[str, ...]
    unread: int


def pool_of(
    names: Sequence[str], states: Sequence[State], characteristic: str, spread: str
) -> Pool | Fault:
    """As many sets as can be made, each of as many parts as one engine has.

    Parts go by the middle of what was read of them. Where the size or the spread cannot be read,
    or no engine has such a part, the answer is the fault.
    """
    dimensions = known_names().dimensions
    place = Place("command line", key="--match")
    if characteristic not in dimensions:
        near = difflib.get_close_matches(characteristic, dimensions, 1)
        hint = f"Did you mean {near[0]!r}?" if near else "docs/characteristics.md lists them."
        return Fault(place, repr(characteristic), "a size that parts have", hint)
    try:
        apart = parse(spread, dimensions[characteristic]).value
    except QuantityError as error:
        return Fault(Place("command line", key="--within"), error.found, error.expected)
    if apart < 0:
        return Fault(Place("command line", key="--within"), spread, "a spread of zero or more")
    values: dict[str, Fraction] = {}
    size = unread = 0
    for name, state in zip(names, states, strict=True):
        keys = [key for key in state.sizes if key.characteristic == characteristic]
        size = max(size, len(keys))
        for key in keys:
            known = state.sizes[key]
            values[f"{name} {key.feature}"] = (known.low.value + known.high.value) / 2
    if not values:
        remedy = "Read it first, or name a size that was read."
        return Fault(place, f"no {characteristic} in any job", "parts with that size", remedy)
    for state in states:
        unread += size - sum(key.characteristic == characteristic for key in state.sizes)
    sets = matched_sets(values, size, apart)
    used = {part for some in sets for part in some}
    left = tuple(part for part in values if part not in used)
    return Pool(characteristic, apart, sets, left, unread)
