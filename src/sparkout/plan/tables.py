"""Sums of sizes over combinations of options, as arrays; sums of one look are worked out together.

Four cylinders ask the same of four pistons: what differs is figures and names. So fits are sorted
by what their sums look like, and each sort is one set of arrays with a first axis for its members.
Values are whole nanometres (for other dimensions: whole millionths of the base unit), rounded so
that a range never gets narrower. Uncertainty is kept by source, signed, so that errors that two
sizes share add and cancel as they should.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.plan.errors import Errors, Kind, errors_of
from sparkout.plan.sizes import MICRO, Size
from sparkout.plan.sum_errors import Part, SumErrors

__all__ = ["MICRO", "Kind", "Recipe", "Table", "combinations", "tabled"]

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


class Recipe(NamedTuple):
    """Σ weight × size + constant; where `made` is known it stands over the sum."""

    terms: tuple[tuple[Fraction, Size], ...]
    constant: Fraction = Fraction(0)
    made: Size | None = None

    @property
    def sizes(self) -> list[Size]:
        found = [size for _, size in self.terms]
        return found if self.made is None else [*found, self.made]


@dataclass(slots=True, eq=False)
class _Layout:
    """What a sum looks like, without its figures and names.

    groups, amounts: names by number, as they first come. kinds: of all errors.
    places: for every size where its axes, errors and amounts lie among those of the whole. errors:
    those of every size.
    """

    groups: dict[str, int]
    classes: list[tuple[int, ...]]
    kinds: list[Kind]
    amounts: dict[str, int]
    places: list[tuple[list[int], list[int], list[int]]]
    errors: list[Errors]
    key: Hashable


def _layout(recipe: Recipe) -> _Layout:
    groups: dict[str, int] = {}
    classes: list[tuple[int, ...]] = []
    sources: dict[str, int] = {}
    kinds: list[Kind] = []
    amounts: dict[str, int] = {}
    places: list[tuple[list[int], list[int], list[int]]] = []
    shapes = []
    made_of = errors_of(recipe.sizes)
    for size, mine_errors in zip(recipe.sizes, made_of, strict=True):
        axes = []
        for group, mine in size.axes:
            at = groups.setdefault(group, len(groups))
            if at == len(classes):
                classes.append(mine)
            elif classes[at] != mine:
                classes[at] = _refined(classes[at], mine)
            axes.append(at)
        flat = size.flat
        errors = []
        for name, kind in mine_errors.shared:
            at = sources.setdefault(name, len(kinds))
            if at == len(kinds):
                kinds.append(kind)
            errors.append(at)
        errors += range(len(kinds), len(kinds) + len(mine_errors.own))
        kinds += mine_errors.own
        moved = [amounts.setdefault(name, len(amounts)) for name in flat.moves]
        places.append((axes, errors, moved))
        shapes.append(
            (
                tuple([mine for _, mine in size.axes]),
                tuple(axes),
                tuple(errors),
                tuple(moved),
                flat.high_u is None,
            )
        )
    weights = tuple([weight for weight, _ in recipe.terms])
    made = recipe.made is not None
    key = (weights, recipe.constant, made, tuple(shapes), tuple(kinds))
    return _Layout(groups, classes, kinds, amounts, places, made_of, key)


def _refined(one: tuple[int, ...], two: tuple[int, ...]) -> tuple[int, ...]:
    """Classes that tell apart what either tells apart, numbered as they first come."""
    seen: dict[tuple[int, int], int] = {}
    return tuple([seen.setdefault(pair, len(seen)) for pair in zip(one, two, strict=True)])


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Sums of one look over the classes of the options that touch them, members first.

    members: places of the recipes in the list that was asked for. groups, amounts: names by member.
    classes: for each axis the class of every option. low, high: millionths, whole. known: False
    where an option leaves a sum unknown. new: True where everything in it that wears is new or
    machined. free: made to another part, not judged itself. size: distance from standard. errors:
    of both ends, in millionths. moves: millionths per mm of each amount, amounts last; axes along
    which they do not change have length one.
    """

    members: tuple[int, ...]
    groups: tuple[tuple[str, ...], ...]
    amounts: tuple[tuple[str, ...], ...]
    classes: tuple[tuple[int, ...], ...]
    low: Floats
    high: Floats
    known: Bools
    new: Bools
    free: Bools
    size: Floats
    errors: SumErrors
    moves: Floats

    @property
    def axes(self) -> int:
        return len(self.classes)


def combinations(recipe: Recipe) -> int:
    """How many combinations of options a sum has, about."""
    found: dict[str, int] = {}
    for size in recipe.sizes:
        for axis in size.axes:
            found[axis.group] = max(found.get(axis.group, 1), axis.size)
    return math.prod(found.values())


def tabled(recipes: Sequence[Recipe], which: Iterable[int] | None = None) -> list[Table]:
    """Sums as arrays, those that look alike together. which: all where not given."""
    sorts: dict[Hashable, list[tuple[int, _Layout]]] = {}
    for at in range(len(recipes)) if which is None else which:
        layout = _layout(recipes[at])
        sorts.setdefault(layout.key, []).append((at, layout))
    made = []
    for mine in sorts.values():
        members, layouts = [at for at, _ in mine], [layout for _, layout in mine]
        made.append(_Sum([recipes[at] for at in members], members, layouts).table())
    return made


