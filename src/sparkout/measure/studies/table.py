"""Readings of a gauge study arranged as parts × people × repeats, or the reasons they cannot be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.faults import Fault, Place

__all__ = ["StudyReading", "StudyTable", "arrange"]


class StudyReading(NamedTuple):
    """One reading of a study: who read which part, and what they read."""

    part: str
    person: str
    value: float


@dataclass(frozen=True, slots=True)
class StudyTable:
    """A balanced study: values[i][j] are the repeats of part i by person j, in the order taken."""

    parts: tuple[str, ...]
    people: tuple[str, ...]
    repeats: int
    values: tuple[tuple[tuple[float, ...], ...], ...]


def _uneven(cells: dict[tuple[str, str], list[float]], usual: int, place: Place) -> list[Fault]:
    return [
        Fault(
            place,
            f"{len(values)} reading(s) of part {part} by {person}",
            f"{usual}, as often as every other part and person",
            "Take the missing readings, or leave that part or person out of the study: the "
            "analysis needs every person to read every part equally often.",
        )
        for (part, person), values in cells.items()
        if len(values) != usual
    ]


def arrange(
    readings: Sequence[StudyReading], place: Place | None = None
) -> tuple[StudyTable | None, tuple[Fault, ...]]:
    """Readings of a gauge study as a balanced table.

    Every person reads every part the same number of times, twice or more; order is kept.

    readings: the readings in the order taken [any], two parts or more, one person or more.
    place: where the readings stand, named in faults [-].
    Returns the table, or nothing with a fault for every cell that does not fit [-].
    Holds for crossed studies: the same parts are read by all.
    Source: ISO 5725-2:2019, balanced layout.

    >>> r = [StudyReading(p, "a", v) for p, v in [("1", 2.0), ("1", 2.1), ("2", 3.0), ("2", 3.2)]]
    >>> arrange(r)[0].repeats
    2
    """
    place = place or Place(key="gauge study")
    faults = [
        Fault(
            place,
            f"{r.value!r} for part {r.part} by {r.person} (reading {number})",
            "a finite number",
            "Read the part again.",
        )
        for number, r in enumerate(readings, 1)
        if not math.isfinite(r.value)
    ]
    parts = tuple(dict.fromkeys(r.part for r in readings))
    people = tuple(dict.fromkeys(r.person for r in readings))
    if len(parts) < 2:
        faults.append(
            Fault(
                place,
                f"{len(parts)} part(s)",
                "two parts or more, spread over the sizes the gauge is used for",
                "Add parts.",
            )
        )
        return None, tuple(faults)
    cells: dict[tuple[str, str], list[float]] = {(p, q): [] for p in parts for q in people}
    for r in readings:
        cells[r.part, r.person].append(r.value)
    counts = [len(values) for values in cells.values()]
    usual = max(set(counts), key=lambda count: (counts.count(count), count))
    if usual < 2:
        faults.append(
            Fault(
                place,
                f"{usual} reading of a part by one person",
                "two or more: without repeats the gauge cannot be told from the person",
                "Let everyone read every part again, without seeing the first reading.",
            )
        )
    faults.extend(_uneven(cells, usual, place))
    if faults:
        return None, tuple(faults)
    values = tuple(tuple(tuple(cells[p, q]) for q in people) for p in parts)
    return StudyTable(parts, people, usual, values), ()
