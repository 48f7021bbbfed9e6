"""Statistical tolerance intervals: where a stated share of all readings lies, with confidence.

Not to be mixed up with the tolerance on a drawing: this one is learned from readings.
"""

from __future__ import annotations

import math

from sparkout.measure.studies.distributions import (
    noncentral_student_probability,
    normal_probability,
    normal_quantile,
)
from sparkout.measure.studies.quadrature import gauss_legendre
from sparkout.measure.studies.special import beta_ratio, gamma_ratio_upper, root

__all__ = [
    "one_sided_factor",
    "order_confidence",
    "order_count",
    "two_sided_factor",
]


def _check(n: int, coverage: float, confidence: float) -> None:
    if n < 2:
        raise ValueError(f"two readings or more are needed, got {n!r}")
    for name, share in (("coverage", coverage), ("confidence", confidence)):
        if not 0.0 < share < 1.0:
            raise ValueError(f"{name} lies between 0 and 1, got {share!r}")


def one_sided_factor(n: int, coverage: float, confidence: float) -> float:
    """Standard deviations from the mean that bound a share of a normal process on one side.

    k with P(T <= k sqrt n) = confidence, T non-central Student with n - 1 degrees of freedom and
    shift z_coverage sqrt n.

    n: readings [-], two or more.
    coverage: share of all readings to be inside [-], between 0 and 1.
    confidence: how sure that it is [-], between 0 and 1.
    Returns k [-].
    Holds for independent readings of a normal process in control.
    Source: ISO 16269-6:2014; NIST/SEMATECH e-Handbook 7.2.6.3.
    Raises ValueError naming the value when an argument is out of range.

    >>> round(one_sided_factor(10, 0.95, 0.95), 3)
    2.911
    """
    _check(n, coverage, confidence)
    shift = normal_quantile(coverage) * math.sqrt(n)

    def over(t: float) -> float:
        return noncentral_student_probability(t, n - 1.0, shift) - confidence

    low, high, step = shift, shift, 1.0
    while over(low) > 0.0:
        low, step = low - step, 2.0 * step
    step = 1.0
    while over(high) < 0.0:
        high, step = high + step, 2.0 * step
    return root(over, low, high, 1e-11) / math.sqrt(n) if low < high else shift / math.sqrt(n)


def _half_width(offset: float, coverage: float) -> float:
    """Half width r such that a normal process holds `coverage` within offset +- r."""

    def over(r: float) -> float:
        return normal_probability(offset + r) - normal_probability(offset - r) - coverage

    return root(over, 0.0, abs(offset) + 9.0 + normal_quantile(0.5 * (1.0 + coverage)))


def two_sided_factor(n: int, coverage: float, confidence: float) -> float:
    """Standard deviations either side of the mean that hold a share of a normal process.

    k with E[Q(dof/2, dof r^2 / (2 k^2))] = confidence over the error of the mean x ~ N(0, 1/n),
    r(x) the half width that holds the share about x; dof = n - 1. Exact, by quadrature over x.

    n: readings [-], two or more.
    coverage: share of all readings to be inside [-], between 0 and 1.
    confidence: how sure that it is [-], between 0 and 1.
    Returns k [-].
    Holds for independent readings of a normal process in control.
    Source: ISO 16269-6:2014, exact factors; Howe's approximation is within 1 % from n = 10 up.
    Raises ValueError naming the value when an argument is out of range.

    >>> round(two_sided_factor(43, 0.90, 0.99), 3)
    2.223
    """
    _check(n, coverage, confidence)
    # By symmetry the positive half of the error of the mean is enough, taken twice.
    points, weights = gauss_legendre(0.0, 8.0 / math.sqrt(n), 48)
    offsets = points.tolist()
    chances = [
        2.0 * w * math.sqrt(n / (2.0 * math.pi)) * math.exp(-0.5 * n * x * x)
        for x, w in zip(offsets, weights.tolist(), strict=True)
    ]
    squares = [_half_width(x, coverage) ** 2 for x in offsets]
    dof = n - 1.0

    def over(k: float) -> float:
        return (
            math.fsum(
                chance * gamma_ratio_upper(0.5 * dof, 0.5 * dof * r2 / (k * k))
                for chance, r2 in zip(chances, squares, strict=True)
            )
            - confidence
        )

    low = high = normal_quantile(0.5 * (1.0 + coverage))
    while over(low) > 0.0:
        low *= 0.5
    while over(high) < 0.0:
        high *= 2.0
    return root(over, low, high, 1e-11)


def order_confidence(n: int, left_out: int, coverage: float) -> float:
    """How sure it is that a share of any process lies between two of its sorted readings.

    P = 1 - I_coverage(n + 1 - r, r), r = left_out: the share inside follows Beta(n + 1 - r, r).
    From least to greatest r = 2; below the greatest only, or above the least only, r = 1.

    n: readings [-], one or more.
    left_out: gaps given away at the ends [-], 1 for one extreme, 2 for both, up to n.
    coverage: share of all readings to be inside [-], between 0 and 1.
    Returns the confidence [-], 0 to 1.
    Holds for independent readings of any continuous process in control, whatever its shape.
    Source: Wilks, Annals of Mathematical Statistics 12 (1941) 91-96; ISO 16269-6:2014.
    Raises ValueError naming the values when out of range.

    >>> round(order_confidence(93, 2, 0.95), 4)
    0.95
    """
    if n < 1 or not 1 <= left_out <= n:
        raise ValueError(f"readings and gaps left out must fit, got n={n!r}, left_out={left_out!r}")
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage lies between 0 and 1, got {coverage!r}")
    return 1.0 - beta_ratio(n + 1.0 - left_out, float(left_out), coverage)


def order_count(left_out: int, coverage: float, confidence: float) -> int:
    """Readings needed before their extremes bound a share of any process.

    The least n with order_confidence(n, left_out, coverage) >= confidence.

    left_out: gaps given away at the ends [-], 1 for one extreme, 2 for both.
    coverage: share of all readings to be inside [-], between 0 and 1.
    confidence: how sure that it is [-], between 0 and 1.
    Returns the number of readings [-].
    Holds for independent readings of any continuous process in control, whatever its shape.
    Source: Wilks, Annals of Mathematical Statistics 12 (1941) 91-96; ISO 16269-6:2014.
    Raises ValueError naming the value when an argument is out of range.

    >>> order_count(1, 0.95, 0.95), order_count(2, 0.95, 0.95)
    (59, 93)
    """
    _check(2, coverage, confidence)
    low, high = left_out, left_out + 1
    while order_confidence(high, left_out, coverage) < confidence:
        low, high = high, 2 * high
    while low < high:
        middle = (low + high) // 2
        if order_confidence(middle, left_out, coverage) < confidence:
            low = middle + 1
        else:
            high = middle
    return low
