"""The line of the main bores: each saddle against the ends and its neighbours, and the whole."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.measure.form.axis import associated_axis
from sparkout.measure.form.line import associated_line
from sparkout.measure.form.records import UndeterminedError

__all__ = ["LineUp", "Saddle", "line_up"]


@dataclass(frozen=True, slots=True)
class Saddle:
    """One bore of the line; mm.

    height, side: deviation from the straight line through the centres of the end bores.
    """

    station: float
    height: float
    side: float

    @property
    def off(self) -> float:
        """How far the centre lies off the line of the end bores, whatever the side [mm]."""
        return math.hypot(self.height, self.side)


@dataclass(frozen=True, slots=True)
class LineUp:
    """Line-up of a row of bores; lengths in mm.

    steps: relative line-up of each bore and the next: difference of their deviations.
    kinks: how far each inner bore lies off the straight line through its two neighbours.
    upright, sideways: straightness of the whole line in each plane, peak to valley, minimum zone.
    straightness: of the whole line in space: diameter of the thinnest cylinder round the centres.
    deciders: bores that hold that cylinder. sideways and straightness equal 0 and upright where no
    sideways readings are given.
    """

    saddles: tuple[Saddle, ...]
    steps: tuple[float, ...]
    kinks: tuple[float, ...]
    upright: float
    sideways: float
    straightness: float
    deciders: tuple[int, ...]
    warnings: tuple[str, ...]

    @property
    def worst(self) -> int:
        """Place of the bore farthest off the line of the end bores."""
        return max(range(len(self.saddles)), key=lambda place: self.saddles[place].off)

    @property
    def worst_step(self) -> int:
        """Place of the first of the two neighbours that differ most."""
        return max(range(len(self.steps)), key=lambda place: self.steps[place])


def line_up(
    stations: Sequence[float], heights: Sequence[float], sides: Sequence[float] | None = None
) -> LineUp:
    """Line-up of the main bores from the height of each saddle, and sideways if read.

    Deviation: from the straight line through both end bores. Step: difference of neighbouring
    deviations. Kink: from the line through both neighbours. Straightness: minimum zone.

    stations: place of each bore along the block, one after another [mm], at least 3.
    heights: of each centre, or of each saddle of one size, over any straight bar or arbor [mm].
    sides: sideways place of each centre over the same bar [mm], or None if not read.
    Returns deviations, steps, kinks and straightness [mm].
    Holds for saddles of one diameter, caps torqued: heights of unlike bores differ by half their
        difference of diameter, which is not line-up.
    Source: ISO 1101 straightness of a median line; deviation from end bores and neighbours: common
        practice.
    Raises ValueError where lengths differ or stations do not rise; UndeterminedError for fewer
        than 3 bores.

    >>> found = line_up([0, 100, 200, 300], [0, 0.02, 0.01, 0])
    >>> [round(step, 6) for step in found.steps], found.worst
    ([0.02, 0.01, 0.01], 1)
    """
    across = [0.0] * len(stations) if sides is None else [float(side) for side in sides]
    if not len(stations) == len(heights) == len(across):
        raise ValueError(
            f"found {len(stations)} stations, {len(heights)} heights and {len(across)} sideways "
            "readings; expected as many of each"
        )
    if len(stations) < 3:
        raise UndeterminedError(f"a line-up needs 3 bores or more; found {len(stations)}")
    for before, after in itertools.pairwise(stations):
        if not after > before:
            raise ValueError(f"station {after:g} follows {before:g}; expected rising stations")
    length = stations[-1] - stations[0]
    saddles = []
    for station, height, side in zip(stations, heights, across, strict=True):
        part = (station - stations[0]) / length
        saddles.append(
            Saddle(
                station,
                height - heights[0] - part * (heights[-1] - heights[0]),
                side - across[0] - part * (across[-1] - across[0]),
            )
        )
    steps = tuple(
        math.hypot(second.height - first.height, second.side - first.side)
        for first, second in itertools.pairwise(saddles)
    )
    kinks = tuple(_kink(*three) for three in zip(saddles, saddles[1:], saddles[2:], strict=False))
    upright = associated_line([(one.station, one.height) for one in saddles])
    words = []
    if sides is None:
        words.append("sideways line-up was not read: the line is straight upright only as shown")
        sideways, straightness = 0.0, upright.form
        deciders = tuple(sorted({contact.index for contact in upright.contacts}))
    else:
        sideways = associated_line([(one.station, one.side) for one in saddles]).form
        line = associated_axis([(one.side, one.height, one.station) for one in saddles])
        straightness = line.form
        deciders = tuple(
            sorted({contact.index for contact in line.contacts if contact.share > 0.0})
        )
    if len(saddles) == 3:
        words.append("3 bores show one kink only; which of them lies off cannot be told")
    return LineUp(
        tuple(saddles), steps, kinks, upright.form, sideways, straightness, deciders, tuple(words)
    )


def _kink(before: Saddle, middle: Saddle, after: Saddle) -> float:
    """Distance of a centre from the straight line through its neighbours' centres."""
    part = (middle.station - before.station) / (after.station - before.station)
    return math.hypot(
        middle.height - before.height - part * (after.height - before.height),
        middle.side - before.side - part * (after.side - before.side),
    )
