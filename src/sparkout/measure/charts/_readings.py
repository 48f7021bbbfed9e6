"""What the charts ask of readings, and the three plain statistics they plot."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.faults import Fault, Place


def bad_numbers(values: Sequence[float], place: Place, what: str) -> tuple[Fault, ...]:
    return tuple(
        Fault(
            place,
            f"{value!r} as {what} {number}",
            "a finite number",
            "Leave out what was not measured.",
        )
        for number, value in enumerate(values, 1)
        if not math.isfinite(value)
    )


def check_subgroups(subgroups: Sequence[Sequence[float]], place: Place) -> tuple[Fault, ...]:
    faults: tuple[Fault, ...] = ()
    if not subgroups:
        faults += (Fault(place, "no subgroup", "one subgroup or more", "Add readings."),)
    for number, group in enumerate(subgroups, 1):
        faults += bad_numbers(group, place, f"subgroup {number}, reading")
        if len(group) < 2:
            faults += (
                Fault(
                    place,
                    f"{len(group)} reading(s) in subgroup {number}",
                    "two or more readings in each subgroup",
                    "Use the chart for individuals where parts come one at a time.",
                ),
            )
    return faults


def mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def sd(values: Sequence[float]) -> float:
    centre = mean(values)
    return math.sqrt(math.fsum((v - centre) ** 2 for v in values) / (len(values) - 1))


def range_of(values: Sequence[float]) -> float:
    return max(values) - min(values)
