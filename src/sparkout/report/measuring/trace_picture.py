"""A trace along a surface as a picture, with the levels that matter and, for texture, how much of
it is metal at each height."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import circle, line, polyline, rect, snug
from sparkout.drawings.palette import BLUE, VERMILION
from sparkout.drawings.scale import Scale, extent, ticks
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["Level", "Trace", "trace_picture"]


@dataclass(frozen=True, slots=True)
class Level:
    """A height across the trace, drawn dashed with its name."""

    name: str
    height: float


@dataclass(frozen=True, slots=True)
class Trace:
    """places: along the trace, rising; heights: at each of them. marked: dots on the readings.
    curve: share of metal in per cent and height, falling, drawn beside the trace."""

    name: str
    places: tuple[float, ...]
    heights: tuple[float, ...]
    unit: str
    height_unit: str
    levels: tuple[Level, ...] = ()
    result: str = ""
    marked: bool = False
    curve: tuple[tuple[float, float], ...] = ()
    sections: tuple[float, ...] = ()
    note: str = ""


_WIDTH = 720.0
_LEFT, _RIGHT = 66.0, 706.0
_CURVE = 150.0
_HIGH = 210.0
_MOST = 1400  # points across; more are drawn as the highest and lowest of each column


def _drawn(trace: Trace, sx: Scale, sy: Scale) -> list[tuple[float, float]]:
    count = len(trace.places)
    if count <= _MOST:
        pairs = zip(trace.places, trace.heights, strict=True)
        return [(sx.at(x), sy.at(z)) for x, z in pairs]
    points = []
    step = count / (_MOST / 2)
    for k in range(_MOST // 2):
        start, end = int(k * step), max(int(k * step) + 1, int((k + 1) * step))
        part = trace.heights[start:end]
        x = sx.at(trace.places[start])
        ends = (max(part), min(part))
        first = part.index(ends[0]) <= part.index(ends[1])
        points += [(x, sy.at(z)) for z in (ends if first else ends[::-1])]
    return points


def _levels(levels: Sequence[Level], right: float, scale: Scale) -> Svg:
    parts = []
    for level in levels:
        at = scale.at(level.height)
        parts.append(line(_LEFT, at, right, at, stroke=VERMILION, stroke_width=1.3, dash="7 4"))
    return group(*parts)


def _curve(trace: Trace, left: float, top: float, scale: Scale) -> Svg:
    """Metal share from 0 to 100 % across, on the heights of the trace."""
    sx = Scale(0.0, 100.0, left, _RIGHT)
    parts = [rect(left, top, _RIGHT - left, _HIGH, fill=INK, opacity=0.03, stroke_width=0.8)]
    for share in (0, 25, 50, 75, 100):
        x = sx.at(share)
        parts.append(line(x, top, x, top + _HIGH, opacity=0.2))
        parts.append(label(x, top + _HIGH + 9, str(share), size=9, anchor="middle"))
    points = [(sx.at(share), scale.at(height)) for share, height in trace.curve]
    parts.append(polyline(points, stroke=BLUE, stroke_width=2))
    parts.append(label((left + _RIGHT) / 2, top + _HIGH + 22, "metal at this height, %", size=9,
                       anchor="middle"))  # fmt: skip
    return group(*parts)


def trace_picture(trace: Trace) -> str:
    """Heights enlarged over the length; what was dashed is named below with its height."""
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(trace.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    for text in wrap(trace.result, _WIDTH - 24, 11, False, 3):
        parts.append(label(12, y, text, size=11))
        y += 15
    y += 4
    right = _RIGHT - (_CURVE + 20 if trace.curve else 0)
    sx = Scale(trace.places[0], trace.places[-1], _LEFT, right)
    every = [*trace.heights, *(level.height for level in trace.levels)]
    sy = Scale(*extent(every, 0.08), y + _HIGH, y)
    parts.append(rect(_LEFT, y, right - _LEFT, _HIGH, fill=INK, opacity=0.03, stroke_width=0.8))
    for tick in ticks(sy.low, sy.high, 6):
        at = sy.at(tick.value)
        parts.append(line(_LEFT, at, right, at, opacity=0.2))
        parts.append(snug(_LEFT - 6, at, tick.text, _LEFT - 22, size=9, anchor="end"))
    for place in trace.sections:
        parts.append(line(sx.at(place), y, sx.at(place), y + _HIGH, dash="2 4", opacity=0.5))
    points = _drawn(trace, sx, sy)
    parts.append(polyline(points, stroke_width=1.0 if len(points) > 200 else 1.6))
    if trace.marked:
        parts += [circle(*point, 2.6, fill=INK, stroke=None) for point in points]
    parts.append(_levels(trace.levels, _RIGHT if trace.curve else right, sy))
    if trace.curve:
        parts.append(_curve(trace, right + 20, y, sy))
    parts.append(label(14, y + _HIGH / 2, trace.height_unit, size=10, anchor="middle", turn=-90))
    y += _HIGH + 9
    for tick in ticks(sx.low, sx.high, 7):
        parts.append(label(sx.at(tick.value), y, tick.text, size=9, anchor="middle"))
    y += 13
    middle = (_LEFT + right) / 2
    parts.append(label(middle, y, f"along the surface, {trace.unit}", size=9, anchor="middle"))
    y += 16
    named = "; ".join(
        f"{level.name} {figure(level.height, 2, signed=True)} {trace.height_unit}"
        for level in trace.levels
    )
    enlarged = _enlarged(trace, sx, sy)
    notes = [f"Dashed: {named}." if named else "", enlarged, trace.note]
    for text in wrap(" ".join(note for note in notes if note), _WIDTH - 24, 10, False, 4):
        parts.append(label(12, y, text, size=10))
        y += 13
    desc = (
        f"{trace.name}: {len(trace.places)} heights over "
        f"{figure(trace.places[-1] - trace.places[0], 2)} {trace.unit}, from "
        f"{figure(min(trace.heights), 2)} to {figure(max(trace.heights), 2)} {trace.height_unit}. "
        f"{trace.result} {named}"
    ).strip()
    return picture(trace.name, desc, _WIDTH, y + 4, *parts)


def _enlarged(trace: Trace, sx: Scale, sy: Scale) -> str:
    """How much more heights are drawn than lengths, where both are known lengths."""
    fine = {"µm": 1000.0, "thou": 1000.0, "µin": 1e6}.get(trace.height_unit)
    span, rise = sx.high - sx.low, sy.high - sy.low
    if fine is None or not span > 0 or not rise > 0:
        return ""
    times = (_HIGH / rise * fine) / ((sx.end - sx.start) / span)
    return f"Heights are drawn {figure(float(f'{times:.2g}'), 0)} times larger than lengths."
