"""Probabilities and quantiles of the distributions that limits and confidence rest on."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from statistics import NormalDist

import numpy as np

from sparkout.measure.studies.quadrature import gauss_legendre
from sparkout.measure.studies.special import beta_ratio, gamma_ratio, gamma_ratio_upper, root

__all__ = [
    "chi_square_probability",
    "chi_square_quantile",
    "f_quantile",
    "f_upper_tail",
    "noncentral_student_probability",
    "normal_probability",
    "normal_quantile",
    "student_probability",
    "student_quantile",
]


def _check_share(share: float) -> None:
    if not 0.0 < share < 1.0:
        raise ValueError(f"a probability strictly between 0 and 1 is needed, got {share!r}")


def _check_dof(dof: float) -> None:
    if not dof > 0.0:
        raise ValueError(f"degrees of freedom must be above zero, got {dof!r}")


def _positive_quantile(cdf: Callable[[float], float], share: float, start: float) -> float:
    """Invert a distribution on the positive half line: bracket by doubling, then close in."""
    low = high = start
    while cdf(high) < share:
        high *= 2.0
    while cdf(low) > share:
        low *= 0.5
    return root(lambda x: cdf(x) - share, low, high) if low < high else low


def normal_probability(z: float) -> float:
    """Share of a standard normal distribution below a value.

    Phi(z) = erfc(-z / sqrt 2) / 2, exact in the far lower tail.

    z: number of standard deviations above the mean [-], any value.
    Returns the share [-], 0 to 1.
    Holds for a normal distribution.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.29.

    >>> round(normal_probability(1.959964), 6)
    0.975
    """
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def normal_quantile(share: float) -> float:
    """Number of standard deviations below which a share of a normal distribution lies.

    z with Phi(z) = share.

    share: probability [-], strictly between 0 and 1.
    Returns z [-].
    Holds for a normal distribution.
    Source: Wichura, Applied Statistics 37 (1988) 477-484, as in Python's statistics module.
    Raises ValueError naming the value when it is not between 0 and 1.

    >>> round(normal_quantile(0.975), 6)
    1.959964
    """
    _check_share(share)
    return NormalDist().inv_cdf(share)


def student_probability(t: float, dof: float) -> float:
    """Share of Student's distribution below a value.

    P = 1 - I_x(dof/2, 1/2) / 2 with x = dof / (dof + t^2), for t above zero.

    t: value [-], any.
    dof: degrees of freedom [-], above zero; infinite gives the normal distribution.
    Returns the share [-], 0 to 1.
    Holds for any positive, also broken, number of degrees of freedom.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.1.
    Raises ValueError naming the value when dof is not above zero.

    >>> round(student_probability(2.776445, 4.0), 6)
    0.975
    """
    _check_dof(dof)
    if math.isinf(dof):
        return normal_probability(t)
    if t * t < dof:  # near the middle the other form keeps its digits
        middle = 0.5 * beta_ratio(0.5, 0.5 * dof, t * t / (dof + t * t))
        return 0.5 + math.copysign(middle, t)
    tail = 0.5 * beta_ratio(0.5 * dof, 0.5, dof / (dof + t * t))
    return tail if t < 0.0 else 1.0 - tail


def student_quantile(share: float, dof: float) -> float:
    """Value below which a share of Student's distribution lies.

    t with P(t, dof) = share.

    share: probability [-], strictly between 0 and 1.
    dof: degrees of freedom [-], above zero; infinite gives the normal distribution.
    Returns t [-].
    Holds for any positive, also broken, number of degrees of freedom.
    Source: JCGM 100:2008 (GUM), table G.2 lists it.
    Raises ValueError naming the value when an argument is out of range.

    >>> round(student_quantile(0.975, 10.0), 3)
    2.228
    """
    _check_share(share)
    _check_dof(dof)
    if math.isinf(dof):
        return normal_quantile(share)
    if share == 0.5:
        return 0.0
    # Work in the lower tail, where nothing is lost to 1 - small.
    tail = min(share, 1.0 - share)
    t = _positive_quantile(lambda x: 1.0 - student_probability(-x, dof), 1.0 - tail, 1.0)
    return t if share > 0.5 else -t


def chi_square_probability(x: float, dof: float) -> float:
    """Share of the chi-square distribution below a value.

    P = P(dof/2, x/2), the regularised lower incomplete gamma function.

    x: value [-], not below zero.
    dof: degrees of freedom [-], above zero.
    Returns the share [-], 0 to 1.
    Holds for any positive, also broken, number of degrees of freedom.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.19.
    Raises ValueError naming the values when out of range.

    >>> round(chi_square_probability(18.307, 10.0), 4)
    0.95
    """
    _check_dof(dof)
    return gamma_ratio(0.5 * dof, 0.5 * x)


def chi_square_quantile(share: float, dof: float) -> float:
    """Value below which a share of the chi-square distribution lies.

    x with P(dof/2, x/2) = share.

    share: probability [-], strictly between 0 and 1.
    dof: degrees of freedom [-], above zero.
    Returns x [-].
    Holds for any positive, also broken, number of degrees of freedom.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.
    Raises ValueError naming the value when an argument is out of range.

    >>> round(chi_square_quantile(0.95, 10.0), 3)
    18.307
    """
    _check_share(share)
    _check_dof(dof)
    if share > 0.5:
        upper = 1.0 - share
        return _positive_quantile(
            lambda x: 1.0 - gamma_ratio_upper(0.5 * dof, 0.5 * x), 1.0 - upper, dof
        )
    return _positive_quantile(lambda x: gamma_ratio(0.5 * dof, 0.5 * x), share, dof)


def f_upper_tail(x: float, dof_top: float, dof_bottom: float) -> float:
    """Probability that a ratio of two mean squares exceeds a value by chance.

    Q = I_y(dof_bottom/2, dof_top/2) with y = dof_bottom / (dof_bottom + dof_top * x).

    x: ratio of mean squares [-], not below zero.
    dof_top: degrees of freedom of the upper mean square [-], above zero.
    dof_bottom: degrees of freedom of the lower mean square [-], above zero.
    Returns the probability [-], 0 to 1.
    Holds for normal, independent errors.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.6.2.
    Raises ValueError naming the values when out of range.

    >>> round(f_upper_tail(4.964603, 1.0, 10.0), 4)
    0.05
    """
    _check_dof(dof_top)
    _check_dof(dof_bottom)
    if not x >= 0.0:
        raise ValueError(f"a ratio of mean squares is not below zero, got {x!r}")
    if math.isinf(dof_bottom):
        return gamma_ratio_upper(0.5 * dof_top, 0.5 * dof_top * x)
    whole = dof_bottom + dof_top * x
    if dof_top * x < dof_bottom:  # small ratios: the complement keeps its digits
        return 1.0 - beta_ratio(0.5 * dof_top, 0.5 * dof_bottom, dof_top * x / whole)
    return beta_ratio(0.5 * dof_bottom, 0.5 * dof_top, dof_bottom / whole)


def f_quantile(share: float, dof_top: float, dof_bottom: float) -> float:
    """Value below which a share of Fisher's F distribution lies.

    x with Q(x) = 1 - share.

    share: probability [-], strictly between 0 and 1.
    dof_top: degrees of freedom of the upper mean square [-], above zero.
    dof_bottom: degrees of freedom of the lower mean square [-], above zero; may be infinite.
    Returns x [-].
    Holds for normal, independent errors.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.6.
    Raises ValueError naming the values when out of range.

    >>> round(f_quantile(0.95, 2.0, 10.0), 4)
    4.1028
    """
    _check_share(share)
    if math.isinf(dof_bottom):
        return chi_square_quantile(share, dof_top) / dof_top
    return _positive_quantile(lambda x: 1.0 - f_upper_tail(x, dof_top, dof_bottom), share, 1.0)


def noncentral_student_probability(t: float, dof: float, shift: float) -> float:
    """Share of the non-central Student distribution below a value.

    P = E[Phi(t*S - shift)], S = sqrt(chi-square / dof), by Gauss-Legendre quadrature over S.

    t: value [-], any.
    dof: degrees of freedom [-], one or more.
    shift: non-centrality [-], any.
    Returns the share [-], 0 to 1.
    Holds to about 1e-10 for dof from 1 to some thousands and |shift| below 40.
    Source: Owen, Journal of the American Statistical Association 63 (1968) 445-478.
    Raises ValueError naming the value when dof is below one.

    >>> round(noncentral_student_probability(1.8740 * 43**0.5, 42.0, 1.2815516 * 43**0.5), 4)
    0.99
    """
    if not dof >= 1.0:
        raise ValueError(f"one degree of freedom or more is needed, got {dof!r}")
    reach = 9.0 / math.sqrt(2.0 * dof)  # the density of S beyond is below 1e-16 of its peak
    low, high = max(0.0, 1.0 - reach), 1.0 + reach
    # Phi climbs from 0 to 1 within a few 1/t of shift/t: give that stretch its own nodes.
    marks = {low, high}
    if t != 0.0:
        for z in (-8.0, 0.0, 8.0):
            marks.add(min(max((shift + z) / t, low), high))
    log_scale = 0.5 * dof * math.log(0.5 * dof) - math.lgamma(0.5 * dof) + math.log(2.0)
    total = 0.0
    for left, right in pairwise(sorted(marks)):
        s, weights = gauss_legendre(left, right)
        density = np.exp(log_scale + (dof - 1.0) * np.log(s) - 0.5 * dof * s * s)
        below = np.array([normal_probability(t * x - shift) for x in s.tolist()])
        total += float(np.sum(weights * density * below))
    return total
