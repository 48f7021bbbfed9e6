"""A face seen from above: where it is high, where it is low, and what a cut would leave."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from sparkout.drawings.field import contour, interpolator
from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.marks import circle, line, polygon, rect, snug
from sparkout.drawings.palette import diverging, on
from sparkout.drawings.scale import Scale, extent, ticks
from sparkout.drawings.svg import INK, Svg, el, group, label, num, picture
from sparkout.drawings.text import clip, width, wrap

__all__ = ["SurfaceMap", "surface_map"]


@dataclass(frozen=True, slots=True)
class SurfaceMap:
    """readings: x, y from one corner in mm, and the height over the level plane in `unit`, or None
    where not measured; holes: x, y and radius; cut: how far below the highest reading the tool
    would go, in `unit`; plane: how the level plane was found."""

    name: str
    length: float
    breadth: float
    readings: tuple[tuple[float, float, float | None], ...]
    holes: tuple[tuple[float, float, float], ...] = ()
    cut: float | None = None
    plane: str = ""
    unit: str = "µm"
    decimals: int = 0


_WIDTH = 720.0
_LEFT, _RIGHT = 62.0, 708.0


def _in_hole(x: float, y: float, holes: Sequence[tuple[float, float, float]]) -> bool:
    return any(math.hypot(x - hx, y - hy) < hr for hx, hy, hr in holes)


def _line_path(pieces: Sequence[tuple[float, float, float, float]], **look: str | float) -> Svg:
    if not pieces:
        return group()
    d = "".join(f"M{num(a)} {num(b)}L{num(c)} {num(e)}" for a, b, c, e in pieces)
    return el("path", d=d, fill="none", stroke="#000000", **look)


def _section(
    face: SurfaceMap, known: Sequence[tuple[float, float, float]], y: float, x: Scale
) -> tuple[Svg, float]:
    """The same readings from the side, with the level plane and the cut."""
    heights = [h for _, _, h in known]
    top = max(heights)
    levels = [*heights, 0.0] + ([] if face.cut is None else [top - face.cut])
    scale = Scale(*extent(levels, 0.12), y + 84, y + 6)
    parts = []
    for tick in ticks(scale.low, scale.high, 3):
        parts.append(line(_LEFT, scale.at(tick.value), _RIGHT, scale.at(tick.value), opacity=0.2))
        at = scale.at(tick.value)
        parts.append(snug(_LEFT - 6, at, tick.text, _LEFT - 10, size=9, anchor="end"))
    zero = scale.at(0.0)
    parts.append(line(_LEFT, zero, _RIGHT, zero, stroke_width=1.8))
    if face.cut is not None:
        at = scale.at(top - face.cut)
        parts.append(line(_LEFT, at, _RIGHT, at, stroke_width=2, dash="9 4"))
        parts.append(
            rect(_LEFT, scale.at(top), _RIGHT - _LEFT, max(at - scale.at(top), 0.5), fill=INK,
                 opacity=0.1, stroke=None)
        )  # fmt: skip
    for px, _, h in known:
        parts.append(line(x.at(px), zero, x.at(px), scale.at(h), opacity=0.35))
        parts.append(circle(x.at(px), scale.at(h), 2.6, fill=INK, stroke=None))
    return group(*parts), y + 92


def _shading(
    face: SurfaceMap, known: Sequence[tuple[float, float, float]], sx: Scale, sy: Scale, most: float
) -> Svg:
    """Bands of colour, contour lines, and hatching where the cut would not reach."""
    columns = 76 if len(known) <= 40 else 56
    cell = (sx.end - sx.start) / columns
    rows = max(4, min(64, round((sy.end - sy.start) / cell)))
    high = (sy.end - sy.start) / rows
    height = interpolator(known)
    top = max(h for _, _, h in known)

    def at(i: float, j: float) -> tuple[float, float]:
        return (i / columns * face.length, j / rows * face.breadth)

    def look(i: int, j: int) -> tuple[str, bool] | None:
        """Colour in one of 32 bands and whether the cut misses the cell; None in a hole."""
        x, y = at(i + 0.5, j + 0.5)
        if _in_hole(x, y, face.holes):
            return None
        h = height(x, y)
        share = round(h / most * 16) / 16 if most else 0.0
        return diverging(share), face.cut is not None and h < top - face.cut

    parts = []
    for j in range(rows):
        py = sy.start + j * high
        # Cells that look alike are one rectangle: a tenth of the bytes.
        for seen, run in groupby(range(columns), key=lambda i, j=j: look(i, j)):  # type: ignore[misc]
            if seen is None:
                continue
            cells = list(run)
            px, wide = sx.start + cells[0] * cell, len(cells) * cell
            # A hair of overlap and sharp edges keep viewers from showing seams between the cells.
            parts.append(
                el(
                    "rect",
                    x=px,
                    y=py,
                    width=min(wide + 0.4, sx.end - px),
                    height=min(high + 0.4, sy.end - py),
                    fill=seen[0],
                    shape_rendering="crispEdges",
                )
            )
            if seen[1]:
                parts.append(
                    hatch_rect(px, py, wide, high, gap=5, stroke="#000000", stroke_width=0.7)
                )
    xs = [sx.start + i * cell for i in range(columns + 1)]
    ys = [sy.start + j * high for j in range(rows + 1)]
    grid = [
        [None if _in_hole(*at(i, j), face.holes) else height(*at(i, j)) for i in range(columns + 1)]
        for j in range(rows + 1)
    ]
    low = min(h for _, _, h in known)
    for tick in ticks(low, top, 6):
        if abs(tick.value) > 1e-12:
            parts.append(_line_path(contour(grid, xs, ys, tick.value), stroke_width=0.6))
    parts.append(_line_path(contour(grid, xs, ys, 0.0), stroke_width=1.8))
    if face.cut is not None:
        edge = contour(grid, xs, ys, top - face.cut)
        parts.append(_line_path(edge, stroke_width=1.8, stroke_dasharray="7 4"))
    return group(*parts)


def _readings(
    face: SurfaceMap, known: Sequence[tuple[float, float, float]], sx: Scale, sy: Scale, most: float
) -> Svg:
    """Dots with their figures; the highest and lowest get a triangle and are always written."""
    parts = []
    top, low = max(known, key=lambda r: r[2]), min(known, key=lambda r: r[2])
    taken: list[tuple[float, float, float]] = []
    for reading in sorted(known, key=lambda r: (r is not top, r is not low, r)):
        x, y, h = sx.at(reading[0]), sy.at(reading[1]), reading[2]
        extreme = reading in (top, low)
        if extreme:
            way = -1 if reading is top else 1
            corners = ((x, y + way * 7), (x + 6, y - way * 4), (x - 6, y - way * 4))
            parts.append(polygon(corners, fill="#000000", stroke="#FFFFFF"))
        else:
            parts.append(circle(x, y, 2.6, fill="#000000", stroke="#FFFFFF", stroke_width=0.8))
        text = figure(h, face.decimals, signed=True)
        half = width(text, 10, extreme) / 2
        at = y + 14 if y + 24 < sy.end else y - 14
        middle = min(max(x, sx.start + half + 2), sx.end - half - 2)
        if all(abs(middle - tx) > half + tw or abs(at - ty) > 13 for tx, ty, tw in taken):
            colour = diverging(h / most if most else 0.0)
            parts.append(
                rect(middle - half, at - 6.5, 2 * half, 13, fill=colour, opacity=0.85, stroke=None)
            )
            parts.append(
                label(middle, at, text, size=10, anchor="middle", fill=on(colour), bold=extreme)
            )
            taken.append((middle, at, half))
    return group(*parts)


def _words(face: SurfaceMap, known: Sequence[tuple[float, float, float]]) -> str:
    top, low = max(known, key=lambda r: r[2]), min(known, key=lambda r: r[2])

    def said(r: tuple[float, float, float]) -> str:
        return (
            f"{figure(r[2], face.decimals, signed=True)} {face.unit} at "
            f"{figure(r[0], 0)}, {figure(r[1], 0)} mm"
        )

    parts = [f"Highest {said(top)}; lowest {said(low)}."]
    if face.cut is not None:
        left = sum(h < top[2] - face.cut for _, _, h in known)
        parts.append(
            f"Cut {figure(face.cut, face.decimals)} {face.unit} below the highest: "
            + (
                "every reading cleans up."
                if left == 0
                else f"{left} of {len(known)} readings stay below it (hatched)."
            )
        )
    return " ".join(parts)


def surface_map(face: SurfaceMap) -> str:
    """Heights over the level plane as shading and contours, with the cut and what it leaves."""
    known = [(x, y, h) for x, y, h in face.readings if h is not None]
    if not known or face.length <= 0 or face.breadth <= 0:
        note = label(
            _WIDTH / 2, 30, f"{clip(face.name, 480, 13)}: not measured", size=13, anchor="middle"
        )
        return picture(face.name, "Not measured.", _WIDTH, 60, note)
    most = max(abs(h) for _, _, h in known)
    high = min(420.0, max(90.0, (_RIGHT - _LEFT) * face.breadth / face.length))
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(face.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    for text in wrap(_words(face, known), _WIDTH - 24, 11, False, 3):
        parts.append(label(12, y, text, size=11))
        y += 14
    y += 4
    sx, sy = Scale(0, face.length, _LEFT, _RIGHT), Scale(0, face.breadth, y, y + high)
    parts.append(_shading(face, known, sx, sy, most))
    per = (_RIGHT - _LEFT) / face.length
    for hx, hy, hr in face.holes:
        rx, ry = min(abs(hr) * per, 400), min(abs(hr) * high / face.breadth, 400)
        look = {"fill": "none", "stroke": INK}
        parts.append(el("ellipse", cx=sx.at(hx), cy=sy.at(hy), rx=rx, ry=ry, **look))
    parts.append(rect(_LEFT, y, _RIGHT - _LEFT, high, stroke_width=1.6))
    parts.append(_readings(face, known, sx, sy, most))
    missing = [(rx, ry) for rx, ry, h in face.readings if h is None]
    for rx, ry in missing:
        parts.append(rect(sx.at(rx) - 4, sy.at(ry) - 4, 8, 8, dash="2 2", stroke="#000000"))
    for tick in ticks(0, face.breadth, 3):
        at = min(max(sy.at(tick.value), y + 6), y + high - 6)
        parts.append(snug(_LEFT - 6, at, tick.text, _LEFT - 10, size=9, anchor="end"))
    y += high + 12
    for tick in ticks(0, face.length, 6):
        half = width(tick.text, 9) / 2
        at = min(max(sx.at(tick.value), _LEFT + half), _RIGHT - half)
        parts.append(label(at, y - 2, tick.text, size=9, anchor="middle"))
    section, y = _section(face, known, y + 10, sx)
    parts.append(section)
    y += 8
    notes = [
        f"Below: the same readings from the side, {face.unit}. Full line: level plane"
        + (f" ({face.plane})" if face.plane else "")
        + "."
    ]
    if face.cut is not None:
        notes.append("Dashed line: the cut; grey: what it takes off.")
    notes.append("Shading between readings is a guess, not a measurement.")
    if missing:
        notes.append("Dashed squares: not measured.")
    for text in wrap(" ".join(notes), _WIDTH - 24, 10, False, 4):
        parts.append(label(12, y, text, size=10))
        y += 13
    return picture(face.name, _words(face, known), _WIDTH, y + 4, *parts)
