"""The smallest circle round points, exactly and for certain, free or with its centre held near.

The largest distance from a centre is a convex function, so the first optimum is the only one. The
farthest reading is taken in, the two or three readings that then decide are found by trying the few
combinations, and the radius grows with every step: the walk must end, and ends at the optimum.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["Enclosing", "circumcircle", "smallest_enclosing", "smallest_enclosing_near"]

Point = tuple[float, float]

_MOST_STEPS = 1000


class Enclosing(NamedTuple):
    """Centre, radius, and the one to three readings that decide, with their multipliers."""

    x: float
    y: float
    radius: float
    deciders: tuple[int, ...]
    shares: tuple[float, ...]
    held: bool
    """Whether the centre lies on the border of the region allowed to it."""
    steps: int


def circumcircle(a: Point, b: Point, c: Point) -> tuple[float, float] | None:
    """Centre of the circle through three points; None where they lie on a line."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    twice = 2.0 * (bx * cy - by * cx)
    if twice == 0.0:
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    return a[0] + (cy * b2 - by * c2) / twice, a[1] + (bx * c2 - cx * b2) / twice


def _far(rows: Floats, x: float, y: float) -> tuple[int, float]:
    aside, up = rows[0] - x, rows[1] - y
    squares = aside * aside + up * up
    place = int(squares.argmax())
    return place, math.sqrt(float(squares[place]))


def _free_centre(points: Sequence[Point]) -> Point | None:
    if len(points) == 1:
        return points[0]
    if len(points) == 2:
        (ax, ay), (bx, by) = points
        return 0.5 * (ax + bx), 0.5 * (ay + by)
    return circumcircle(points[0], points[1], points[2])


def _held_centre(reach: float) -> Callable[[Sequence[Point]], Point | None]:
    """Best centre at most `reach` from the origin for the given readings all at one distance.

    The free one where it is near enough; else on the border |centre| = reach, where
    |p − c|² = |p|² + reach² − 2 p·c is linear in c and one or two readings decide.
    """

    def centre(points: Sequence[Point]) -> Point | None:
        free = _free_centre(points)
        if free is not None and math.hypot(*free) <= reach:
            return free
        if len(points) == 1:
            ((x, y),) = points
            size = math.hypot(x, y)
            return (reach * x / size, reach * y / size) if size > 0.0 else (reach, 0.0)
        if len(points) > 2:
            return None
        (ax, ay), (bx, by) = points
        nx, ny = ax - bx, ay - by
        size = math.hypot(nx, ny)
        if size == 0.0:
            return None
        nx, ny = nx / size, ny / size
        # p·c equal up to half the difference of squares: the chord n·c = along.
        along = 0.5 * ((ax + bx) * nx + (ay + by) * ny)
        rest = reach * reach - along * along
        if rest < 0.0:
            return None
        across = math.sqrt(rest)
        # Of the two ends of the chord the one towards the readings is nearer to both.
        if -ny * ax + nx * ay < 0.0:
            across = -across
        return along * nx - across * ny, along * ny + across * nx

    return centre


def _walk(
    rows: Floats, first: int, centre_of: Callable[[Sequence[Point]], Point | None]
) -> tuple[float, float, float, tuple[int, ...], int]:
    """Grow from one deciding reading to the set that encloses all."""
    scale = float(np.abs(rows).max())
    tolerance = 8.0 * np.finfo(float).eps * scale
    deciders: tuple[int, ...] = (first,)
    points = {first: (float(rows[0, first]), float(rows[1, first]))}
    x, y = centre_of([points[first]]) or points[first]
    radius = math.hypot(points[first][0] - x, points[first][1] - y)
    for step in range(_MOST_STEPS):
        farthest, distance = _far(rows, x, y)
        if distance <= radius + tolerance or farthest in deciders:
            return x, y, max(radius, distance), deciders, step
        points[farthest] = (float(rows[0, farthest]), float(rows[1, farthest]))
        best: tuple[float, float, float, tuple[int, ...]] | None = None
        rescue: tuple[float, float, float, float, tuple[int, ...]] | None = None
        for count in range(3):
            for others in combinations(deciders, count):
                chosen = (*others, farthest)
                centre = centre_of([points[index] for index in chosen])
                if centre is None:
                    continue
                size = math.hypot(points[farthest][0] - centre[0], points[farthest][1] - centre[1])
                out = max(
                    math.hypot(points[index][0] - centre[0], points[index][1] - centre[1]) - size
                    for index in (*deciders, farthest)
                )
                if out <= tolerance and (best is None or size < best[2]):
                    best = (*centre, size, chosen)
                if rescue is None or out + size < rescue[3]:
                    rescue = (*centre, size, out + size, chosen)
        if best is None:
            # Nearly coincident readings: rounding decides; take what covers the deciders best.
            if rescue is None:
                raise ArithmeticError("no circle through the readings that decide")
            best = (rescue[0], rescue[1], rescue[3], rescue[4])
            if best[2] <= radius:
                return x, y, distance, deciders, step
        x, y, radius, deciders = best
    raise ArithmeticError(f"the enclosing circle did not settle in {_MOST_STEPS} steps")


