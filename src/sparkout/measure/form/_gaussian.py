"""Least-squares features: geometric distances, not algebraic ones.

For a circle of given centre the best radius is the mean distance, so only the centre is sought, by
Newton's method on half the sum of squared deviations, with damping where a short arc makes the
sum bend the wrong way. Lines and planes are principal axes of the readings.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = [
    "Descent",
    "Terms",
    "algebraic_centre",
    "circle_centre",
    "descend",
    "least_axis",
    "principal_axes",
]

Terms = Callable[[Floats], tuple[float, Floats, Floats]]
"""place → half the mean square deviation, its slope, its Hessian."""

_MOST_STEPS = 200


class Descent(NamedTuple):
    """Where the sum of squares is least, with what is left of its slope and its least bend."""

    place: Floats
    slope: float
    bend: float
    steps: int
    at_rest: bool


def algebraic_centre(rows: Floats) -> tuple[float, float]:
    """Centre from linear equations (x² + y² on x and y): a start, not an answer.

    rows are about their own middle. The middle itself is returned where they lie on a line.
    """
    squares = rows[0] * rows[0] + rows[1] * rows[1]
    (xx, xy), (_, yy) = (rows @ rows.T).tolist()
    xs, ys = (rows @ squares).tolist()
    determinant = xx * yy - xy * xy
    if determinant <= 1e-14 * (xx + yy) ** 2:
        return 0.0, 0.0
    return 0.5 * (yy * xs - xy * ys) / determinant, 0.5 * (xx * ys - xy * xs) / determinant


def circle_centre(rows: Floats) -> Descent:
    """Centre of the geometric least-squares circle of points about their own middle."""
    count = rows.shape[1]

    def terms(centre: Floats) -> tuple[float, Floats, Floats]:
        aside = rows - centre[:, None]
        distances = np.sqrt((aside * aside).sum(axis=0))
        deviations = distances - distances.mean()
        ways = aside / np.maximum(distances, 1e-300)
        mean_way = ways.mean(axis=1)
        slope = -(ways @ deviations) / count
        share = deviations / np.maximum(distances, 1e-300)
        bend = (
            (ways * (1.0 - share)) @ ways.T / count
            + np.eye(2) * float(share.mean())
            - np.outer(mean_way, mean_way)
        )
        return 0.5 * float(deviations @ deviations) / count, slope, bend

    return descend(terms, np.array(algebraic_centre(rows)), float(np.abs(rows).max()))


def descend(terms: Terms, place: Floats, scale: float, share: float = 0.0) -> Descent:
    """Newton's method with damping, until a step no longer moves the answer.

    share: stop already at a step below this share of the root mean square deviation, where only a
    start is wanted.
    """
    cost, slope, bend = terms(place)
    damping = 0.0
    at_rest = False
    steps = 0
    while steps < _MOST_STEPS and not at_rest:
        steps += 1
        sizes, ways = np.linalg.eigh(bend)
        # Against the bend, not with it: a saddle must not attract.
        floor = max(damping, 1e-12 * float(np.abs(sizes).max()))
        strength = (
            np.maximum(np.abs(sizes) + damping, floor) if floor > 0.0 else np.ones_like(sizes)
        )
        step = -ways @ ((ways.T @ slope) / strength)
        length = float(np.abs(step).max())
        if length <= 4.0 * np.finfo(float).eps * scale:
            at_rest = True
            continue
        new_cost, new_slope, new_bend = terms(place + step)
        # Near the end the sum no longer shows a gain; the slope still does.
        flatter = float(np.abs(new_slope).max()) < float(np.abs(slope).max())
        if new_cost < cost or (flatter and new_cost <= cost * (1.0 + 1e-12) + 1e-300):
            at_rest = length <= max(1e-13 * scale, share * math.sqrt(2.0 * new_cost))
            place, cost, slope, bend = place + step, new_cost, new_slope, new_bend
            damping *= 0.1
        elif length <= 1e-9 * scale:
            # Neither sum nor slope gains from so small a step: as good as it gets.
            at_rest = True
        else:
            damping = max(10.0 * damping, 0.1 * float(np.abs(sizes).max()))
    # A start needs its bend to no more than tell whether there is one: the last step's will do.
    least_bend = float(sizes[0]) if share > 0.0 else float(np.linalg.eigvalsh(bend)[0])
    return Descent(place, float(np.abs(slope).max()), least_bend, steps, at_rest)


def least_axis(rows: Floats) -> Floats | None:
    """The direction in which centred points spread least, near enough to start from.

    By hand from their second moments; None where they lie too near a line, or spread too evenly,
    for that to be safe.
    """
    (xx, xy, xz), (_, yy, yz), (_, _, zz) = (rows @ rows.T).tolist()
    # Eigenvalues mean + 2p·cos(turn + 2πk/3) of a symmetric matrix of three rows.
    mean = (xx + yy + zz) / 3.0
    x, y, z = xx - mean, yy - mean, zz - mean
    p = math.sqrt((x * x + y * y + z * z + 2.0 * (xy * xy + xz * xz + yz * yz)) / 6.0)
    if not p > 0.0:
        return None
    half = (
        x * (y * z - yz * yz) - xy * (xy * z - yz * xz) + xz * (xy * yz - y * xz)
    ) / (2.0 * p * p * p)  # fmt: skip
    turn = math.acos(min(max(half, -1.0), 1.0)) / 3.0
    first = mean + 2.0 * p * math.cos(turn)
    last = mean + 2.0 * p * math.cos(turn + 2.0 * math.pi / 3.0)
    second = 3.0 * mean - first - last
    if not (second > 1e-4 * first and abs(last) < 0.1 * second):
        return None
    # Square to all rows of the matrix less its least eigenvalue: their longest cross product.
    a, b, c = (xx - last, xy, xz), (xy, yy - last, yz), (xz, yz, zz - last)
    return np.array(max((_cross(a, b), _cross(b, c), _cross(c, a)), key=_square))


_Triple = tuple[float, float, float]


def _cross(a: _Triple, b: _Triple) -> _Triple:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _square(a: _Triple) -> float:
    return a[0] * a[0] + a[1] * a[1] + a[2] * a[2]


def principal_axes(rows: Floats) -> tuple[Floats, Floats]:
    """Second moments (largest first) and unit directions (columns) of centred points."""
    ways, sizes, _ = np.linalg.svd(rows, full_matrices=False)
    return sizes * sizes, ways
