"""Coverage intervals of a sample of trials."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

__all__ = ["shortest_interval", "symmetric_interval"]


def symmetric_interval(values: ArrayLike, coverage: float) -> tuple[float, float]:
    """Interval that leaves equal shares of the trials outside at either end.

    From the r-th to the (r + q)-th of M sorted values with q = coverage·M and r = (M − q)/2
    or the whole part of (M − q + 1)/2.

    values: trials of one output [any unit], at least two.
    coverage: probability of the interval [-], above 0 and below 1.
    Returns the two ends [unit of the values].
    Holds for many trials: about 100/(1 − coverage) and more.
    Source: JCGM 101:2008, 7.7.2.
    Raises ValueError naming the coverage or the number of trials when they are out of range.

    >>> symmetric_interval(range(1, 101), 0.9)
    (5.0, 95.0)
    """
    ordered, count = _ordered(values, coverage)
    first = max((len(ordered) - count + 1) // 2, 1)
    return float(ordered[first - 1]), float(ordered[min(first + count, len(ordered)) - 1])


def shortest_interval(values: ArrayLike, coverage: float) -> tuple[float, float]:
    """Shortest interval that holds the asked share of the trials.

    Of all intervals from the r-th to the (r + q)-th of M sorted values, q = coverage·M, the one of
    least length.

    values: trials of one output [any unit], at least two.
    coverage: probability of the interval [-], above 0 and below 1.
    Returns the two ends [unit of the values].
    Holds for outputs with a single peak, and many trials.
    Source: JCGM 101:2008, 7.7.3 and 7.7.4.
    Raises ValueError naming the coverage or the number of trials when they are out of range.

    >>> shortest_interval([0.0, 0.1, 0.2, 0.3, 5.0], 0.6)
    (0.0, 0.3)
    """
    ordered, count = _ordered(values, coverage)
    lengths = ordered[count:] - ordered[: len(ordered) - count]
    first = int(np.argmin(lengths)) if len(lengths) else 0
    last = min(first + count, len(ordered) - 1)
    return float(ordered[first]), float(ordered[last])


def _ordered(values: ArrayLike, coverage: float) -> tuple[np.ndarray, int]:
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage {coverage} is not between 0 and 1")
    ordered = np.sort(np.asarray(values, dtype=np.float64))
    if len(ordered) < 2:
        raise ValueError(f"{len(ordered)} trials are fewer than 2")
    return ordered, math.floor(coverage * len(ordered) + 0.5)
