"""A valve seat in section, to scale: the cuts that were made and where the valve touches."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import hatch
from sparkout.drawings.marks import badge, dimension, line, polygon, polyline, snug
from sparkout.drawings.palette import ORANGE, Verdict
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["SeatCut", "SeatSection", "contact_width", "seat_section"]


@dataclass(frozen=True, slots=True)
class SeatCut:
    """One cut: angle from the face plane in degrees, diameters between which it lies.

    known: which of the two ends is one ("both", "inner", "outer"); the other is only where the
    drawing stops."""

    name: str
    angle: float
    inner: float
    outer: float
    seats: bool = False  # the one the valve touches
    known: str = "both"

    def ends(self, decimals: int) -> str:
        """The diameters, as far as they are known."""
        inner, outer = figure(self.inner, decimals), figure(self.outer, decimals)
        if self.known == "inner":
            return f"from Ø {inner} outwards"
        return f"up to Ø {outer}" if self.known == "outer" else f"Ø {inner} to {outer}"


@dataclass(frozen=True, slots=True)
class SeatSection:
    """cuts: from the throat outwards. valve_outer, valve_inner: diameters of the valve's face;
    valve_angle: its angle from the face plane. width and place: rows of name, text and verdict for
    what was measured or asked. notes: what is not certain about it. Lengths in `unit`."""

    name: str
    cuts: tuple[SeatCut, ...]
    valve_outer: float | None = None
    valve_inner: float | None = None
    valve_angle: float | None = None
    checks: tuple[tuple[str, str, Verdict], ...] = ()
    unit: str = "mm"
    decimals: int = 2
    notes: tuple[str, ...] = ()


_WIDTH, _HIGH = 720.0, 330.0
_DRAWN = 400.0
Point = tuple[float, float]


def _across(seat: SeatCut) -> float:
    """How much of a length along the face is radial."""
    return math.cos(math.radians(seat.angle))


def contact_width(cut: SeatCut) -> float:
    """Length of a cut along its face: (outer − inner) / (2·cos angle)."""
    return (cut.outer - cut.inner) / 2 / _across(cut)


def _profile(cuts: tuple[SeatCut, ...]) -> list[Point]:
    """Radius and height of each corner, from the throat outwards and up to the face."""
    points = [(cuts[0].inner / 2, 0.0)]
    for cut in cuts:
        run = cut.outer / 2 - points[-1][0]
        points.append((cut.outer / 2, points[-1][1] + run * math.tan(math.radians(cut.angle))))
    return points


def _fit(points: list[Point]) -> tuple[float, float, float]:
    """Units for a millimetre, least radius and least height, so that all fits its frame."""
    radii, heights = [p[0] for p in points], [p[1] for p in points]
    span = max(max(radii) - min(radii), 1e-9)
    tall = max(max(heights) - min(heights), 1e-9)
    return min((_DRAWN - 130) / span, 190 / tall), min(radii), min(heights)


def _angles_known(section: SeatSection) -> bool:
    return bool(section.cuts) and all(
        0 < cut.angle < 89.5 and cut.outer > cut.inner > 0 for cut in section.cuts
    )


def _valve(section: SeatSection, seat: SeatCut, seat_foot: Point) -> list[Point]:
    """Outline of the valve head where it rests on the seat, as radius and height."""
    if section.valve_outer is None or section.valve_inner is None:
        return []
    angle = seat.angle if section.valve_angle is None else section.valve_angle
    if not 0 < angle < 89.5 or section.valve_outer <= section.valve_inner:
        return []
    slope = math.tan(math.radians(angle))
    # It touches at the seat's outer corner when its face is the steeper of the two, else the inner.
    run = (seat.outer - seat.inner) / 2
    touch = seat_foot
    if angle < seat.angle:
        touch = (seat.outer / 2, seat_foot[1] + run * math.tan(math.radians(seat.angle)))
    inner, outer = section.valve_inner / 2, section.valve_outer / 2
    foot = (inner, touch[1] + (inner - touch[0]) * slope)
    edge = (outer, touch[1] + (outer - touch[0]) * slope)
    margin = (outer, edge[1] + (outer - inner) * 0.55)
    return [foot, edge, margin]


def seat_section(section: SeatSection) -> str:
    """Half section through seat and valve, with angles, contact width and its place."""
    if not _angles_known(section):
        words = f"{clip(section.name, 420, 13)}: cuts not recorded"
        note = label(_WIDTH / 2, 30, words, size=13, anchor="middle")
        return picture(section.name, "Cuts not recorded.", _WIDTH, 60, note)
    profile = _profile(section.cuts)
    seat_index = next((k for k, cut in enumerate(section.cuts) if cut.seats), None)
    seat = None if seat_index is None else section.cuts[seat_index]
    valve = [] if seat is None or seat_index is None else _valve(section, seat, profile[seat_index])
    per, r0, z0 = _fit([*profile, *valve])

    def at(point: Point) -> Point:
        return (56 + (point[0] - r0) * per, _HIGH - 52 - (point[1] - z0) * per)

    drawn = [at(p) for p in profile]
    right, top = _DRAWN - 6, min(y for _, y in [*drawn, *map(at, valve)]) - 6
    throat = (drawn[0][0], _HIGH - 22)
    outline = [throat, *drawn, (drawn[-1][0], top), (right, top), (right, _HIGH - 22)]
    parts = [
        polygon(outline, fill=INK, opacity=0.07, stroke=None),
        hatch(outline, gap=9, stroke_width=0.6, opacity=0.4),
        polyline([throat, *drawn, (drawn[-1][0], top)], stroke_width=1.6),
    ]
    for cut, (a, b) in zip(section.cuts, pairwise(drawn), strict=True):
        parts.append(
            line(*a, *b, stroke_width=5 if cut.seats else 2.4, stroke=ORANGE if cut.seats else INK)
        )
    if valve:
        foot, edge, margin = (at(p) for p in valve)
        body = [foot, edge, margin, (40, margin[1]), (40, foot[1])]
        parts.append(polygon(body, fill=INK, opacity=0.16, stroke=None))
        parts.append(hatch(body, gap=7, lean=-1, stroke_width=0.6, opacity=0.4))
        parts.append(polyline([(40, foot[1]), foot, edge, margin], stroke_width=1.6))
        parts.append(label(46, (margin[1] + foot[1]) / 2, "valve", size=11, bold=True))
    parts.append(label(right - 8, _HIGH - 36, "seat", size=11, bold=True, anchor="end"))
    if seat is not None and seat_index is not None:
        parts.append(_contact(section, seat, drawn[seat_index], drawn[seat_index + 1]))
    parts.append(line(12, _HIGH - 8, 12 + per, _HIGH - 8, stroke_width=3))
    parts.append(label(18 + per, _HIGH - 8, f"1 {section.unit}", size=10))
    beside, bottom, said = _beside(section, seat)
    parts.append(beside)
    desc = f"{section.name}, section to scale. {said}"
    return picture(section.name, desc, _WIDTH, max(_HIGH + 6, bottom), *parts)


def _contact(section: SeatSection, seat: SeatCut, a: Point, b: Point) -> Svg:
    """Width of the contact, dimensioned off the seat on the metal's side."""
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    if length < 1:
        return group()
    nx, ny = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    off = 22
    a2, b2 = (a[0] + nx * off, a[1] + ny * off), (b[0] + nx * off, b[1] + ny * off)
    text = f"{figure(contact_width(seat), section.decimals)} {section.unit}"
    mx, my = (a2[0] + b2[0]) / 2, (a2[1] + b2[1]) / 2
    return group(
        line(*a, a2[0] + nx * 4, a2[1] + ny * 4, opacity=0.6),
        line(*b, b2[0] + nx * 4, b2[1] + ny * 4, opacity=0.6),
        dimension(*a2, *b2, ""),
        label(mx + 10, my + 8, text, size=12, bold=True),
    )


