"""In which order the fasteners of a joint take their turn, for any map of them.

Three patterns of the trade, each stated so that it can be checked: rings from the centre outward,
rows from the centre outward, and the cross of a round flange.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from statistics import median
from typing import NamedTuple

from sparkout.sheet.assembly_model import FastenerPlace, Pattern

__all__ = ["GRAIN", "RING", "order_in_words", "rings", "tightening_order"]

RING = 0.25
"""Fasteners belong to one ring (or row) whose distances differ by less than this share of their
usual spacing: castings are seldom symmetric to the millimetre. A choice of ours."""

GRAIN = 0.02
"""What differs by less than this share of the usual spacing counts as the same."""


class _Point(NamedTuple):
    name: str
    x: float
    y: float

    @property
    def out(self) -> float:
        return math.hypot(self.x, self.y)


def tightening_order(
    places: Sequence[FastenerPlace], pattern: Pattern, given: Sequence[str] = ()
) -> tuple[str, ...]:
    """Names of the fasteners of a joint in the order they are tightened, each once.

    Rings: grouped by distance from the centroid c (see `rings`), nearest first. Within a ring the
    next is the one that brings the sum of the tightened (p − c) nearest to what it will be at the
    end of the ring; of equals the one farthest from the last. So opposite ones follow each other,
    and after j of a ring of radius r the sum is off its end value by at most √(d² + j r²), d being
    how far it was off at the start (of any vectors that sum to −D one has no part along +D).
    Rows: by distance of the row's x from the middle of the rows, sides alternating; within a row
    from its middle outward, sides alternating. Cross: from each new one to the most nearly
    opposite; each new one as far round as can be from all that are tight, then from the last two;
    an odd number goes as a star, always to the most nearly opposite of the last. Of those in one
    direction the inner one goes first.

    places: the map [mm], no two at the same place, names distinct.
    pattern: rings, rows, cross or as given [-].
    given: the maker's own order, for the pattern `as given` [-].
    Returns the names in order.
    Holds for any map: one fastener, two, all in one line; cross means something on round flanges.
    Source: common practice; cross agrees with the star patterns of ASME PCC-1 for 4, 8, 12 and 16
    bolts (recalled from memory).
    Raises ValueError naming the fasteners when the map is empty, two share a place or a name, or
    the given order does not name each once.

    >>> from fractions import Fraction as F
    >>> head = [FastenerPlace(f"{r}{c}", F(100 * c), F(60 * i)) for i, r in enumerate("AB")
    ...         for c in (1, 2, 3)]
    >>> tightening_order(head, Pattern.RINGS)
    ('A2', 'B2', 'A1', 'B3', 'B1', 'A3')
    """
    points = _points(places)
    match pattern:
        case Pattern.GIVEN:
            names = {point.name for point in points}
            if sorted(given) != sorted(names):
                odd = sorted(set(given) - names) or sorted(names - set(given))
                odd = odd or [name for name in given if list(given).count(name) > 1]
                raise ValueError(f"given order does not name each fastener once: {odd[0]!r}")
            return tuple(given)
        case Pattern.RINGS:
            return _by_rings(points)
        case Pattern.ROWS:
            return _by_rows(points)
        case Pattern.CROSS:
            return _crosswise(points)


def order_in_words(pattern: Pattern, count: int) -> str:
    """How the order of a joint is spoken of: one and two fasteners have no centre to go out from.

    pattern: rings, rows, cross or as given [-].
    count: how many fasteners the joint has [-], 1 or more.
    Returns the words.
    Holds for any joint; the order itself is that of `tightening_order`.
    Source: common practice.

    >>> order_in_words(Pattern.RINGS, 2), order_in_words(Pattern.CROSS, 4)
    ('alternately', 'cross')
    """
    if count == 1:
        return "one alone"
    return "alternately" if count == 2 else pattern.value


def rings(places: Sequence[FastenerPlace]) -> tuple[tuple[str, ...], ...]:
    """The fasteners of a joint grouped by distance from their centroid, nearest first.

    A ring takes in all whose distance exceeds its nearest one's by less than a quarter of the usual
    spacing (median distance of a fastener to its nearest neighbour).

    places: the map [mm], no two at the same place, names distinct.
    Returns the names, ring by ring, each ring in the order of the map.
    Holds for any map; on a long joint with two rows a ring is a pair of columns.
    Source: common practice for the centre outward; the quarter is a choice of ours.
    Raises ValueError naming the fasteners when the map is empty or two share a place or a name.

    >>> from fractions import Fraction as F
    >>> rings([FastenerPlace(str(k), F(40 * k), F(0)) for k in range(5)])
    (('2',), ('1', '3'), ('0', '4'))
    """
    points = _points(places)
    groups = _bands(points, lambda point: point.out, RING * _spacing(points))
    number = {point.name: k for k, point in enumerate(points)}
    return tuple(tuple(sorted((p.name for p in ring), key=number.__getitem__)) for ring in groups)


def _points(places: Sequence[FastenerPlace]) -> tuple[_Point, ...]:
    """The map about its centroid."""
    if not places:
        raise ValueError("a joint without fasteners has no order")
    seen: dict[object, str] = {}
    for place in places:
        for key in ((place.x, place.y), place.name):
            if key in seen:
                raise ValueError(
                    f"fasteners {seen[key]!r} and {place.name!r} share a "
                    f"{'name' if isinstance(key, str) else 'place'}"
                )
            seen[key] = place.name
    # The centroid is exact; floats begin after it.
    mean_x = sum(place.x for place in places) / len(places)
    mean_y = sum(place.y for place in places) / len(places)
    return tuple(_Point(p.name, float(p.x - mean_x), float(p.y - mean_y)) for p in places)


def _spacing(points: Sequence[_Point]) -> float:
    if len(points) < 2:
        return 0.0
    return median(min(_apart(p, q) for q in points if q is not p) for p in points)


def _apart(one: _Point, other: _Point) -> float:
    return math.hypot(one.x - other.x, one.y - other.y)


def _away(one: _Point, other: _Point) -> float:
    return -_apart(one, other)


def _bands(
    points: Sequence[_Point], measure: Callable[[_Point], float], width: float
) -> list[list[_Point]]:
    """Points in groups of nearly the same measure, least first."""
    groups: list[list[_Point]] = []
    for point in sorted(points, key=measure):
        if groups and measure(point) <= measure(groups[-1][0]) + width:
            groups[-1].append(point)
        else:
            groups.append([point])
    return groups


def _best(points: Sequence[_Point], *measures: tuple[Callable[[_Point], float], float]) -> _Point:
    """The least by the first measure, of those equal within its grain by the next, and last by the
    map's order."""
    left = list(points)
    for measure, grain in measures:
        values = [measure(point) for point in left]
        least = min(values)
        left = [p for p, value in zip(left, values, strict=True) if value <= least + grain]
    return left[0]


