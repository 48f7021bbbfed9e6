"""Many labels on one line without running into each other: those that would move down a row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sparkout.drawings.text import width

__all__ = ["Placed", "spread"]


class Placed(NamedTuple):
    """A label and where it went: x is where it points, left where its text starts."""

    x: float
    left: float
    row: int
    text: str


def spread(
    wanted: Sequence[tuple[float, str]],
    low: float,
    high: float,
    size: float = 10,
    gap: float = 6,
    bold: bool = False,
) -> tuple[Placed, ...]:
    """Labels centred on their x, held between low and high, in as few rows as they need."""
    ends: list[float] = []
    made = []
    for x, text in sorted(set(wanted)):
        wide = width(text, size, bold)
        left = max(low, min(x - wide / 2, high - wide))
        row = next((k for k, end in enumerate(ends) if left >= end + gap), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = left + wide
        made.append(Placed(x, left, row, text))
    return tuple(made)
