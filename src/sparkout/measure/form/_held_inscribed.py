"""The largest circle inside points with its centre held near a given place.

Within a small disc of centres, |p − c|² = |p|² − 2 p·c + |c|². The first part is linear, its least
over the points concave; |c|² is at most reach². So the best centre for the linear part alone, where
it lies on the border of the disc, is the best of all: certain, not merely local. Where it lies
inside, the free inscribed circle does, or one of the few on the border is tried.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import WALL
from sparkout.measure.form._points import Floats
from sparkout.measure.form._proof import disc_reach
from sparkout.measure.form._settle import Settled, settle
from sparkout.measure.form.circle import distances_from

__all__ = ["Inscribed", "largest_inscribed_near"]

Places = list[tuple[float, float]]

_FEW = 150
"""Up to this many readings that can decide, all pairs are tried where the short proof fails."""
_INNER_ONLY = Goal(upper=False, lower=True)


class Inscribed(NamedTuple):
    """Centre, radius, the readings that decide, whether the border holds it, whether proven."""

    x: float
    y: float
    radius: float
    deciders: tuple[int, ...]
    held: bool
    proven: bool


def largest_inscribed_near(rows: Floats, reach: float) -> Inscribed:
    """The largest circle free of points with its centre at most `reach` from the origin."""
    squares = (rows * rows).sum(axis=0)
    if reach == 0.0:
        nearest = int(squares.argmin())
        return Inscribed(0.0, 0.0, math.sqrt(float(squares[nearest])), (nearest,), False, True)
    # Only readings that can be nearest from somewhere in the disc take part.
    near = np.flatnonzero(np.sqrt(squares) <= math.sqrt(float(squares.min())) + 2.0 * reach)
    best = _walked(rows[:, near], squares[near], reach)
    if not best.proven:
        inside = _inside(rows, reach)
        if near.size <= _FEW:
            best = _tried(rows[:, near], squares[near], reach)
        if inside is not None and inside.radius >= best.radius:
            return inside
    return best._replace(deciders=tuple(int(near[place]) for place in best.deciders))


def _places(ways: list[tuple[float, float]], chosen: tuple[int, ...], reach: float) -> Places:
    """Centres on the border that lie farthest from one reading, or equally far from two."""
    if len(chosen) == 1:
        x, y = ways[chosen[0]]
        size = math.hypot(x, y)
        return [(-reach * x / size, -reach * y / size)] if size > 0.0 else []
    (ax, ay), (bx, by) = ways[chosen[0]], ways[chosen[1]]
    nx, ny = ax - bx, ay - by
    size = math.hypot(nx, ny)
    if size == 0.0:
        return []
    nx, ny = nx / size, ny / size
    # |p − c| equal: (a − b)·c = (|a|² − |b|²)/2, a chord of the border.
    along = 0.5 * ((ax + bx) * nx + (ay + by) * ny)
    rest = reach * reach - along * along
    if rest < 0.0:
        return []
    across = math.sqrt(rest)
    return [
        (along * nx - across * ny, along * ny + across * nx),
        (along * nx + across * ny, along * ny - across * nx),
    ]


def _walked(rows: Floats, squares: Floats, reach: float) -> Inscribed:
    """Best centre on the border by taking in the nearest reading until none is nearer."""
    ways = [(x, y) for x, y in rows.T.tolist()]
    deciders: tuple[int, ...] = (int(squares.argmin()),)
    x, y = (_places(ways, deciders, reach) or [(reach, 0.0)])[0]
    for _ in range(200):
        values = squares - 2.0 * (x * rows[0] + y * rows[1])
        nearest = int(values.argmin())
        held = min(values.item(place) for place in deciders)
        if nearest in deciders or values.item(nearest) >= held - 1e-15 * squares.item(nearest):
            break
        known = [*deciders, nearest]
        best = -math.inf
        for chosen in ((nearest,), *((place, nearest) for place in deciders)):
            for u, v in _places(ways, chosen, reach):
                worth = min(
                    squares.item(k) - 2.0 * (u * ways[k][0] + v * ways[k][1]) for k in known
                )
                if worth > best:
                    best, x, y, deciders = worth, u, v, chosen
    return _border_answer(rows, squares, (x, y), deciders, reach)


def _tried(rows: Floats, squares: Floats, reach: float) -> Inscribed:
    """Best centre on the border by trying every one or two readings that can decide it."""
    ways = [(x, y) for x, y in rows.T.tolist()]
    count = range(len(ways))
    candidates = [
        (place, chosen)
        for chosen in (*((one,) for one in count), *combinations(count, 2))
        for place in _places(ways, chosen, reach)
    ]
    centres = np.array([place for place, _ in candidates]).T
    worths = np.concatenate(
        [
            (squares[:, None] - 2.0 * (rows.T @ centres[:, begin : begin + 4096])).min(axis=0)
            for begin in range(0, centres.shape[1], 4096)
        ]
    )
    place, chosen = candidates[int(worths.argmax())]
    return _border_answer(rows, squares, place, chosen, reach)


def _border_answer(
    rows: Floats,
    squares: Floats,
    centre: tuple[float, float],
    deciders: tuple[int, ...],
    reach: float,
) -> Inscribed:
    x, y = centre
    values = squares - 2.0 * (x * rows[0] + y * rows[1])
    least = float(values.min())
    tight = all(values.item(place) <= least + 1e-13 * squares.item(place) for place in deciders)
    proven = tight and _pushes_out(rows, centre, deciders)
    return Inscribed(x, y, math.sqrt(max(least + reach * reach, 0.0)), deciders, True, proven)


def _pushes_out(rows: Floats, centre: tuple[float, float], deciders: tuple[int, ...]) -> bool:
    """Whether some balance of the deciding readings pushes the centre straight outwards."""
    x, y = centre
    parts = [
        (
            float(rows[0, place] * y - rows[1, place] * x),
            float(rows[0, place] * x + rows[1, place] * y),
        )
        for place in deciders
    ]
    if len(parts) == 1:
        return parts[0][1] <= 0.0
    (across_a, along_a), (across_b, along_b) = parts
    if across_a * across_b > 0.0 or across_a == across_b:
        return False
    share = across_b / (across_b - across_a)
    return share * along_a + (1.0 - share) * along_b <= 0.0


def _inside(rows: Floats, reach: float) -> Inscribed | None:
    """The free inscribed circle near the origin, where it rests within the disc."""
    measure = distances_from(rows)
    lowest = float(np.sqrt((rows * rows).sum(axis=0)).min())
    if lowest == 0.0:
        return None
    settled: Settled = settle(
        measure, np.zeros(2), _INNER_ONLY, room=0.5 * reach, small=lowest, limit=4.0 * reach
    )
    away = math.hypot(*settled.place.tolist())
    if not settled.at_rest or away > reach:
        return None
    radius = float(settled.values.min())
    deciders = tuple(
        row[1]
        for row, share in zip(settled.vertex.rows, settled.vertex.shares, strict=True)
        if row[0] != WALL and share > 0.0
    )
    proven = disc_reach(settled.vertex.sharpness, radius) >= away + reach
    x, y = settled.place.tolist()
    return Inscribed(x, y, radius, deciders, False, proven)
