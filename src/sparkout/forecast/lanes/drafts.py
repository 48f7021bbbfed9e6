"""The limits of one engine before their guard bands, and what each is made of, draw by draw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.dimension import Key
from sparkout.engine.state import State
from sparkout.forecast.lanes.figures import Figures, NotAlike, Place
from sparkout.forecast.lanes.sizes import Lane, Lanes
from sparkout.judge.checks import Check
from sparkout.plan.compile import Unjudged, _Compiler
from sparkout.plan.forms import Effect, MoveBy, Need, SetTo
from sparkout.plan.sizes import MICRO, Size, Touched

__all__ = ["Drafts", "Sizes"]

Floats = NDArray[np.float64]

# Whole millionths come through sums of floats with less error than this.
_HAIR = 1e-6


class Drafts(_Compiler):
    """Every limit as a draft: none is decided at sight, since sight differs between draws."""

    def _single(self, check: Check) -> bool:
        size = self.fitted.size(check.key) if len(check.instance.terms) == 1 else None
        alone = size is not None and not check.instance.inner
        if alone and size is not None and all(value is None for value in size.cells):
            self.unjudged.append(Unjudged(check, "not measured"))
            return True
        return False

    def _close_drafts(self) -> None:
        """Guard bands are worked out for all draws together."""


class Sizes:
    """Cells of sizes in every draw: draws × cells, low and high, in whole millionths."""

    def __init__(self, made: Drafts, state: State, figures: Figures, lanes: Lanes) -> None:
        self.made = made
        self.state = state
        self.lanes = lanes
        drawn = figures.lanes(lanes)
        self.effects = _effects(figures, drawn)
        self.needs = _needs(figures, drawn)
        self.of_size = {id(size): key for key, size in made.fitted.sizes.items()}
        self.of_change = {id(size): key for key, size in made.fitted.changes.items()}
        self.of_base = {id(dim.low): key for key, dim in state.sizes.items()}
        self.known: dict[int, tuple[Floats, Floats]] = {}

    def cells(self, size: Size, rule: object) -> tuple[Floats, Floats]:
        """A size of a draft; one row where it is the same in all draws."""
        found = self.known.get(id(size))
        if found is None:
            found = self.known[id(size)] = self._cells(size, rule)
        return found

    def _cells(self, size: Size, rule: object) -> tuple[Floats, Floats]:
        if isinstance(rule, Need):
            lane = self.needs.get(id(rule))
            return _plain(size) if lane is None else _rounded([Lane(lane, lane)])
        key = self.of_size.get(id(size))
        if key is not None:
            return self._applied(size, self.made.fitted.touched.get(key, {}), self._base(key))
        key = self.of_change.get(id(size))
        if key is not None:
            return self._changed(size, self.made.fitted.touched.get(key, {}), self._base(key))
        first = size.cells[0]
        if not size.axes and first is not None and id(first.low) in self.of_base:
            lane_ = self._base(self.of_base[id(first.low)])
            return _plain(size) if lane_ is None else _rounded([lane_])
        made = getattr(rule, "instance", None)
        touched: Touched = {} if made is None else self.made.fitted.touched.get(made.key, {})
        return self._applied(size, touched, None)

    def _base(self, key: Key) -> Lane | None:
        """A size that differs; None where it is not known or is the same in all draws."""
        return self.lanes.sizes.get(key)

    def _applied(self, size: Size, touched: Touched, base: Lane | None) -> tuple[Floats, Floats]:
        if base is None and not self._differs(touched):
            return _plain(size)
        found = []
        for value, effects in zip(size.cells, self._joint(touched), strict=True):
            if value is None:
                found.append(Lane(np.zeros(1), np.zeros(1)))
                continue
            lane = base
            if lane is None:
                # what is not set stands as it was read, the same in all draws
                lane = self._still(size, effects, touched)
            found.append(self._after(lane, effects))
        return _rounded(found)

    def _still(self, size: Size, effects: Sequence[Effect], touched: Touched) -> Lane:
        key = self.of_size.get(id(size)) or self.of_change.get(id(size))
        dim = None if key is None else self.state.sizes.get(key)
        if dim is None:
            return Lane(np.zeros(1), np.zeros(1))
        return Lane(
            np.array([float(dim.low.value * MICRO)]), np.array([float(dim.high.value * MICRO)])
        )

    def _changed(self, size: Size, touched: Touched, base: Lane | None) -> tuple[Floats, Floats]:
        if base is None and not self._differs(touched):
            return _plain(size)
        before = self._still(size, (), touched) if base is None else base
        nothing = Lane(np.zeros(1), np.zeros(1))
        found = []
        for value, effects in zip(size.cells, self._joint(touched), strict=True):
            if value is None:
                found.append(nothing)
            elif any(isinstance(effect, SetTo) for effect in effects):
                if (before.low != before.high).any():
                    # its spread over positions is an error there (sparkout.plan.felt), not a range
                    raise NotAlike("a size of several positions that a fit was read over")
                after = self._after(before, effects)
                found.append(Lane(after.low - before.high, after.high - before.low))
            else:
                found.append(self._after(nothing, effects))
        return _rounded(found)

    def _after(self, lane: Lane, effects: Sequence[Effect]) -> Lane:
        low, high = lane
        for effect in effects:
            if isinstance(effect, MoveBy):
                continue
            own = self.effects.get(id(effect))
            if isinstance(effect, SetTo):
                ends = [np.array([float(e.value * MICRO)]) for e in (effect.low, effect.high)]
                low, high = (ends[k] if own is None or own[k] is None else own[k] for k in (0, 1))  # type: ignore[assignment]
            else:
                by = float(effect.by.value * MICRO) if own is None or own[0] is None else own[0]
                low, high = low + by, high + by
        return Lane(low, high)

    def _differs(self, touched: Touched) -> bool:
        return any(
            id(effect) in self.effects
            for rows in touched.values()
            for effects in rows
            for effect in effects
        )

    def _joint(self, touched: Touched) -> list[list[Effect]]:
        """Effects of every cell, as sparkout.plan.sizes puts them together."""
        kinds: list[list[tuple[Effect, ...]]] = []
        for rows in touched.values():
            mine: list[tuple[Effect, ...]] = []
            for effects in rows:
                at = next((k for k, known in enumerate(mine) if known == effects), None)
                if at is None:
                    mine.append(effects)
                elif not self._same(mine[at], effects):
                    raise NotAlike("two options are alike in one draw and not in another")
            kinds.append(mine)
        cells = []
        for cell in product(*kinds):
            joint = [effect for some in cell for effect in some]
            if len(joint) > 1:
                joint.sort(key=lambda effect: effect.rank)
            cells.append(joint)
        return cells

    def _same(self, one: Sequence[Effect], two: Sequence[Effect]) -> bool:
        for a, b in zip(one, two, strict=True):
            mine, theirs = self.effects.get(id(a)), self.effects.get(id(b))
            if mine is theirs:
                continue
            if mine is None or theirs is None:
                return False
            for x, y in zip(mine, theirs, strict=True):
                if x is not y and (x is None or y is None or not np.array_equal(x, y)):
                    return False
        return True


def _effects(
    figures: Figures, drawn: Mapping[Place, Floats]
) -> Mapping[int, tuple[Floats | None, Floats | None]]:
    found: dict[int, tuple[Floats | None, Floats | None]] = {}
    for place, lane in drawn.items():
        if place.kind != "effect":
            continue
        effect = figures.groups[place.group].options[place.option].effects[place.at]
        low, high = found.get(id(effect), (None, None))
        found[id(effect)] = (low, lane) if place.end == "high" else (lane, high)
    return found


def _needs(figures: Figures, drawn: Mapping[Place, Floats]) -> Mapping[int, Floats]:
    return {
        id(figures.groups[place.group].options[place.option].needs[place.at]): lane
        for place, lane in drawn.items()
        if place.kind == "need"
    }


def _plain(size: Size) -> tuple[Floats, Floats]:
    figures = np.array([row[:2] for row in size.flat.figures])
    return figures[None, :, 0], figures[None, :, 1]


def _rounded(cells: Sequence[Lane]) -> tuple[Floats, Floats]:
    """Draws × cells, rounded so that a range never gets narrower."""
    low = np.stack(np.broadcast_arrays(*[cell.low for cell in cells]), axis=1)
    high = np.stack(np.broadcast_arrays(*[cell.high for cell in cells]), axis=1)
    return np.floor(low + _HAIR), np.ceil(high - _HAIR)