def _shares(rows: Floats, x: float, y: float, deciders: tuple[int, ...]) -> tuple[float, ...]:
    """Multipliers, adding up to 1, with which the pulls of the deciding readings cancel."""
    if len(deciders) == 1:
        return (1.0,)
    if len(deciders) == 2:
        return (0.5, 0.5)
    (ax, ay), (bx, by), (cx, cy) = (
        (float(rows[0, index]) - x, float(rows[1, index]) - y) for index in deciders
    )
    areas = (bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx)
    total = sum(areas)
    return tuple(area / total for area in areas) if total != 0.0 else (0.5, 0.5, 0.0)


def smallest_enclosing(rows: Floats) -> Enclosing:
    """The smallest circle that holds all points (rows: x and y, about their own middle)."""
    first, _ = _far(rows, 0.0, 0.0)
    x, y, radius, deciders, steps = _walk(rows, first, _free_centre)
    shares = _shares(rows, x, y, deciders)
    if min(shares) < 0.0:
        deciders = _surrounding(rows, x, y, deciders)
        shares = tuple(max(share, 0.0) for share in _shares(rows, x, y, deciders))
    return Enclosing(x, y, radius, deciders, shares, False, steps)


def _surrounding(rows: Floats, x: float, y: float, deciders: tuple[int, ...]) -> tuple[int, ...]:
    """Three of the readings that touch, with the centre between them.

    Where more than three touch, rounding may have picked three on one side.
    """
    aside, up = rows[0] - x, rows[1] - y
    distances = np.sqrt(aside * aside + up * up)
    scale = float(np.abs(rows).max())
    touching = np.flatnonzero(distances >= float(distances.max()) - 1e-13 * scale)
    first = deciders[0]
    turns = np.mod(
        np.arctan2(up[touching], aside[touching]) - math.atan2(up[first], aside[first]),
        2.0 * math.pi,
    )
    before = touching[turns <= math.pi]
    after = touching[turns > math.pi]
    if before.size == 0 or after.size == 0:
        return deciders
    return (
        first,
        int(before[turns[turns <= math.pi].argmax()]),
        int(after[turns[turns > math.pi].argmin()]),
    )


def smallest_enclosing_near(rows: Floats, reach: float) -> Enclosing:
    """The smallest circle that holds all points with its centre at most `reach` from the origin.

    The region and the largest distance are both convex, so the first optimum is the only one.
    Where the free centre is out of reach, it lies on the border and one or two readings decide.
    """
    free = smallest_enclosing(rows)
    if math.hypot(free.x, free.y) <= reach:
        return free
    first, distance = _far(rows, 0.0, 0.0)
    if reach == 0.0:
        return Enclosing(0.0, 0.0, distance, (first,), (1.0,), True, free.steps)
    x, y, radius, deciders, steps = _walk(rows, first, _held_centre(reach))
    shares = (1.0,) if len(deciders) == 1 else _pair_shares(rows, x, y, deciders)
    return Enclosing(x, y, radius, deciders, shares, True, free.steps + steps)


def _pair_shares(rows: Floats, x: float, y: float, deciders: tuple[int, ...]) -> tuple[float, ...]:
    """Multipliers of two readings whose joint pull points along the centre's own offset."""
    ax, ay = (float(rows[axis, deciders[0]]) - at for axis, at in ((0, x), (1, y)))
    bx, by = (float(rows[axis, deciders[1]]) - at for axis, at in ((0, x), (1, y)))
    across_a, across_b = ax * y - ay * x, bx * y - by * x
    spread = across_b - across_a
    share = min(max(across_b / spread, 0.0), 1.0) if spread != 0.0 else 0.5
    return share, 1.0 - share
