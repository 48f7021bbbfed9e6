"""Hone marks on a bore wall unrolled: the angle they make and the speeds that make it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import badge, line, polyline, rect, snug
from sparkout.drawings.palette import BLUE, Verdict
from sparkout.drawings.svg import INK, Svg, el, group, label, num, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["Crosshatch", "crosshatch"]


@dataclass(frozen=True, slots=True)
class Crosshatch:
    """included: angle between the two directions of marks, in degrees, measured about the
    circumference (0 would be marks straight round the bore). facts: name and value, such as rpm."""

    name: str
    included: float | None
    low: float | None = None
    high: float | None = None
    verdict: Verdict = Verdict.NOT_MEASURED
    facts: tuple[tuple[str, str], ...] = ()
    source: str = ""


_WIDTH, _HIGH = 720.0, 270.0
_BOX = (30.0, 22.0, 350.0, 216.0)


def _marks(half: float) -> Svg:
    """Two sets of parallel lines, each cut to the box."""
    x, y, w, h = _BOX
    slope = math.tan(math.radians(half))
    pitch = 15.0
    parts = []
    for way in (1, -1):
        d = []
        # A line rises by w·slope over the box; start low enough to reach every corner.
        across = pitch / math.cos(math.radians(half))
        count = int((h + w * slope) / across) + 2
        for k in range(-1, count):
            start = y - (w * slope if way > 0 else 0) + k * across
            ends = _cut(x, start, x + w, start + way * slope * w)
            if ends:
                d.append("M{} {}L{} {}".format(*map(num, ends)))
        if d:
            parts.append(
                el(
                    "path",
                    d="".join(d),
                    stroke=INK,
                    stroke_width=0.9,
                    stroke_opacity=0.55,
                    fill="none",
                )
            )
    return group(*parts)


def _cut(x1: float, y1: float, x2: float, y2: float) -> tuple[float, float, float, float] | None:
    """The part of a line between the top and the bottom of the box."""
    _, top, _, h = _BOX
    foot = top + h
    t1, t2 = 0.0, 1.0
    dy = y2 - y1
    if abs(dy) < 1e-9:
        return (x1, y1, x2, y2) if top <= y1 <= foot else None
    for edge, entering in ((top, dy > 0), (foot, dy < 0)):
        t = (edge - y1) / dy
        if entering:
            t1 = max(t1, t)
        else:
            t2 = min(t2, t)
    if t1 >= t2:
        return None
    return (x1 + t1 * (x2 - x1), y1 + t1 * dy, x1 + t2 * (x2 - x1), y1 + t2 * dy)


def _angle(half: float, text: str) -> Svg:
    """Two heavy marks through the middle and the arc of the angle between them."""
    x, y, w, h = _BOX
    mx, my = x + w / 2, y + h / 2
    reach = min(w / 2, h / 2 / max(math.sin(math.radians(half)), 1e-9)) - 8
    parts = []
    for way in (1, -1):
        turn = math.radians(half) * way
        dx, dy = reach * math.cos(turn), reach * math.sin(turn)
        parts.append(line(mx - dx, my - dy, mx + dx, my + dy, stroke=BLUE, stroke_width=3))
    arc = [
        (
            mx + 72 * math.cos(math.radians(a * half / 12)),
            my + 72 * math.sin(math.radians(a * half / 12)),
        )
        for a in range(-12, 13)
    ]
    parts.append(polyline(arc, stroke=BLUE, stroke_width=2))
    plate = 74.0
    left = min(mx + 82, x + w - plate - 4)
    parts.append(rect(left, my - 12, plate, 24, fill="#FFFFFF", stroke="#000000", round_=4))
    parts.append(
        snug(left + plate / 2, my, text, plate - 8, size=14, bold=True, anchor="middle",
             fill="#000000")
    )  # fmt: skip
    return group(*parts)


def crosshatch(marks: Crosshatch) -> str:
    """A patch of wall with marks at the real angle, the limits and the settings."""
    x, y, w, h = _BOX
    parts = [rect(x, y, w, h, fill=INK, opacity=0.04, stroke_width=1.2)]
    half = None if marks.included is None else marks.included / 2
    drawable = half is not None and 0 < half < 89.5
    shown = "not measured" if marks.included is None else f"{figure(marks.included, 1)}°"
    if half is not None and drawable:
        parts += [_marks(half), _angle(half, shown)]
    else:
        parts.append(label(x + w / 2, y + h / 2, clip(shown, w - 20, 14), size=14, anchor="middle"))
    parts.append(label(x + w / 2, y + h + 14, "round the bore", size=10, anchor="middle"))
    parts.append(label(x - 12, y + h / 2, "along the bore", size=10, anchor="middle", turn=-90))
    tx, ty, room = 402.0, 28.0, _WIDTH - 414.0
    for text in wrap(marks.name, room, 13, True, 3):
        parts.append(label(tx, ty, text, size=13, bold=True))
        ty += 18
    ends = [
        f"at least {figure(marks.low, 0)}°" if marks.low is not None else "",
        f"at most {figure(marks.high, 0)}°" if marks.high is not None else "",
    ]
    given = ", ".join(part for part in ends if part)
    limit = f"Limit: {given}" if given else "No limit given"
    lines = [f"Included angle: {shown}", limit] + ([marks.source] if marks.source else [])
    for words in lines:
        for text in wrap(words, room, 11, False, 2):
            parts.append(label(tx, ty, text, size=11))
            ty += 15
    judged = given or marks.included is None  # a known angle without a limit has no verdict
    if judged:
        parts.append(badge(marks.verdict, tx, ty + 8, 13))
    ty += 34 if judged else 8
    for name, value in marks.facts:
        for text in wrap(f"{name}: {value}", room, 11, False, 2):
            parts.append(label(tx, ty, text, size=11))
            ty += 15
    note = "Measured about the circumference: marks straight round the bore would be 0°."
    for text in wrap(note, room, 10, False, 2):
        parts.append(label(tx, ty + 4, text, size=10))
        ty += 13
    facts = " ".join(f"{name}: {value}." for name, value in marks.facts)
    verdict = f" {marks.verdict.value}." if judged else ""
    desc = f"{marks.name}: included angle {shown}. {limit}.{verdict} {facts}"
    return picture(marks.name, desc.strip(), _WIDTH, max(_HIGH, ty + 8), *parts)