class _Sum:
    """One sort of sums."""

    def __init__(
        self, recipes: list[Recipe], members: list[int], layouts: list[_Layout]
    ) -> None:  # fmt: skip
        self.recipes = recipes
        self.members = members
        self.layouts = layouts
        first = layouts[0]
        self.classes = tuple(first.classes)
        self.shape = (len(recipes), *[max(mine) + 1 for mine in self.classes])

    def table(self) -> Table:
        first = self.layouts[0]
        weights = [weight for weight, _ in self.recipes[0].terms]
        constant = self.recipes[0].constant
        low: Any = float(constant * MICRO)
        high: Any = low
        known: Any = True
        new: Any = True
        free: Any = False
        size: Any = 0.0
        parts: list[Part] = []
        moves: Floats = np.zeros((*[1] * len(self.shape), len(first.amounts)))
        for place, weight in enumerate(weights):
            part = self._part(place)
            factor = float(weight)
            # a term that takes away counts at its highest for the lowest of the sum
            swap = weight < 0
            low = low + factor * (part.high if swap else part.low)
            high = high + factor * (part.low if swap else part.high)
            known = known & part.known
            new = new & part.new
            free = free | part.free
            size = size + part.size
            _, errors, moved = first.places[place]
            if errors:
                parts.append(part.errors(factor, swap, errors))
            if moved:
                moves = moves + _spread(factor * part.moves, moved, len(first.amounts))
        # sums of whole millionths below 2^53 are exact; fractional weights round outwards
        whole = all(weight.denominator == 1 for weight in weights)
        if not (whole and (constant * MICRO).denominator == 1):
            low, high = np.floor(low - 0.5), np.ceil(high + 0.5)
        arrays = [
            np.broadcast_to(np.asarray(array), self.shape)
            for array in (low, high, known, new, free, size)
        ]
        table = Table(
            tuple(self.members),
            tuple(tuple(layout.groups) for layout in self.layouts),
            tuple(tuple(layout.amounts) for layout in self.layouts),
            self.classes,
            arrays[0],
            arrays[1],
            arrays[2],
            arrays[3],
            arrays[4],
            arrays[5],
            SumErrors(self.shape, tuple(first.kinds), tuple(parts)),
            moves,
        )
        return table if self.recipes[0].made is None else self._made(table, len(weights))

    def _made(self, below: Table, place: int) -> Table:
        """The table with what is made to size standing over the sum."""
        part = self._part(place)
        _, errors, moved = self.layouts[0].places[place]
        known = part.known
        if not place:  # nothing to sum: what is made, or nothing
            known_below: Any = False
        else:
            known_below = below.known

        return Table(
            below.members,
            below.groups,
            below.amounts,
            below.classes,
            np.where(known, part.low, below.low),
            np.where(known, part.high, below.high),
            np.broadcast_to(known | known_below, self.shape),
            np.where(known, part.new, below.new),
            np.where(known, part.free, below.free),
            np.where(known, part.size, below.size),
            below.errors.where(known, part.errors(1.0, False, errors)),
            np.where(
                known[..., None],
                _spread(part.moves, moved, below.moves.shape[-1]),
                below.moves,
            ),
        )

    def _part(self, place: int) -> _Part:
        """One size of every member, lying along the axes of the whole."""
        sizes = [recipe.sizes[place] for recipe in self.recipes]
        flats = [size.flat for size in sizes]
        axes, errors, moved = self.layouts[0].places[place]
        shape = sizes[0].shape
        picks: list[tuple[int, list[int]]] = []
        for axis, (at, (_, mine)) in enumerate(zip(axes, sizes[0].axes, strict=True)):
            whole = self.classes[at]
            if whole != mine:
                # joint classes are numbered as they first come
                own_class: dict[int, int] = {}
                for of_all, of_mine in zip(whole, mine, strict=True):
                    own_class.setdefault(of_all, of_mine)
                picks.append((axis + 1, list(own_class.values())))
        thin = [len(sizes)] + [1] * len(self.classes)
        for at in axes:
            thin[at + 1] = self.shape[at + 1]
        turn = [0, *[1 + k for k in sorted(range(len(axes)), key=axes.__getitem__)]]
        straight = turn == list(range(len(turn)))

        def lie(values: list[Any], *tail: int) -> Floats:
            array = np.array(values, np.float64).reshape(len(sizes), *shape, *tail)
            for axis, pick in picks:
                array = array.take(pick, axis)
            if not straight:
                array = array.transpose(*turn, *range(len(turn), array.ndim))
            return array.reshape(*thin, *tail)

        figures = lie([flat.figures for flat in flats], 6)
        own = [layout.errors[place] for layout in self.layouts]
        low_u = lie([item.low_u for item in own], len(errors))
        high_u = low_u
        if any(item.high_u is not None for item in own):
            high_u = lie(
                [item.low_u if item.high_u is None else item.high_u for item in own], len(errors)
            )
        return _Part(
            figures[..., 0],
            figures[..., 1],
            figures[..., 2] > 0,
            figures[..., 3] > 0,
            figures[..., 4] > 0,
            figures[..., 5],
            low_u,
            high_u,
            lie([list(flat.moves.values()) for flat in flats], len(moved))
            if not moved
            else np.stack(
                [lie([list(flat.moves.values())[k] for flat in flats]) for k in range(len(moved))],
                axis=-1,
            ),
        )


def _spread(values: Floats, at: Sequence[int], width: int) -> Floats:
    """Columns at their places among so many."""
    wide = np.zeros((*values.shape[:-1], width))
    wide[..., at] = values
    return wide


@dataclass(slots=True, eq=False)
class _Part:
    low: Floats
    high: Floats
    known: Bools
    new: Bools
    free: Bools
    size: Floats
    low_u: Floats
    high_u: Floats
    moves: Floats

    def errors(self, factor: float, swap: bool, columns: Sequence[int]) -> Part:
        """Its errors in a sum. swap: it counts at its highest for the lowest of the sum."""
        low, high = (self.high_u, self.low_u) if swap else (self.low_u, self.high_u)
        mine = factor * low
        return Part(mine, mine if high is low else factor * high, tuple(columns))
