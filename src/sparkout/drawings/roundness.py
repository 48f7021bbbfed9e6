"""A roundness trace: the outline of one section, its faults enlarged, with the circles fitted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import circle, line, polyline, snug
from sparkout.drawings.palette import BLUE, ORANGE, VERMILION
from sparkout.drawings.scale import extent, ticks
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["FittedCircle", "RoundnessTrace", "roundness_trace"]


@dataclass(frozen=True, slots=True)
class FittedCircle:
    """One reference circle (or the pair of a minimum zone), as ISO 12181-1 names them.

    x, y: its centre from the origin of the trace; radii: its radius or radii on the scale of the
    deviations; value: the roundness by it, as text.
    """

    kind: str  # LSC, MZC, MCC, MIC
    x: float
    y: float
    radii: tuple[float, ...]
    value: str = ""


@dataclass(frozen=True, slots=True)
class RoundnessTrace:
    """angles in degrees, from 0 at the top, clockwise; deviations radial, None where missing."""

    name: str
    angles: tuple[float, ...]
    deviations: tuple[float | None, ...]
    circles: tuple[FittedCircle, ...] = ()
    nominal_radius: float | None = None  # in mm, to state how much the faults are enlarged
    unit: str = "µm"
    per_mm: float = 1000.0
    decimals: int = 1
    marks: tuple[tuple[float, str], ...] = ((0, "0°"), (90, "90°"), (180, "180°"), (270, "270°"))


_WIDTH, _HEIGHT = 720.0, 432.0
_X, _Y = 232.0, 222.0
_INNER, _OUTER = 78.0, 176.0
_NAMES = {
    "LSC": "least squares",
    "MZC": "minimum zone",
    "MCC": "minimum circumscribed",
    "MIC": "maximum inscribed",
}
_LOOK = {
    "LSC": (INK, "16 3"),
    "MZC": (BLUE, "8 4"),
    "MCC": (VERMILION, "10 3 2 3"),
    "MIC": (ORANGE, "2 3"),
}


def _at(angle: float, reach: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return (_X + reach * math.sin(turn), _Y - reach * math.cos(turn))


def _fit(fitted: FittedCircle, reach: Callable[[float], float]) -> Svg:
    """Off-centre circles are drawn as the trace shows them: radius plus the offset's share."""
    colour, dash = _LOOK.get(fitted.kind, (INK, "4 4"))
    parts = []
    for radius in fitted.radii:
        points = []
        for degree in range(0, 361, 3):
            turn = math.radians(degree)
            offset = fitted.x * math.sin(turn) + fitted.y * math.cos(turn)
            points.append(_at(degree, reach(radius + offset)))
        parts.append(polyline(points, stroke=colour, stroke_width=1.5, dash=dash))
    return group(*parts)


def _trace(trace: RoundnessTrace, reach: Callable[[float], float]) -> Svg:
    """The readings joined in order; a missing one leaves a gap."""
    order = sorted(zip(trace.angles, trace.deviations, strict=True), key=lambda pair: pair[0])
    runs: list[list[tuple[float, float]]] = [[]]
    for angle, value in order:
        if value is None:
            runs.append([])
        else:
            runs[-1].append(_at(angle, reach(value)))
    whole = len(runs) == 1
    if len(runs) > 1 and order and order[0][1] is not None and order[-1][1] is not None:
        runs[0] = runs.pop() + runs[0]
    parts = []
    for run in runs:
        if len(run) > 1:
            points = [*run, run[0]] if whole else run
            parts.append(polyline(points, stroke_width=2))
        elif run:
            parts.append(circle(*run[0], 2, fill=INK, stroke=None))
    if len(order) <= 48:
        parts += [circle(*p, 2.2, fill=INK, stroke=None) for run in runs for p in run]
    return group(*parts)


def _grid(trace: RoundnessTrace, low: float, high: float, reach: Callable[[float], float]) -> Svg:
    parts = []
    for tick in ticks(low, high, 7):
        parts.append(circle(_X, _Y, reach(tick.value), stroke="#8A8A8A", stroke_width=0.6))
    for degree in range(0, 360, 30):
        parts.append(
            line(
                *_at(degree, _INNER * 0.5),
                *_at(degree, _OUTER + 4),
                stroke="#8A8A8A",
                stroke_width=0.6,
            )
        )
    parts.append(line(_X - 6, _Y, _X + 6, _Y))
    parts.append(line(_X, _Y - 6, _X, _Y + 6))
    for angle, name in trace.marks:
        x, y = _at(angle, _OUTER + 18)
        side = math.sin(math.radians(angle))
        if abs(side) < 0.35:
            text = clip(name, 190, 11, True)
            parts.append(label(x, y, text, size=11, bold=True, anchor="middle"))
            continue
        x, _ = _at(angle, _OUTER + 8)
        anchor, room = ("start", 494 - x) if side > 0 else ("end", x - 4)
        lines = wrap(name, room, 11, True, 3)
        for k, text in enumerate(lines):
            at = y + 13 * (k - (len(lines) - 1) / 2)
            parts.append(label(x, at, text, size=11, bold=True, anchor=anchor))
    return group(*parts)


