"""Which way round a piston goes: its mark, its pockets, its ring gaps, seen from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import arrow, circle, line, polygon, polyline
from sparkout.drawings.palette import BLUE, VERMILION
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["PistonView", "Pocket", "RingGap", "piston_view"]


@dataclass(frozen=True, slots=True)
class Pocket:
    """A valve pocket: its name, direction in degrees, and middle and radius as shares of the
    piston's radius."""

    name: str
    angle: float
    reach: float = 0.5
    radius: float = 0.3


@dataclass(frozen=True, slots=True)
class RingGap:
    name: str
    angle: float


@dataclass(frozen=True, slots=True)
class PistonView:
    """Angles in degrees from the front of the engine (left on the page), clockwise seen from above.

    mark: what the maker put on the crown; mark_angle: where it must point; thrust_angle: the side
    pressed on the bore on the power stroke, or None where nobody said.
    """

    name: str
    mark: str = ""
    mark_angle: float | None = None
    thrust_angle: float | None = None
    pockets: tuple[Pocket, ...] = ()
    gaps: tuple[RingGap, ...] = ()
    notes: tuple[str, ...] = ()


_WIDTH = 720.0
_X, _Y, _R = 214.0, 222.0, 112.0


def _at(angle: float, reach: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return (_X - reach * math.cos(turn), _Y - reach * math.sin(turn))


def _ring(index: int, gap: RingGap, step: float) -> Svg:
    """One ring outside the crown with its gap; rings lie one outside the other, top ring first."""
    reach = _R + 12 + step * index
    half = math.degrees(7 / reach)
    points = [_at(gap.angle + half + k * (360 - 2 * half) / 72, reach) for k in range(73)]
    ends = [
        line(
            *_at(gap.angle + s * half, reach - 4),
            *_at(gap.angle + s * half, reach + 4),
            stroke_width=2.2,
        )
        for s in (-1, 1)
    ]
    return group(polyline(points, stroke_width=2.2, opacity=0.75), *ends)


def _crown(view: PistonView) -> Svg:
    parts = [circle(_X, _Y, _R, fill=INK, opacity=0.06, stroke_width=2)]
    # The pin lies along the crankshaft.
    parts.append(line(_X - _R, _Y, _X + _R, _Y, dash="12 4 3 4", opacity=0.6))
    parts.append(line(_X, _Y - _R, _X, _Y + _R, dash="12 4 3 4", opacity=0.25))
    for pocket in view.pockets:
        px, py = _at(pocket.angle, _R * min(1.0, max(0.0, pocket.reach)))
        r = _R * min(0.6, max(0.05, pocket.radius))
        parts.append(circle(px, py, r, fill=BLUE, opacity=0.12, stroke_width=1.2))
        lines = wrap(pocket.name, 2 * r - 4, 10, False, 2)
        for k, text in enumerate(lines):
            at = py + 12 * (k - (len(lines) - 1) / 2)
            parts.append(label(px, at, text, size=10, anchor="middle"))
    if view.mark_angle is not None:
        tip = _at(view.mark_angle, _R * 0.93)
        left, right = (_at(view.mark_angle + s * 7, _R * 0.76) for s in (-1, 1))
        parts.append(polygon((tip, left, right), fill=VERMILION, stroke="#FFFFFF"))
    return group(*parts)


def _sides(view: PistonView, outer: float) -> Svg:
    """Front and flywheel end, and the thrust side."""
    parts = [
        label(20, _Y, "FRONT", size=11, bold=True, anchor="middle", turn=-90),
        label(2 * _X - 20, _Y, "FLYWHEEL END", size=11, bold=True, anchor="middle", turn=90),
    ]
    if view.thrust_angle is not None:
        x1, y1 = _at(view.thrust_angle, outer + 26)
        x2, y2 = _at(view.thrust_angle, outer + 6)
        parts.append(arrow(x1, y1, x2, y2, stroke_width=2.5, size=9))
        upper = y1 <= _Y
        at = max(12.0, y1 - 10) if upper else min(2 * _Y - 12, y1 + 10)
        wide = min(max(x1, 60.0), 2 * _X - 60)
        parts.append(label(wide, at, "THRUST SIDE", size=11, bold=True, anchor="middle"))
    return group(*parts)


def _beside(view: PistonView) -> tuple[Svg, float]:
    x, y, room = 452.0, 24.0, _WIDTH - 464.0
    parts = []
    for text in wrap(view.name, room, 13, True, 3):
        parts.append(label(x, y, text, size=13, bold=True))
        y += 18
    if view.mark_angle is not None or view.mark:
        parts.append(
            polygon(((x, y + 6), (x + 6, y - 6), (x + 12, y + 6)), fill=VERMILION, stroke=None)
        )
        where = "" if view.mark_angle is None else f", points to {figure(view.mark_angle, 0)}°"
        for text in wrap(f"Mark: {view.mark or 'as stamped'}{where}", room - 20, 11, False, 3):
            parts.append(label(x + 20, y, text, size=11))
            y += 15
        y += 5
    if view.gaps:
        parts.append(label(x, y, "Ring gaps, from the inside out", size=11, bold=True))
        y += 16
    for k, gap in enumerate(view.gaps):
        words = f"{k + 1}  {gap.name}: {figure(gap.angle, 0)}°"
        for text in wrap(words, room, 11, False, 2):
            parts.append(label(x, y, text, size=11))
            y += 15
    y += 6
    for note in view.notes:
        for text in wrap(note, room, 11, False, 4):
            parts.append(label(x, y, text, size=11))
            y += 15
        y += 4
    for text in wrap(
        "Degrees count clockwise from the front, seen from above.", room, 10, False, 2
    ):
        parts.append(label(x, y, text, size=10))
        y += 13
    return group(*parts), y


def piston_view(view: PistonView) -> str:
    """Crown with mark, valve pockets and pin axis; ring gaps outside it."""
    step = 13.0 if len(view.gaps) <= 4 else 52.0 / len(view.gaps)
    outer = _R + 12 + step * max(0, len(view.gaps) - 1)
    parts = [_crown(view)]
    for k, gap in enumerate(view.gaps):
        parts.append(_ring(k, gap, step))
    # Numbers of the gaps stand outside all rings; equal directions share a place, side by side.
    for k, gap in enumerate(view.gaps):
        before = sum(abs((g.angle - gap.angle + 180) % 360 - 180) < 6 for g in view.gaps[:k])
        x, y = _at(gap.angle + 6 * before, outer + 12)
        parts.append(label(x, y, str(k + 1), size=11, bold=True, anchor="middle"))
    parts.append(_sides(view, outer + 12))
    beside, y = _beside(view)
    parts.append(beside)
    said = [f"{view.name} from above, front on the left."]
    if view.mark_angle is not None:
        said.append(
            f"Mark {view.mark} points to {figure(view.mark_angle, 0)} degrees from the front."
        )
    if view.thrust_angle is not None:
        said.append(f"Thrust side at {figure(view.thrust_angle, 0)} degrees.")
    said += [f"{p.name} pocket at {figure(p.angle, 0)} degrees." for p in view.pockets]
    said += [f"{g.name} gap at {figure(g.angle, 0)} degrees." for g in view.gaps]
    said += list(view.notes)
    return picture(view.name, " ".join(said), _WIDTH, max(2 * _Y, y + 6), *parts)