def _by_rings(points: tuple[_Point, ...]) -> tuple[str, ...]:
    spacing = _spacing(points)
    grain = GRAIN * spacing
    number = {point.name: k for k, point in enumerate(points)}
    order: list[_Point] = []
    for ring in _bands(points, lambda point: point.out, RING * spacing):
        left = sorted(ring, key=lambda p: number[p.name])
        # off: the sum so far less the sum at the end of this ring
        off_x, off_y = -sum(p.x for p in ring), -sum(p.y for p in ring)
        while left:
            so_far = _Point("", -off_x, -off_y)
            last = order[-1] if order else so_far
            chosen = _best(left, (partial(_apart, so_far), grain), (partial(_away, last), grain))
            left.remove(chosen)
            order.append(chosen)
            off_x, off_y = off_x + chosen.x, off_y + chosen.y
    return tuple(point.name for point in order)


def _by_rows(points: tuple[_Point, ...]) -> tuple[str, ...]:
    spacing = _spacing(points)
    grain = GRAIN * spacing
    rows = _bands(points, lambda point: point.x, RING * spacing)
    at = [sum(p.x for p in row) / len(row) for row in rows]
    middle = sum(at) / len(at)
    order: list[str] = []
    left = sorted(range(len(rows)), key=lambda k: abs(at[k] - middle))
    side = 1.0
    while left:
        least = abs(at[left[0]] - middle)
        # of rows equally far out, the one across from the last
        same = [k for k in left if abs(at[k] - middle) <= least + grain]
        row = min(same, key=lambda k: (at[k] - middle) * side)
        left.remove(row)
        side = at[row] - middle
        order.extend(_along(rows[row], grain))
    return tuple(order)


def _along(row: list[_Point], grain: float) -> list[str]:
    """One row from its middle outward, sides alternating, beginning at the side named first."""
    middle = sum(p.y for p in row) / len(row)
    left = sorted(row, key=lambda p: p.y)
    order: list[str] = []
    side = 1.0
    while left:
        nearest = min(abs(p.y - middle) for p in left)
        same = [p for p in left if abs(p.y - middle) <= nearest + grain]
        chosen = min(same, key=partial(_on_side, middle, side))
        left.remove(chosen)
        side = chosen.y - middle
        order.append(chosen.name)
    return order


def _on_side(middle: float, side: float, point: _Point) -> float:
    return (point.y - middle) * side


_SAME_ANGLE = math.radians(0.5)


def _crosswise(points: tuple[_Point, ...]) -> tuple[str, ...]:
    spacing = _spacing(points)
    hub = RING * spacing
    order = [p for p in points if p.out < hub] if len(points) > 1 else list(points)
    left = [p for p in points if p not in order]
    star = len(left) % 2 == 1
    tight: list[_Point] = []

    def to_opposite(point: _Point) -> float:
        return math.pi - _turn(point, tight[-1])

    def near_any(point: _Point) -> float:
        return -min(_turn(point, other) for other in tight)

    def near_last_two(point: _Point) -> float:
        return -min(_turn(point, other) for other in tight[-2:])

    # of those in one direction the one nearest to the centre
    inner = (_out, GRAIN * spacing)
    while left:
        if not tight:
            chosen = _best(left, inner)
        elif star or len(tight) % 2:
            chosen = _best(left, (to_opposite, _SAME_ANGLE), inner)
        else:
            angles = ((near_any, _SAME_ANGLE), (near_last_two, _SAME_ANGLE))
            chosen = _best(left, *angles, inner)
        left.remove(chosen)
        tight.append(chosen)
    return tuple(point.name for point in (*order, *tight))


def _out(point: _Point) -> float:
    return point.out


def _turn(one: _Point, other: _Point) -> float:
    """Angle between two fasteners, seen from the centre."""
    turn = abs(math.atan2(one.y, one.x) - math.atan2(other.y, other.x))
    return min(turn, 2 * math.pi - turn)
