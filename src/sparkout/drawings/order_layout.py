"""Where the boxes of an order of work go and how their arrows run: plain geometry, no drawing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

__all__ = ["Wire", "direct", "rows_of", "sequence", "wires"]


def sequence(names: Sequence[str], before: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """The names in an order that keeps every pair, otherwise as given.

    Raises ValueError naming what is doubled, unknown or goes round in a circle.
    """
    known = set(names)
    if len(known) != len(names):
        doubled = sorted({name for name in names if names.count(name) > 1})
        raise ValueError(f"operations named twice: {', '.join(doubled)}")
    waits: dict[str, set[str]] = {name: set() for name in names}
    for first, then in before:
        for name in (first, then):
            if name not in known:
                raise ValueError(f"precedence names an operation that is not there: {name!r}")
        waits[then].add(first)
    made: list[str] = []
    placed: set[str] = set()
    left = list(names)
    while left:
        ready = next((name for name in left if waits[name] <= placed), None)
        if ready is None:
            raise ValueError(f"operations wait for each other in a circle: {', '.join(left)}")
        made.append(ready)
        placed.add(ready)
        left.remove(ready)
    return tuple(made)


def direct(order: Sequence[str], before: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """The pairs that others do not already imply: fewer arrows, the same order."""
    later: dict[str, set[str]] = {name: set() for name in order}
    for first, then in before:
        later[first].add(then)
    reach: dict[str, set[str]] = {}
    for name in reversed(order):
        reach[name] = set(later[name]).union(*(reach[then] for then in later[name]))
    return tuple(
        (name, then)
        for name in order
        for then in sorted(later[name], key=order.index)
        if not any(then in reach[other] for other in later[name] if other != then)
    )


def rows_of(
    order: Sequence[str], pairs: Iterable[tuple[str, str]], lanes: Mapping[str, int]
) -> dict[str, int]:
    """A row for each operation: below all it waits for, one operation to a lane and row."""
    waits: dict[str, list[str]] = {name: [] for name in order}
    for first, then in pairs:
        waits[then].append(first)
    rows: dict[str, int] = {}
    taken: set[tuple[int, int]] = set()
    for name in order:
        row = max((rows[first] + 1 for first in waits[name]), default=0)
        while (lanes[name], row) in taken:
            row += 1
        rows[name] = row
        taken.add((lanes[name], row))
    return rows


@dataclass(frozen=True, slots=True)
class Wire:
    """Corners of one arrow, and the places where it joins another wire."""

    points: tuple[tuple[float, float], ...]
    joins: tuple[tuple[float, float], ...]


@dataclass(slots=True)
class _Tracks:
    """Parallel lanes for wires that would otherwise lie on top of each other."""

    used: list[list[tuple[float, float]]]

    def take(self, low: float, high: float) -> int:
        for index, spans in enumerate(self.used):
            if all(high < a - 2 or low > b + 2 for a, b in spans):
                spans.append((low, high))
                return index
        self.used.append([(low, high)])
        return len(self.used) - 1


def _spread(index: int, start: float, room: float, pitch: float) -> float:
    """Place of a track; when there are too many they share."""
    count = max(1, int(room / pitch))
    return start + pitch * (index % count)


def wires(
    pairs: Sequence[tuple[str, str]],
    rows: Mapping[str, int],
    middle: Mapping[str, float],
    gutter: Mapping[str, tuple[float, float]],
    tops: Sequence[float],
    box: float,
    gap: float,
) -> tuple[Wire, ...]:
    """Arrows as right-angled lines. All that leave one box share a line, and so do all that enter
    one box; other lines cross without touching.

    middle: x of the middle of each box; gutter: free x range left of it; tops: y of each row.
    """
    leaving = _leaving(pairs, rows, middle, gutter)
    out_tracks: dict[int, _Tracks] = {}
    out_y = {}
    for name in sorted(leaving, key=lambda n: (rows[n], middle[n])):
        tracks = out_tracks.setdefault(rows[name], _Tracks([]))
        index = tracks.take(*leaving[name])
        out_y[name] = _spread(index, tops[rows[name]] + box + 6, gap / 2 - 6, 4.5)
    far = [pair for pair in pairs if rows[pair[1]] > rows[pair[0]] + 1]
    in_y, in_x = _entering(far, rows, middle, gutter, tops, out_y, gap)
    made = []
    for first, then in pairs:
        start = (middle[first], tops[rows[first]] + box)
        end = (middle[then], tops[rows[then]])
        if (first, then) not in far:
            if middle[first] == middle[then]:
                made.append(Wire((start, end), ()))
                continue
            y = out_y[first]
            made.append(Wire((start, (start[0], y), (end[0], y), end), ((start[0], y),)))
            continue
        y1, x, y2 = out_y[first], in_x[then], in_y[then]
        points = (start, (start[0], y1), (x, y1), (x, y2), (end[0], y2), end)
        made.append(Wire(points, ((x, y1),)))
    return _joined(made)


def _leaving(
    pairs: Sequence[tuple[str, str]],
    rows: Mapping[str, int],
    middle: Mapping[str, float],
    gutter: Mapping[str, tuple[float, float]],
) -> dict[str, tuple[float, float]]:
    """How far to each side the line under each box has to run."""
    spans: dict[str, tuple[float, float]] = {}
    for first, then in pairs:
        x = middle[first]
        ends = (middle[then],) if rows[then] == rows[first] + 1 else gutter[then]
        low, high = spans.get(first, (x, x))
        spans[first] = (min(low, *ends), max(high, *ends))
    return spans


def _entering(
    far: Sequence[tuple[str, str]],
    rows: Mapping[str, int],
    middle: Mapping[str, float],
    gutter: Mapping[str, tuple[float, float]],
    tops: Sequence[float],
    out_y: Mapping[str, float],
    gap: float,
) -> tuple[dict[str, float], dict[str, float]]:
    """For each box reached from afar: height of its entering line and x of its upright."""
    across: dict[int, _Tracks] = {}
    upright: dict[tuple[float, float], _Tracks] = {}
    in_y: dict[str, float] = {}
    in_x: dict[str, float] = {}
    targets = sorted({then for _, then in far}, key=lambda n: (rows[n], middle[n]))
    for then in targets:
        low, high = gutter[then]
        index = across.setdefault(rows[then], _Tracks([])).take(low, middle[then])
        in_y[then] = _spread(index, tops[rows[then]] - gap / 2 + 2, gap / 2 - 8, 4.5)
        top = min(out_y[first] for first, other in far if other == then)
        index = upright.setdefault((low, high), _Tracks([])).take(top, in_y[then])
        in_x[then] = _spread(index, low, high - low, 4.5)
    return in_y, in_x


def _joined(made: Sequence[Wire]) -> tuple[Wire, ...]:
    """Keep a join only where two wires really meet there and part again."""
    count: dict[tuple[float, float], int] = {}
    for wire in made:
        for corner in wire.joins:
            count[corner] = count.get(corner, 0) + 1
    uses = [
        Wire(
            wire.points,
            tuple(
                corner for corner in wire.joins if count[corner] > 1 or _passed(corner, made, wire)
            ),
        )
        for wire in made
    ]
    return tuple(uses)


def _passed(corner: tuple[float, float], made: Sequence[Wire], own: Wire) -> bool:
    """Whether another wire with the same start or end runs through this corner."""
    x, y = corner
    for wire in made:
        if wire is own or (wire.points[0] != own.points[0] and wire.points[-1] != own.points[-1]):
            continue
        for (x1, y1), (x2, y2) in pairwise(wire.points):
            if min(x1, x2) <= x <= max(x1, x2) and min(y1, y2) <= y <= max(y1, y2):
                return True
    return False
