"""The bend of a shaft on V-blocks: how far each journal's centre lies off, and to which side."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.measure.form.axis import associated_axis
from sparkout.measure.form.records import UndeterminedError

__all__ = ["JournalBend", "NeighbourBend", "ShaftBend", "bend_of", "shaft_bend"]


@dataclass(frozen=True, slots=True)
class JournalBend:
    """Offset of one journal's centre from the line of the supports; x, y and amount in mm.

    direction: side to which it lies [°].
    """

    station: float
    x: float
    y: float

    @property
    def amount(self) -> float:
        """How far the centre lies off, half the TIR [mm]."""
        return math.hypot(self.x, self.y)

    @property
    def direction(self) -> float:
        """Side to which the centre lies [°]."""
        return math.degrees(math.atan2(self.y, self.x)) % 360.0


@dataclass(frozen=True, slots=True)
class NeighbourBend:
    """Offset of one journal against the next [mm], and the TIR between the two [mm]."""

    first: int
    second: int
    offset: float

    @property
    def tir(self) -> float:
        """What an indicator on one would show with the shaft turned about the other [mm]."""
        return 2.0 * self.offset


@dataclass(frozen=True, slots=True)
class ShaftBend:
    """Bend of a shaft: per journal, between neighbours, and of the whole line of centres.

    straightness: diameter of the thinnest cylinder that holds all the centres [mm].
    """

    journals: tuple[JournalBend, ...]
    neighbours: tuple[NeighbourBend, ...]
    straightness: float
    warnings: tuple[str, ...]

    @property
    def worst(self) -> JournalBend:
        """The journal that lies farthest off the line of the supports."""
        return max(self.journals, key=lambda journal: journal.amount)

    @property
    def worst_neighbours(self) -> NeighbourBend:
        """The two neighbours that differ most, side for side."""
        return max(self.neighbours, key=lambda pair: pair.offset)


def bend_of(tir: float) -> float:
    """Bend from a total indicator reading: half of it.

    bend = TIR/2: turning once, the centre swings from one side to the other.

    tir: total indicator reading on a round journal [mm], 0 or more.
    Returns the offset of the centre [mm].
    Holds for a journal whose own roundness is small against the bend. Some tables mean the full
        reading by "bend"; say which with every limit.
    Source: common practice (TM 10-3930-653-14&P halves the reading).
    Raises ValueError naming the value where it is below zero.

    >>> bend_of(0.05)
    0.025
    """
    if not tir >= 0.0:
        raise ValueError(f"total indicator reading is {tir}; expected 0 or more")
    return 0.5 * tir


def shaft_bend(
    stations: Sequence[float], tirs: Sequence[float], highs: Sequence[float]
) -> ShaftBend:
    """Bend of a shaft with its direction, from indicator readings on V-blocks.

    Centre of each journal = TIR/2 towards its high spot. Neighbours are compared as vectors: highs
    on opposite sides add up, on the same side they subtract, at a right angle they add as squares.

    stations: place of each journal along the shaft, one after another [mm], at least 2.
    tirs: total indicator reading at each journal, 0 at the supports [mm].
    highs: turn of the shaft at which the indicator shows most [°]; any where the TIR is 0.
    Returns offsets per journal, between neighbours, and the straightness of the line [mm].
    Holds where the journals are round against the bend, and the V-blocks carry the same two.
    Source: common practice; the rule of sides as in TM 9-2815-202-34 (adjacent journals).
    Raises ValueError where lengths differ, stations do not rise or a TIR is below 0;
        UndeterminedError for fewer than 2 journals.

    >>> found = shaft_bend([0, 100, 200, 300], [0, 0.04, 0.04, 0], [0, 0, 180, 0])
    >>> found.worst.amount, found.worst_neighbours.tir
    (0.02, 0.08)
    """
    if not len(stations) == len(tirs) == len(highs):
        raise ValueError(
            f"found {len(stations)} stations, {len(tirs)} readings and {len(highs)} high spots; "
            "expected as many of each"
        )
    if len(stations) < 2:
        raise UndeterminedError(f"a bend needs 2 journals or more; found {len(stations)}")
    for before, after in itertools.pairwise(stations):
        if not after > before:
            raise ValueError(f"station {after:g} follows {before:g}; expected rising stations")
    journals = tuple(
        JournalBend(
            station,
            bend_of(tir) * math.cos(math.radians(high)),
            bend_of(tir) * math.sin(math.radians(high)),
        )
        for station, tir, high in zip(stations, tirs, highs, strict=True)
    )
    neighbours = tuple(
        NeighbourBend(place, place + 1, math.hypot(second.x - first.x, second.y - first.y))
        for place, (first, second) in enumerate(itertools.pairwise(journals))
    )
    line = associated_axis([(one.x, one.y, one.station) for one in journals])
    words = ["an oval or lobed journal adds to its TIR: check its roundness before straightening"]
    if min(tirs) > 0.0:
        words.append("no journal reads 0: the supports themselves are not on the list, or run out")
    return ShaftBend(journals, neighbours, line.form, tuple(words))
