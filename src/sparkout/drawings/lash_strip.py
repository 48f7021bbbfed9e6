"""Valve lash in the order it is set: turn the crank here, set these valves, turn on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.marks import circle, legend, line, polygon, rect, snug, symbol
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["LashStep", "LashStrip", "LashValve", "lash_strip"]


@dataclass(frozen=True, slots=True)
class LashValve:
    """One valve: its name (such as "1 inlet"), what to set, what was read, and the verdict."""

    name: str
    target: str
    reading: str = ""
    verdict: Verdict = Verdict.NOT_MEASURED


@dataclass(frozen=True, slots=True)
class LashStep:
    """crank: words such as "cylinder 1 at firing TDC"; angle: crank degrees from the first step."""

    crank: str
    valves: tuple[LashValve, ...]
    angle: float | None = None


@dataclass(frozen=True, slots=True)
class LashStrip:
    name: str
    steps: tuple[LashStep, ...]
    note: str = ""


_WIDTH = 720.0
_LEFT = 232.0
_CHIP, _TALL = 95.0, 62.0


def _dial(x: float, y: float, angle: float) -> Svg:
    """Crank pulley with a pointer: up is the first step's place."""
    turn = math.radians(angle)
    tip = (x + 15 * math.sin(turn), y - 15 * math.cos(turn))
    return group(
        circle(x, y, 18, fill=INK, opacity=0.05, stroke_width=1.5),
        line(x, y - 21, x, y - 15, stroke_width=2),
        line(x, y, *tip, stroke_width=2.4),
        circle(*tip, 3, fill=INK, stroke=None),
        circle(x, y, 2.5, fill=INK, stroke=None),
    )


def _chip(valve: LashValve, x: float, y: float) -> Svg:
    colour = colour_of(valve.verdict)
    waiting = valve.verdict in {Verdict.NOT_MEASURED, Verdict.STALE}
    room = _CHIP - 16
    name = clip(valve.name, room - 16, 11, True)
    target = f"set {valve.target}" if valve.target else "no figure given"
    parts = [
        rect(x, y, _CHIP - 6, _TALL, fill=colour, opacity=0.1, stroke=colour, stroke_width=1.2,
             dash="4 3" if waiting else None, round_=4),
        label(x + 6, y + 13, name, size=11, bold=True),
        symbol(valve.verdict, x + _CHIP - 18, y + 13, 7),
        snug(x + 6, y + 31, target, room),
    ]  # fmt: skip
    if valve.reading:
        text = f"read {valve.reading}"
        parts.append(snug(x + 6, y + 48, text, room, bold=True))
    else:
        # A place to write the reading by hand.
        parts.append(label(x + 6, y + 48, "read", size=11))
        parts.append(line(x + 34, y + 54, x + _CHIP - 14, y + 54, opacity=0.6))
    return group(*parts)


def lash_strip(strip: LashStrip) -> str:
    """One row for each crank position, numbered, with the valves to set there."""
    if not strip.steps:
        note = label(_WIDTH / 2, 30, "No valve order given", size=13, anchor="middle")
        return picture(strip.name, "No valve order given.", _WIDTH, 60, note)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(strip.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 17
    y += 2
    per_row = int((_WIDTH - 12 - _LEFT) // _CHIP)
    said = []
    for number, step in enumerate(strip.steps, 1):
        rows = max(1, -(-len(step.valves) // per_row))
        words = wrap(step.crank, _LEFT - 118, 11, False, 5)
        tall = max(rows * (_TALL + 6), 14.0 * len(words) + 22, 64)
        middle = y + tall / 2
        parts.append(line(12, y - 3, _WIDTH - 12, y - 3, opacity=0.25))
        parts.append(label(14, middle, str(number), size=16, bold=True))
        if step.angle is not None:
            parts.append(_dial(66, middle - 6, step.angle))
            text = f"{figure(step.angle, 0)}°"
            parts.append(label(66, middle + 22, text, size=10, anchor="middle"))
        for k, text in enumerate(words):
            at = middle + 14 * (k - (len(words) - 1) / 2)
            parts.append(label(100, at, text, size=11))
        for k, valve in enumerate(step.valves):
            column, row = k % per_row, k // per_row
            parts.append(_chip(valve, _LEFT + column * _CHIP, y + row * (_TALL + 6) + 2))
        if number < len(strip.steps):
            foot = y + tall
            parts.append(
                polygon(
                    ((19, foot + 1), (14, foot - 8), (24, foot - 8)),
                    fill=INK,
                    opacity=0.6,
                    stroke=None,
                )
            )
        y += tall + 8
        valves = "; ".join(
            f"{v.name} set {v.target or 'no figure given'}"
            + (f", read {v.reading}" if v.reading else "")
            + f", {v.verdict.value}"
            for v in step.valves
        )
        said.append(f"Step {number}: {step.crank}: {valves}.")
    for text in wrap(strip.note, _WIDTH - 24, 11, False, 4):
        parts.append(label(12, y + 6, text, size=11))
        y += 14
    parts.append(legend(12, y + 10, [v.verdict for step in strip.steps for v in step.valves]))
    return picture(strip.name, " ".join(said), _WIDTH, y + 28, *parts)
