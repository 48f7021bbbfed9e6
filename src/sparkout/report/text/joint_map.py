"""The map of a joint in a terminal: its order where the fasteners are, what is done and next."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from itertools import pairwise

from sparkout.report.text.layout import WIDTH
from sparkout.sheet.assembly_model import FastenerPlace

__all__ = ["joint_map"]

_SAME = 0.3  # share of the usual distance below which two stand in one column or row
_LEAST = 4  # columns of text a fastener needs


def joint_map(
    places: Sequence[FastenerPlace], order: Sequence[str], done: Collection[str], following: str
) -> list[str]:
    """Above each fastener's name its number in the order; ✓ done, [ ] next.

    Columns and rows as they stand on the joint, not to scale; nothing where they do not fit.
    """
    columns = _bands(places, lambda place: float(place.x))
    rows = _bands(places, lambda place: float(place.y))
    names = max(len(place.name) for place in places)
    wide = max(columns.values()) + 1
    cell = max(_LEAST, names + 1, len(str(len(order))) + 3)
    if cell * wide > WIDTH - 4:
        return []
    cell = min((WIDTH - 4) // wide, cell + 3)
    number = {name: str(k) for k, name in enumerate(order, start=1)}
    at = {(rows[place.name], columns[place.name]): place.name for place in places}
    if len(at) < len(places):
        return []
    lines: list[str] = []
    for row in range(max(rows.values()) + 1):
        here = [at.get((row, column), "") for column in range(wide)]
        marks = [_mark(number[name], name in done, name == following) if name else "" for name in
                 here]  # fmt: skip
        lines.append(("  " + "".join(mark.center(cell) for mark in marks)).rstrip())
        lines.append(("  " + "".join(name.center(cell) for name in here)).rstrip())
    return lines


def _mark(number: str, done: bool, following: bool) -> str:
    if following:
        return f"[{number}]"
    return f"{number}✓" if done else number


def _bands(
    places: Sequence[FastenerPlace], measure: Callable[[FastenerPlace], float]
) -> dict[str, int]:
    """Which column (or row) each fastener stands in, counted from the least."""
    values = sorted({measure(place) for place in places})
    gaps = [b - a for a, b in pairwise(values)]
    usual = sorted(gaps)[len(gaps) // 2] if gaps else 0.0
    band = {}
    at = 0
    for k, value in enumerate(values):
        if k and gaps[k - 1] > _SAME * usual:
            at += 1
        band[value] = at
    return {place.name: band[measure(place)] for place in places}
