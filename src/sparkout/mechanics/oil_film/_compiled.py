"""The inner loops of the orbit compiled, where the optional extra "fast" is installed.

The same arithmetic as the plain ones (`_film` and `_march` are compiled as they stand), one step of
the cycle after the other instead of array by array.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np

from sparkout.mechanics.oil_film import _film
from sparkout.mechanics.oil_film._collocation import Kernels
from sparkout.mechanics.oil_film._march import march
from sparkout.mechanics.oil_film._rates import Array, Problem


def _rates_loop(brackets: Any, turned: Any) -> Any:
    def rates_loop(
        c: Any, s: Any, k: Any, w: Any, ratio_squared: float, on: float, x: Any, y: Any, rows: Any
    ) -> bool:
        for i in range(len(x)):
            if not x[i] * x[i] + y[i] * y[i] < 1.0:
                return False
            eta = y[i] * c[i] - x[i] * s[i]
            xi = x[i] * c[i] + y[i] * s[i]
            gap = 1.0 - xi
            q = gap / ratio_squared
            p, p_x, p_y, p2, p2_x, p2_y = brackets(xi, eta, q, math.sqrt(q), gap, on)
            fx, fy, xx, xy, yx, yy = turned(
                x[i], y[i], c[i], s[i], k[i], w[i], eta, gap, math.sqrt(gap),
                p, p_x, p_y, p2, p2_x, p2_y,
            )  # fmt: skip
            rows[0, i], rows[1, i] = fx, fy
            rows[2, i], rows[3, i], rows[4, i], rows[5, i] = xx, xy, yx, yy
        return True

    return rates_loop


def _corrections_loop(
    nodes: Any, between: Any, ahead: Any, step: Any, right: Any, maps: Any, found: Any
) -> None:
    """The maps of every step, their product round the cycle, and the points one after another."""
    steps, sides = len(step), len(right)
    one_xx, one_xy, one_yx, one_yy = 1.0, 0.0, 0.0, 1.0
    for i in range(steps):
        h = step[i]
        mxx, mxy, myx, myy = between[2, i], between[3, i], between[4, i], between[5, i]
        xx, xy, yx, yy = nodes[2, i], nodes[3, i], nodes[4, i], nodes[5, i]
        t = 0.125 * h
        pxx, pxy, pyx, pyy = 0.5 + t * xx, t * xy, t * yx, 0.5 + t * yy
        exx = 1.0 + h / 6.0 * (xx + 4.0 * (mxx * pxx + mxy * pyx))
        exy = h / 6.0 * (xy + 4.0 * (mxx * pxy + mxy * pyy))
        eyx = h / 6.0 * (yx + 4.0 * (myx * pxx + myy * pyx))
        eyy = 1.0 + h / 6.0 * (yy + 4.0 * (myx * pxy + myy * pyy))
        xx, xy, yx, yy = ahead[2, i], ahead[3, i], ahead[4, i], ahead[5, i]
        pxx, pxy, pyx, pyy = 0.5 - t * xx, -t * xy, -t * yx, 0.5 - t * yy
        gxx = 1.0 - h / 6.0 * (xx + 4.0 * (mxx * pxx + mxy * pyx))
        fxy = h / 6.0 * (xy + 4.0 * (mxx * pxy + mxy * pyy))
        fyx = h / 6.0 * (yx + 4.0 * (myx * pxx + myy * pyx))
        gyy = 1.0 - h / 6.0 * (yy + 4.0 * (myx * pxy + myy * pyy))
        scale = 1.0 / (gxx * gyy - fxy * fyx)
        ixx, ixy, iyx, iyy = gyy * scale, fxy * scale, fyx * scale, gxx * scale
        xx, xy = ixx * exx + ixy * eyx, ixx * exy + ixy * eyy
        yx, yy = iyx * exx + iyy * eyx, iyx * exy + iyy * eyy
        maps[i, 0], maps[i, 1], maps[i, 2], maps[i, 3] = xx, xy, yx, yy
        one_xx, one_yx = xx * one_xx + xy * one_yx, yx * one_xx + yy * one_yx
        one_xy, one_yy = xx * one_xy + xy * one_yy, yx * one_xy + yy * one_yy
        for j in range(sides):
            # Until the points are known, found holds what each step adds.
            add_x = ixx * right[j, 0, i] + ixy * right[j, 1, i]
            add_y = iyx * right[j, 0, i] + iyy * right[j, 1, i]
            found[j, 0, i], found[j, 1, i] = add_x, add_y
    whole = (1.0 - one_xx) * (1.0 - one_yy) - one_xy * one_yx
    for j in range(sides):
        x = y = 0.0
        for i in range(steps):
            x, y = (
                maps[i, 0] * x + maps[i, 1] * y + found[j, 0, i],
                maps[i, 2] * x + maps[i, 3] * y + found[j, 1, i],
            )
        x, y = (
            ((1.0 - one_yy) * x + one_xy * y) / whole,
            ((1.0 - one_xx) * y + one_yx * x) / whole,
        )
        for i in range(steps):
            add_x, add_y = found[j, 0, i], found[j, 1, i]
            found[j, 0, i], found[j, 1, i] = x, y
            x, y = maps[i, 0] * x + maps[i, 1] * y + add_x, maps[i, 2] * x + maps[i, 3] * y + add_y


@cache
def kernels() -> Kernels:
    """The compiled loops; they take some seconds to compile at their first use in a process."""
    try:
        from numba import njit
    except ImportError as missing:
        raise ImportError(
            "the compiled loops need numba; install the optional extra: sparkout[fast]"
        ) from missing
    fast: Any = njit(error_model="numpy")
    # No cache on disk: an installed package may lie where nothing can be written.
    rates_loop = fast(_rates_loop(fast(_film.brackets), fast(_film.turned)))
    corrections_loop = fast(_corrections_loop)
    march_loop = fast(march)

    def rates(problem: Problem, x: Array, y: Array) -> Array | None:
        rows = np.empty((6, len(x)))
        inside = rates_loop(
            problem.cosine, problem.sine, problem.strength, problem.spin, problem.ratio_squared,
            problem.on, np.ascontiguousarray(x), np.ascontiguousarray(y), rows,
        )  # fmt: skip
        return rows if inside else None

    def corrections(nodes: Array, between: Array, ahead: Array, step: Array, right: Array) -> Array:
        found = np.empty((len(right), 2, len(step)))
        corrections_loop(nodes, between, ahead, step, right, np.empty((len(step), 4)), found)
        return found

    return Kernels(rates, corrections, march_loop)
