"""The order of work: operations in a column for each part of the engine, time running down."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sparkout.drawings.marks import circle, line, polygon, polyline, rect, snug, symbol
from sparkout.drawings.order_layout import Wire, direct, rows_of, sequence, wires
from sparkout.drawings.palette import BLUE, ORANGE, Verdict
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["Operation", "Precedence", "WorkState", "work_order"]


class WorkState(StrEnum):
    WAITING = "waiting"
    NEXT = "next"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Operation:
    """key: unique; lane: the column it stands in; stop: stop and look before going on. number: as
    the sheet beside the picture counts it; 0 counts them by row and column."""

    key: str
    name: str
    lane: str
    detail: str = ""
    state: WorkState = WorkState.WAITING
    stop: bool = False
    number: int = 0


@dataclass(frozen=True, slots=True)
class Precedence:
    """`before` has to be done before `after`, and why."""

    before: str
    after: str
    why: str = ""


_WIDTH = 720.0
_BOX, _GAP, _GUTTER = 56.0, 34.0, 28.0


def _box(op: Operation, number: int, x: float, y: float, w: float) -> Svg:
    done, following = op.state is WorkState.DONE, op.state is WorkState.NEXT
    colour = BLUE if done else INK
    parts = [
        rect(x, y, w, _BOX, fill=BLUE if done else ORANGE if following else INK,
             opacity=0.14 if done or following else 0.04, stroke=colour,
             stroke_width=2.6 if following else 1.2, round_=4)
    ]  # fmt: skip
    marks = []
    if done:
        marks.append(Verdict.OK)
    if op.stop:
        marks.append(Verdict.CHECK)
    room = w - 10
    for k, mark in enumerate(marks):
        parts.append(symbol(mark, x + w - 10 - 17 * k, y + 11, 6.5))
    head = f"{number}"
    if following:
        head += "  NEXT"
    head_room = room - 17 * len(marks)
    parts.append(snug(x + 5, y + 11, head, head_room, size=10, bold=True))
    lines = [(text, True) for text in wrap(op.name, room, 10, True, 2)]
    lines += [(text, False) for text in wrap(op.detail, room, 10, False, 3 - len(lines))]
    for k, (text, bold) in enumerate(lines):
        parts.append(label(x + 5, y + 24 + 12 * k, text, size=10, bold=bold))
    return group(*parts)


def _arrow(wire: Wire) -> Svg:
    (x, y) = wire.points[-1]
    parts = [polyline([*wire.points[:-1], (x, y - 5)], stroke_width=1.2, opacity=0.75)]
    parts.append(polygon(((x, y), (x - 3.6, y - 7.5), (x + 3.6, y - 7.5)), fill=INK, stroke=None))
    parts += [circle(jx, jy, 2.2, fill=INK, stroke=None) for jx, jy in wire.joins]
    return group(*parts)


def work_order(
    name: str, operations: tuple[Operation, ...], precedences: tuple[Precedence, ...]
) -> str:
    """Boxes and arrows. Raises ValueError for a doubled or unknown key or a circle."""
    if not operations:
        note = label(_WIDTH / 2, 30, "No work planned", size=13, anchor="middle")
        return picture(name, "No work planned.", _WIDTH, 60, note)
    pairs = [(p.before, p.after) for p in precedences]
    order = sequence([op.key for op in operations], pairs)
    by_key = {op.key: op for op in operations}
    shown = direct(order, pairs)
    lanes = list(dict.fromkeys(op.lane for op in operations))
    lane_of = {op.key: lanes.index(op.lane) for op in operations}
    rows = rows_of(order, pairs, lane_of)
    each = (_WIDTH - 16) / len(lanes)
    gutter = min(_GUTTER, each * 0.28)
    wide = min(170.0, each - gutter - 4)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 17
    heads = [wrap(lane.upper(), wide, 10, True, 2) for lane in lanes]
    deep = max(len(lines) for lines in heads)
    lefts = [12 + k * each + gutter for k in range(len(lanes))]
    for left, lines in zip(lefts, heads, strict=True):
        for k, text in enumerate(lines):
            parts.append(label(left, y + 6 + 12 * k, text, size=10, bold=True))
    y += 12 * deep + 6
    top = y + 12
    tops = [top + row * (_BOX + _GAP) for row in range(max(rows.values()) + 1)]
    bottom = tops[-1] + _BOX
    for left in lefts:
        parts.append(line(left, y, left + wide, y, opacity=0.5))
    middle = {key: lefts[lane_of[key]] + wide / 2 for key in order}
    free = {key: (lefts[lane_of[key]] - gutter + 4, lefts[lane_of[key]] - 6) for key in order}
    numbers = sorted(order, key=lambda key: (rows[key], lane_of[key]))
    for wire in wires(shown, rows, middle, free, tops, _BOX, _GAP):
        parts.append(_arrow(wire))
    counted = {key: by_key[key].number or place for place, key in enumerate(numbers, 1)}
    for key, number in counted.items():
        parts.append(_box(by_key[key], number, lefts[lane_of[key]], tops[rows[key]], wide))
    y = bottom + 18
    parts += [
        symbol(Verdict.OK, 20, y, 6.5),
        label(32, y, "done", size=10),
        rect(76, y - 7, 22, 14, fill=ORANGE, opacity=0.14, stroke_width=2.6, round_=3),
        label(104, y, "next", size=10),
        symbol(Verdict.CHECK, 152, y, 6.5),
        label(166, y, "stop and look", size=10),
        label(_WIDTH - 12, y, "Arrows that others imply are left out.", size=10, anchor="end"),
    ]
    said = []
    for key, number in counted.items():
        op = by_key[key]
        after = [
            by_key[p.before].name + (f" ({p.why})" if p.why else "")
            for p in precedences
            if p.after == key
        ]
        said.append(
            f"{number}. {op.lane}: {op.name}"
            + (f", {op.detail}" if op.detail else "")
            + f" ({op.state.value}{', stop and look' if op.stop else ''})"
            + (f"; after {', '.join(after)}." if after else ".")
        )
    return picture(name, " ".join(said), _WIDTH, y + 18, *parts)
