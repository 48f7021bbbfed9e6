"""The marks all pictures share: verdict symbols and badges, arrows, dimension lines."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.drawings.palette import BLUE, GREY, ORANGE, VERMILION, Verdict
from sparkout.drawings.svg import INK, Svg, el, group, label, num
from sparkout.drawings.text import clip, shrink, width

__all__ = [
    "arrow",
    "badge",
    "badge_width",
    "circle",
    "dimension",
    "legend",
    "line",
    "polygon",
    "polyline",
    "rect",
    "snug",
    "symbol",
]

Point = tuple[float, float]


def snug(
    x: float,
    y: float,
    text: str,
    room: float,
    *,
    size: float = 11,
    least: float = 6,
    anchor: str = "start",
    bold: bool = False,
    fill: str = INK,
    turn: float = 0,
) -> Svg:
    """Text that keeps to its room: smaller down to `least`, and only then cut."""
    size = shrink(text, room, size, least, bold)
    text = clip(text, room, size, bold)
    return label(x, y, text, size=size, anchor=anchor, bold=bold, fill=fill, turn=turn)


def line(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    *,
    stroke: str = INK,
    stroke_width: float = 1,
    dash: str | None = None,
    opacity: float | None = None,
) -> Svg:
    return el(
        "line",
        x1=x1,
        y1=y1,
        x2=x2,
        y2=y2,
        stroke=stroke,
        stroke_width=stroke_width,
        stroke_dasharray=dash,
        stroke_opacity=opacity,
    )


def rect(
    x: float,
    y: float,
    w: float,
    h: float,
    *,
    fill: str = "none",
    opacity: float | None = None,
    stroke: str | None = INK,
    stroke_width: float = 1,
    dash: str | None = None,
    round_: float | None = None,
) -> Svg:
    return el(
        "rect",
        x=x,
        y=y,
        width=w,
        height=h,
        rx=round_,
        fill=fill,
        fill_opacity=opacity,
        stroke=stroke,
        stroke_width=stroke_width if stroke else None,
        stroke_dasharray=dash,
    )


def circle(
    x: float,
    y: float,
    r: float,
    *,
    fill: str = "none",
    opacity: float | None = None,
    stroke: str | None = INK,
    stroke_width: float = 1,
    dash: str | None = None,
) -> Svg:
    return el(
        "circle",
        cx=x,
        cy=y,
        r=r,
        fill=fill,
        fill_opacity=opacity,
        stroke=stroke,
        stroke_width=stroke_width if stroke else None,
        stroke_dasharray=dash,
    )


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{num(x)},{num(y)}" for x, y in points)


def polyline(
    points: Sequence[Point],
    *,
    stroke: str = INK,
    stroke_width: float = 1.5,
    dash: str | None = None,
    opacity: float | None = None,
) -> Svg:
    return el(
        "polyline",
        points=_points(points),
        fill="none",
        stroke=stroke,
        stroke_width=stroke_width,
        stroke_dasharray=dash,
        stroke_opacity=opacity,
    )


def polygon(
    points: Sequence[Point],
    *,
    fill: str = "none",
    opacity: float | None = None,
    stroke: str | None = INK,
    stroke_width: float = 1,
    dash: str | None = None,
) -> Svg:
    return el(
        "polygon",
        points=_points(points),
        fill=fill,
        fill_opacity=opacity,
        stroke=stroke,
        stroke_width=stroke_width if stroke else None,
        stroke_dasharray=dash,
    )


def _octagon(x: float, y: float, r: float) -> tuple[Point, ...]:
    turns = (math.radians(22.5 + 45 * k) for k in range(8))
    return tuple((x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns)


def symbol(verdict: Verdict, x: float, y: float, r: float) -> Svg:
    """The shape of a verdict within radius r: it can be read without its colour."""
    heavy = max(1.2, r * 0.24)
    if verdict is Verdict.OK:
        tick = (
            (x - 0.48 * r, y + 0.02 * r),
            (x - 0.12 * r, y + 0.4 * r),
            (x + 0.5 * r, y - 0.4 * r),
        )
        return group(
            circle(x, y, r, fill=BLUE, stroke=None),
            polyline(tick, stroke="#FFFFFF", stroke_width=heavy),
        )
    if verdict is Verdict.OUT:
        arm = 0.4 * r
        return group(
            polygon(_octagon(x, y, 1.06 * r), fill=VERMILION, stroke=None),
            line(x - arm, y - arm, x + arm, y + arm, stroke="#FFFFFF", stroke_width=heavy),
            line(x - arm, y + arm, x + arm, y - arm, stroke="#FFFFFF", stroke_width=heavy),
        )
    if verdict is Verdict.CHECK:
        corners = ((x, y - 1.02 * r), (x + 1.1 * r, y + 0.88 * r), (x - 1.1 * r, y + 0.88 * r))
        return group(
            polygon(corners, fill=ORANGE, stroke="#000000", stroke_width=max(0.8, r * 0.1)),
            line(x, y - 0.42 * r, x, y + 0.26 * r, stroke="#000000", stroke_width=heavy),
            circle(x, y + 0.6 * r, heavy * 0.55, fill="#000000", stroke=None),
        )
    if verdict is Verdict.NOT_MEASURED:
        side = 1.7 * r
        return rect(
            x - side / 2,
            y - side / 2,
            side,
            side,
            stroke=GREY,
            stroke_width=max(1.2, r * 0.2),
            dash=f"{num(r * 0.45)} {num(r * 0.3)}",
        )
    # Stale: a dashed diamond with an arrow going round: measure it again.
    diamond = ((x, y - 1.1 * r), (x + 1.1 * r, y), (x, y + 1.1 * r), (x - 1.1 * r, y))
    turn = [
        (x + 0.42 * r * math.cos(math.radians(a)), y + 0.42 * r * math.sin(math.radians(a)))
        for a in range(-60, 211, 30)
    ]
    tip = (x + 0.42 * r * math.cos(math.radians(-60)), y + 0.42 * r * math.sin(math.radians(-60)))
    head = (
        (tip[0] - 0.3 * r, tip[1] - 0.22 * r),
        (tip[0] + 0.2 * r, tip[1] - 0.3 * r),
        (tip[0] + 0.08 * r, tip[1] + 0.3 * r),
    )
    return group(
        polygon(
            diamond,
            stroke=GREY,
            stroke_width=max(1.2, r * 0.16),
            dash=f"{num(r * 0.4)} {num(r * 0.25)}",
        ),
        polyline(turn, stroke=GREY, stroke_width=max(1, r * 0.16)),
        polygon(head, fill=GREY, stroke=None),
    )


def badge_width(verdict: Verdict, size: float = 11) -> float:
    return size * 2 + width(verdict.value, size, bold=True)


def badge(verdict: Verdict, x: float, y: float, size: float = 11) -> Svg:
    """Symbol and word, starting at x, with its middle at y."""
    r = size * 0.68
    return group(
        symbol(verdict, x + r * 1.1, y, r),
        label(x + size * 1.8, y, verdict.value, size=size, bold=True),
    )


def legend(x: float, y: float, verdicts: Sequence[Verdict], size: float = 10) -> Svg:
    """The verdicts that occur, each once, side by side from x on."""
    parts = []
    for verdict in Verdict:
        if verdict in verdicts:
            parts.append(badge(verdict, x, y, size))
            x += badge_width(verdict, size) + 14
    return group(*parts)


def _head(x: float, y: float, angle: float, size: float, fill: str) -> Svg:
    spread = math.radians(20)
    back = [
        (x - size * math.cos(angle + s), y - size * math.sin(angle + s)) for s in (spread, -spread)
    ]
    return polygon(((x, y), *back), fill=fill, stroke=None)


def arrow(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    *,
    stroke: str = INK,
    stroke_width: float = 1.2,
    size: float = 7,
    both: bool = False,
) -> Svg:
    """A line with a head at its end, or at both."""
    angle = math.atan2(y2 - y1, x2 - x1)
    parts = [line(x1, y1, x2, y2, stroke=stroke, stroke_width=stroke_width)]
    parts.append(_head(x2, y2, angle, size, stroke))
    if both:
        parts.append(_head(x1, y1, angle + math.pi, size, stroke))
    return group(*parts)


def dimension(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    text: str,
    *,
    size: float = 10,
    side: str = "right",
    bold: bool = False,
) -> Svg:
    """A dimension line with its figure beside it; short ones get their arrows from outside."""
    span = math.hypot(x2 - x1, y2 - y1)
    upright = abs(x2 - x1) < abs(y2 - y1)
    if span >= 18:
        lines = arrow(x1, y1, x2, y2, stroke_width=0.9, size=6, both=True)
    else:
        ux, uy = ((x2 - x1) / span, (y2 - y1) / span) if span > 0 else (0.0, 1.0)
        lines = group(
            arrow(x1 - 14 * ux, y1 - 14 * uy, x1, y1, stroke_width=0.9, size=6),
            arrow(x2 + 14 * ux, y2 + 14 * uy, x2, y2, stroke_width=0.9, size=6),
        )
    mx, my = (x1 + x2) / 2, (y1 + y2) / 2
    if upright:
        dx = 7 if side == "right" else -7
        anchor = "start" if side == "right" else "end"
        return group(lines, label(mx + dx, my, text, size=size, anchor=anchor, bold=bold))
    dy = -0.9 * size if side in {"right", "above"} else 0.9 * size
    return group(lines, label(mx, my + dy, text, size=size, anchor="middle", bold=bold))