def _beside(trace: RoundnessTrace, known: Sequence[float], enlarged: str) -> Svg:
    """Name, figures, key and scale, to the right of the trace."""
    x, y = 500.0, 30.0
    parts = []
    for text in wrap(trace.name, _WIDTH - x - 12, 13, True, 3):
        parts.append(label(x, y, text, size=13, bold=True))
        y += 18
    if known:
        least = figure(min(known), trace.decimals, signed=True)
        most = figure(max(known), trace.decimals, signed=True)
        for text in wrap(f"{least} to {most} {trace.unit}, radial", _WIDTH - x - 12, 11, False, 2):
            parts.append(label(x, y, text, size=11))
            y += 15
    y += 12
    parts.append(line(x, y, x + 40, y, stroke_width=2))
    parts.append(label(x + 50, y, "trace", size=11))
    y += 22
    for fitted in trace.circles:
        colour, dash = _LOOK.get(fitted.kind, (INK, "4 4"))
        parts.append(line(x, y, x + 40, y, stroke=colour, stroke_width=2, dash=dash))
        named = f"{fitted.kind} {_NAMES.get(fitted.kind, '')}".strip()
        parts.append(snug(x + 50, y, named, _WIDTH - x - 62, size=11))
        if fitted.value:
            y += 15
            value = clip(f"roundness {fitted.value}", _WIDTH - x - 62, 11, True)
            parts.append(label(x + 50, y, value, size=11, bold=True))
        y += 22
    y = max(y + 6, _HEIGHT - 60)
    for text in wrap(enlarged, _WIDTH - x - 12, 10, False, 4):
        parts.append(label(x, y, text, size=10))
        y += 13
    return group(*parts)


def roundness_trace(trace: RoundnessTrace) -> str:
    """Polar trace with its fitted circles, the enlargement and the division stated."""
    known = [v for v in trace.deviations if v is not None]
    drawn = list(known)
    for fitted in trace.circles:
        off = math.hypot(fitted.x, fitted.y)
        drawn += [radius + side * off for radius in fitted.radii for side in (-1, 1)]
    if not known:
        note = label(
            _WIDTH / 2, 30, f"{clip(trace.name, 480, 13)}: not measured", size=13, anchor="middle"
        )
        return picture(trace.name, "Not measured.", _WIDTH, 60, note)
    low, high = extent(drawn, 0.06)

    def reach(value: float) -> float:
        share = (value / 2 - low / 2) / (high / 2 - low / 2)
        return _INNER + min(1.05, max(-0.3, share)) * (_OUTER - _INNER)

    marks = ticks(low, high, 7)
    division = marks[1].value - marks[0].value if len(marks) > 1 else high - low
    enlarged = f"One ring is {figure(division, trace.decimals)} {trace.unit}."
    if trace.nominal_radius:
        middle = (_INNER + _OUTER) / 2
        per_unit = (_OUTER - _INNER) / (high - low)
        times = per_unit * trace.nominal_radius * trace.per_mm / middle
        rounded = float(f"{times:.2g}")
        enlarged += f" Deviations are drawn {figure(rounded, 0)} times larger than the part."
    parts = [_grid(trace, low, high, reach)]
    parts += [_fit(fitted, reach) for fitted in trace.circles]
    parts += [_trace(trace, reach), _beside(trace, known, enlarged)]
    desc = (
        f"{trace.name}: {len(known)} readings round the section, from "
        f"{figure(min(known), trace.decimals, signed=True)} to "
        f"{figure(max(known), trace.decimals, signed=True)} {trace.unit} radial. "
        + " ".join(
            f"{fitted.kind} {_NAMES.get(fitted.kind, '')}: {fitted.value or 'no value'}."
            for fitted in trace.circles
        )
        + f" {enlarged}"
    )
    return picture(trace.name, desc, _WIDTH, _HEIGHT, *parts)
