"""The tightening order on a map of the joint: what is done, what comes next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.marks import circle, polyline, rect, snug
from sparkout.drawings.palette import BLUE, ORANGE
from sparkout.drawings.scale import Scale, extent
from sparkout.drawings.svg import INK, Svg, el, group, label, picture
from sparkout.drawings.text import clip, width, wrap

__all__ = ["Fastener", "FastenerMap", "fastener_map"]


@dataclass(frozen=True, slots=True)
class Fastener:
    """One bolt or nut: its place in mm from one corner, its number in the order, and what it is
    called where that is another word."""

    x: float
    y: float
    order: int
    done: bool = False
    name: str = ""


@dataclass(frozen=True, slots=True)
class FastenerMap:
    """stage: such as "Stage 2 of 3: 60 N·m"; holes: x, y, radius, to find one's way on the joint;
    ends: words at the left and the right edge."""

    name: str
    fasteners: tuple[Fastener, ...]
    stage: str = ""
    holes: tuple[tuple[float, float, float], ...] = ()
    ends: tuple[str, str] = ("front", "flywheel end")


_WIDTH = 720.0
_LEFT, _RIGHT = 52.0, 668.0
_MOST = 460.0  # height of the map


def _next(fasteners: Sequence[Fastener]) -> Fastener | None:
    left = [f for f in fasteners if not f.done]
    return min(left, key=lambda f: f.order) if left else None


def _radius(places: Sequence[tuple[float, float]]) -> float:
    """As large as the nearest two allow."""
    nearest = 60.0
    for k, (x1, y1) in enumerate(places):
        for x2, y2 in places[k + 1 :]:
            nearest = min(nearest, math.hypot(x2 - x1, y2 - y1))
    return max(7.0, min(17.0, nearest * 0.36))


def _one(f: Fastener, x: float, y: float, r: float, following: bool) -> Svg:
    number = str(f.order)
    room = 1.7 * r
    if f.done:
        tick = (
            (x + 0.35 * r, y - 0.85 * r),
            (x + 0.62 * r, y - 0.55 * r),
            (x + 1.1 * r, y - 1.15 * r),
        )
        return group(
            circle(x, y, r, fill=BLUE, stroke=BLUE, stroke_width=1.5),
            snug(x, y, number, room, size=13, least=4, anchor="middle", bold=True, fill="#FFFFFF"),
            circle(x + 0.7 * r, y - 0.85 * r, 0.52 * r, fill="#FFFFFF", stroke=BLUE),
            polyline(tick, stroke=BLUE, stroke_width=max(1.4, r * 0.16)),
        )
    if following:
        return group(
            circle(x, y, r + 5, stroke_width=2.5, stroke=INK),
            circle(x, y, r, fill=ORANGE, stroke="#000000", stroke_width=1.5),
            snug(x, y, number, room, size=13, least=4, anchor="middle", bold=True, fill="#000000"),
        )
    return group(
        circle(x, y, r, fill=INK, opacity=0.05, stroke_width=1.3),
        snug(x, y, number, room, size=13, least=4, anchor="middle", bold=True),
    )


def _next_flag(x: float, y: float, r: float, top: float, under: float) -> Svg:
    """NEXT in a plate above the fastener, or below it and its name where there is no room."""
    wide = width("NEXT", 10, True) + 8
    at = y - r - 15 if y - r - 24 > top else y + r + 15 + under
    left = min(max(x - wide / 2, 4), _WIDTH - wide - 4)
    return group(
        rect(
            left, at - 7.5, wide, 15, fill="#000000", stroke="#FFFFFF", stroke_width=0.8, round_=3
        ),
        label(left + wide / 2, at, "NEXT", size=10, anchor="middle", bold=True, fill="#FFFFFF"),
    )


def _words(joint: FastenerMap, following: Fastener | None) -> str:
    total = len(joint.fasteners)
    done = sum(f.done for f in joint.fasteners)
    order = ", ".join(str(f.order) for f in sorted(joint.fasteners, key=lambda f: (f.x, f.y)))
    called = f" ({following.name})" if following and following.name else ""
    tail = f"next is {following.order}{called}" if following else "all are done"
    stage = f" {joint.stage}." if joint.stage else ""
    return (
        f"{joint.name}.{stage} {done} of {total} done; {tail}. Numbers from left to right: {order}."
    )


def fastener_map(joint: FastenerMap) -> str:
    """Numbers where the fasteners are; ticked ones are done and the next one is ringed."""
    if not joint.fasteners:
        note = label(_WIDTH / 2, 30, "No tightening order given", size=13, anchor="middle")
        return picture(joint.name, "No tightening order given.", _WIDTH, 60, note)
    x_low, x_high = extent([f.x for f in joint.fasteners] + [h[0] for h in joint.holes], 0.0)
    y_low, y_high = extent([f.y for f in joint.fasteners] + [h[1] for h in joint.holes], 0.0)
    per = (_RIGHT - _LEFT - 56) / (x_high / 2 - x_low / 2) / 2
    tall = 2 * (y_high / 2 - y_low / 2)
    aside = 0.0
    if _MOST < tall * per < 2 * _MOST:  # nearly as tall as wide: kept in shape
        aside = (_RIGHT - _LEFT - 56) / 2 * (1 - _MOST / (tall * per))
        per = _MOST / tall
    high = min(_MOST, max(60.0, tall * per))
    named = any(f.name and f.name != str(f.order) for f in joint.fasteners)
    foot = 13.0 if named else 0.0
    following = _next(joint.fasteners)
    parts: list[Svg] = []
    y = 12.0
    heads = [(joint.name, 12.0), (joint.stage, 15.0)]
    for words, size in heads:
        for text in wrap(words, _WIDTH - 24, size, True, 2):
            parts.append(label(12, y + size * 0.2, text, size=size, bold=True))
            y += size + 5
    y += 12
    sx = Scale(x_low, x_high, _LEFT + 28 + aside, _RIGHT - 28 - aside)
    sy = Scale(y_low, y_high, y + 28, y + 28 + high)
    parts.append(
        rect(
            _LEFT, y, _RIGHT - _LEFT, high + 56 + foot, fill=INK, opacity=0.04, stroke_width=1.5,
            round_=8,
        )
    )  # fmt: skip
    shrunk_y = high / tall if tall > 0 else per
    for hx, hy, hr in joint.holes:
        parts.append(
            el("ellipse", cx=sx.at(hx), cy=sy.at(hy), rx=min(max(hr * per, 0), 300),
               ry=min(max(hr * shrunk_y, 0), 230), fill="none", stroke=INK, stroke_width=1,
               stroke_opacity=0.35)
        )  # fmt: skip
    middle = y + 28 + high / 2
    for x, words, turn in ((_LEFT - 18, joint.ends[0], -90), (_RIGHT + 18, joint.ends[1], 90)):
        text = clip(words.upper(), high + 52, 11, True)
        parts.append(label(x, middle, text, size=11, bold=True, anchor="middle", turn=turn))
    places = [(sx.at(f.x), sy.at(f.y)) for f in joint.fasteners]
    r = _radius(places)
    for f, (px, py) in zip(joint.fasteners, places, strict=True):
        parts.append(_one(f, px, py, r, f is following))
        if named:
            below = py + r + (14 if f is following else 10)
            parts.append(snug(px, below, f.name, 3 * r, size=10, least=5, anchor="middle"))
    if named:
        words = "large: number in the order; small: the fastener's name"
        parts.append(label(_RIGHT, y + high + 76 + foot, words, size=10, anchor="end"))
    if following is not None:
        parts.append(_next_flag(sx.at(following.x), sy.at(following.y), r + 5, y, foot))
    y += high + 56 + foot + 16
    done = sum(f.done for f in joint.fasteners)
    parts += [
        _one(Fastener(0, 0, 1, True), 22, y + 4, 9, False),
        label(40, y + 4, f"done: {done} of {len(joint.fasteners)}", size=11),
        _one(Fastener(0, 0, 2), 172, y + 4, 7, True),
        label(192, y + 4, "next" if following else "next (none left)", size=11),
        _one(Fastener(0, 0, 3), 312, y + 4, 9, False),
        label(328, y + 4, "still to do", size=11),
    ]
    return picture(joint.name, _words(joint, following), _WIDTH, y + 24, *parts)
