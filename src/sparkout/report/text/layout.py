"""Headings, wrapped sentences and plain tables for a terminal of eighty columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

__all__ = ["WIDTH", "heading", "table", "wrapped"]

WIDTH = 80


def heading(text: str) -> list[str]:
    return ["", text.upper(), "─" * len(text)]


def wrapped(text: str, first: str = "", rest: str | None = None) -> list[str]:
    """A sentence over as many lines as it takes; `first` opens the first one."""
    after = " " * len(first) if rest is None else rest
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=after, break_on_hyphens=False
    ) or [first.rstrip()]


def table(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Columns as wide as their widest cell; those in `right` are set flush right.

    A row too long for the terminal has its first column cut, never its figures.
    """
    if not rows:
        return []
    count = max(len(row) for row in rows)
    filled = [list(row) + [""] * (count - len(row)) for row in rows]
    wide = [max(len(row[k]) for row in filled) for k in range(count)]
    spare = WIDTH - sum(wide) - 2 * (count - 1)
    if spare < 0:
        wide[0] = max(8, wide[0] + spare)
    lines = []
    for row in filled:
        cells = []
        for k, cell in enumerate(row):
            shown = cell if len(cell) <= wide[k] or k else cell[: wide[k] - 1] + "…"
            cells.append(shown.rjust(wide[k]) if k in right else shown.ljust(wide[k]))
        lines.append("  ".join(cells).rstrip())
    return lines
