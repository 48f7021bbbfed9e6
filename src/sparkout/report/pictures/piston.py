"""Which way round the pistons go and where the ring gaps are turned to."""

from __future__ import annotations

import re

from sparkout.assembly.build import AssemblySheet
from sparkout.drawings.piston import PistonView, RingGap, piston_view
from sparkout.load import Job

__all__ = ["draw_piston", "gap_angles", "piston_of", "thrust_angle"]

_FRONT = re.compile(r"timing|front|pulley|fan|damper|free end")
_REAR = re.compile(r"flywheel|rear|drive|output|clutch")
_SEEN = re.compile(r"^(left|right)\b.*\bseen from (?:the )?(.+)$")
_STEP = 5


def draw_piston(job: Job, build: AssemblySheet) -> str | None:
    """The crown from above, None where the engine has no pistons."""
    made = piston_of(job, build)
    return None if made is None else piston_view(made)


def piston_of(job: Job, build: AssemblySheet) -> PistonView | None:
    """The record behind `draw_piston`: thrust side and marks as the sheet has them, gaps spread."""
    step = build.step("assemble-pistons")
    if step is None:
        return None
    rings = list(dict.fromkeys(tag for f in job.frame.of_kind("ring") for tag in f.tags))
    side = job.sheet.identity.thrust_side
    thrust = thrust_angle(side)
    notes = [f"Which way round: {step.orientation}." if step.orientation else
             "The sheet does not say which way round: ask the maker."]  # fmt: skip
    if side:
        notes.append(f"Thrust side: {side}.")
    else:
        notes.append("The sheet does not say which is the thrust side.")
    if rings:
        spread = "Gaps spread evenly, clear of the ends of the pin"
        clear = " and of the thrust side" if thrust is not None else ""
        notes.append(f"{spread}{clear} (common practice).")
    notes.append("The pin lies along the crankshaft.")
    gaps = zip(rings, gap_angles(len(rings), thrust), strict=True)
    return PistonView(
        "Pistons from above",
        thrust_angle=thrust,
        gaps=tuple(RingGap(ring, angle) for ring, angle in gaps),
        notes=tuple(notes),
    )


def thrust_angle(words: str) -> float | None:
    """Degrees from the front, clockwise from above, of `left, seen from the timing end`.

    Looking from the front, left is at 90°; looking from the other end it is at 270°. None where the
    words do not say.
    """
    seen = _SEEN.match(words.strip().casefold())
    if seen is None:
        return None
    front, rear = bool(_FRONT.search(seen[2])), bool(_REAR.search(seen[2]))
    if front == rear:
        return None
    return 90.0 if (seen[1] == "left") == front else 270.0


def gap_angles(rings: int, thrust: float | None) -> tuple[float, ...]:
    """Directions of the gaps: evenly apart, as far as can be from pin ends and thrust side."""
    if not rings:
        return ()
    away = [0.0, 180.0, *([] if thrust is None else [thrust])]

    def clear(first: int) -> float:
        return min(_apart(first + 360 * k / rings, a) for k in range(rings) for a in away)

    best = max(range(0, 360, _STEP), key=clear)
    return tuple((best + 360 * k / rings) % 360 for k in range(rings))


def _apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)
