"""The smallest enclosing circle in compiled code: the same steps as in `enclosing`."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._kernels_exchange import compiled, compiled_loose
from sparkout.measure.form._points import Floats, Integers

__all__ = ["enclosing_kernel"]


@compiled_loose
def _farthest(rows: Floats, x: float, y: float) -> float:
    largest = 0.0
    for i in range(rows.shape[1]):
        aside, up = rows[0, i] - x, rows[1, i] - y
        largest = max(largest, aside * aside + up * up)
    return largest


@compiled
def _where(rows: Floats, x: float, y: float) -> int:
    """The reading farthest from a centre."""
    largest = _farthest(rows, x, y) * (1.0 - 1e-15)
    for i in range(rows.shape[1]):
        aside, up = rows[0, i] - x, rows[1, i] - y
        if aside * aside + up * up >= largest:
            return i
    return 0


@compiled
def _through(rows: Floats, a: int, b: int, c: int) -> tuple[float, float, float]:
    """Centre and radius through two readings (c below 0) or three; radius below 0 on a line."""
    ax, ay = rows[0, a], rows[1, a]
    bx, by = rows[0, b] - ax, rows[1, b] - ay
    if c < 0:
        return ax + 0.5 * bx, ay + 0.5 * by, 0.5 * math.sqrt(bx * bx + by * by)
    cx, cy = rows[0, c] - ax, rows[1, c] - ay
    twice = 2.0 * (bx * cy - by * cx)
    if twice == 0.0:
        return 0.0, 0.0, -1.0
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    ux, uy = (cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice
    return ax + ux, ay + uy, math.sqrt(ux * ux + uy * uy)


@compiled
def enclosing_kernel(rows: Floats, held: Integers) -> tuple[float, float, int]:
    """Smallest enclosing circle; how many readings hold it, or -1 where rounding decides."""
    scale = math.sqrt(_farthest(rows, 0.0, 0.0))
    tolerance = 8.0 * 2.220446049250313e-16 * scale
    held[0] = _where(rows, 0.0, 0.0)
    x, y, radius, count = rows[0, held[0]], rows[1, held[0]], 0.0, 1
    trial = np.empty(3, np.int64)
    best_held = np.empty(3, np.int64)
    for _ in range(1000):
        new = _where(rows, x, y)
        distance = math.sqrt((rows[0, new] - x) ** 2 + (rows[1, new] - y) ** 2)
        if distance <= radius + tolerance:
            return x, y, count
        best = np.inf
        best_x = best_y = 0.0
        best_count = 0
        for first in range(count):
            for second in range(first, count):
                trial[0], trial[1] = new, held[first]
                trial[2] = held[second] if second > first else -1
                cx, cy, size = _through(rows, trial[0], trial[1], trial[2])
                if size < 0.0 or size >= best:
                    continue
                fits = True
                for place in range(count):
                    aside, up = rows[0, held[place]] - cx, rows[1, held[place]] - cy
                    if math.sqrt(aside * aside + up * up) > size + tolerance:
                        fits = False
                if fits:
                    best, best_x, best_y = size, cx, cy
                    best_count = 3 if second > first else 2
                    for place in range(3):
                        best_held[place] = trial[place]
        if not best < np.inf or best <= radius:
            return x, y, -1
        x, y, radius, count = best_x, best_y, best, best_count
        for place in range(count):
            held[place] = best_held[place]
    return x, y, -1
