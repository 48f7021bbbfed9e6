"""Bearings: the clearance as a sum in section, and the shells as they lie on the bench."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import circle_outline, hatch, hatch_rect
from sparkout.drawings.marks import arrow, badge, circle, legend, line, rect, snug, symbol
from sparkout.drawings.palette import BLUE, ORANGE, Verdict, colour_of
from sparkout.drawings.svg import INK, Svg, el, group, label, num, picture
from sparkout.drawings.text import clip, width, wrap

__all__ = ["BearingSection", "Shell", "ShellPair", "bearing_section", "shell_layout"]


@dataclass(frozen=True, slots=True)
class BearingSection:
    """clearance = housing − 2 × wall − journal, all as diameters but the wall. None: not measured.

    notes: such as how it was measured or the crush."""

    name: str
    housing: float | None
    wall: float | None
    journal: float | None
    clearance: float | None
    low: float | None = None
    high: float | None = None
    verdict: Verdict = Verdict.NOT_MEASURED
    unit: str = "mm"
    decimals: int = 3
    notes: tuple[str, ...] = ()


_WIDTH = 720.0
_X, _Y = 196.0, 166.0
_HOUSING, _INNER, _JOURNAL = 132.0, 110.0, 88.0


def _section() -> Svg:
    """Housing hatched one way, shells solid, journal hatched the other; the gap is enlarged."""
    block = [(_X - 158, _Y - 152), (_X + 158, _Y - 152), (_X + 158, _Y + 152), (_X - 158, _Y + 152)]
    hole = tuple(reversed(circle_outline(_X, _Y, _HOUSING, 72)))
    parts = [
        # Two hatches cut by one outline that goes out to the hole and back leave the hole free.
        hatch(
            [*block, block[0], hole[0], *hole[1:], hole[0]], gap=11, stroke_width=0.6, opacity=0.45
        ),
        rect(_X - 158, _Y - 152, 316, 304, stroke_width=1.3, round_=6),
        circle(_X, _Y, _HOUSING, stroke_width=1.6),
    ]
    for start, end in ((181.5, 358.5), (1.5, 178.5)):
        parts.append(_shell(start, end))
    parts += [
        circle(_X, _Y, _JOURNAL, fill=INK, opacity=0.12, stroke_width=1.6),
        hatch(circle_outline(_X, _Y, _JOURNAL, 48), gap=9, lean=-1, stroke_width=0.6, opacity=0.45),
        line(_X - 158, _Y, _X - _HOUSING, _Y, dash="8 4"),
        line(_X + _HOUSING, _Y, _X + 158, _Y, dash="8 4"),
        line(_X, _Y - 165, _X, _Y + 160, dash="12 4 3 4", opacity=0.35),
    ]
    return group(*parts)


def _shell(start: float, end: float) -> Svg:
    a, b = math.radians(start), math.radians(end)

    def at(turn: float, r: float) -> str:
        return f"{num(_X + r * math.cos(turn))} {num(_Y + r * math.sin(turn))}"

    d = (
        f"M{at(a, _HOUSING)}A{num(_HOUSING)} {num(_HOUSING)} 0 0 1 {at(b, _HOUSING)}"
        f"L{at(b, _INNER)}A{num(_INNER)} {num(_INNER)} 0 0 0 {at(a, _INNER)}Z"
    )
    return el("path", d=d, fill=ORANGE, fill_opacity=0.55, stroke=INK, stroke_width=1)


def _arrows() -> Svg:
    """The gap pointed at above and below; both together are the diametral clearance."""
    parts = []
    for way in (-1, 1):
        edge, journal = _Y + way * _INNER, _Y + way * _JOURNAL
        parts.append(
            rect(
                _X - 26,
                min(edge, journal),
                52,
                _INNER - _JOURNAL,
                fill=BLUE,
                opacity=0.3,
                stroke=None,
            )
        )
        parts.append(arrow(_X, edge + way * 24, _X, edge, stroke_width=1.6, size=8))
        parts.append(arrow(_X, journal - way * 24, _X, journal, stroke_width=1.6, size=8))
    return group(*parts)


def bearing_section(bearing: BearingSection) -> str:
    """Section with the gap enlarged and the sum that makes the clearance."""
    x, y, room = 392.0, 20.0, _WIDTH - 404.0
    parts = [_section(), _arrows()]
    parts.append(label(_X - 150, _Y - 140, "housing", size=11, bold=True))
    parts.append(label(_X + 54, _Y + 52, "journal", size=11, bold=True, anchor="end"))
    for text in wrap(bearing.name, room, 13, True, 3):
        parts.append(label(x, y, text, size=13, bold=True))
        y += 18
    y += 4
    rows = (
        ("", "housing bore, shells out", bearing.housing, False),
        ("−", "2 × shell wall", None if bearing.wall is None else 2 * bearing.wall, False),
        ("−", "journal", bearing.journal, False),
        ("=", "oil clearance, diametral", bearing.clearance, True),
    )
    said = []
    for sign, name, value, last in rows:
        if last:
            parts.append(line(x, y - 10, _WIDTH - 14, y - 10))
        shown = "not measured" if value is None else figure(value, bearing.decimals)
        parts.append(label(x, y, sign, size=12, bold=last))
        parts.append(label(x + 16, y, name, size=11, bold=last))
        used = 16 + width(name, 11, last) + 8
        parts.append(snug(_WIDTH - 14, y, shown, room - used, size=12, anchor="end", bold=last))
        said.append(f"{name} {shown}")
        y += 21
    if bearing.wall is not None:
        parts.append(
            label(x + 16, y - 2, f"one wall {figure(bearing.wall, bearing.decimals)}", size=10)
        )
        y += 18
    ends = [
        f"at least {figure(bearing.low, bearing.decimals)}" if bearing.low is not None else "",
        f"at most {figure(bearing.high, bearing.decimals)}" if bearing.high is not None else "",
    ]
    given = ", ".join(part for part in ends if part)
    limit = f"Limit: {given} {bearing.unit}" if given else "No limit given"
    for text in wrap(limit, room, 11, False, 2):
        parts.append(label(x, y, text, size=11))
        y += 16
    parts.append(badge(bearing.verdict, x, y + 8, 13))
    y += 36
    for note in bearing.notes:
        for text in wrap(note, room, 11, False, 4):
            parts.append(label(x, y, text, size=11))
            y += 15
        y += 3
    words = "Gap and shells are drawn much too thick. Measured square to the parting line."
    for text in wrap(words, room, 10, False, 3):
        parts.append(label(x, y, text, size=10))
        y += 13
    desc = (
        f"{bearing.name}: {'; '.join(said)} {bearing.unit}. {limit}. {bearing.verdict.value}. "
        + " ".join(bearing.notes)
    )
    return picture(bearing.name, desc.strip(), _WIDTH, max(336.0, y + 4), *parts)


@dataclass(frozen=True, slots=True)
class Shell:
    """One half shell: size grade or colour, wall as text, what was seen on it."""

    verdict: Verdict
    grade: str = ""
    wall: str = ""
    seen: str = ""


@dataclass(frozen=True, slots=True)
class ShellPair:
    name: str
    upper: Shell
    lower: Shell


def _bench_shell(shell: Shell, x: float, y: float, w: float, groove: bool) -> Svg:
    """A half shell rolled flat, with its oil groove and locating lip."""
    colour = colour_of(shell.verdict)
    dash = "4 3" if shell.verdict in {Verdict.NOT_MEASURED, Verdict.STALE} else None
    h = 78.0
    parts = [
        rect(x, y, w, h, fill=colour, opacity=0.13, stroke=colour, stroke_width=1.6, dash=dash),
        rect(x + w * 0.12, y - 4, min(14.0, w * 0.2), 4, fill=INK, stroke=None),
        symbol(shell.verdict, x + w - 12, y + 13, min(7.5, w * 0.2)),
    ]
    if groove:
        parts.append(
            rect(x + 1, y + h - 7, w - 2, 4, fill=INK, opacity=0.15, stroke=INK, stroke_width=0.5)
        )
        parts.append(hatch_rect(x + 1, y + h - 7, w - 2, 4, gap=4, opacity=0.5))
    grade = clip(shell.grade, w - 26, 11, True)
    parts.append(label(x + 5, y + 13, grade, size=11, bold=True))
    parts.append(snug(x + 5, y + 29, shell.wall, w - 9))
    for k, text in enumerate(wrap(shell.seen, w - 9, 10, False, 2)):
        parts.append(label(x + 5, y + 45 + 12 * k, text, size=10))
    return group(*parts)


def shell_layout(name: str, pairs: Sequence[ShellPair]) -> str:
    """Upper and lower shells in the order of the engine, as they are laid out to be looked at."""
    if not pairs:
        note = label(_WIDTH / 2, 30, "No shells recorded", size=13, anchor="middle")
        return picture(name, "No shells recorded.", _WIDTH, 60, note)
    left = 66.0
    per_row = min(len(pairs), 7)
    cell = (_WIDTH - 12 - left) / per_row
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 17
    for start in range(0, len(pairs), per_row):
        row = pairs[start : start + per_row]
        parts.append(label(12, y + 60, "upper", size=11))
        parts.append(label(12, y + 150, "lower", size=11))
        for k, pair in enumerate(row):
            x = left + k * cell + 3
            title = clip(pair.name, cell - 8, 12, True)
            parts.append(
                label(x + (cell - 6) / 2, y + 8, title, size=12, bold=True, anchor="middle")
            )
            parts.append(_bench_shell(pair.upper, x, y + 22, cell - 6, True))
            parts.append(_bench_shell(pair.lower, x, y + 112, cell - 6, False))
        y += 204
    every = [s.verdict for p in pairs for s in (p.upper, p.lower)]
    parts.append(legend(12, y + 4, every))
    parts.append(label(_WIDTH - 12, y + 4, "front on the left", size=10, anchor="end"))

    def said(half: str, shell: Shell) -> str:
        detail = ", ".join(part for part in (shell.grade, shell.wall, shell.seen) if part)
        return f"{half} {shell.verdict.value}{f' ({detail})' if detail else ''}"

    desc = " ".join(f"{p.name}: {said('upper', p.upper)}, {said('lower', p.lower)}." for p in pairs)
    return picture(name, desc, _WIDTH, y + 20, *parts)
