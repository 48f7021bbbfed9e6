"""The measured state of an engine: what every feature is known to be, now and as it was found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.characteristics import ALL, BY_NAME, Derive
from sparkout.engine.derive import bore_clean_up, derived, direct, journal_clean_up
from sparkout.engine.derive_form import forms
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import Frame
from sparkout.engine.spots import Spot, TestResult
from sparkout.measure.estimate import Estimate

__all__ = ["State", "measured_state"]


@dataclass(frozen=True, slots=True)
class State:
    """What is known about one engine.

    sizes: every characteristic that has a value now; found: the same as it came in. spots: the
    readings behind each. tests: passed or failed. new_parts: sizes of parts in hand that are not
    fitted, by part name. standing: how far from standard a feature already is (−0.25 mm for
    journals ground before), by characteristic and feature.
    """

    frame: Frame
    sizes: Mapping[Key, Dimension]
    found: Mapping[Key, Dimension]
    spots: Mapping[Key, tuple[Spot, ...]]
    tests: Mapping[Key, TestResult]
    new_parts: Mapping[str, Mapping[Key, Dimension]]
    standing: Mapping[Key, Fraction] = field(default_factory=lambda: MappingProxyType({}))

    def size(self, feature: str, characteristic: str) -> Dimension | None:
        return self.sizes.get(Key(feature, characteristic))


def measured_state(
    frame: Frame,
    spots: Iterable[Spot],
    tests: Iterable[TestResult] = (),
    standing: Mapping[Key, Fraction] | None = None,
) -> State:
    """The state from located readings, in the order they were taken.

    Readings as left replace those as found for the same characteristic of the same feature;
    readings on new parts wait under the part's name until it is fitted.
    """
    old: dict[Key, list[Spot]] = {}
    left: dict[Key, list[Spot]] = {}
    parts: dict[str, dict[Key, list[Spot]]] = {}
    for spot in spots:
        if spot.phase == "new part":
            parts.setdefault(spot.part, {}).setdefault(spot.key, []).append(spot)
        elif spot.phase in ("left", "mock-up"):
            left.setdefault(spot.key, []).append(spot)
        else:
            old.setdefault(spot.key, []).append(spot)
    found = _sizes(frame, old)
    now = {**old, **left}
    sizes = _sizes(frame, now)
    new_parts = {
        name: MappingProxyType(
            {key: direct(key, BY_NAME[key.characteristic], group) for key, group in keyed.items()}
        )
        for name, keyed in parts.items()
    }
    return State(
        frame,
        MappingProxyType(sizes),
        MappingProxyType(found),
        MappingProxyType({key: tuple(group) for key, group in now.items()}),
        MappingProxyType({test.key: test for test in tests}),
        MappingProxyType(new_parts),
        MappingProxyType(dict(standing or {})),
    )


def _sizes(frame: Frame, spots: Mapping[Key, Sequence[Spot]]) -> dict[Key, Dimension]:
    sizes = {key: direct(key, BY_NAME[key.characteristic], group) for key, group in spots.items()}
    for characteristic in ALL:
        if not characteristic.basis or characteristic.derive is Derive.FIT:
            continue
        for feature in frame.of_kind(characteristic.feature):
            group = spots.get(Key(feature.name, characteristic.basis))
            if group:
                key = Key(feature.name, characteristic.name)
                value = derived(key, characteristic, group)
                if value is not None:
                    sizes.setdefault(key, value)
    for value in forms(frame, spots):
        # read both ways round, or at two points over the pin: that goes before its single readings
        sizes[value.key] = value if value.key in spots else sizes.get(value.key, value)
    for add in (_deck_over_bores, _clean_up, _thrust_gap, _injector_reach, _old_flange):
        for value in add(frame, spots, sizes):
            sizes.setdefault(value.key, value)
    return sizes


Adder = Callable[[Frame, Mapping[Key, Sequence[Spot]], Mapping[Key, Dimension]], list[Dimension]]


def _deck_over_bores(
    frame: Frame, spots: Mapping[Key, Sequence[Spot]], sizes: Mapping[Key, Dimension]
) -> list[Dimension]:
    """Deck height over each bore, in a straight line between what was read at both ends."""
    values = []
    for bank in frame.banks:
        group = spots.get(Key(f"deck{frame.bank_suffix(bank)}", "deck height"))
        if not group:
            continue
        ends = {spot.level: spot for spot in group}
        front, rear = ends.get("front"), ends.get("rear")
        for cylinder in bank.cylinders:
            key = Key(f"deck at bore {cylinder}", "deck height")
            if front is not None and rear is not None:
                along = Fraction(frame.along(cylinder)).limit_denominator(1000)
                value = front.estimate.scaled(1 - along) + rear.estimate.scaled(along)
                entries: tuple[str, ...] = (front.entry, rear.entry)
                values.append(Dimension(key, value, value, How.WORKED_OUT, entries))
            else:
                whole = direct(key, BY_NAME["deck height"], group)
                values.append(replace(whole, how=How.WORKED_OUT))
    return values


def _clean_up(
    frame: Frame, spots: Mapping[Key, Sequence[Spot]], sizes: Mapping[Key, Dimension]
) -> list[Dimension]:
    values = []
    for feature in frame.of_kind("bore"):
        group = spots.get(Key(feature.name, "bore diameter"))
        if group:
            scores = spots.get(Key(feature.name, "bore score depth"), ())
            key = Key(feature.name, "bore clean-up diameter")
            values.append(bore_clean_up(key, group, scores))
    for kind in ("main journal", "rod journal"):
        for feature in frame.of_kind(kind):
            group = spots.get(Key(feature.name, f"{kind} diameter"))
            if group:
                key = Key(feature.name, f"{kind} clean-up diameter")
                values.append(journal_clean_up(key, group))
    return values


def _thrust_gap(
    frame: Frame, spots: Mapping[Key, Sequence[Spot]], sizes: Mapping[Key, Dimension]
) -> list[Dimension]:
    """The gap both thrust washers stand in: end play as found plus the two old washers."""
    play = sizes.get(Key("crankshaft", "end play"))
    washers = spots.get(Key("crankshaft", "thrust washer thickness"), ())
    if play is None or not washers:
        return []
    both = (
        washers[0].estimate + washers[1].estimate
        if len(washers) > 1
        else washers[0].estimate.scaled(2)
    )
    key = Key("crankshaft", "thrust gap")
    return [Dimension(key, play.low + both, play.high + both, How.WORKED_OUT, play.entries)]


def _injector_reach(
    frame: Frame, spots: Mapping[Key, Sequence[Spot]], sizes: Mapping[Key, Dimension]
) -> list[Dimension]:
    values = []
    for feature in frame.of_kind("injector"):
        out = sizes.get(Key(feature.name, "injector projection"))
        washer = sizes.get(Key(feature.name, "injector washer thickness"))
        if out is not None and washer is not None:
            key = Key(feature.name, "injector reach")
            low, high = out.low + washer.low, out.high + washer.high
            values.append(Dimension(key, low, high, How.WORKED_OUT, out.entries))
    return values


def _old_flange(
    frame: Frame, spots: Mapping[Key, Sequence[Spot]], sizes: Mapping[Key, Dimension]
) -> list[Dimension]:
    """Flange of a liner still in the block: its protrusion plus the depth of its ledge."""
    values = []
    for feature in frame.of_kind("liner"):
        out = sizes.get(Key(feature.name, "liner protrusion"))
        ledge = spots.get(Key(f"ledge {feature.number}", "ledge depth"))
        if out is None or not ledge:
            continue
        mean = Estimate(Fraction(0))
        for spot in ledge:
            mean = mean + spot.estimate.scaled(Fraction(1, len(ledge)))
        key = Key(feature.name, "liner flange thickness")
        values.append(Dimension(key, out.low + mean, out.high + mean, How.WORKED_OUT, out.entries))
    return values
