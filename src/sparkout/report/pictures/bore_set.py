"""All bores of an engine side by side, each unrolled small: where and how far each is worn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.marks import line, rect, snug, symbol
from sparkout.drawings.palette import Verdict, diverging, on
from sparkout.drawings.svg import Svg, group, label, picture
from sparkout.drawings.text import shrink, width, wrap

__all__ = ["BoreSet", "SmallBore", "bore_set"]


@dataclass(frozen=True, slots=True)
class SmallBore:
    """One bore. deviations: a row for each level, a column for each direction, None where not
    read; largest: the size that counts, as text."""

    name: str
    verdict: Verdict
    levels: tuple[str, ...]
    directions: tuple[str, ...]
    deviations: tuple[tuple[float | None, ...], ...]
    largest: str = ""


@dataclass(frozen=True, slots=True)
class BoreSet:
    """low, high: limits as deviations from nominal, in `unit`."""

    name: str
    bores: tuple[SmallBore, ...]
    nominal: str
    unit: str = "µm"
    decimals: int = 0
    low: float | None = None
    high: float | None = None


_WIDTH = 720.0
_ACROSS = 4
_LEVEL = 54.0
_ROW = 27.0
_GAP = 14.0


def _out(value: float, bores: BoreSet) -> bool:
    return (bores.low is not None and value < bores.low) or (
        bores.high is not None and value > bores.high
    )


def _cell(value: float | None, x: float, y: float, w: float, most: float, bores: BoreSet) -> Svg:
    if value is None:
        return group(
            rect(x, y, w, _ROW, stroke_width=0.7, dash="3 3"),
            label(x + w / 2, y + _ROW / 2, "–", size=11, anchor="middle"),
        )
    colour = diverging(value / most if most else 0.0)
    ink = on(colour)
    parts = [rect(x, y, w, _ROW, fill=colour, stroke="#767676", stroke_width=0.7)]
    text = figure(value, bores.decimals, signed=True)
    out = _out(value, bores)
    size = shrink(text, w - 6, 12, 6, out)
    if value < 0:
        parts.append(hatch_rect(x, y, w, _ROW, gap=6, lean=-1, stroke=ink, stroke_width=0.5))
        wide, tall = min(width(text, size, out) + 3, w - 1), min(size * 1.24, _ROW - 1)
        parts.append(
            rect(x + (w - wide) / 2, y + (_ROW - tall) / 2, wide, tall, fill=colour, stroke=None)
        )
    parts.append(
        label(x + w / 2, y + _ROW / 2, text, size=size, anchor="middle", fill=ink, bold=out)
    )
    if out:
        parts.append(rect(x + 1.5, y + 1.5, w - 3, _ROW - 3, stroke=ink, stroke_width=2.5))
    return group(*parts)


def _bore(
    bore: SmallBore, x: float, y: float, w: float, most: float, bores: BoreSet
) -> tuple[Svg, float]:
    parts = [symbol(bore.verdict, x + 9, y + 9, 8)]
    room = w - 26
    parts.append(snug(x + 22, y + 9, bore.name, room, size=13, bold=True))
    y += 22
    words = bore.largest or "not measured"
    parts.append(snug(x, y + 5, words, w - 4, size=11))
    y += 16
    if not bore.levels or not bore.directions:
        return group(*parts), y + 4
    cell = (w - _LEVEL - 4) / len(bore.directions)
    for k, name in enumerate(bore.directions):
        middle = x + _LEVEL + (k + 0.5) * cell
        parts.append(snug(middle, y + 6, name, cell - 2, size=10, anchor="middle"))
    y += 15
    for name, row in zip(bore.levels, bore.deviations, strict=True):
        lines = wrap(name, _LEVEL - 6, 9, False, 2)
        for k, text in enumerate(lines):
            at = y + _ROW / 2 + 10 * (k - (len(lines) - 1) / 2)
            parts.append(label(x, at, text, size=9))
        for k, value in enumerate(row):
            parts.append(_cell(value, x + _LEVEL + k * cell, y, cell, most, bores))
        y += _ROW
    return group(*parts), y


def _desc(bores: BoreSet) -> str:
    said = []
    for bore in bores.bores:
        known = [v for row in bore.deviations for v in row if v is not None]
        if not known:
            said.append(f"{bore.name} not measured.")
            continue
        low, high = (figure(v, bores.decimals, signed=True) for v in (min(known), max(known)))
        said.append(f"{bore.name} {bore.verdict.value}, from {low} to {high} {bores.unit}.")
    return f"Deviation of each bore from {bores.nominal}. {' '.join(said)}"


def _notes(bores: BoreSet) -> str:
    limits = [
        f"{word} {figure(value, bores.decimals, signed=True)} {bores.unit}"
        for word, value in (("at least", bores.low), ("at most", bores.high))
        if value is not None
    ]
    text = f"Each figure is how far that place is from {bores.nominal}, in {bores.unit}. "
    if limits:
        text += f"Limit: {', '.join(limits)}; heavy frame and bold: outside it. "
    return text + "The darker, the further; hatched: smaller than nominal; a dash: not read."


def bore_set(bores: BoreSet) -> str:
    """Small maps in rows of at most four, one scale of colour for all of them."""
    if not bores.bores:
        note = label(_WIDTH / 2, 30, "No bores recorded", size=13, anchor="middle")
        return picture(bores.name, "No bores recorded.", _WIDTH, 60, note)
    known = [v for b in bores.bores for row in b.deviations for v in row if v is not None]
    limits = [v for v in (bores.low, bores.high) if v is not None]
    most = max((abs(v) for v in (*known, *limits)), default=0.0)
    across = min(_ACROSS, len(bores.bores))
    wide = (_WIDTH - 24 - _GAP * (across - 1)) / max(across, 2)
    parts: list[Svg] = []
    y = 6.0
    for rank in _ranks(bores.bores, across):
        bottom = y
        for k, bore in enumerate(rank):
            drawn, foot = _bore(bore, 12 + k * (wide + _GAP), y, wide, most, bores)
            parts.append(drawn)
            bottom = max(bottom, foot)
        y = bottom + 14
    parts.append(line(12, y - 6, _WIDTH - 12, y - 6, opacity=0.25))
    for text in wrap(_notes(bores), _WIDTH - 24, 10, False, 3):
        parts.append(label(12, y + 4, text, size=10))
        y += 13
    return picture(bores.name, _desc(bores), _WIDTH, y + 4, *parts)


def _ranks(bores: Sequence[SmallBore], across: int) -> list[Sequence[SmallBore]]:
    return [bores[k : k + across] for k in range(0, len(bores), across)]
