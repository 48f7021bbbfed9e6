"""What came off a face in all, so that the next shop reads the true figure off the casting.

Heights read as found and as left decide; without them what the work was entered with; a cut that
is only planned is told as planned, and what is still to come is added to what is off. What was off
before is added where an earlier shop stamped it and the height bears it out.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from sparkout.engine.dimension import Key
from sparkout.engine.spots import Spot
from sparkout.plan.decide import Plan
from sparkout.report.documents.built.stamped_before import Before, before
from sparkout.report.documents.source import Source
from sparkout.units import QuantityError, parse

__all__ = ["Removed", "removed"]

_LATER = ("left", "mock-up")
# A target is typed as the depth of the cut or as the height it leaves: no cut takes half of it.
_HALF = Fraction(1, 2)


class Removed(NamedTuple):
    """Least and most that this shop takes off [mm]; what says so; what of it is still to come;
    what was off before."""

    least: Fraction
    most: Fraction
    by: str
    to_come: Fraction = Fraction(0)
    before: Before | None = None


def removed(source: Source, face: str) -> Removed | None:
    """From what the face is known by: read before and after, entered as done, or planned."""
    name = f"{face.split()[0]} height"
    found, left = (
        _heights((spot for spot in source.job.located.spots if spot.phase in phases), face, name)
        for phases in (("found",), _LATER)
    )
    off = _measured(found, left)
    if off is None:
        off = _entered(source, face, max(found.values(), default=None))
    earlier = before(source, face, found.values())
    to_come = _planned(source.plan, face)
    if off is not None:
        return Removed(off.least + to_come, off.most + to_come, off.by, to_come, earlier)
    planned = _planned(source.decided, face)
    return Removed(planned, planned, "as planned", before=earlier) if planned else None


def _heights(spots: Iterable[Spot], face: str, name: str) -> dict[tuple[str, str], Fraction]:
    """The last height of each place."""
    key = Key(face, name)
    return {(s.level, s.direction): s.estimate.value for s in spots if s.key == key}


def _measured(
    found: dict[tuple[str, str], Fraction], left: dict[tuple[str, str], Fraction]
) -> Removed | None:
    """Place by place where the places are the same, else lowest to lowest, highest to highest."""
    if not found or not left:
        return None
    both = found.keys() & left.keys()
    if both:
        gone = [found[place] - left[place] for place in both]
    else:
        gone = [
            min(found.values()) - min(left.values()),
            max(found.values()) - max(left.values()),
        ]
    if max(gone) <= 0:
        return None
    return Removed(max(min(gone), Fraction(0)), max(gone), "measured before and after")


def _entered(source: Source, face: str, height: Fraction | None) -> Removed | None:
    """The depths the work on this face was entered with, added up."""
    operation = f"surface {face.split()[0]}"
    unit = "in" if source.job.shop.units == "inch" else "mm"
    off = Fraction(0)
    for _, work in source.job.located.work:
        if work.operation != operation or face not in work.features or not work.target:
            continue
        try:
            target = parse(work.target, "length", unit).value
        except QuantityError:
            continue  # words, not a figure: told where the work is told
        if height is not None and target > height * _HALF:
            off = max(off, height - target)
        elif height is not None or target < 5:
            off += target
    return Removed(off, off, "as entered with the work") if off > 0 else None


def _planned(plan: object, face: str) -> Fraction:
    if not isinstance(plan, Plan):
        return Fraction(0)
    return sum((item.value for item in plan.amounts if item.name == f"{face} cut"), Fraction(0))
