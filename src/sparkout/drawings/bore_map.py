"""A bore unrolled: how far each place is from nominal, by depth and direction."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.labels import spread
from sparkout.drawings.marks import arrow, circle, line, polyline, rect, snug, symbol
from sparkout.drawings.palette import Verdict, diverging, on
from sparkout.drawings.strip import upright
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, shrink, width, wrap

__all__ = ["BoreMap", "bore_map"]


@dataclass(frozen=True, slots=True)
class BoreMap:
    """deviations: one row for each depth, one column for each direction, from the nominal size, in
    `unit`; None where not measured. directions: name and angle in degrees. two_point: readings are
    diameters, so each stands for both ends of its direction. low, high: limits as deviations.
    ring_travel: depths between which the rings run. levels: names of the rows where depths are not
    known in figures."""

    name: str
    depths: tuple[float, ...]
    directions: tuple[tuple[str, float], ...]
    deviations: tuple[tuple[float | None, ...], ...]
    nominal: str = ""
    unit: str = "µm"
    decimals: int = 0
    depth_unit: str = "mm"
    low: float | None = None
    high: float | None = None
    ring_travel: tuple[float, float] | None = None
    two_point: bool = True
    levels: tuple[str, ...] = ()


_WIDTH = 720.0
_LEFT, _RIGHT = 118.0, 570.0


def _out(value: float, bore: BoreMap) -> bool:
    return (bore.low is not None and value < bore.low) or (
        bore.high is not None and value > bore.high
    )


def _cell(
    value: float | None, x: float, y: float, w: float, h: float, most: float, bore: BoreMap
) -> Svg:
    if value is None:
        return group(
            rect(x, y, w, h, stroke_width=0.7, dash="3 3"),
            label(x + w / 2, y + h / 2, "–", size=11, anchor="middle"),
        )
    colour = diverging(value / most if most else 0.0)
    ink = on(colour)
    parts = [rect(x, y, w, h, fill=colour, stroke="#767676", stroke_width=0.7)]
    if value < 0:
        parts.append(hatch_rect(x, y, w, h, gap=6, lean=-1, stroke=ink, stroke_width=0.5))
    text = figure(value, bore.decimals, signed=True)
    out = _out(value, bore)
    # Beside each other where there is width for it, standing where the column is narrow; a plate
    # keeps the hatching off the figure.
    turned = width(text, 9) > w - 3 and w < h
    size = shrink(text, h - 4, 10, 5) if turned else shrink(text, w - 4, 12, 5)
    long, high = width(text, size) + 3, size * 1.24
    wide, tall = (high, long) if turned else (long, high)
    if value < 0:
        wide, tall = min(wide, w - 1), min(tall, h - 1)
        plate = (x + (w - wide) / 2, y + (h - tall) / 2)
        parts.append(rect(*plate, wide, tall, fill=colour, stroke=None))
    parts.append(
        label(x + w / 2, y + h / 2, text, size=size, anchor="middle", fill=ink, bold=out,
              turn=90 if turned else 0)
    )  # fmt: skip
    if out:
        parts.append(rect(x + 1.5, y + 1.5, w - 3, h - 3, stroke=ink, stroke_width=2.5))
    return group(*parts)


def _shape(
    row: Sequence[float | None], bore: BoreMap, x: float, y: float, r: float, most: float
) -> Svg:
    """Small cross-section: the readings round the nominal circle, deviations enlarged."""
    known: list[tuple[float, float]] = []
    for (_, angle), value in zip(bore.directions, row, strict=True):
        if value is not None:
            known.append((angle % 360, value))
            if bore.two_point:
                known.append(((angle + 180) % 360, value))
    parts = [circle(x, y, r * 0.7, stroke_width=0.7, dash="2 2")]
    if len(known) < 3:
        return group(*parts)
    known.sort()
    closed = [*known, (known[0][0] + 360, known[0][1])]

    def place(angle: float, value: float) -> tuple[float, float]:
        reach = r * (0.7 + 0.3 * (value / most if most else 0.0))
        turn = math.radians(angle)
        return (x + reach * math.sin(turn), y - reach * math.cos(turn))

    points = []
    for (a1, v1), (a2, v2) in pairwise(closed):
        for k in range(8):
            part = k / 8
            ease = (1 - math.cos(math.pi * part)) / 2
            points.append(place(a1 + (a2 - a1) * part, v1 + (v2 - v1) * ease))
    parts.append(polyline([*points, points[0]], stroke_width=1.6))
    if len(known) <= 16:
        parts += [circle(*place(a, v), 1.7, fill=INK, stroke=None) for a, v in known]
    return group(*parts)


def _depth_y(depth: float, depths: Sequence[float], top: float, step: float) -> float:
    """Rows are evenly spaced whatever the depths are; between them the place is interpolated."""
    if depth <= depths[0]:
        return top + step * 0.5 - (step * 0.45 if depth < depths[0] else 0)
    for k in range(1, len(depths)):
        if depth <= depths[k]:
            gap = depths[k] - depths[k - 1]
            part = (depth - depths[k - 1]) / gap if gap > 0 else 1.0
            return top + step * (k - 0.5 + part)
    return top + step * (len(depths) - 0.5) + step * 0.45


def _travel(bore: BoreMap, top: float, step: float) -> Svg:
    if bore.ring_travel is None:
        return group()
    low, high = sorted(bore.ring_travel)
    y1, y2 = (_depth_y(d, bore.depths, top, step) for d in (low, high))
    x = _LEFT - 14
    parts = [line(x - 5, y1, x + 5, y1, stroke_width=2), line(x - 5, y2, x + 5, y2, stroke_width=2)]
    if y2 - y1 > 16:
        parts.append(arrow(x, y1, x, y2, both=True, stroke_width=1.6))
    words = f"ring travel {figure(low, 0)} to {figure(high, 0)}"
    whole = step * len(bore.depths)
    size = shrink(words, whole, 10, 6)
    half = min(whole, width(words, size)) / 2
    middle = min(max((y1 + y2) / 2, top + half), top + whole - half)
    text = clip(words, whole, size)
    parts.append(label(x - 14, middle, text, size=size, anchor="middle", turn=-90))
    return group(*parts)


def _key(bore: BoreMap, most: float, y: float) -> tuple[Svg, float]:
    """Colour key from most below to most above, with the limits on it."""
    x1, x2, steps = _LEFT, _RIGHT, 16
    cell = (x2 - x1) / steps
    parts = []
    for k in range(steps):
        share = (2 * (k + 0.5) / steps) - 1
        colour = diverging(share)
        parts.append(
            rect(x1 + k * cell, y, cell, 12, fill=colour, stroke="#767676", stroke_width=0.5)
        )
        if share < 0:
            parts.append(
                hatch_rect(
                    x1 + k * cell, y, cell, 12, gap=6, lean=-1, stroke=on(colour), stroke_width=0.5
                )
            )
    middle = (x1 + x2) / 2

    def at(value: float) -> float:
        return middle + (value / most if most else 0.0) * (x2 - x1) / 2

    wanted = [(middle, "0")]
    if most:
        wanted += [(at(v), figure(v, bore.decimals, signed=True)) for v in (-most, most)]
    for limit in (bore.low, bore.high):
        if limit is not None:
            text = f"limit {figure(limit, bore.decimals, signed=True)}"
            wanted = [(x, t) for x, t in wanted if t != text.removeprefix("limit ")]
            wanted.append((at(limit), text))
            parts.append(line(at(limit), y - 5, at(limit), y + 17, stroke_width=2.5))
    rows = 0
    for placed in spread(wanted, x1 - 60, x2 + 60):
        parts.append(label(placed.left, y + 25 + 12 * placed.row, placed.text, size=10))
        rows = max(rows, placed.row)
    parts.append(snug(12, y + 6, f"deviation, {bore.unit}", _LEFT - 18, size=10))
    return group(*parts), y + 38 + 12 * rows


def _desc(bore: BoreMap, known: Sequence[float]) -> str:
    parts = [
        f"{bore.name}: deviation from {bore.nominal or 'nominal'} in {bore.unit} at "
        f"{len(bore.depths)} depths and {len(bore.directions)} directions."
    ]
    if known:
        parts.append(
            f"Smallest {figure(min(known), bore.decimals, signed=True)}, "
            f"largest {figure(max(known), bore.decimals, signed=True)}."
        )
        outside = sum(_out(value, bore) for value in known)
        if bore.low is not None or bore.high is not None:
            parts.append(f"{outside} of {len(known)} readings outside the limits.")
    if bore.ring_travel:
        low, high = sorted(bore.ring_travel)
        parts.append(f"Rings run from {figure(low, 0)} to {figure(high, 0)} {bore.depth_unit}.")
    return " ".join(parts)


def bore_map(bore: BoreMap) -> str:
    """Cells by depth and direction with sign and figure, and a cross-section for each depth."""
    known = [v for row in bore.deviations for v in row if v is not None]
    if not bore.depths or not bore.directions:
        note = label(
            _WIDTH / 2, 30, f"{clip(bore.name, 400, 13)}: not measured", size=13, anchor="middle"
        )
        return picture(bore.name, "Not measured.", _WIDTH, 60, note)
    limits = [v for v in (bore.low, bore.high) if v is not None]
    most = max((abs(v) for v in (*known, *limits)), default=0.0)
    rows = len(bore.depths)
    step = max(34.0, min(60.0, 400 / rows))
    cell = (_RIGHT - _LEFT) / len(bore.directions)
    parts: list[Svg] = []
    y = 12.0
    heading = f"{bore.name}: deviation from {bore.nominal or 'nominal'}, {bore.unit}"
    for text in wrap(heading, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    turned = any(width(name, 9) > cell - 4 for name, _ in bore.directions)
    room = min(90.0, max(width(name, 10) for name, _ in bore.directions)) if turned else 12.0
    for k, (name, _) in enumerate(bore.directions):
        x = _LEFT + (k + 0.5) * cell
        if turned:
            parts.append(upright(x, y, name, room, min(10.0, cell * 0.8)))
        else:
            parts.append(snug(x, y + 6, name, cell - 4, anchor="middle", bold=True))
    parts.append(label(645, y + 6, "cross-section", size=10, anchor="middle"))
    head = "level" if bore.levels else f"depth, {bore.depth_unit}"
    parts.append(snug(12, y + 6, head, _LEFT - 18, size=10))
    top = y + room + 8
    for k, (depth, row) in enumerate(zip(bore.depths, bore.deviations, strict=True)):
        at = top + k * step
        named = bore.levels[k] if bore.levels else figure(depth, 1)
        parts.append(snug(12, at + step / 2, named, 80 if bore.levels else 62, bold=True))
        parts += [
            _cell(value, _LEFT + j * cell, at, cell, step, most, bore)
            for j, value in enumerate(row)
        ]
        parts.append(_shape(row, bore, 645, at + step / 2, step * 0.48, most))
        if any(v is not None and _out(v, bore) for v in row):
            parts.append(symbol(Verdict.OUT, _RIGHT + 16, at + step / 2, 8))
    parts.append(_travel(bore, top, step))
    key, y = _key(bore, most, top + rows * step + 16)
    parts.append(key)
    framed = "Heavy frame: outside the limits." if limits else "No limit given."
    notes = [f"Hatched: below nominal. {framed} A dash: not measured."]
    if most:
        notes.append(
            f"Cross-sections: a circle is nominal, its edge to the outer reach is "
            f"{figure(most, bore.decimals)} {bore.unit}"
            + ("; each two-point reading is drawn at both ends." if bore.two_point else ".")
        )
    for text in wrap(" ".join(notes), _WIDTH - 24, 10, False, 3):
        parts.append(label(12, y, text, size=10))
        y += 13
    return picture(bore.name, _desc(bore, known), _WIDTH, y + 6, *parts)
