"""The thinnest cylinder round points near a line, by an interior path with its own bound.

Half squares of distances square to a fixed direction are convex and bend evenly, so the largest of
them is made least by following the path of the logarithmic barrier. Any weights of the points give
a lower bound, the weighted least-squares line; the path's own weights close the gap to rounding.
That bound, not the path, is the proof.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["Thinnest", "thinnest_about"]

_MOST_STEPS = 400
_SHRINK = 0.05


class Thinnest(NamedTuple):
    """Shift (x, y) and tilt (x, y) of the line in its frame, the radius, and the proof."""

    place: Floats
    radius: float
    shares: Floats
    bound: float
    """No line in this frame has a smaller radius [mm]."""
    steps: int


def thinnest_about(local: Floats) -> Thinnest:
    """Minimise the largest distance from x = a + c·z, y = b + d·z (local: rows x, y, z)."""
    scale = float(np.sqrt((local[0] ** 2 + local[1] ** 2).max()))
    half = float(np.abs(local[2]).max())
    x, y, z = local[0] / scale, local[1] / scale, local[2] / half
    count = x.shape[0]
    place = np.zeros(4)

    def terms(at: Floats) -> tuple[Floats, Floats]:
        aside, up = x - at[0] - at[2] * z, y - at[1] - at[3] * z
        return 0.5 * (aside * aside + up * up), -np.stack([aside, up, z * aside, z * up])

    values, slopes = terms(place)
    border = 1.5 * float(values.max())
    strength = border / count
    steps = 0
    best = (-1.0, np.full(count, 1.0 / count))
    while strength * count > 1e-15 * border and steps < _MOST_STEPS:
        for _ in range(30):
            steps += 1
            weights = 1.0 / (border - values)
            gradient = np.append(slopes @ weights, 1.0 / strength - weights.sum())
            squares = weights * weights
            hessian = np.empty((5, 5))
            hessian[:4, :4] = (slopes * squares) @ slopes.T + _bend(z, weights)
            hessian[:4, 4] = hessian[4, :4] = -(slopes @ squares)
            hessian[4, 4] = squares.sum()
            step = _solved(hessian, -gradient)
            decrement = float(-gradient @ step)
            length = 1.0
            while True:
                new_values, new_slopes = terms(place + length * step[:4])
                new_border = border + length * float(step[4])
                if new_border > float(new_values.max()):
                    break
                length *= 0.5
                if length < 1e-12:
                    break
            if length < 1e-12:
                break
            place, border = place + length * step[:4], new_border
            values, slopes = new_values, new_slopes
            if decrement < 0.3 and length == 1.0:
                break
        shares = _shares(values, border, slopes)
        bound = _weighted_least(x, y, z, shares)
        if bound > best[0]:
            best = (bound, shares)
        strength *= _SHRINK
    bound = float(np.sqrt(2.0 * max(best[0], 0.0)))
    shift = place * np.array([scale, scale, scale / half, scale / half])
    return Thinnest(
        shift, scale * float(np.sqrt(2.0 * values.max())), best[1], scale * bound, steps
    )


def _shares(values: Floats, border: float, slopes: Floats) -> Floats:
    """Weights of the points: the path's own, set right by the balance of those that touch."""
    weights = 1.0 / np.maximum(border - values, 1e-300)
    weights /= weights.sum()
    touch = np.flatnonzero(weights > 1e-4)
    table = np.vstack([slopes[:, touch], np.full(touch.shape[0], float(np.abs(slopes).max()))])
    right = np.zeros(5)
    right[4] = table[4, 0]
    solved = np.linalg.lstsq(table, right, rcond=1e-12)[0]
    if float(solved.min()) >= 0.0:
        weights = np.zeros_like(weights)
        weights[touch] = solved
    weights = np.where(weights > 1e-12, weights, 0.0)
    shares: Floats = weights / weights.sum()
    return shares


def _bend(z: Floats, weights: Floats) -> Floats:
    """Σ weight × Hessian of a half square."""
    zero, one, two = float(weights.sum()), float(weights @ z), float(weights @ (z * z))
    bend = np.zeros((4, 4))
    bend[0, 0] = bend[1, 1] = zero
    bend[0, 2] = bend[2, 0] = bend[1, 3] = bend[3, 1] = one
    bend[2, 2] = bend[3, 3] = two
    return bend


def _solved(matrix: Floats, right: Floats) -> Floats:
    """Solution of a symmetric system, scaled first: near the end its entries differ vastly."""
    scale = 1.0 / np.sqrt(np.maximum(np.diag(matrix), 1e-300))
    scaled = matrix * scale[:, None] * scale[None, :]
    answer: Floats = scale * np.linalg.lstsq(scaled, scale * right, rcond=1e-16)[0]
    return answer


def _weighted_least(x: Floats, y: Floats, z: Floats, shares: Floats) -> float:
    """Least Σ share × half square over all lines, shares adding up to 1."""
    middle = float(shares @ z)
    along = z - middle
    spread = float(shares @ (along * along))
    total = 0.0
    for side in (x, y):
        across = side - float(shares @ side)
        slope = float(shares @ (along * across)) / spread if spread > 1e-300 else 0.0
        rest = across - slope * along
        total += 0.5 * float(shares @ (rest * rest))
    return total
