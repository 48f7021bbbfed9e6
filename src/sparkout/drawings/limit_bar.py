"""A reading against its limits: what is allowed, what is known, and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import decimals_for, figure
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.labels import spread
from sparkout.drawings.marks import arrow, badge, line, polygon, rect, snug
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.scale import Scale, extent
from sparkout.drawings.svg import Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["LimitBar", "limit_bars"]


@dataclass(frozen=True, slots=True)
class LimitBar:
    """One reading and its limits, all in one unit. A side without a limit is None.

    value: the size that decides; low, high: smallest and largest local size over the positions;
    expanded: expanded uncertainty each way; guard: width of the guard band inside the limits that
    are judged by (`judged`: "new" or "service"); note: such as "rule of thumb" or the source.
    """

    name: str
    verdict: Verdict
    value: float | None = None
    low: float | None = None
    high: float | None = None
    expanded: float | None = None
    new: tuple[float | None, float | None] = (None, None)
    service: tuple[float | None, float | None] = (None, None)
    judged: str = "new"
    guard: float = 0.0
    unit: str = "mm"
    decimals: int = 3
    note: str = ""


_WIDTH = 720.0
_LEFT, _RIGHT = 196.0, 576.0
_BAR = 22.0


def _domain(bar: LimitBar) -> tuple[float, float]:
    limits = [v for v in (*bar.new, *bar.service) if v is not None]
    seen = [v for v in (bar.value, bar.low, bar.high) if v is not None]
    spread_ = bar.expanded or 0.0
    around = [v + s for v in seen for s in (-spread_, spread_)]
    if not limits:
        return extent(around, 0.25)
    # about a limit that stands alone there is room for what it takes to be sure, either way
    sure = 5 * bar.guard if len(set(limits)) == 1 else 0.0
    low, high = extent([*limits, limits[0] - sure, limits[0] + sure], 0.0)
    room = 2 * (high / 2 - low / 2)
    # A reading far outside, such as a slipped digit, must not squeeze the limits to nothing: it is
    # shown at the edge with an arrow.
    kept = [v for v in around if low - 2.5 * room <= v <= high + 2.5 * room]
    return extent([low, high, *kept], 0.18)


def _zone(scale: Scale, y: float, ends: tuple[float | None, float | None], solid: bool) -> Svg:
    low, high = ends
    if low is None and high is None:
        return group()
    x1 = _LEFT if low is None else scale.at(low)
    x2 = _RIGHT if high is None else scale.at(high)
    h = _BAR if solid else _BAR + 8
    parts = [
        rect(x1, y - h / 2, max(x2 - x1, 0.5), h, fill="currentColor",
             opacity=0.2 if solid else 0.07, stroke=None)
    ]  # fmt: skip
    for x, limit in ((x1, low), (x2, high)):
        if limit is not None:
            parts.append(
                line(x, y - h / 2 - 3, x, y + h / 2 + 3, stroke_width=2 if solid else 1.4,
                     dash=None if solid else "4 3")
            )  # fmt: skip
    # An open side is an arrow: nothing limits it that way.
    if low is None:
        parts.append(arrow(x1 + 18, y - h / 2 - 2, x1 + 2, y - h / 2 - 2, size=6, stroke_width=1))
    if high is None:
        parts.append(arrow(x2 - 18, y - h / 2 - 2, x2 - 2, y - h / 2 - 2, size=6, stroke_width=1))
    return group(*parts)


def _guards(scale: Scale, y: float, bar: LimitBar) -> Svg:
    low, high = bar.new if bar.judged == "new" else bar.service
    h = _BAR if bar.judged == "new" else _BAR + 8
    parts = []
    if bar.guard > 0:
        for limit, way in ((low, 1), (high, -1)):
            if limit is not None:
                x1, x2 = sorted((scale.at(limit), scale.at(limit + way * bar.guard)))
                if x2 - x1 > 0.5:
                    parts.append(hatch_rect(x1, y - h / 2, x2 - x1, h, gap=3, stroke_width=0.7))
    return group(*parts)


def _reading(scale: Scale, y: float, bar: LimitBar) -> Svg:
    if bar.value is None:
        return group()  # the words beside it and the badge say so
    colour = colour_of(bar.verdict)
    low = bar.value if bar.low is None else bar.low
    high = bar.value if bar.high is None else bar.high
    parts = []
    if bar.expanded:
        x1, x2 = scale.at(low - bar.expanded), scale.at(high + bar.expanded)
        parts += [
            line(x1, y, x2, y, stroke_width=1.4),
            line(x1, y - 6, x1, y + 6, stroke_width=1.4),
            line(x2, y - 6, x2, y + 6, stroke_width=1.4),
        ]
    if high > low:
        x1, x2 = scale.at(low), scale.at(high)
        parts.append(rect(x1, y - 4, max(x2 - x1, 1), 8, fill=colour, stroke="#FFFFFF"))
    x = scale.at(bar.value)
    r = 7.0
    parts.append(
        polygon(((x, y - r), (x + r, y), (x, y + r), (x - r, y)), fill=colour, stroke="#FFFFFF")
    )
    if not scale.inside(bar.value):
        way = -1 if bar.value < scale.low else 1
        parts.append(arrow(x - way * 14, y - 12, x + way * 8, y - 12, size=9, stroke_width=2))
    return group(*parts)


def _value_words(bar: LimitBar) -> str:
    if bar.value is None:
        return "not measured"
    text = figure(bar.value, bar.decimals)
    if bar.expanded:
        text += f" ±{_doubt(bar.expanded, bar.decimals)}"
    return f"{text} {bar.unit}"


def _doubt(expanded: float, decimals: int) -> str:
    """To the last digit of the reading, or to the first that is not nought: never ±0.00."""
    return figure(expanded, max(decimals, min(decimals_for(expanded), 9)))


def _range_words(ends: tuple[float | None, float | None], decimals: int) -> str:
    low, high = ends
    if low is not None and high is not None:
        return f"{figure(low, decimals)} to {figure(high, decimals)}"
    if low is not None:
        return f"at least {figure(low, decimals)}"
    if high is not None:
        return f"at most {figure(high, decimals)}"
    return ""


def _row(bar: LimitBar, y: float) -> tuple[Svg, float]:
    scale = Scale(*_domain(bar), _LEFT + 4, _RIGHT - 4)
    names = wrap(bar.name, _LEFT - 24, 11, True, 2)
    parts = [label(12, y + 12 + 14 * k, text, size=11, bold=True) for k, text in enumerate(names)]
    below = y + 12 + 14 * len(names)
    words = _value_words(bar)
    parts.append(snug(12, below, words, _LEFT - 24))
    below += 14
    for text in wrap(bar.note, _LEFT - 24, 10, False, 2):
        parts.append(label(12, below, text, size=10))
        below += 13
    middle = y + 30
    parts += [_zone(scale, middle, bar.service, False), _zone(scale, middle, bar.new, True)]
    wanted = [
        (scale.at(limit), f"{kind} {figure(limit, bar.decimals)}") for kind, limit in _limits(bar)
    ]
    if not wanted:
        parts.append(line(_LEFT, middle, _RIGHT, middle, opacity=0.4))
        wanted = [((_LEFT + _RIGHT) / 2, "no limit given")]
    parts += [_guards(scale, middle, bar), _reading(scale, middle, bar)]
    rows = 0
    for placed in spread(wanted, _LEFT - 4, _RIGHT + 4):
        at = middle + _BAR / 2 + 15 + 12 * placed.row
        parts.append(label(placed.left, at, placed.text, size=10))
        rows = max(rows, placed.row)
    parts.append(badge(bar.verdict, _RIGHT + 16, middle, 11))
    bottom = max(below, middle + _BAR / 2 + 15 + 12 * rows + 12)
    return group(*parts), bottom + 6


def _limits(bar: LimitBar) -> list[tuple[str, float]]:
    """Each limit under its name; one that is the same new and in service once."""
    found = []
    for new, service in zip(bar.new, bar.service, strict=True):
        if new is not None:
            found.append(("new and service" if new == service else "new", new))
        if service is not None and service != new:
            found.append(("service", service))
    return found


def _words(bar: LimitBar) -> str:
    limits = [
        f"{kind} limit {_range_words(ends, bar.decimals)}"
        for kind, ends in (("new", bar.new), ("service", bar.service))
        if _range_words(ends, bar.decimals)
    ] or ["no limit given"]
    note = f" {bar.note}." if bar.note else ""
    return f"{bar.name}: {_value_words(bar)}; {'; '.join(limits)}; {bar.verdict.value}.{note}"


def limit_bars(
    bars: Sequence[LimitBar],
    title: str = "Readings against limits",
    empty: str = "No readings",
) -> str:
    """One row for each reading: limits, guard bands hatched, range, uncertainty and verdict.

    empty: what is said where there is no row.
    """
    if not bars:
        note = label(_WIDTH / 2, 30, empty, size=13, anchor="middle")
        return picture(title, f"{empty}.", _WIDTH, 60, note)
    parts = []
    y = 6.0
    for index, bar in enumerate(bars):
        if index:
            parts.append(line(12, y, _WIDTH - 12, y, opacity=0.25))
            y += 2
        row, y = _row(bar, y)
        parts.append(row)
    parts.append(line(12, y, _WIDTH - 12, y, opacity=0.25))
    y += 16
    key = [
        rect(12, y - 6, 18, 12, fill="currentColor", opacity=0.2, stroke=None),
        label(35, y, "new", size=10),
        rect(72, y - 6, 18, 12, fill="currentColor", opacity=0.07, stroke=None),
        line(72, y - 8, 72, y + 8, dash="4 3"),
        line(90, y - 8, 90, y + 8, dash="4 3"),
        label(96, y, "service", size=10),
        rect(152, y - 6, 18, 12),
        hatch_rect(152, y - 6, 18, 12, gap=3, stroke_width=0.7),
        label(176, y, "guard band: too near the limit to be proven", size=10),
        line(432, y, 462, y, stroke_width=1.4),
        line(432, y - 5, 432, y + 5, stroke_width=1.4),
        line(462, y - 5, 462, y + 5, stroke_width=1.4),
        rect(440, y - 4, 14, 8, fill="currentColor", stroke=None),
        label(468, y, "smallest to largest, with uncertainty", size=10),
    ]
    return picture(title, " ".join(map(_words, bars)), _WIDTH, y + 18, *parts, *key)
