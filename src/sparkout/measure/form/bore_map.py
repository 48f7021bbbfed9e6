"""Diameters over level and direction as one frozen table, and the wear they show."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.measure.form.records import UndeterminedError
from sparkout.measure.form.two_point import Taper, taper, two_point_out_of_round

__all__ = ["BoreCell", "BoreMap", "bore_map", "wear_map"]


class BoreCell(NamedTuple):
    """One reading: level along the axis [mm], direction [°], value [mm]."""

    level: float
    direction: float
    value: float


@dataclass(frozen=True, slots=True)
class BoreMap:
    """Readings over levels (rising) and directions (rising); cells in that order, none twice."""

    levels: tuple[float, ...]
    directions: tuple[float, ...]
    cells: tuple[BoreCell, ...]

    @property
    def missing(self) -> tuple[tuple[float, float], ...]:
        """Level and direction of every place of the table that was not read."""
        read = {(cell.level, cell.direction) for cell in self.cells}
        return tuple(
            (level, direction)
            for level in self.levels
            for direction in self.directions
            if (level, direction) not in read
        )

    @property
    def largest(self) -> BoreCell:
        """The largest reading and where it is."""
        return max(self.cells, key=lambda cell: cell.value)

    @property
    def smallest(self) -> BoreCell:
        """The smallest reading and where it is."""
        return min(self.cells, key=lambda cell: cell.value)

    def at_level(self, level: float) -> tuple[BoreCell, ...]:
        """The readings of one level, by direction."""
        return tuple(cell for cell in self.cells if cell.level == level)

    def along(self, direction: float) -> tuple[BoreCell, ...]:
        """The readings of one direction, by level."""
        return tuple(cell for cell in self.cells if cell.direction == direction)

    def out_of_round(self) -> tuple[tuple[float, float], ...]:
        """Level and two-point out-of-round [mm] of each level read in two directions or more."""
        rows = ((level, self.at_level(level)) for level in self.levels)
        return tuple(
            (level, two_point_out_of_round([cell.value for cell in row]))
            for level, row in rows
            if len(row) > 1
        )

    def tapers(self) -> tuple[tuple[float, Taper], ...]:
        """Direction and taper of each direction read at two levels or more."""
        columns = ((direction, self.along(direction)) for direction in self.directions)
        return tuple(
            (
                direction,
                taper([cell.level for cell in column], [cell.value for cell in column]),
            )
            for direction, column in columns
            if len(column) > 1
        )


def bore_map(readings: Iterable[tuple[float, float, float]]) -> BoreMap:
    """A table of two-point readings for drawings and for wear.

    Sorted by level, then direction; places not read stay out of it and are listed as missing.

    readings: level [mm], direction [°] and diameter [mm] of each reading, in any order.
    Returns the table [mm].
    Holds for one bore or journal in one state (as found, or as left).
    Source: layout of the readings; common practice.
    Raises ValueError naming a place read twice; UndeterminedError where there is no reading.

    >>> table = bore_map([(90, 0, 100.03), (10, 90, 100.06), (10, 0, 100.10)])
    >>> table.levels, table.missing, round(table.out_of_round()[0][1], 6)
    ((10, 90), ((90, 90),), 0.04)
    """
    cells = sorted(BoreCell(*reading) for reading in readings)
    if not cells:
        raise UndeterminedError("a bore map needs at least one reading; found none")
    for before, after in itertools.pairwise(cells):
        if before[:2] == after[:2]:
            raise ValueError(
                f"level {after.level:g} mm, direction {after.direction:g} degrees is read twice: "
                f"{before.value:g} and {after.value:g}; expected one value for each place"
            )
    return BoreMap(
        tuple(sorted({cell.level for cell in cells})),
        tuple(sorted({cell.direction for cell in cells})),
        tuple(cells),
    )


def wear_map(table: BoreMap, unworn: float, journal: bool = False) -> BoreMap:
    """Wear at each place of a table against an unworn diameter.

    wear = reading − unworn for a bore, unworn − reading for a journal.

    table: diameters [mm].
    unworn: diameter where nothing has run, of the same part or the new limit [mm], above zero.
    journal: whether it is a shaft, which wears smaller [-].
    Returns the table of wear, diametral; below 0 where a place is tighter than unworn [mm].
    Holds for two-point wear: it does not say on which side the metal is gone.
    Source: common practice.
    Raises ValueError naming an unworn size that is not above zero.

    >>> wear_map(bore_map([(10, 0, 100.10), (90, 0, 100.03)]), 100.0).largest
    BoreCell(level=10, direction=0, value=0.09999999999999432)
    """
    if not unworn > 0.0:
        raise ValueError(f"unworn diameter is {unworn}; expected above 0")
    sign = -1.0 if journal else 1.0
    return BoreMap(
        table.levels,
        table.directions,
        tuple(
            BoreCell(cell.level, cell.direction, sign * (cell.value - unworn))
            for cell in table.cells
        ),
    )
