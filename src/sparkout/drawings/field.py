"""Heights between scattered readings: a smooth guess for shading, and its contour lines."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

__all__ = ["contour", "interpolator"]

Reading = tuple[float, float, float]


def interpolator(readings: Sequence[Reading]) -> Callable[[float, float], float]:
    """Weighted mean of the readings, nearer ones counting more (inverse distance with a reach,
    after Franke and Little). Goes through every reading and never beyond highest and lowest."""
    if not readings:
        raise ValueError("a surface needs at least one reading")
    xs, ys = [r[0] for r in readings], [r[1] for r in readings]
    wide = max(max(xs) - min(xs), max(ys) - min(ys), 1e-12)
    # The reach covers about the 13 nearest readings of an even scatter, at least a third of the
    # face, so that nowhere is left without one.
    far = max(wide * 0.36, 1.6 * wide / math.sqrt(len(readings)))

    def height(x: float, y: float) -> float:
        total = weight_sum = 0.0
        nearest, nearest_h = math.inf, 0.0
        for px, py, h in readings:
            d = math.hypot(x - px, y - py)
            if d < 1e-9 * wide:
                return h
            if d < nearest:
                nearest, nearest_h = d, h
            if d < far:
                weight = ((far - d) / (far * d)) ** 2
                total += weight * h
                weight_sum += weight
        return total / weight_sum if weight_sum > 0 else nearest_h

    return height


def contour(
    grid: Sequence[Sequence[float | None]], xs: Sequence[float], ys: Sequence[float], level: float
) -> tuple[tuple[float, float, float, float], ...]:
    """Pieces of the line at one height over a lattice of values (marching squares)."""
    pieces = []
    for j in range(len(ys) - 1):
        for i in range(len(xs) - 1):
            corners = (grid[j][i], grid[j][i + 1], grid[j + 1][i + 1], grid[j + 1][i])
            known = [c for c in corners if c is not None]
            if len(known) < 4:
                continue
            places = (
                (xs[i], ys[j]),
                (xs[i + 1], ys[j]),
                (xs[i + 1], ys[j + 1]),
                (xs[i], ys[j + 1]),
            )
            cuts = []
            for k in range(4):
                one, two = known[k] - level, known[(k + 1) % 4] - level
                if (one < 0) != (two < 0):
                    part = one / (one - two)
                    (x1, y1), (x2, y2) = places[k], places[(k + 1) % 4]
                    cuts.append((x1 + part * (x2 - x1), y1 + part * (y2 - y1)))
            pieces += [(*a, *b) for a, b in zip(cuts[::2], cuts[1::2], strict=True)]
    return tuple(pieces)
