"""Hatching as plain lines cut to their shape: no pattern, so every printer and reader shows it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.drawings.svg import INK, Svg, el, group, num

__all__ = ["circle_outline", "hatch", "hatch_rect"]

Point = tuple[float, float]


def circle_outline(x: float, y: float, radius: float, steps: int = 36) -> tuple[Point, ...]:
    """A circle as a polygon, for hatching it."""
    return tuple(
        (x + radius * math.cos(math.tau * k / steps), y + radius * math.sin(math.tau * k / steps))
        for k in range(steps)
    )


def _cuts(outline: Sequence[Point], level: float, lean: int) -> list[Point]:
    """Where the line x + lean·y = level crosses the edges, in order along the line."""
    found = []
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        one, two = x1 + lean * y1 - level, x2 + lean * y2 - level
        if (one < 0) != (two < 0):
            part = one / (one - two)
            found.append((x1 + part * (x2 - x1), y1 + part * (y2 - y1)))
    return sorted(found)


def hatch(
    outline: Sequence[Point],
    *,
    gap: float = 5,
    lean: int = 1,
    stroke: str = INK,
    stroke_width: float = 0.8,
    opacity: float | None = None,
) -> Svg:
    """Lines at 45° inside a polygon of any shape. lean: 1 for rising lines, −1 for falling ones."""
    levels = [x + lean * y for x, y in outline]
    # Lines lie on multiples of the pitch, so that neighbouring shapes hatch without a seam.
    pitch = gap * math.sqrt(2)
    path = []
    for index in range(math.ceil(min(levels) / pitch), math.floor(max(levels) / pitch) + 1):
        cuts = _cuts(outline, index * pitch, lean)
        for (x1, y1), (x2, y2) in zip(cuts[::2], cuts[1::2], strict=False):
            path.append(f"M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}")
    if not path:
        return group()
    return el(
        "path",
        d="".join(path),
        stroke=stroke,
        stroke_width=stroke_width,
        stroke_opacity=opacity,
        fill="none",
    )


def hatch_rect(
    x: float,
    y: float,
    w: float,
    h: float,
    *,
    gap: float = 5,
    lean: int = 1,
    stroke: str = INK,
    stroke_width: float = 0.8,
    opacity: float | None = None,
) -> Svg:
    """Lines at 45° inside a rectangle."""
    outline = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
    return hatch(
        outline, gap=gap, lean=lean, stroke=stroke, stroke_width=stroke_width, opacity=opacity
    )
