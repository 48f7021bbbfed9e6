"""Headings, wrapped sentences and plain tables for a terminal of eighty columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

__all__ = ["WIDTH", "heading", "table", "wrapped"]

WIDTH = 80
_LEAST = 8  # a column cut narrower than this says nothing


def heading(text: str) -> list[str]:
    lines = textwrap.wrap(text.upper(), WIDTH) or [""]
    return ["", *lines, "─" * max(map(len, lines))]


def wrapped(text: str, first: str = "", rest: str | None = None) -> list[str]:
    """A sentence over as many lines as it takes; `first` opens the first one."""
    after = " " * len(first) if rest is None else rest
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=after, break_on_hyphens=False
    ) or [first.rstrip()]


def table(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Columns as wide as their widest cell; those in `right` are set flush right.

    A row too long for the terminal has its words cut, never its figures (those in `right`).
    """
    if not rows:
        return []
    count = max(len(row) for row in rows)
    filled = [list(row) + [""] * (count - len(row)) for row in rows]
    wide = [max(len(row[k]) for row in filled) for k in range(count)]
    words = [k for k in range(count) if k not in right]
    while sum(wide) + 2 * (count - 1) > WIDTH and words:
        longest = max(words, key=lambda k: wide[k])
        if wide[longest] <= _LEAST:
            break
        wide[longest] -= 1
    lines = []
    for row in filled:
        cells = []
        for k, cell in enumerate(row):
            shown = cell if len(cell) <= wide[k] else cell[: wide[k] - 1] + "…"
            cells.append(shown.rjust(wide[k]) if k in right else shown.ljust(wide[k]))
        lines.append("  ".join(cells).rstrip())
    return lines