def _beside(section: SeatSection, seat: SeatCut | None) -> tuple[Svg, float, str]:
    """Cuts with angles and diameters, place of the contact on the valve, and the verdicts."""
    x, y, room = _DRAWN + 16, 20.0, _WIDTH - _DRAWN - 28
    parts = []
    rows = []
    for text in wrap(section.name, room, 13, True, 3):
        parts.append(label(x, y, text, size=13, bold=True))
        y += 18
    for cut in section.cuts:
        rows.append(
            (
                f"{cut.name} {figure(cut.angle, 1).removesuffix('.0')}°",
                cut.ends(section.decimals),
                cut.seats,
            )
        )
    if seat is not None:
        rows.append(("contact width", f"{figure(contact_width(seat), section.decimals)}", True))
    if seat is not None and section.valve_outer is not None:
        out = (section.valve_outer - seat.outer) / 2 / _across(seat)
        rows.append(("from the valve's outer edge", figure(out, section.decimals), False))
    if seat is not None and section.valve_inner is not None:
        inn = (seat.inner - section.valve_inner) / 2 / _across(seat)
        rows.append(("from its inner edge", figure(inn, section.decimals), False))
    for name, value, heavy in rows:
        parts.append(label(x, y, clip(name, 160, 11, heavy), size=11, bold=heavy))
        parts.append(snug(_WIDTH - 12, y, value, room - 166, anchor="end", bold=heavy))
        y += 16
    y += 6
    for name, text, verdict in section.checks:
        for piece in wrap(name, room, 11, True, 2):
            parts.append(label(x, y, piece, size=11, bold=True))
            y += 15
        parts.append(snug(x, y, text, room - 130))
        parts.append(badge(verdict, _WIDTH - 132, y, 10))
        y += 22
    for note in section.notes:
        for piece in wrap(note, room, 10, False, 3):
            parts.append(label(x, y, piece, size=10))
            y += 13
        y += 3
    words = f"Lengths in {section.unit}; angles from the face of the head."
    for text in wrap(words, room, 10, False, 2):
        parts.append(label(x, y, text, size=10))
        y += 13
    said = "; ".join(f"{name} {value}" for name, value, _ in rows)
    checks = " ".join(f"{name}: {text} {verdict.value}." for name, text, verdict in section.checks)
    more = " ".join(section.notes)
    return group(*parts), y + 4, f"{said}. {checks} {more}".rstrip()
