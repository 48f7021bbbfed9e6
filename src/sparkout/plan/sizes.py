"""One size under every combination of the options that touch it.

Options that do the same to a size are one class: what a deck cut does to a clearance hangs on 'cut
or not', not on how many ways there are to leave it. So a size has one axis for each group of
options, counted in classes, and one value for each cell.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import NamedTuple

from sparkout.engine.dimension import Dimension, Key
from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.plan.felt import felt
from sparkout.plan.forms import Effect, Group, MoveBy, SetTo, ShiftBy

__all__ = [
    "ENDLESS",
    "MICRO",
    "NOTHING",
    "Axis",
    "Flat",
    "Size",
    "Touched",
    "Value",
    "applied",
    "change",
    "changed",
    "sized",
    "touched_by",
]

MICRO = 1_000_000

# Variance of a Student error of two degrees of freedom or fewer, over its scale squared.
ENDLESS = 1e12


class Axis(NamedTuple):
    """One group's options along an axis: `classes` says for each option which class it is of."""

    group: str
    classes: tuple[int, ...]

    @property
    def size(self) -> int:
        return max(self.classes) + 1


@dataclass(slots=True)
class Value:
    """A size in one cell. moves: mm for each mm of an amount."""

    low: Estimate
    high: Estimate
    new: bool = False
    free: bool = False
    size: Fraction = Fraction(0)
    moves: Mapping[str, Fraction] | None = None

    def ends(self) -> tuple[int, int]:
        """Low and high in whole millionths, rounded so that the range never gets narrower."""
        low, high = self.low.value, self.high.value
        return (
            low.numerator * MICRO // low.denominator,
            -(-high.numerator * MICRO // high.denominator),
        )

    def scales(self) -> tuple[float, float]:
        """Combined standard uncertainties of both ends, in millionths."""
        return self.low.u * MICRO, self.high.u * MICRO

    def deviations(self) -> tuple[float, float]:
        """Standard deviations of the errors of both ends, in millionths."""
        low = _deviation(self.low.components)
        if self.high is self.low or self.high.components == self.low.components:
            return low, low
        return low, _deviation(self.high.components)


def _deviation(parts: tuple[Component, ...]) -> float:
    total = 0.0
    for part in parts:
        square = part.u * part.u
        if part.shape is Shape.STUDENT and math.isfinite(part.dof):
            square *= part.dof / (part.dof - 2.0) if part.dof > 2.0 else ENDLESS
        total += square
    return math.sqrt(total) * MICRO


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """The cells of a size as plain figures.

    figures: per cell low and high (millionths), known, new, free, size (millionths). sources: every
    error met, with its shape and degrees of freedom. low_u: per cell the error of each source in
    millionths; high_u None where one error moves both ends. moves: for each amount, millionths per
    mm in each cell.
    """

    figures: list[tuple[float, float, float, float, float, float]]
    sources: list[tuple[str, tuple[Shape, float]]]
    low_u: list[list[float]]
    high_u: list[list[float]] | None
    moves: dict[str, list[float]]


@dataclass(slots=True, eq=False)
class Size:
    """All cells of a size, the last axis running fastest; None where it is not known."""

    axes: tuple[Axis, ...]
    cells: tuple[Value | None, ...]
    _flat: Flat | None = None

    @property
    def shape(self) -> tuple[int, ...]:
        return tuple([axis.size for axis in self.axes])

    @property
    def flat(self) -> Flat:
        """Worked out once: one size is part of many fits."""
        if self._flat is None:
            self._flat = _flattened(self.cells)
        return self._flat


_UNKNOWN = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def _flattened(cells: Sequence[Value | None]) -> Flat:
    columns: dict[str, int] = {}
    sources: list[tuple[str, tuple[Shape, float]]] = []
    moves: dict[str, list[float]] = {}
    figures = []
    both: list[tuple[tuple[Component, ...], tuple[Component, ...]]] = []
    one_error = True
    for at, value in enumerate(cells):
        if value is None:
            figures.append(_UNKNOWN)
            both.append(((), ()))
            continue
        low, high = value.ends()
        size = float(value.size * MICRO) if value.size else 0.0
        figures.append((low, high, 1.0, value.new, value.free, size))
        first, last = value.low.components, value.high.components
        both.append((first, last))
        if value.high is not value.low and first != last:
            one_error = False
        for part in (*first, *last):
            if part.source not in columns:
                columns[part.source] = len(sources)
                sources.append((part.source, (part.shape, part.dof)))
        for name, per in (value.moves or {}).items():
            moves.setdefault(name, [0.0] * len(cells))[at] += float(per * MICRO)
    low_u = [_row(first, columns) for first, _ in both]
    high_u = None if one_error else [_row(last, columns) for _, last in both]
    return Flat(figures, sources, low_u, high_u, moves)


def _row(parts: tuple[Component, ...], columns: Mapping[str, int]) -> list[float]:
    row = [0.0] * len(columns)
    for part in parts:
        row[columns[part.source]] += part.u * MICRO
    return row


Touched = Mapping[str, Sequence[tuple[Effect, ...]]]
"""For each group that touches a size, what each of its options does to it."""

NOTHING: Touched = {}


def touched_by(groups: Sequence[Group]) -> dict[Key, dict[str, list[tuple[Effect, ...]]]]:
    """For every size that options touch: by group, the effects of each option on it."""
    found: dict[Key, dict[str, list[tuple[Effect, ...]]]] = {}
    for group in groups:
        count = len(group.options)
        for i, option in enumerate(group.options):
            for effect in option.effects:
                mine = found.get(effect.key)
                if mine is None:
                    mine = found[effect.key] = {}
                rows = mine.get(group.name)
                if rows is None:
                    rows = mine[group.name] = [()] * count
                rows[i] = (*rows[i], effect)
    return found


def sized(base: Dimension | None, touched: Touched = NOTHING) -> Size:
    """A size as it stands, with what the options of each group do to it."""
    return _size(touched, lambda effects: applied(base, effects))


def changed(base: Dimension | None, touched: Touched) -> Size:
    """By how much a size changes; unknown where it is set to something and was not known."""
    return _size(touched, lambda effects: change(base, effects))


def _size(touched: Touched, value_of: Callable[[Sequence[Effect]], Value | None]) -> Size:
    axes: list[Axis] = []
    kinds: list[list[tuple[Effect, ...]]] = []
    for name, rows in touched.items():
        mine: list[tuple[Effect, ...]] = []
        classes = []
        for effects in rows:
            at = next((k for k, known in enumerate(mine) if known is effects), None)
            if at is None:
                at = next((k for k, known in enumerate(mine) if known == effects), None)
            if at is None:
                at = len(mine)
                mine.append(effects)
            classes.append(at)
        axes.append(Axis(name, tuple(classes)))
        kinds.append(mine)
    cells = []
    for cell in product(*kinds):
        joint = [effect for some in cell for effect in some]
        if len(joint) > 1:
            joint.sort(key=_rank)
        cells.append(value_of(joint))
    return Size(tuple(axes), tuple(cells))


def _rank(effect: Effect) -> int:
    return effect.rank


def applied(base: Dimension | None, effects: Sequence[Effect]) -> Value | None:
    """Effects in order of rank on a size as it stands; None when it is not known."""
    value: Value | None = None
    if base is not None:
        value = Value(base.low, base.high, base.as_new, base.free, base.size)
    for effect in effects:
        if isinstance(effect, SetTo):
            value = Value(effect.low, effect.high, effect.as_new, effect.free, effect.size)
        elif value is not None:
            _shift(value, effect)
    return value


def change(base: Dimension | None, effects: Sequence[Effect]) -> Value | None:
    """What effects change a size by: after less before where it is set, else the shifts alone."""
    if any(isinstance(effect, SetTo) for effect in effects):
        after = applied(base, effects)
        if base is None or after is None:
            return None
        least, most = felt(base)
        after.low, after.high = after.low - most, after.high - least
        return after
    nothing = Estimate(Fraction(0))
    value = Value(nothing, nothing)
    for effect in effects:
        assert not isinstance(effect, SetTo)
        _shift(value, effect)
    return value


def _shift(value: Value, effect: ShiftBy | MoveBy) -> None:
    same = value.low is value.high
    if isinstance(effect, ShiftBy):
        value.low = value.low + effect.by
        value.high = value.low if same else value.high + effect.by
        return
    moves = dict(value.moves or {})
    moves[effect.amount] = moves.get(effect.amount, Fraction(0)) + effect.per
    value.moves = moves
    if effect.error is not None:
        part = effect.error.scaled(float(effect.per))
        value.low = Estimate(value.low.value, combine((*value.low.components, part)))
        value.high = (
            value.low
            if same
            else Estimate(value.high.value, combine((*value.high.components, part)))
        )
