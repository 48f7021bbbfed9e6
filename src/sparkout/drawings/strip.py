"""A row of like features side by side, each with its verdict symbol and one figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.marks import rect, snug, symbol
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.svg import Svg, group, label
from sparkout.drawings.text import clip, shrink, width, wrap

__all__ = ["Spot", "spot_words", "strip", "strip_height", "upright", "upright_height"]


@dataclass(frozen=True, slots=True)
class Spot:
    """One feature of many alike: its short name, its verdict and the figure worth reading."""

    name: str
    verdict: Verdict
    figure: str = ""
    note: str = ""  # a second line, such as the undersize


def spot_words(kind: str, spots: Sequence[Spot]) -> str:
    """The row in plain words."""
    parts = []
    for spot in spots:
        tail = " ".join(part for part in (spot.figure, spot.note) if part)
        parts.append(f"{spot.name} {spot.verdict.value}{f' {tail}' if tail else ''}")
    return f"{kind}: {', '.join(parts)}." if parts else ""


def upright_height(texts: Sequence[str], size: float = 10, most: float = 130) -> float:
    """Room that texts need when they stand upright, up to the most one can give."""
    return min(most, max((width(text, size) for text in texts), default=0.0) + 6)


def upright(x: float, y: float, text: str, room: float, size: float = 10) -> Svg:
    """Text read from top to bottom, from y on: smaller first, cut only when too small to read."""
    size = shrink(text, room, size, min(size, 6.5))
    return label(x, y, clip(text, room, size), size=size, turn=90)


def _turned(spots: Sequence[Spot], cell: float) -> bool:
    """Whether the figures have to stand upright to fit their cells at a readable size."""
    texts = [text for spot in spots for text in (spot.figure, spot.note)]
    return any(width(text, 9) > cell - 4 for text in texts)


def strip_height(spots: Sequence[Spot], span: float) -> float:
    """Height the row will take."""
    if not spots:
        return 0
    cell = span / len(spots)
    has_note = any(spot.note for spot in spots)
    if _turned(spots, cell):
        return 44 + upright_height([" ".join((s.figure, s.note)).strip() for s in spots])
    return 42 + (15 if any(spot.figure for spot in spots) else 0) + (14 if has_note else 0)


def strip(title: str, spots: Sequence[Spot], x: float, y: float, span: float, room: float) -> Svg:
    """The row. room: width left of x for the title."""
    if not spots:
        return group()
    cell = span / len(spots)
    height = strip_height(spots, span)
    turned = _turned(spots, cell)
    lines = wrap(title, room - 8, 11, True, 3)
    parts = [
        label(x - room, y + 20 + 14 * (k - (len(lines) - 1) / 2), text, size=11, bold=True)
        for k, text in enumerate(lines)
    ]
    for index, spot in enumerate(spots):
        left = x + index * cell
        middle = left + cell / 2
        parts.append(
            rect(
                left + 1,
                y,
                cell - 2,
                height - 2,
                fill=colour_of(spot.verdict),
                opacity=0.1,
                stroke=colour_of(spot.verdict),
                stroke_width=1,
                dash="4 3" if spot.verdict in {Verdict.NOT_MEASURED, Verdict.STALE} else None,
                round_=3,
            )
        )
        parts.append(snug(middle, y + 10, spot.name, cell - 4, least=5, anchor="middle", bold=True))
        parts.append(symbol(spot.verdict, middle, y + 28, min(8.0, cell * 0.36)))
        if turned:
            text = " ".join((spot.figure, spot.note)).strip()
            parts.append(upright(middle, y + 42, text, height - 48, min(10.0, cell * 0.7)))
            continue
        for line, text in enumerate((spot.figure, spot.note)):
            if text:
                parts.append(
                    snug(middle, y + 47 + 13 * line, text, cell - 4, size=10, anchor="middle")
                )
    return group(*parts)
