"""One clearance on every cylinder or journal, before the work and after it."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.labels import spread
from sparkout.drawings.marks import arrow, badge, circle, legend, line, rect, snug, symbol
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.scale import Scale, extent, ticks
from sparkout.drawings.svg import Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["BeforeAfter", "ClearanceTable", "clearance_bars"]


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """One row. None where it was not measured or nothing is planned."""

    name: str
    before: float | None
    before_verdict: Verdict
    after: float | None
    after_verdict: Verdict


@dataclass(frozen=True, slots=True)
class ClearanceTable:
    name: str
    rows: tuple[BeforeAfter, ...]
    low: float | None = None
    high: float | None = None
    unit: str = "mm"
    decimals: int = 3


_WIDTH = 720.0
_LEFT, _RIGHT = 214.0, 512.0


def _cell(value: float | None, verdict: Verdict, x: float, y: float, table: ClearanceTable) -> Svg:
    text = "–" if value is None else figure(value, table.decimals)
    return group(symbol(verdict, x, y, 7), snug(x + 14, y, text, 58, bold=verdict is Verdict.OUT))


def _bar(row: BeforeAfter, scale: Scale, y: float) -> Svg:
    parts = []
    before = None if row.before is None else scale.at(row.before)
    after = None if row.after is None else scale.at(row.after)
    if before is not None and after is not None and abs(after - before) > 14:
        way = 1 if after > before else -1
        parts.append(arrow(before + 5 * way, y, after - 7 * way, y, stroke_width=1.6, size=7))
    if before is not None:
        colour = colour_of(row.before_verdict)
        parts.append(circle(before, y, 5, stroke=colour, stroke_width=2.2))
    if after is not None:
        colour = colour_of(row.after_verdict)
        parts.append(rect(after - 5, y - 5, 10, 10, fill=colour, stroke="#FFFFFF"))
    return group(*parts)


def _words(row: BeforeAfter, table: ClearanceTable) -> str:
    def said(value: float | None, verdict: Verdict) -> str:
        figure_ = "no figure" if value is None else f"{figure(value, table.decimals)} {table.unit}"
        return f"{figure_} {verdict.value}"

    return (
        f"{row.name}: before {said(row.before, row.before_verdict)}, "
        f"after {said(row.after, row.after_verdict)}."
    )


def clearance_bars(table: ClearanceTable) -> str:
    """A row for each place: figures before and after, and where they lie between the limits."""
    known = [v for row in table.rows for v in (row.before, row.after) if v is not None]
    limits = [v for v in (table.low, table.high) if v is not None]
    if not table.rows:
        note = label(_WIDTH / 2, 30, "Nothing to compare", size=13, anchor="middle")
        return picture(table.name, "Nothing to compare.", _WIDTH, 60, note)
    scale = Scale(*extent([*known, *limits], 0.1), _LEFT + 8, _RIGHT - 8)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(f"{table.name}, {table.unit}", _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    parts += [
        label(110, y + 4, "before", size=10, bold=True),
        label(_RIGHT + 26, y + 4, "after", size=10, bold=True),
    ]
    y += 16
    step = 30.0
    bottom = y + step * len(table.rows)
    x1 = _LEFT if table.low is None else scale.at(table.low)
    x2 = _RIGHT if table.high is None else scale.at(table.high)
    if limits:
        parts.append(
            rect(
                x1, y, max(x2 - x1, 0.5), bottom - y, fill="currentColor", opacity=0.12, stroke=None
            )
        )
        parts += [line(scale.at(v), y - 3, scale.at(v), bottom + 3, stroke_width=2) for v in limits]
    for index, row in enumerate(table.rows):
        middle = y + step * (index + 0.5)
        if index:
            parts.append(line(12, middle - step / 2, _WIDTH - 12, middle - step / 2, opacity=0.15))
        names = wrap(row.name, 78, 11, True, 2)
        for k, text in enumerate(names):
            at = middle + 12 * (k - (len(names) - 1) / 2)
            parts.append(label(12, at, text, size=11, bold=True))
        parts.append(_cell(row.before, row.before_verdict, 112, middle, table))
        parts.append(_bar(row, scale, middle))
        parts.append(_cell(row.after, row.after_verdict, _RIGHT + 30, middle, table))
        parts.append(badge(row.after_verdict, _RIGHT + 102, middle, 10))
    wanted = [(scale.at(v), f"limit {figure(v, table.decimals)}") for v in limits]
    wanted = wanted or [(scale.at(t.value), t.text) for t in ticks(scale.low, scale.high, 3)]
    rows = 0
    for placed in spread(wanted, _LEFT - 60, _RIGHT + 60):
        parts.append(label(placed.left, bottom + 13 + 12 * placed.row, placed.text, size=10))
        rows = max(rows, placed.row)
    y = bottom + 32 + 12 * rows
    parts += [
        circle(18, y, 5, stroke_width=2.2),
        label(30, y, "before", size=10),
        rect(86, y - 5, 10, 10, fill="currentColor", stroke=None),
        label(102, y, "after", size=10),
        rect(150, y - 6, 18, 12, fill="currentColor", opacity=0.12, stroke=None),
        label(174, y, "allowed" if limits else "no limit given", size=10),
    ]
    y += 20
    every = [v for row in table.rows for v in (row.before_verdict, row.after_verdict)]
    parts.append(legend(12, y, every))
    desc = " ".join(_words(row, table) for row in table.rows)
    return picture(table.name, desc, _WIDTH, y + 16, *parts)
