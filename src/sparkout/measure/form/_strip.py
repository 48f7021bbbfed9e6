"""The narrowest straight strip that holds points of a plane, by the convex hull: global."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["Strip", "hull", "narrowest_strip"]


class Strip(NamedTuple):
    """Width and unit normal."""

    width: float
    normal: tuple[float, float]


def hull(rows: Floats) -> list[int]:
    """Corners of the convex hull, anticlockwise, by Andrew's monotone chain."""
    order = np.lexsort((rows[1], rows[0])).tolist()
    xs, ys = rows[0].tolist(), rows[1].tolist()

    def half(indices: list[int]) -> list[int]:
        chain: list[int] = []
        for c in indices:
            while len(chain) > 1:
                a, b = chain[-2], chain[-1]
                turn = (xs[b] - xs[a]) * (ys[c] - ys[a]) - (ys[b] - ys[a]) * (xs[c] - xs[a])
                if turn > 0.0:
                    break
                chain.pop()
            if not chain or xs[c] != xs[chain[-1]] or ys[c] != ys[chain[-1]]:
                chain.append(c)
        return chain

    lower, upper = half(order), half(order[::-1])
    return lower[:-1] + upper[:-1] if len(lower) > 1 else lower


def narrowest_strip(rows: Floats) -> Strip:
    """Of all strips along an edge of the hull the narrowest; no other direction can be narrower."""
    corners = hull(rows)
    if len(corners) < 2:
        return Strip(0.0, (0.0, 1.0))
    ring = rows[:, corners]
    sides = np.roll(ring, -1, axis=1) - ring
    sizes = np.sqrt((sides * sides).sum(axis=0))
    normals = np.stack([-sides[1], sides[0]]) / sizes
    heights = normals.T @ ring - (normals * ring).sum(axis=0)[:, None]
    widths = heights.max(axis=1)
    edge = int(widths.argmin())
    return Strip(float(widths[edge]), (float(normals[0, edge]), float(normals[1, edge])))
