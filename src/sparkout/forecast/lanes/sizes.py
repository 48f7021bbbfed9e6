"""Sizes of all draws at once, as `sparkout.engine.state` works them out of readings one by one.

Values are in millionths of the base unit, as floats: whole ones are exact.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.characteristics import ALL, BY_NAME, Derive
from sparkout.engine.dimension import Key
from sparkout.engine.frame import Frame
from sparkout.engine.state import State
from sparkout.forecast.draws import Drawn, Plan
from sparkout.plan.sizes import MICRO

__all__ = ["Lane", "Lanes", "lanes_of"]

Floats = NDArray[np.float64]


class Lane(NamedTuple):
    """Lowest and highest value of a size in every draw."""

    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Spots:
    """Readings of one characteristic of one feature: where, and draws × places."""

    places: tuple[tuple[str, str], ...]
    values: Floats


@dataclass(slots=True, eq=False)
class Lanes:
    """Sizes that differ between draws; a size that is not here is the same in all."""

    count: int
    sizes: dict[Key, Lane] = field(default_factory=dict)

    def of(self, key: Key, state: State) -> Lane | None:
        """A size in every draw; None where it is not known."""
        lane = self.sizes.get(key)
        if lane is not None:
            return lane
        size = state.sizes.get(key)
        if size is None:
            return None
        low, high = float(size.low.value * MICRO), float(size.high.value * MICRO)
        return Lane(np.full(self.count, low), np.full(self.count, high))


def lanes_of(plan: Plan, drawn: Sequence[Drawn], state: State) -> Lanes:
    """Sizes of blocks of draws. state: of any one, for what was read and does not differ."""
    steps = np.concatenate([block.steps for block in drawn])
    values = np.concatenate([block.values for block in drawn])
    lanes = Lanes(len(steps))
    spots: dict[Key, _Spots] = {}
    for key, columns in _by_key(plan).items():
        sizes = np.array([float(plan.step[k] * MICRO) for k in columns])
        places = tuple((plan.spots[k].level, plan.spots[k].direction) for k in columns)
        spots[key] = _Spots(places, steps[:, columns] * sizes)
    for key, group in spots.items():
        lanes.sizes[key] = _direct(key, group)
    for at, row in enumerate(plan.rows):
        if row.test:
            failed = np.where(values[:, at] > 0.0, float(MICRO), 0.0)
            lanes.sizes[row.key] = Lane(failed, failed)
    frame = state.frame
    for characteristic in ALL:
        if not characteristic.basis or characteristic.derive is Derive.FIT:
            continue
        for feature in frame.of_kind(characteristic.feature):
            group_ = spots.get(Key(feature.name, characteristic.basis))
            if group_ is None:
                continue
            wide = _derived(characteristic.derive, group_)
            if wide is not None:
                lanes.sizes.setdefault(Key(feature.name, characteristic.name), Lane(wide, wide))
    known = _Known(lanes, spots, state)
    for add in (_deck_over_bores, _clean_up, _thrust_gap, _injector_reach, _old_flange):
        for key, lane in add(frame, known).items():
            lanes.sizes.setdefault(key, lane)
    return lanes


def _by_key(plan: Plan) -> Mapping[Key, list[int]]:
    found: dict[Key, list[int]] = {}
    for k, spot in enumerate(plan.spots):
        found.setdefault(spot.key, []).append(k)
    return found


def _direct(key: Key, spots: _Spots) -> Lane:
    low, high = spots.values.min(axis=1), spots.values.max(axis=1)
    derive = BY_NAME[key.characteristic].derive
    if derive is Derive.GAP:
        return Lane(high, high)
    if derive is Derive.SMALLEST:
        return Lane(low, low)
    return Lane(low, high)


def _derived(derive: Derive, spots: _Spots) -> Floats | None:
    match derive:
        case Derive.OUT_OF_ROUND:
            names = [level for level, _ in spots.places]
        case Derive.TAPER:
            names = [direction for _, direction in spots.places]
        case Derive.SPREAD:
            names = [""] * len(spots.places)
        case _:
            return None
    widest: Floats | None = None
    for name in dict.fromkeys(names):
        mine = [k for k, own in enumerate(names) if own == name]
        if len(mine) < 2:
            continue
        group = spots.values[:, mine]
        width = group.max(axis=1) - group.min(axis=1)
        widest = width if widest is None else np.maximum(widest, width)
    return widest


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    lanes: Lanes
    spots: Mapping[Key, _Spots]
    state: State

    def drawn(self, feature: str, characteristic: str) -> _Spots | None:
        return self.spots.get(Key(feature, characteristic))

    def read(self, feature: str, characteristic: str) -> _Spots | None:
        """Readings drawn, or those taken, which are the same in all draws."""
        key = Key(feature, characteristic)
        drawn = self.spots.get(key)
        if drawn is not None:
            return drawn
        taken = self.state.spots.get(key)
        if not taken:
            return None
        row = [float(spot.estimate.value * MICRO) for spot in taken]
        places = tuple((spot.level, spot.direction) for spot in taken)
        return _Spots(places, np.tile(np.array(row), (self.lanes.count, 1)))

    def any_drawn(self, *keys: Key) -> bool:
        return any(key in self.spots for key in keys)


def _deck_over_bores(frame: Frame, known: _Known) -> dict[Key, Lane]:
    found = {}
    for bank in frame.banks:
        group = known.drawn(f"deck{frame.bank_suffix(bank)}", "deck height")
        if group is None:
            continue
        ends = {level: k for k, (level, _) in enumerate(group.places)}
        for cylinder in bank.cylinders:
            key = Key(f"deck at bore {cylinder}", "deck height")
            if "front" in ends and "rear" in ends:
                along = float(Fraction(frame.along(cylinder)).limit_denominator(1000))
                front, rear = group.values[:, ends["front"]], group.values[:, ends["rear"]]
                value = front * (1 - along) + rear * along
                found[key] = Lane(value, value)
            else:
                found[key] = Lane(group.values.min(axis=1), group.values.max(axis=1))
    return found


def _clean_up(frame: Frame, known: _Known) -> dict[Key, Lane]:
    found = {}
    for feature in frame.of_kind("bore"):
        bore = Key(feature.name, "bore diameter")
        score = Key(feature.name, "bore score depth")
        if not known.any_drawn(bore, score):
            continue
        group = known.read(*bore)
        if group is None:
            continue
        unworn, worn = group.values.min(axis=1), group.values.max(axis=1)
        depth = worn - unworn
        scores = known.read(*score)
        if scores is not None:
            depth = np.maximum(depth, scores.values.max(axis=1))
        size = unworn + 2 * depth
        found[Key(feature.name, "bore clean-up diameter")] = Lane(size, size)
    for kind in ("main journal", "rod journal"):
        for feature in frame.of_kind(kind):
            group = known.drawn(feature.name, f"{kind} diameter")
            if group is not None:
                size = 2 * group.values.min(axis=1) - group.values.max(axis=1)
                found[Key(feature.name, f"{kind} clean-up diameter")] = Lane(size, size)
    return found


def _thrust_gap(frame: Frame, known: _Known) -> dict[Key, Lane]:
    play, washers = ("crankshaft", "end play"), ("crankshaft", "thrust washer thickness")
    if not known.any_drawn(Key(*play), Key(*washers)):
        return {}
    gap = known.lanes.of(Key(*play), known.state)
    group = known.read(*washers)
    if gap is None or group is None:
        return {}
    first = group.values[:, 0]
    both = first + group.values[:, 1] if len(group.places) > 1 else 2 * first
    return {Key("crankshaft", "thrust gap"): Lane(gap.low + both, gap.high + both)}


def _injector_reach(frame: Frame, known: _Known) -> dict[Key, Lane]:
    found = {}
    for feature in frame.of_kind("injector"):
        keys = (
            Key(feature.name, "injector projection"),
            Key(feature.name, "injector washer thickness"),
        )
        out, washer = (known.lanes.of(key, known.state) for key in keys)
        if known.any_drawn(*keys) and out is not None and washer is not None:
            reach = Lane(out.low + washer.low, out.high + washer.high)
            found[Key(feature.name, "injector reach")] = reach
    return found


def _old_flange(frame: Frame, known: _Known) -> dict[Key, Lane]:
    found = {}
    for feature in frame.of_kind("liner"):
        out = Key(feature.name, "liner protrusion")
        ledge = Key(f"ledge {feature.number}", "ledge depth")
        stands = known.lanes.of(out, known.state)
        group = known.read(*ledge)
        if known.any_drawn(out, ledge) and stands is not None and group is not None:
            mean = group.values.mean(axis=1)
            flange = Lane(stands.low + mean, stands.high + mean)
            found[Key(feature.name, "liner flange thickness")] = flange
    return found
