"""The path of a journal inside its bearing over one cycle, seen along the shaft."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import arrow, circle, line, polygon, polyline
from sparkout.drawings.palette import BLUE, ORANGE, VERMILION
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["JournalOrbit", "journal_orbit"]


@dataclass(frozen=True, slots=True)
class JournalOrbit:
    """points: x (right) and y (up) of the journal's centre as shares of the radial clearance, in
    the order they are passed; marks: index of a point and its words, such as crank degrees;
    film: words for the thinnest oil film, such as "1.8 µm at 372°"; facts: name and value."""

    name: str
    points: tuple[tuple[float, float], ...]
    marks: tuple[tuple[int, str], ...] = ()
    film: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    closed: bool = True


_WIDTH, _HIGH = 720.0, 420.0
_X, _Y, _R = 214.0, 210.0, 178.0


def _at(point: tuple[float, float]) -> tuple[float, float]:
    """On the page, held just outside the clearance circle at most."""
    x, y = point
    reach = math.hypot(x, y)
    held = min(1.0, 1.04 / reach) if reach > 0 else 1.0
    return (_X + x * held * _R, _Y - y * held * _R)


def _frame() -> Svg:
    parts = [circle(_X, _Y, _R, fill=INK, opacity=0.05, stroke_width=2.2)]
    parts += [
        circle(_X, _Y, _R * share, stroke_width=0.7, dash="3 3") for share in (0.25, 0.5, 0.75)
    ]
    parts.append(line(_X - _R, _Y, _X + _R, _Y, opacity=0.3))
    parts.append(line(_X, _Y - _R, _X, _Y + _R, opacity=0.3))
    for share in (0.25, 0.5, 0.75, 1.0):
        parts.append(label(_X + _R * share - 3, _Y + 9, figure(share, 2), size=9, anchor="end"))
    return group(*parts)


def _path(orbit: JournalOrbit) -> Svg:
    places = [_at(p) for p in orbit.points]
    if len(places) == 1:
        return circle(*places[0], 4, fill=BLUE, stroke=None)
    drawn = [*places, places[0]] if orbit.closed else places
    parts = [polyline(drawn, stroke=BLUE, stroke_width=2)]
    # Arrow heads along the way, at least a visible step long.
    step = max(1, len(places) // 5)
    for k in range(step, len(places), step):
        (x1, y1), (x2, y2) = places[k - 1], places[k]
        if math.hypot(x2 - x1, y2 - y1) > 0.01:
            length = math.hypot(x2 - x1, y2 - y1)
            ux, uy = (x2 - x1) / length, (y2 - y1) / length
            parts.append(
                arrow(x2 - ux * 2, y2 - uy * 2, x2 + ux * 4, y2 + uy * 4, stroke=BLUE, size=9)
            )
    return group(*parts)


def _marks(orbit: JournalOrbit) -> Svg:
    parts = []
    for index, words in orbit.marks:
        x, y = _at(orbit.points[index])
        parts.append(circle(x, y, 3.6, fill=ORANGE, stroke="#000000"))
        side = 1 if x >= _X else -1
        text = clip(words, 80, 10, True)
        parts.append(
            label(
                x + 8 * side, y - 8, text, size=10, bold=True, anchor="start" if side > 0 else "end"
            )
        )
    return group(*parts)


def journal_orbit(orbit: JournalOrbit) -> str:
    """The clearance circle with the path of the journal's centre and its nearest approach."""
    if not orbit.points:
        note = label(_WIDTH / 2, 30, "No orbit computed", size=13, anchor="middle")
        return picture(orbit.name, "No orbit computed.", _WIDTH, 60, note)
    near = max(orbit.points, key=lambda p: math.hypot(*p))
    reach = math.hypot(*near)
    nx, ny = _at(near)
    tip = 9.0
    parts = [
        _frame(),
        _path(orbit),
        polygon(((nx, ny - tip), (nx + tip, ny), (nx, ny + tip), (nx - tip, ny)),
                stroke=VERMILION, stroke_width=2.5),
        _marks(orbit),
        label(_X, _Y - _R - 14, "up", size=11, bold=True, anchor="middle"),
    ]  # fmt: skip
    x, y, room = 440.0, 30.0, _WIDTH - 452.0
    for text in wrap(orbit.name, room, 13, True, 3):
        parts.append(label(x, y, text, size=13, bold=True))
        y += 18
    y += 8
    parts.append(
        polygon(
            ((x + 8, y - 8), (x + 16, y), (x + 8, y + 8), (x, y)),
            stroke=VERMILION,
            stroke_width=2.5,
        )
    )
    thin = f"nearest approach: {figure(reach, 3)} of the radial clearance"
    for text in wrap(thin, room - 26, 11, False, 2):
        parts.append(label(x + 26, y, text, size=11))
        y += 15
    if orbit.film:
        for text in wrap(f"thinnest film {orbit.film}", room - 26, 11, True, 2):
            parts.append(label(x + 26, y, text, size=11, bold=True))
            y += 15
    y += 6
    for fact, value in orbit.facts:
        for text in wrap(f"{fact}: {value}", room, 11, False, 2):
            parts.append(label(x, y, text, size=11))
            y += 15
    key = "Outer circle: the journal touches. Centre: it runs in the middle. Arrows: order in time."
    y = max(y + 8, _HIGH - 50)
    for text in wrap(key, room, 10, False, 3):
        parts.append(label(x, y, text, size=10))
        y += 13
    told = " ".join(f"{fact}: {value}." for fact, value in orbit.facts)
    thinnest = f" Thinnest film {orbit.film}." if orbit.film else ""
    desc = (
        f"{orbit.name}: {len(orbit.points)} places of the journal's centre; {thin}."
        f"{thinnest} {told}"
    )
    return picture(orbit.name, desc.strip(), _WIDTH, max(_HIGH, y + 4), *parts)
