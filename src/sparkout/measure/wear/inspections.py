"""Wear readings over hours run, and the steps between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.faults import Fault, Place

__all__ = ["Increment", "Inspection", "increments"]


class Inspection(NamedTuple):
    """What was found on one unit. hours: run since new [h]; wear: since new [mm]."""

    unit: str
    hours: float
    wear: float


class Increment(NamedTuple):
    """Wear of one unit between inspections. start, end: hours run [h]; wear: in between [mm]."""

    unit: str
    start: float
    end: float
    wear: float


def _bad(inspection: Inspection, number: int, place: Place) -> list[Fault]:
    faults = []
    if not (math.isfinite(inspection.hours) and inspection.hours > 0.0):
        faults.append(
            Fault(
                place,
                f"{inspection.hours!r} hours for {inspection.unit} (inspection {number})",
                "hours run since new, above zero",
                "Leave out the reading of the new part: its wear is zero by definition.",
            )
        )
    if not (math.isfinite(inspection.wear) and inspection.wear >= 0.0):
        faults.append(
            Fault(
                place,
                f"{inspection.wear!r} mm of wear for {inspection.unit} (inspection {number})",
                "wear since new in mm, not below zero",
                "Check the new size the wear was worked out from.",
            )
        )
    return faults


def increments(
    inspections: Sequence[Inspection], place: Place | None = None
) -> tuple[tuple[Increment, ...], tuple[Fault, ...]]:
    """Steps of wear between inspections, unit by unit, the first from new.

    From (0 h, 0 mm) to the first inspection, then from each to the next by hours.

    inspections: readings of one or more units [h, mm], in any order.
    place: where the readings stand, named in faults [-].
    Returns the steps and the faults; a fall of wear is a warning, twice the same hours stops [-].
    Holds for wear measured from the same new size throughout.
    Source: common practice.

    >>> steps, _ = increments([Inspection("1", 100.0, 0.2), Inspection("1", 300.0, 0.5)])
    >>> [(s.start, s.end, round(s.wear, 3)) for s in steps]
    [(0.0, 100.0, 0.2), (100.0, 300.0, 0.3)]
    """
    place = place or Place(key="inspections")
    faults = [f for number, i in enumerate(inspections, 1) for f in _bad(i, number, place)]
    if not inspections:
        faults.append(Fault(place, "no inspection", "one inspection or more", "Add readings."))
    if faults:
        return (), tuple(faults)
    steps: list[Increment] = []
    for unit in dict.fromkeys(i.unit for i in inspections):
        hours, wear = 0.0, 0.0
        for i in sorted((i for i in inspections if i.unit == unit), key=lambda i: i.hours):
            if i.hours == hours:
                faults.append(
                    Fault(
                        place,
                        f"two readings of {unit} at {hours:g} h",
                        "one reading of a unit at one time",
                        "Keep the one that was made with the better gauge.",
                    )
                )
                continue
            if i.wear < wear:
                faults.append(
                    Fault(
                        place,
                        f"wear of {unit} falling from {wear:g} mm at {hours:g} h to {i.wear:g} mm "
                        f"at {i.hours:g} h",
                        "wear that does not fall",
                        "Check position, direction and gauge: metal does not grow back.",
                        stops=False,
                    )
                )
            steps.append(Increment(unit, hours, i.hours, i.wear - wear))
            hours, wear = i.hours, i.wear
    if any(f.stops for f in faults):
        return (), tuple(faults)
    return tuple(steps), tuple(faults)
