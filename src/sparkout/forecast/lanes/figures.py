"""Which figures of the options hang on the draw, and how.

Options are made from one state at a time. They are made here from some states over the whole range
of what is drawn. A figure that is the same in all of them is taken as a constant; one that is not
must be a straight line of the end of one size, exactly, in all of them, or such a line cut off
below or above, or a step of the machine's dial above the largest of a set. How deep a cut may be
looked at (its reach) is taken at the most met where a limit on what is cut away holds it anyway.
Where a figure is anything else, the draws are worked out one by one instead.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, zip_longest
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.dimension import Key
from sparkout.engine.state import State
from sparkout.forecast.lanes.sizes import Lanes
from sparkout.plan.forms import Group, MoveBy, SetTo, ShiftBy
from sparkout.plan.sizes import MICRO

__all__ = ["Figures", "NotAlike", "Place", "figures_of"]

Floats = NDArray[np.float64]

# So many states must lie on a line that is cut off before it is taken for one.
_ON_LINE = 3


class NotAlike(Exception):  # noqa: N818  (it ends a route, it is not a mistake)
    """The draws cannot be compiled together; they are worked out one by one."""


class Place(NamedTuple):
    """Where a figure stands: group, option, `effect` or `need` or `reach`, which of them, which end
    of it."""

    group: int
    option: int
    kind: str
    at: int
    end: str


@dataclass(frozen=True, slots=True)
class Line:
    """slope × the end of a size + offset, cut off at both ends; in millionths."""

    key: Key
    end: str
    slope: float
    offset: float
    least: float = -math.inf
    most: float = math.inf

    def lane(self, lanes: Lanes) -> Floats:
        own: Floats = getattr(lanes.sizes[self.key], self.end)
        return np.clip(self.slope * own + self.offset, self.least, self.most)


@dataclass(frozen=True, slots=True)
class StepAbove:
    """The first whole step that no size of a set passes; in millionths."""

    keys: tuple[Key, ...]
    step: float

    def lane(self, lanes: Lanes) -> Floats:
        highest = np.max([lanes.sizes[key].high for key in self.keys], axis=0)
        return np.asarray(np.ceil(highest / self.step - 1e-9) * self.step)


@dataclass(frozen=True, slots=True)
class Same:
    """The same in all draws, though not in all states the options were made for."""

    value: float

    def lane(self, lanes: Lanes) -> Floats:
        return np.full(lanes.count, self.value)


Form = Line | StepAbove | Same


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """Figures that differ between draws; all others are those of the groups."""

    groups: tuple[Group, ...]
    forms: Mapping[Place, Form]

    def lanes(self, lanes: Lanes) -> Mapping[Place, Floats]:
        return {place: form.lane(lanes) for place, form in self.forms.items()}


def _listed(groups: Sequence[Group]) -> Iterator[tuple[Place, Fraction, tuple[str, ...]]]:
    """Every figure, with the features it is likely to hang on."""
    for g, group in enumerate(groups):
        for o, option in enumerate(group.options):
            for k, effect in enumerate(option.effects):
                near = (effect.key.feature, *group.features)
                if isinstance(effect, SetTo):
                    yield Place(g, o, "effect", k, "low"), effect.low.value, near
                    yield Place(g, o, "effect", k, "high"), effect.high.value, near
                elif isinstance(effect, ShiftBy):
                    yield Place(g, o, "effect", k, "by"), effect.by.value, near
                else:
                    yield Place(g, o, "effect", k, "per"), effect.per, near
            for k, need in enumerate(option.needs):
                yield Place(g, o, "need", k, "margin"), need.margin.value, group.features
        for k, spec in enumerate(group.amounts):
            yield Place(g, 0, "reach", k, "least"), spec.least, group.features
            yield Place(g, 0, "reach", k, "most"), spec.most, group.features


def _shape(groups: Sequence[Group]) -> list[tuple[object, ...]]:
    """Everything but the figures: what must be the same in all draws."""
    return [
        (
            group.name,
            [
                (
                    option.cost,
                    option.days,
                    option.prefer,
                    bool(option.impossible),
                    [(type(e), e.key, e.rank, _more(e)) for e in option.effects],
                    [(n.amounts, n.unless) for n in option.needs],
                    [(t.group, t.options) for t in option.together],
                    [(h.instance.key, h.bounds) for h in option.holds],
                )
                for option in group.options
            ],
            [(s.name, s.step) for s in group.amounts],
        )
        for group in groups
    ]


def _more(effect: object) -> object:
    if isinstance(effect, SetTo):
        return effect.as_new, effect.size, effect.free
    return effect.amount if isinstance(effect, MoveBy) else None


def figures_of(
    made: Sequence[tuple[State, tuple[Group, ...]]], keys: Collection[Key], held: Collection[Key]
) -> Figures:
    """The figures of all draws, from the options made for some states. Raises NotAlike.

    keys: sizes that differ. held: sizes that have a limit that must be kept.
    """
    first = made[0][1]
    shape = _shape(first)
    for _, groups in made[1:]:
        for one, two in zip_longest(shape, _shape(groups)):
            if one != two:
                name = (one or two or ("",))[0]
                raise NotAlike(f"the options of {name} differ between draws")
    columns = [[value for _, value, _ in _listed(groups)] for _, groups in made]
    ends = _Ends([state for state, _ in made], keys)
    found: dict[Place, Form] = {}
    for row, (place, value, near) in enumerate(_listed(first)):
        values = [column[row] for column in columns]
        if all(other == value for other in values):
            continue
        if place.kind == "reach" and place.end == "most" and _bounds(first, place, held):
            found[place] = Same(float(max(values) * MICRO))
            continue
        steps = [spec.step for spec in first[place.group].amounts]
        form = ends.form(values, near, steps)
        if form is None:
            group = first[place.group]
            option = group.options[place.option].name
            raise NotAlike(f"{group.name}, {option}: {place.kind} {place.at} {place.end}")
        found[place] = form
    return Figures(first, found)


def _bounds(groups: Sequence[Group], place: Place, held: Collection[Key]) -> bool:
    """Whether a limit on what an amount takes away bounds it, so that its reach need not."""
    group = groups[place.group]
    name = group.amounts[place.at].name
    return any(
        isinstance(effect, MoveBy) and effect.amount == name and effect.per < 0
        and effect.key in held and effect.key.feature in group.features
        for option in group.options
        for effect in option.effects
    )  # fmt: skip


_Row = tuple[Key, str, list[Fraction]]
"""A size, which end of it, and its values in the states."""


class _Ends:
    """Low and high ends of all sizes that differ, in the states the options were made for."""

    def __init__(self, states: Sequence[State], keys: Collection[Key]) -> None:
        self.rows: list[_Row] = []
        for key in keys:
            sizes = [state.sizes.get(key) for state in states]
            for end in ("low", "high"):
                values = [getattr(size, end).value for size in sizes if size is not None]
                if len(values) == len(states) and len(set(values)) > 1:
                    self.rows.append((key, end, values))

        bases = np.array([[float(value) for value in row[2]] for row in self.rows])
        self.order = np.argsort(bases.reshape(len(self.rows), len(states)), axis=1, kind="stable")

    def form(
        self, values: Sequence[Fraction], near: Sequence[str], steps: Sequence[Fraction]
    ) -> Form | None:
        fitting = self._going_with(np.array([float(value) for value in values]))
        mine = [row for row in fitting if row[0].feature in near]
        rest = [row for row in fitting if row[0].feature not in near]
        for key, end, base in (*mine, *rest):
            found = _through(values, base)
            if found is not None:
                return Line(key, end, float(found[0]), float(found[1] * MICRO))
        number = {name.rsplit(" ", 1)[-1] for name in near}
        alike = [row for row in rest if row[0].feature.rsplit(" ", 1)[-1] in number]
        for key, end, base in (*mine, *alike):
            cut = _cut(values, base)
            if cut is not None:
                slope, offset = float(cut[0]), float(cut[1] * MICRO)
                least, most = float(min(values) * MICRO), float(max(values) * MICRO)
                return Line(key, end, slope, offset, least, most)
        return self._step_above(values, near, steps)

    def _going_with(self, values: Floats) -> list[_Row]:
        """Ends along which values only rise, or only fall: what is not so is no line of them."""
        steps = np.diff(values[self.order], axis=1)
        fits = (steps >= -1e-9).all(axis=1) | (steps <= 1e-9).all(axis=1)
        return [self.rows[k] for k in np.flatnonzero(fits).tolist()]

    def _step_above(
        self,
        values: Sequence[Fraction],
        near: Sequence[str],
        steps: Sequence[Fraction],
    ) -> StepAbove | None:
        """The first step of the dial that no size of a set passes."""
        rows = [row for row in self.rows if row[0].feature in near and row[1] == "high"]
        for name in dict.fromkeys(row[0].characteristic for row in rows):
            own = [row for row in rows if row[0].characteristic == name]
            if len(own) < 2:
                continue
            tops = [max(column) for column in zip(*[row[2] for row in own], strict=True)]
            for step in steps:
                if [math.ceil(top / step) * step for top in tops] != list(values):
                    continue
                return StepAbove(tuple(row[0] for row in own), float(step * MICRO))
        return None


def _cut(values: Sequence[Fraction], base: Sequence[Fraction]) -> tuple[Fraction, Fraction] | None:
    """Slope and offset of a line that, cut off at the least and most of the values, gives them.

    Beyond what was met it need not be known: no draw goes there.
    """
    least, most = min(values), max(values)
    points = sorted(set(zip(base, values, strict=True)))
    for (s1, v1), (s2, v2) in pairwise(points):
        if s1 == s2 or v1 == v2:
            continue
        slope = (v2 - v1) / (s2 - s1)
        offset = v1 - slope * s1
        on_line = sum(slope * s + offset == v for s, v in points)
        held = [min(most, max(least, slope * s + offset)) for s in base]
        if on_line >= _ON_LINE and held == list(values):
            return slope, offset
    return None


def _through(
    values: Sequence[Fraction], base: Sequence[Fraction]
) -> tuple[Fraction, Fraction] | None:
    """Slope and offset of the line through all points, None where there is none."""
    other = next((k for k in range(1, len(base)) if base[k] != base[0]), None)
    if other is None:
        return None
    slope = (values[other] - values[0]) / (base[other] - base[0])
    if not slope:
        return None
    offset = values[0] - slope * base[0]
    if all(v == slope * b + offset for v, b in zip(values, base, strict=True)):
        return slope, offset
    return None
