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

from sparkout.measure.form.circle import distances_from
from sparkout.measure.form.curved import Goal
from sparkout.measure.form.exchange import WALL
from sparkout.measure.form.points import Floats
from sparkout.measure.form.proof import disc_reach
from sparkout.measure.form.settle import Settled, settle

__all__ = ["Inscribed", "largest_inscribed_near"]

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
    best, certain = _on_border(rows[:, near], squares[near], reach)
    if not certain:
        inside = _inside(rows, reach)
        if inside is not None and inside.radius >= best.radius:
            return inside
    return best._replace(deciders=tuple(int(near[place]) for place in best.deciders))


def _on_border(rows: Floats, squares: Floats, reach: float) -> tuple[Inscribed, bool]:
    """Best centre on the border, and whether the linear part alone would go there too."""
    ways = [(float(x), float(y)) for x, y in rows.T]
    candidates: list[tuple[float, float, tuple[int, ...]]] = []
    for place, (x, y) in enumerate(ways):
        size = math.hypot(x, y)
        if size > 0.0:
            candidates.append((-reach * x / size, -reach * y / size, (place,)))
    for first, second in combinations(range(len(ways)), 2):
        nx, ny = ways[first][0] - ways[second][0], ways[first][1] - ways[second][1]
        size = math.hypot(nx, ny)
        if size == 0.0:
            continue
        along = 0.5 * float(squares[first] - squares[second]) / size
        if abs(along) > reach:
            continue
        nx, ny = nx / size, ny / size
        across = math.sqrt(reach * reach - along * along)
        candidates.append((along * nx - across * ny, along * ny + across * nx, (first, second)))
        candidates.append((along * nx + across * ny, along * ny - across * nx, (first, second)))
    centres = np.array([(x, y) for x, y, _ in candidates]).T
    best, radius = 0, -math.inf
    for begin in range(0, centres.shape[1], 4096):
        part = centres[:, begin : begin + 4096]
        distances = (squares[:, None] - 2.0 * (rows.T @ part)).min(axis=0) + reach * reach
        place = int(distances.argmax())
        if float(distances[place]) > radius:
            best, radius = begin + place, float(distances[place])
    x, y, deciders = candidates[best]
    found = Inscribed(x, y, math.sqrt(max(radius, 0.0)), deciders, True, True)
    certain = _pushes_out(rows, (x, y), deciders)
    return found._replace(proven=certain), certain


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
