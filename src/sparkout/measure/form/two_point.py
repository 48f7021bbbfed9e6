"""Local sizes: what a micrometer or a bore gauge reads between two opposite points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.measure.form.records import UndeterminedError

__all__ = ["Taper", "TwoPointSize", "taper", "two_point_out_of_round", "two_point_sizes"]


class TwoPointSize(NamedTuple):
    """A local two-point size; direction from 0 up to 180 [°], diameter [mm]."""

    direction: float
    diameter: float


class Taper(NamedTuple):
    """Difference of diameter along one direction [mm], and the levels of the extremes [mm]."""

    amount: float
    widest_level: float
    narrowest_level: float

    @property
    def length(self) -> float:
        """Distance between the two levels [mm]."""
        return abs(self.widest_level - self.narrowest_level)


def two_point_sizes(
    angles: Sequence[float], radii: Sequence[float], within: float = 0.5
) -> tuple[TwoPointSize, ...]:
    """Local two-point diameters of a trace: opposite readings added up.

    d(a) = r(a) + r(a + 180).

    angles: direction of each reading [°].
    radii: distance of each reading from the centre of the trace [mm].
    within: how far from opposite the partner may lie [°], above zero.
    Returns one size per pair, by direction [°, mm].
    Holds where the centre of the trace lies close to the middle of the part.
    Source: ISO 14405-1, two-point size (LP); recalled from memory.
    Raises ValueError where lengths differ; UndeterminedError naming a direction without opposite
        reading.

    >>> two_point_sizes([0, 90, 180, 270], [10.0, 10.1, 10.0, 10.1])[1]
    TwoPointSize(direction=90.0, diameter=20.2)
    """
    if len(angles) != len(radii):
        raise ValueError(
            f"found {len(angles)} directions and {len(radii)} readings; expected as many"
        )
    turns = [float(angle) % 360.0 for angle in angles]
    sizes = []
    for place, (turn, radius) in enumerate(zip(turns, radii, strict=True)):
        partners = [
            (abs((other - turn) % 360.0 - 180.0), index) for index, other in enumerate(turns)
        ]
        away, index = min(partners, default=(math.inf, place))
        if away > within:
            raise UndeterminedError(
                f"no reading opposite {angles[place]:g} degrees (the nearest is {away:.3g} degrees "
                "off); two-point sizes need opposite readings"
            )
        if turn < 180.0:
            sizes.append(TwoPointSize(turn, radius + radii[index]))
    return tuple(sorted(sizes))


def two_point_out_of_round(diameters: Sequence[float]) -> float:
    """Out-of-round as the trade reads it: largest less smallest diameter at one level.

    max(d) − min(d), the full difference and not half of it.

    diameters: two-point readings at one level, at least 2 directions [mm].
    Returns the out-of-round, diametral [mm].
    Holds for two-point readings: it is 0 for a part of 3, 5, 7 … lobes, and it is not the
        roundness of ISO 12181, which is radial.
    Source: common practice; lobes: ISO 4292 (recalled from memory).
    Raises UndeterminedError for fewer than two readings.

    >>> round(two_point_out_of_round([100.12, 100.05]), 6)
    0.07
    """
    if len(diameters) < 2:
        raise UndeterminedError(
            f"out-of-round needs readings in 2 directions or more; found {len(diameters)}"
        )
    return max(diameters) - min(diameters)


def taper(levels: Sequence[float], diameters: Sequence[float]) -> Taper:
    """Taper as the trade reads it: largest less smallest diameter along one direction.

    max(d) − min(d) over the levels of one direction.

    levels: place of each reading along the axis [mm].
    diameters: two-point readings in one direction, at least 2 levels [mm].
    Returns the amount and the levels of the extremes [mm].
    Holds for any shape along the axis: a barrel or an hour-glass counts too, so the extremes need
        not lie at the ends.
    Source: common practice.
    Raises ValueError where lengths differ; UndeterminedError for fewer than two readings.

    >>> found = taper([10, 60, 120], [100.10, 100.06, 100.03])
    >>> round(found.amount, 6), found.widest_level, found.narrowest_level
    (0.07, 10, 120)
    """
    if len(levels) != len(diameters):
        raise ValueError(
            f"found {len(levels)} levels and {len(diameters)} readings; expected as many"
        )
    if len(diameters) < 2:
        raise UndeterminedError(f"taper needs readings at 2 levels or more; found {len(levels)}")
    widest = max(range(len(levels)), key=lambda place: diameters[place])
    narrowest = min(range(len(levels)), key=lambda place: diameters[place])
    return Taper(diameters[widest] - diameters[narrowest], levels[widest], levels[narrowest])
