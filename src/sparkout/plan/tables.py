"""Sizes under every combination of options, as arrays: what the planner's windows are made of.

A table has one axis for each group whose options touch the size. Values are whole nanometres (for
other dimensions: whole millionths of the base unit), rounded so that a range never gets narrower.
Uncertainty is kept by source, signed, so that a sum of tables adds and cancels shared errors.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.dimension import Dimension, Key
from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.plan.forms import Effect, Group, MoveBy, SetTo, ShiftBy

__all__ = ["MICRO", "Sources", "Table", "add", "aligned", "override", "size_table"]

MICRO = 1_000_000

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


class Sources(dict[str, tuple[Shape, float]]):
    """Shape and degrees of freedom of every source met so far."""

    def note(self, part: Component) -> None:
        self.setdefault(part.source, (part.shape, part.dof))


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """One size, or a sum of sizes, over the options of some groups.

    known: False where an option leaves the size unknown. new: True where everything in it that
    wears is new or machined. free: True where the size is made to another part and not judged
    itself. size: distance from standard. moves: millionths per mm of an amount.
    """

    groups: tuple[str, ...]
    low: Ints
    high: Ints
    known: Bools
    new: Bools
    free: Bools
    size: Ints
    low_parts: Mapping[str, Floats] = field(default_factory=dict)
    high_parts: Mapping[str, Floats] = field(default_factory=dict)
    moves: Mapping[str, Floats] = field(default_factory=dict)

    @property
    def shape(self) -> tuple[int, ...]:
        return self.low.shape


def size_table(
    key: Key,
    base: Dimension | None,
    groups: Sequence[Group],
    sources: Sources,
    *,
    change_only: bool = False,
) -> Table:
    """The table of one size over the groups that touch it (`groups`, in the order of their axes).

    change_only: the size itself is not known, only what the options change; an option that sets it
    leaves it unknown.
    """
    if change_only:
        nothing = Estimate(Fraction(0))
        base = Dimension(key, nothing, nothing)
    options = [group.options for group in groups]
    shape = tuple(len(some) for some in options)
    low, high = np.zeros(shape, np.int64), np.zeros(shape, np.int64)
    known, new = np.zeros(shape, np.bool_), np.zeros(shape, np.bool_)
    free, size = np.zeros(shape, np.bool_), np.zeros(shape, np.int64)
    low_parts: dict[str, Floats] = {}
    high_parts: dict[str, Floats] = {}
    moves: dict[str, Floats] = {}
    touching = [
        [tuple(effect for effect in option.effects if effect.key == key) for option in some]
        for some in options
    ]
    for cell in product(*(range(n) for n in shape)):
        effects = sorted(
            (effect for axis, i in enumerate(cell) for effect in touching[axis][i]),
            key=lambda effect: effect.rank,
        )
        value = _apply(base, effects)
        if value is None or (change_only and any(isinstance(e, SetTo) for e in effects)):
            continue
        known[cell] = True
        low[cell] = math.floor(value.low.value * MICRO)
        high[cell] = math.ceil(value.high.value * MICRO)
        new[cell] = value.new
        free[cell] = value.free
        size[cell] = int(value.size * MICRO)
        for parts, estimate in ((low_parts, value.low), (high_parts, value.high)):
            for part in estimate.components:
                sources.note(part)
                _spread(parts, part.source, shape)[cell] += part.u
        for amount, per in value.moves.items():
            _spread(moves, amount, shape)[cell] += float(per * MICRO)
    return Table(
        tuple(group.name for group in groups),
        low,
        high,
        known,
        new,
        free,
        size,
        low_parts,
        high_parts,
        moves,
    )


@dataclass(slots=True)
class _Value:
    low: Estimate
    high: Estimate
    new: bool
    free: bool
    size: Fraction
    moves: dict[str, Fraction]


def _apply(base: Dimension | None, effects: Sequence[Effect]) -> _Value | None:
    """Effects in order of rank on the size as it stands; None when it is not known."""
    value: _Value | None = None
    if base is not None:
        value = _Value(base.low, base.high, base.as_new, base.free, base.size, {})
    for effect in effects:
        if isinstance(effect, SetTo):
            value = _Value(effect.low, effect.high, effect.as_new, effect.free, effect.size, {})
        elif value is None:
            continue
        elif isinstance(effect, ShiftBy):
            value.low, value.high = value.low + effect.by, value.high + effect.by
        else:
            value = _moved(value, effect)
    return value


def _moved(value: _Value, effect: MoveBy) -> _Value:
    value.moves[effect.amount] = value.moves.get(effect.amount, Fraction(0)) + effect.per
    if effect.error is not None:
        part = effect.error.scaled(float(effect.per))
        value.low = Estimate(value.low.value, combine((*value.low.components, part)))
        value.high = Estimate(value.high.value, combine((*value.high.components, part)))
    return value


def _spread(parts: dict[str, Floats], name: str, shape: tuple[int, ...]) -> Floats:
    found = parts.get(name)
    if found is None:
        found = parts[name] = np.zeros(shape)
    return found


def aligned(*tables: Table) -> tuple[Table, ...]:
    """The same tables over the union of their groups, all of one shape."""
    sizes: dict[str, int] = {}
    for table in tables:
        sizes.update(zip(table.groups, table.shape, strict=True))
    groups = tuple(sizes)
    shape = tuple(sizes.values())

    def lift(table: Table) -> Table:
        if table.groups == groups:
            return table
        order = sorted(range(len(table.groups)), key=lambda axis: groups.index(table.groups[axis]))
        thin = tuple(sizes[name] if name in table.groups else 1 for name in groups)

        def spread(array: NDArray[Any]) -> NDArray[Any]:
            turned = array.transpose(order) if array.ndim > 1 else array
            return np.broadcast_to(turned.reshape(thin), shape)

        def each(parts: Mapping[str, Floats]) -> dict[str, Floats]:
            return {name: spread(array) for name, array in parts.items()}

        return Table(
            groups,
            spread(table.low),
            spread(table.high),
            spread(table.known),
            spread(table.new),
            spread(table.free),
            spread(table.size),
            each(table.low_parts),
            each(table.high_parts),
            each(table.moves),
        )

    return tuple(lift(table) for table in tables)


def override(whole: Table, made: Table) -> Table:
    """`made` wherever its options set the value, `whole` everywhere else."""
    below, above = aligned(whole, made)
    none = np.zeros(below.shape)

    def pick(first: NDArray[Any], second: NDArray[Any]) -> NDArray[Any]:
        return np.where(above.known, first, second)

    def merge(first: Mapping[str, Floats], second: Mapping[str, Floats]) -> dict[str, Floats]:
        names = {**first, **second}
        return {name: pick(first.get(name, none), second.get(name, none)) for name in names}

    return Table(
        below.groups,
        pick(above.low, below.low),
        pick(above.high, below.high),
        above.known | below.known,
        pick(above.new, below.new),
        pick(above.free, below.free),
        pick(above.size, below.size),
        merge(above.low_parts, below.low_parts),
        merge(above.high_parts, below.high_parts),
        merge(above.moves, below.moves),
    )


def add(terms: Sequence[tuple[Fraction, Table]], constant: Fraction = Fraction(0)) -> Table:
    """The weighted sum of tables, over the union of their groups, plus a constant."""
    if len(terms) == 1 and terms[0][0] == 1 and not constant:
        return terms[0][1]
    lifted = aligned(*(table for _, table in terms))
    shape = lifted[0].shape
    low = np.full(shape, float(constant * MICRO))
    high = low.copy()
    known, new = np.ones(shape, np.bool_), np.ones(shape, np.bool_)
    free, size = np.zeros(shape, np.bool_), np.zeros(shape, np.int64)
    low_parts: dict[str, Floats] = {}
    high_parts: dict[str, Floats] = {}
    moves: dict[str, Floats] = {}

    def gather(into: dict[str, Floats], factor: float, parts: Mapping[str, Floats]) -> None:
        for name, array in parts.items():
            into[name] = into[name] + factor * array if name in into else factor * array

    for (weight, _), table in zip(terms, lifted, strict=True):
        factor = float(weight)
        # a term that takes away counts at its highest for the lowest of the sum
        low += factor * (table.low if weight > 0 else table.high)
        high += factor * (table.high if weight > 0 else table.low)
        known &= table.known
        new &= table.new
        free |= table.free
        size = size + table.size
        gather(low_parts, factor, table.low_parts if weight > 0 else table.high_parts)
        gather(high_parts, factor, table.high_parts if weight > 0 else table.low_parts)
        gather(moves, factor, table.moves)
    # Sums of whole millionths below 2^53 are exact in float64; fractional weights round outwards.
    whole = all(weight.denominator == 1 for weight, _ in terms)
    slack = 0.0 if whole and (constant * MICRO).denominator == 1 else 0.5
    return Table(
        lifted[0].groups,
        np.floor(low - slack).astype(np.int64),
        np.ceil(high + slack).astype(np.int64),
        known,
        new,
        free,
        size,
        low_parts,
        high_parts,
        moves,
    )
