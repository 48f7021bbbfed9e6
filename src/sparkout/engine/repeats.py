"""Several readings of one place: their mean, not their extremes, is the size there.

Extremes decide over places, where wear differs; between readings of one place only the gauge and
the hand differ, and their mean is the better value (JCGM 100:2008, 4.2.1). Gaps tried with blades
narrow one another: what both say is true.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.spots import Spot
from sparkout.measure.estimate import Component, Estimate, Shape

__all__ = ["merged"]

_ROOT3 = 3.0**0.5


def merged(spots: Sequence[Spot], *, repeats: bool = False) -> Sequence[Spot]:
    """One spot for each place that was read more than once, the others as they are.

    A place is a level or a direction that was said; readings without either are different places,
    unless the trade reads the characteristic by repeats (end play: pry both ways three times).
    """
    groups: dict[tuple[object, ...], list[Spot]] = {}
    for at, spot in enumerate(spots):
        named = bool(spot.level or spot.direction) or repeats
        blades = _blades(spot) is not None
        place = (spot.level, spot.direction, spot.phase, spot.part, blades)
        groups.setdefault(place if named else (at,), []).append(spot)
    if len(groups) == len(spots):
        return spots
    return tuple(_one(group) for group in groups.values())


def _one(group: Sequence[Spot]) -> Spot:
    if len(group) == 1:
        return group[0]
    also = tuple(entry for spot in group[:-1] for entry in spot.entries)
    if _blades(group[0]) is not None:
        return replace(_narrowed(group), also=also)
    total = Estimate(Fraction(0))
    for spot in group:
        total = total + spot.estimate.scaled(Fraction(1, len(group)))
    return replace(group[-1], estimate=total, also=also)


def _narrowed(group: Sequence[Spot]) -> Spot:
    """The gap between the thickest blade that went and the thinnest that did not.

    Where they contradict one another the last word counts.
    """
    last = group[-1]
    ends = [both for spot in group if (both := _blades(spot)) is not None]
    low = max(end for end, _ in ends)
    closed = [end for _, end in ends if end is not None]
    high = min(closed, default=None)
    if high is not None and low >= high:
        return last
    plain = [part for part in last.estimate.components if not part.source.startswith("blades")]
    if high is None:
        return replace(last, estimate=Estimate(low, tuple(plain)))
    half = float(high - low) / 2
    names = [
        part.source
        for spot in group
        for part in spot.estimate.components
        if part.source.startswith("blades")
    ]
    plain.append(Component(names[-1], half / _ROOT3, Shape.RECTANGULAR))
    return replace(last, estimate=Estimate((low + high) / 2, tuple(plain)), above=None)


def _blades(spot: Spot) -> tuple[Fraction, Fraction | None] | None:
    """The blade that goes and the one that does not; None for a reading on a scale."""
    if spot.above is not None:
        return spot.estimate.value, None
    for part in spot.estimate.components:
        if part.source.startswith("blades"):
            half = Fraction(abs(part.u) * _ROOT3).limit_denominator(1_000_000)
            return spot.estimate.value - half, spot.estimate.value + half
    return None
