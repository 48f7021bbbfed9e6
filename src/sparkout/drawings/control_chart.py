"""Control charts: readings in the order they were taken, with their limits and the odd ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.labels import spread
from sparkout.drawings.marks import circle, line, polygon, polyline, rect, snug
from sparkout.drawings.palette import BLUE, VERMILION
from sparkout.drawings.scale import Scale, extent, ticks
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import width, wrap

__all__ = ["ControlChart", "ControlPanel", "control_chart"]


@dataclass(frozen=True, slots=True)
class ControlPanel:
    """One chart: individuals or means above, moving range or range below.

    flags: for each point the number of the rule it breaks, or "" (same length as values, or none).
    limit_low, limit_high: limits of the part, drawn apart from those of the process.
    """

    name: str
    values: tuple[float | None, ...]
    centre: float | None = None
    lower: float | None = None
    upper: float | None = None
    flags: tuple[str, ...] = ()
    limit_low: float | None = None
    limit_high: float | None = None
    decimals: int = 3


@dataclass(frozen=True, slots=True)
class ControlChart:
    name: str
    panels: tuple[ControlPanel, ...]
    labels: tuple[str, ...] = ()  # one for each point, such as a date or a subgroup
    unit: str = "mm"


_WIDTH = 720.0
_LEFT, _RIGHT = 76.0, 596.0
_HIGH = 150.0


def _limits(panel: ControlPanel) -> list[tuple[str, float, str | None, float]]:
    """Name, value, dash and line width of every line across the chart."""
    wanted: list[tuple[str, float | None, str | None, float]] = [
        ("upper limit", panel.upper, "7 4", 1.4),
        ("centre", panel.centre, None, 1.2),
        ("lower limit", panel.lower, "7 4", 1.4),
        ("part max", panel.limit_high, "2 3", 1.6),
        ("part min", panel.limit_low, "2 3", 1.6),
    ]
    return [(name, value, dash, w) for name, value, dash, w in wanted if value is not None]


def _side_labels(panel: ControlPanel, scale: Scale, top: float, bottom: float) -> Svg:
    """Names of the lines at the right edge, pushed apart where lines are close."""
    parts = []
    wanted = sorted(((scale.at(value), name, value) for name, value, _, _ in _limits(panel)))
    placed: list[float] = []
    for at, _, _ in wanted:
        placed.append(max(at, placed[-1] + 13 if placed else top + 6))
    shift = max(0.0, placed[-1] - (bottom - 4)) if placed else 0.0
    for (at, name, value), y in zip(wanted, placed, strict=True):
        y -= shift
        parts.append(line(_RIGHT, at, _RIGHT + 8, y, opacity=0.5))
        text = f"{name} {figure(value, panel.decimals)}"
        room = _WIDTH - _RIGHT - 16
        parts.append(snug(_RIGHT + 11, y, text, room, size=10))
    return group(*parts)


def _points(panel: ControlPanel, xs: Sequence[float], scale: Scale) -> Svg:
    runs: list[list[tuple[float, float]]] = [[]]
    marks = []
    r = 3.0 if len(xs) <= 60 else 1.8
    flags = panel.flags or ("",) * len(panel.values)
    for x, value, flag in zip(xs, panel.values, flags, strict=True):
        if value is None:
            runs.append([])
            continue
        y = scale.at(value)
        runs[-1].append((x, y))
        if flag:
            h = r + 3
            marks.append(
                polygon(
                    ((x, y - h), (x + h, y), (x, y + h), (x - h, y)), fill=VERMILION, stroke=None
                )
            )
            above = y - 14 if y - 20 > min(scale.start, scale.end) else y + 14
            marks.append(label(x, above, flag, size=9, anchor="middle", bold=True))
        else:
            marks.append(circle(x, y, r, fill=BLUE, stroke=None))
    lines = [polyline(run, stroke_width=1, opacity=0.7) for run in runs if len(run) > 1]
    return group(*lines, *marks)


def _panel(panel: ControlPanel, xs: Sequence[float], y: float) -> tuple[Svg, float]:
    parts = []
    for text in wrap(panel.name, _WIDTH - 24, 11, True, 2):
        parts.append(label(12, y + 6, text, size=11, bold=True))
        y += 15
    y += 4
    known = [v for v in panel.values if v is not None]
    lines = _limits(panel)
    scale = Scale(*extent([*known, *(value for _, value, _, _ in lines)], 0.12), y + _HIGH, y)
    parts.append(rect(_LEFT, y, _RIGHT - _LEFT, _HIGH, fill=INK, opacity=0.03, stroke_width=0.8))
    for tick in ticks(scale.low, scale.high, 5):
        at = scale.at(tick.value)
        parts.append(line(_LEFT - 4, at, _LEFT, at))
        parts.append(snug(_LEFT - 7, at, tick.text, _LEFT - 16, size=10, anchor="end"))
    for _, value, dash, heavy in lines:
        parts.append(
            line(_LEFT, scale.at(value), _RIGHT, scale.at(value), stroke_width=heavy, dash=dash)
        )
    if known:
        parts.append(_points(panel, xs, scale))
    else:
        parts.append(label((_LEFT + _RIGHT) / 2, y + _HIGH / 2, "no readings", anchor="middle"))
    parts.append(_side_labels(panel, scale, y, y + _HIGH))
    return group(*parts), y + _HIGH + 10


def _axis(chart: ControlChart, xs: Sequence[float], y: float) -> tuple[Svg, float]:
    """As many of the point labels as fit, always the first and the last."""
    texts = chart.labels or tuple(str(k + 1) for k in range(len(xs)))
    if not texts:
        return group(), y
    widest = max(width(text, 9) for text in texts) + 8
    step = max(1, -(-int(widest * len(texts)) // int(_RIGHT - _LEFT)))
    kept = [(xs[k], texts[k]) for k in range(0, len(texts), step)]
    rows = 0
    parts = []
    for placed in spread(kept, _LEFT - 30, _RIGHT + 30, 9):
        parts.append(label(placed.left, y + 4 + 11 * placed.row, placed.text, size=9))
        rows = max(rows, placed.row)
    return group(*parts), y + 14 + 11 * rows


def _words(panel: ControlPanel) -> str:
    known = [v for v in panel.values if v is not None]
    if not known:
        return f"{panel.name}: no readings."
    flagged = [f"point {k + 1} (rule {flag})" for k, flag in enumerate(panel.flags) if flag]
    lines = ", ".join(
        f"{name} {figure(value, panel.decimals)}" for name, value, _, _ in _limits(panel)
    )
    odd = f"{len(flagged)} flagged: {', '.join(flagged[:20])}" if flagged else "none flagged"
    return f"{panel.name}: {len(known)} points; {lines or 'no limits'}; {odd}."


def control_chart(chart: ControlChart) -> str:
    """Panels one below the other over the same points."""
    count = max((len(panel.values) for panel in chart.panels), default=0)
    if count == 0:
        note = label(_WIDTH / 2, 30, "No readings to chart", size=13, anchor="middle")
        return picture(chart.name, "No readings to chart.", _WIDTH, 60, note)
    air = min(24.0, (_RIGHT - _LEFT) / count / 2)
    gap = (_RIGHT - _LEFT - 2 * air) / max(1, count - 1)
    xs = [_LEFT + air + k * gap if count > 1 else (_LEFT + _RIGHT) / 2 for k in range(count)]
    parts: list[Svg] = []
    y = 8.0
    heading = f"{chart.name}, {chart.unit}" if chart.unit else chart.name
    for text in wrap(heading, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y + 4, text, size=12, bold=True))
        y += 17
    for panel in chart.panels:
        if panel.flags and len(panel.flags) != len(panel.values):
            raise ValueError(
                f"{panel.name}: {len(panel.flags)} flags for {len(panel.values)} points"
            )
        drawn, y = _panel(panel, xs[: len(panel.values)], y)
        parts.append(drawn)
    axis, y = _axis(chart, xs, y)
    parts.append(axis)
    y += 8
    if any(flag for panel in chart.panels for flag in panel.flags):
        h = 6.0
        parts.append(
            polygon(
                ((18, y - h), (18 + h, y), (18, y + h), (18 - h, y)), fill=VERMILION, stroke=None
            )
        )
        parts.append(label(30, y, "odd point, with the number of the rule it breaks", size=10))
        y += 16
    return picture(chart.name, " ".join(map(_words, chart.panels)), _WIDTH, y + 2, *parts)
