"""The trade's ways from several readings to one characteristic.

Extremes decide in this trade; a mean hides wear. Differences are taken between estimates, so that
an error two readings share (the setting master) drops out of their difference.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.characteristics import Characteristic, Derive
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.repeats import merged
from sparkout.engine.spots import Spot, extremes, highest, lowest
from sparkout.measure.estimate import Estimate

__all__ = ["bore_clean_up", "derived", "direct", "journal_clean_up"]


def direct(key: Key, characteristic: Characteristic, spots: Sequence[Spot]) -> Dimension:
    """The value of a characteristic that was itself read."""
    how = How.NEW_PART if all(spot.phase == "new part" for spot in spots) else How.MEASURED
    spots = merged(spots, repeats="repeats" in characteristic.places)
    if characteristic.derive is Derive.GAP:
        worst = highest(spots)
        return replace(_one(key, worst.estimate, (worst,), how), high=worst.highest)
    if characteristic.derive is Derive.SMALLEST:
        worst = lowest(spots)
        return _one(key, worst.estimate, (worst,), how)
    low, high = lowest(spots), highest(spots)
    return Dimension(
        key,
        low.estimate,
        high.highest,
        how,
        tuple(entry for spot in spots for entry in spot.entries),
        low.place,
        high.place,
    )


def derived(key: Key, characteristic: Characteristic, spots: Sequence[Spot]) -> Dimension | None:
    """The value of a characteristic that is worked out from readings of its basis."""
    spots = merged(spots)
    match characteristic.derive:
        case Derive.OUT_OF_ROUND:
            return _widest(key, _by(spots, "level"))
        case Derive.TAPER:
            return _widest(key, _by(spots, "direction"))
        case Derive.SPREAD:
            return _widest(key, (spots,))
        case _:
            return None


def bore_clean_up(key: Key, spots: Sequence[Spot], scores: Sequence[Spot]) -> Dimension:
    """Smallest diameter that cleans the bore up on its original centre.

    D_unworn + 2 × deepest wear or score below the unworn wall. Two-point readings do not say which
    side is worn, so all of the wear is taken to be on one side: the worst case (common practice).
    Scores are radial depths from the unworn wall.
    """
    spots = merged(spots)
    unworn, worn = extremes(spots)
    depth = worn.estimate - unworn.estimate
    deciding: Spot = worn
    if scores:
        deepest = highest(scores)
        if deepest.estimate.value > depth.value:
            depth, deciding = deepest.estimate, deepest
    size = unworn.estimate + depth.scaled(2)
    return _one(key, size, (unworn, deciding), How.WORKED_OUT)


def journal_clean_up(key: Key, spots: Sequence[Spot]) -> Dimension:
    """Largest diameter at which a journal cleans up on its original centre.

    d_unworn − 2 × wear, all of the wear taken to be on one side: the worst case (common practice).
    """
    spots = merged(spots)
    worn, unworn = extremes(spots)
    size = unworn.estimate - (unworn.estimate - worn.estimate).scaled(2)
    return _one(key, size, (unworn, worn), How.WORKED_OUT)


def _one(key: Key, value: Estimate, spots: Sequence[Spot], how: How) -> Dimension:
    return Dimension(
        key,
        value,
        value,
        how,
        tuple(dict.fromkeys(entry for spot in spots for entry in spot.entries)),
        spots[0].place,
        spots[-1].place,
    )


def _by(spots: Sequence[Spot], axis: str) -> Iterable[Sequence[Spot]]:
    groups: dict[str, list[Spot]] = {}
    for spot in spots:
        groups.setdefault(getattr(spot, axis), []).append(spot)
    return groups.values()


def _widest(key: Key, groups: Iterable[Sequence[Spot]]) -> Dimension | None:
    """The group whose readings differ most; None when no group has two readings to compare."""
    best: tuple[Fraction, Spot, Spot] | None = None
    for group in groups:
        if len(group) < 2:
            continue
        low, high = extremes(group)
        width = high.estimate.value - low.estimate.value
        if best is None or width > best[0]:
            best = (width, low, high)
    if best is None:
        return None
    _, low, high = best
    return Dimension(
        key,
        high.estimate - low.estimate,
        high.estimate - low.estimate,
        How.WORKED_OUT,
        (*low.entries, *high.entries),
        low.place,
        high.place,
    )
