"""Confidence intervals for sums and differences of mean squares.

A variance component is such a sum: scatter between people is their mean square less that of the
interaction, over parts × repeats. Satterthwaite turns it into one chi-square with matched degrees
of freedom; the modified large-sample method keeps the exact bounds of each mean square and is
trusted for small studies and differences.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.measure.studies.distributions import chi_square_quantile, f_quantile

__all__ = ["Term", "large_sample_interval", "satterthwaite_dof", "satterthwaite_interval"]


class Term(NamedTuple):
    """One mean square with its weight in the sum and its degrees of freedom."""

    weight: float
    mean_square: float
    dof: int


def _value(terms: Sequence[Term]) -> float:
    return math.fsum(t.weight * t.mean_square for t in terms)


def _check(confidence: float) -> None:
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence lies between 0 and 1, got {confidence!r}")


def satterthwaite_dof(terms: Sequence[Term]) -> float:
    """Degrees of freedom of a sum of mean squares, matched to its variance.

    dof = (sum w M)^2 / sum((w M)^2 / dof_M).

    terms: weighted mean squares [any].
    Returns the degrees of freedom [-]; 0 when the sum is not above zero.
    Holds well for sums; for differences only when the result is several times its scatter.
    Source: Satterthwaite, Biometrics Bulletin 2 (1946) 110-114; JCGM 100:2008, G.4.

    >>> round(satterthwaite_dof([Term(1.0, 4.0, 10), Term(1.0, 4.0, 10)]), 9)
    20.0
    """
    value = _value(terms)
    if not value > 0.0:
        return 0.0
    return value * value / math.fsum((t.weight * t.mean_square) ** 2 / t.dof for t in terms)


def satterthwaite_interval(terms: Sequence[Term], confidence: float) -> tuple[float, float]:
    """Two-sided confidence interval for a sum of mean squares, by one matched chi-square.

    dof * value / chi-square at (1 +- confidence)/2.

    terms: weighted mean squares [any].
    confidence: confidence of the interval [-], between 0 and 1.
    Returns the lower and upper bound [square of the readings]; both 0 when the sum is not positive.
    Holds well for sums; for differences prefer the large-sample interval.
    Source: Satterthwaite, Biometrics Bulletin 2 (1946) 110-114.
    Raises ValueError naming the value when confidence is not between 0 and 1.

    >>> low, high = satterthwaite_interval([Term(1.0, 1.0, 10)], 0.95)
    >>> round(low, 3), round(high, 3)
    (0.488, 3.08)
    """
    _check(confidence)
    dof = satterthwaite_dof(terms)
    if dof == 0.0:
        return 0.0, 0.0
    value, tail = _value(terms), 0.5 * (1.0 - confidence)
    if dof < 0.02:  # a difference drowned in scatter: chi-square this thin has no usable quantile
        return 0.0, math.inf
    return (
        dof * value / chi_square_quantile(1.0 - tail, dof),
        dof * value / chi_square_quantile(tail, dof),
    )


def _joint_plus(a: Term, b: Term, g_a: float, g_b: float, tail: float) -> float:
    """Cross factor G* of two mean squares added, for the lower bound."""
    both = a.dof + b.dof
    shrink = 1.0 - both / chi_square_quantile(1.0 - tail, both)
    return (
        shrink * shrink * both * both / (a.dof * b.dof)
        - g_a * g_a * a.dof / b.dof
        - g_b * g_b * b.dof / a.dof
    )


def _half_width(terms: Sequence[Term], tail: float, lower: bool) -> float:
    """Square root of V_L or V_U of Ting and others: distance from the value to its bound."""
    plus = [t for t in terms if t.weight * t.mean_square > 0.0]
    minus = [t._replace(weight=-t.weight) for t in terms if t.weight * t.mean_square < 0.0]
    if not lower:
        plus, minus = minus, plus
    # For the lower bound a positive term shrinks (G) and a negative one grows (H). The upper bound
    # of a sum is minus the lower bound of its negative, so one formula serves both.
    g = [1.0 - t.dof / chi_square_quantile(1.0 - tail, t.dof) for t in plus]
    h = [t.dof / chi_square_quantile(tail, t.dof) - 1.0 for t in minus]
    size = [t.weight * t.mean_square for t in plus]
    less = [t.weight * t.mean_square for t in minus]
    total = math.fsum((f * s) ** 2 for f, s in zip(g, size, strict=True))
    total += math.fsum((f * s) ** 2 for f, s in zip(h, less, strict=True))
    for i, a in enumerate(plus):
        for j, b in enumerate(minus):
            f = f_quantile(1.0 - tail, a.dof, b.dof)
            cross = ((f - 1.0) ** 2 - (g[i] * f) ** 2 - h[j] ** 2) / f
            total += cross * size[i] * less[j]
        # A plain sum (no negative term) has no such products: Graybill and Wang's bounds.
        for k in range(i + 1, len(plus) if minus else 0):
            star = _joint_plus(a, plus[k], g[i], g[k], tail) / (len(plus) - 1)
            total += star * size[i] * size[k]
    return math.sqrt(max(0.0, total))


def large_sample_interval(terms: Sequence[Term], confidence: float) -> tuple[float, float]:
    """Two-sided confidence interval for a sum or difference of mean squares, modified large sample.

    value - sqrt(V_L) and value + sqrt(V_U), V of squares of exact one-term distances and products
    that make two-term cases exact at their ends; bounds below zero are set to zero.

    terms: weighted mean squares [any], weights of either sign.
    confidence: confidence of the interval [-], between 0 and 1.
    Returns the lower and upper bound [square of the readings].
    Holds for independent mean squares of a balanced study; exact for a single one. Both ends
    together keep the confidence; one end alone may miss it by two per cent.
    Source: Ting, Burdick, Graybill, Jeyaratnam, Lu, J. Statist. Comput. Simul. 35 (1990) 135-143.
    Raises ValueError naming the value when confidence is not between 0 and 1.

    >>> low, high = large_sample_interval([Term(1.0, 1.0, 10)], 0.95)
    >>> round(low, 3), round(high, 3)
    (0.488, 3.08)
    """
    _check(confidence)
    value, tail = _value(terms), 0.5 * (1.0 - confidence)
    low = value - _half_width(terms, tail, lower=True)
    high = value + _half_width(terms, tail, lower=False)
    return max(0.0, low), max(0.0, high)
