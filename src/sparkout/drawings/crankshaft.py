"""The crankshaft from the side: every journal with its size and how it stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from sparkout.drawings.marks import arrow, legend, line, rect
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.strip import Spot, spot_words, strip, strip_height
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["Crankshaft", "Journal", "JournalKind", "crankshaft"]


class JournalKind(StrEnum):
    MAIN = "main"
    PIN = "rod"


@dataclass(frozen=True, slots=True)
class Journal:
    """One journal. spot: name, verdict, size as figure and undersize as note; angle: of the throw
    in degrees, 0 up (pins only)."""

    kind: JournalKind
    spot: Spot
    angle: float = 0.0


@dataclass(frozen=True, slots=True)
class Crankshaft:
    """journals in their order along the shaft, from the front."""

    name: str
    journals: tuple[Journal, ...]
    note: str = ""


_WIDTH = 720.0
_LEFT, _RIGHT = 78.0, 646.0
_THROW, _MAIN, _PIN = 34.0, 21.0, 17.0


@dataclass(frozen=True, slots=True)
class _Placed:
    journal: Journal
    x1: float
    x2: float

    @property
    def offset(self) -> float:
        """How far the middle is drawn below the axis: the throw as seen from the side."""
        if self.journal.kind is JournalKind.MAIN:
            return 0.0
        return -_THROW * math.cos(math.radians(self.journal.angle))


def _place(journals: Sequence[Journal]) -> tuple[list[_Placed], float]:
    """Where each journal starts and ends; returns the width of a web too."""
    shares = [1.0 if j.kind is JournalKind.MAIN else 0.9 for j in journals]
    web = 0.5
    unit = (_RIGHT - _LEFT) / (sum(shares) + web * max(0, len(journals) - 1))
    unit = min(unit, 96.0)
    whole = unit * (sum(shares) + web * max(0, len(journals) - 1))
    x = (_LEFT + _RIGHT - whole) / 2
    placed = []
    for journal, share in zip(journals, shares, strict=True):
        placed.append(_Placed(journal, x, x + share * unit))
        x += (share + web) * unit
    return placed, web * unit


def _web(one: _Placed, two: _Placed, axis: float, wide: float) -> Svg:
    """Between two journals: reaches over both, with a counterweight away from the throw."""
    offsets = (one.offset, two.offset)
    pins = [
        o for p, o in zip((one, two), offsets, strict=True) if p.journal.kind is JournalKind.PIN
    ]
    top = min(-_MAIN - 5, *(o - _PIN - 5 for o in pins)) if pins else -_MAIN - 5
    foot = max(_MAIN + 5, *(o + _PIN + 5 for o in pins)) if pins else _MAIN + 5
    if len(pins) == 1:
        # The weight balances the throw on the other side of the axis.
        weight = -pins[0] * 1.25
        top, foot = min(top, weight - 12), max(foot, weight + 12)
    return rect(
        one.x2, axis + top, max(wide, 1), foot - top, fill=INK, opacity=0.16, stroke_width=1.2,
        round_=min(5.0, wide / 3),
    )  # fmt: skip


def _journal(placed: _Placed, axis: float) -> Svg:
    half = _MAIN if placed.journal.kind is JournalKind.MAIN else _PIN
    verdict = placed.journal.spot.verdict
    dashed = verdict in {Verdict.NOT_MEASURED, Verdict.STALE}
    return rect(
        placed.x1, axis + placed.offset - half, placed.x2 - placed.x1, 2 * half,
        fill=colour_of(verdict), opacity=0.3, stroke=colour_of(verdict), stroke_width=2,
        dash="4 3" if dashed else None,
    )  # fmt: skip


def _leaders(
    placed: Sequence[_Placed], axis: float, strip_y: float, cell: float, kind: JournalKind
) -> Svg:
    """From each cell of a strip to its journal."""
    parts = []
    own = [p for p in placed if p.journal.kind is kind]
    half = _MAIN if kind is JournalKind.MAIN else _PIN
    for k, p in enumerate(own):
        x = (p.x1 + p.x2) / 2
        end = axis + p.offset + (-half if kind is JournalKind.MAIN else half)
        parts.append(
            line(_LEFT + (k + 0.5) * cell, strip_y, x, end, opacity=0.45, stroke_width=0.8)
        )
    return group(*parts)


def crankshaft(shaft: Crankshaft) -> str:
    """Side view with mains above, rod journals below, sizes, undersizes and verdicts."""
    if not shaft.journals:
        note = label(_WIDTH / 2, 30, "No journals recorded", size=13, anchor="middle")
        return picture(shaft.name, "No journals recorded.", _WIDTH, 60, note)
    placed, web = _place(shaft.journals)
    mains = [j.spot for j in shaft.journals if j.kind is JournalKind.MAIN]
    pins = [j.spot for j in shaft.journals if j.kind is JournalKind.PIN]
    span = _RIGHT - _LEFT
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(shaft.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 18
    parts.append(strip("Mains", mains, _LEFT, y, span, _LEFT - 12))
    y += strip_height(mains, span)
    above = y
    axis = y + 22 + _THROW * 1.25 + 24
    parts.append(line(_LEFT - 46, axis, _RIGHT + 46, axis, dash="14 4 3 4", opacity=0.35))
    first, last = placed[0], placed[-1]
    nose, flange = max(_LEFT - 30, first.x1 - 44), min(_RIGHT + 24, last.x2 + 12)
    parts.append(
        rect(nose, axis - 11, first.x1 - nose, 22, fill=INK, opacity=0.1, stroke_width=1.2)
    )
    parts.append(
        rect(last.x2, axis - 13, flange - last.x2, 26, fill=INK, opacity=0.1, stroke_width=1.2)
    )
    parts.append(rect(flange, axis - 34, 12, 68, fill=INK, opacity=0.2, stroke_width=1.2))
    parts += [_web(a, b, axis, web) for a, b in pairwise(placed)]
    parts += [_journal(p, axis) for p in placed]
    parts.append(arrow(nose - 10, axis, nose - 30, axis, stroke_width=2.2, size=10))
    parts.append(label(nose - 2, axis + 24, "FRONT", size=10, bold=True, anchor="middle"))
    parts.append(
        label(_WIDTH - 10, axis, "FLYWHEEL END", size=10, bold=True, anchor="middle", turn=90)
    )
    if mains:
        parts.append(_leaders(placed, axis, above, span / len(mains), JournalKind.MAIN))
    below = axis + _THROW * 1.25 + 36
    if pins:
        parts.append(_leaders(placed, axis, below, span / len(pins), JournalKind.PIN))
        parts.append(strip("Rod journals", pins, _LEFT, below, span, _LEFT - 12))
    y = below + strip_height(pins, span) + 12
    for text in wrap(shaft.note, _WIDTH - 24, 11, False, 3):
        parts.append(label(12, y, text, size=11))
        y += 15
    parts.append(legend(12, y + 4, [j.spot.verdict for j in shaft.journals]))
    said = (
        f"{shaft.name} from the side, front on the left. {spot_words('Main journals', mains)} "
        f"{spot_words('Rod journals', pins)} {shaft.note}"
    )
    return picture(shaft.name, said.strip(), _WIDTH, y + 22, *parts)
