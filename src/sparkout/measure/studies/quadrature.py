"""Gauss-Legendre nodes, worked out once per count."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

__all__ = ["gauss_legendre"]

_Array = npt.NDArray[np.float64]


@cache  # the nodes are constants; finding them costs more than most integrals they serve
def _nodes(count: int) -> tuple[_Array, _Array]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    nodes.flags.writeable = False
    weights.flags.writeable = False
    return nodes, weights


def gauss_legendre(low: float, high: float, count: int = 64) -> tuple[_Array, _Array]:
    """Points and weights to integrate a smooth function over a stretch.

    integral of f = sum of weight * f(point), exact for polynomials up to degree 2 count - 1.

    low: start of the stretch [any].
    high: end of the stretch [as low].
    count: number of points [-], one or more.
    Returns points [as low] and weights [as low].
    Holds for functions smooth over the whole stretch; split it where they bend.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.29.

    >>> x, w = gauss_legendre(0.0, 2.0, 4)
    >>> round(float((w * x**3).sum()), 12)
    4.0
    """
    nodes, weights = _nodes(count)
    half = 0.5 * (high - low)
    return half * nodes + 0.5 * (high + low), half * weights
