"""The constants of Shewhart's charts, computed rather than copied from a rounded table.

A printed d2 of 2.326 is already off in the fourth digit, and a limit multiplies it by three and a
spread: a chart that keeps the digits gives the same limits whoever computes them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sparkout.measure.studies.quadrature import gauss_legendre

__all__ = ["ChartFactors", "c4", "chart_factors", "d2", "d3"]


def _range_moments(n: int) -> tuple[float, float]:
    """Mean and mean square of the range of n standard normal values.

    P(W <= w) = n * integral phi(x) [Phi(x + w) - Phi(x)]^(n-1) dx; E W = integral of (1 - P) and
    E W^2 = 2 * integral of w (1 - P). The inner integral is smooth and dies off at both ends, where
    the trapezoidal rule converges beyond double precision; the outer one is Gauss-Legendre.
    """
    step = 0.2
    x = np.arange(-9.0, 9.0 + step / 2, step)
    # The range of 100 normal values exceeds 16 with probability below 1e-14.
    w, weights = gauss_legendre(0.0, 16.0)
    phi = np.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi)
    erfc, root_half = math.erfc, math.sqrt(0.5)  # Phi(v) = erfc(-v sqrt(1/2)) / 2
    at_x = np.array([0.5 * erfc(v) for v in (-root_half * x).tolist()])
    sums = -root_half * np.add.outer(w, x)
    at_sum = np.array([0.5 * erfc(v) for v in sums.ravel().tolist()]).reshape(sums.shape)
    below = n * step * np.sum(phi * (at_sum - at_x) ** (n - 1), axis=1)
    above = 1.0 - below
    return float(np.sum(weights * above)), float(2.0 * np.sum(weights * w * above))


def _check_size(n: int) -> None:
    if not 2 <= n <= 100:
        raise ValueError(f"a subgroup has 2 to 100 readings, got {n!r}")


def d2(n: int) -> float:
    """Mean range of a subgroup in standard deviations.

    d2 = integral over all x of [1 - Phi(x)^n - (1 - Phi(x))^n] dx.

    n: readings in a subgroup [-], 2 to 100.
    Returns d2 [-].
    Holds for normal, independent readings; to about 1e-10.
    Source: Tippett, Biometrika 17 (1925) 364-387; the table of ISO 7870-2 and ASTM E2587.
    Raises ValueError naming the value when n is out of range.

    >>> round(d2(5), 9)
    2.325928947
    """
    _check_size(n)
    return _range_moments(n)[0]


def d3(n: int) -> float:
    """Standard deviation of the range of a subgroup, in standard deviations.

    d3 = sqrt(E W^2 - d2^2), W the range of n standard normal readings.

    n: readings in a subgroup [-], 2 to 100.
    Returns d3 [-].
    Holds for normal, independent readings; to about 1e-9.
    Source: Tippett, Biometrika 17 (1925) 364-387; the table of ISO 7870-2 and ASTM E2587.
    Raises ValueError naming the value when n is out of range.

    >>> round(d3(5), 6)
    0.864082
    """
    _check_size(n)
    mean, square = _range_moments(n)
    return math.sqrt(square - mean * mean)


def c4(n: float) -> float:
    """Mean of the sample standard deviation over the true one.

    c4 = sqrt(2 / (n - 1)) * Gamma(n/2) / Gamma((n - 1)/2).

    n: readings in a subgroup [-], above 1; a broken number stands for dof + 1.
    Returns c4 [-], below 1.
    Holds for normal, independent readings.
    Source: ASTM E2587 and ISO 7870-2, table of constants.
    Raises ValueError naming the value when n is not above 1.

    >>> round(c4(5), 6)
    0.939986
    """
    if not n > 1.0:
        raise ValueError(f"a standard deviation needs more than one reading, got {n!r}")
    x = 0.5 * (n - 1.0)
    if x > 50.0:  # the difference of two large logarithms would lose what 1 - c4 is about
        w = 1.0 / x
        return 1.0 - w / 8 + w**2 / 128 + 5 * w**3 / 1024 - 21 * w**4 / 32768 - 399 * w**5 / 262144
    return math.exp(math.lgamma(x + 0.5) - math.lgamma(x)) / math.sqrt(x)


@dataclass(frozen=True, slots=True)
class ChartFactors:
    """Factors for three-sigma limits of subgroups of one size, by their usual symbols.

    A2, A3: half width of the mean's limits per mean range, per mean standard deviation.
    B3, B4: limits of s per mean s; B5, B6: per known sigma. D3, D4: limits of R per mean R;
    D1, D2 (here lower_known, upper_known): per known sigma.
    """

    n: int
    d2: float
    d3: float
    c4: float
    a2: float
    a3: float
    b3: float
    b4: float
    b5: float
    b6: float
    d3_limit: float
    d4_limit: float
    lower_known: float
    upper_known: float


def chart_factors(n: int) -> ChartFactors:
    """Factors of the three-sigma limits for one subgroup size.

    A2 = 3/(d2 sqrt n), A3 = 3/(c4 sqrt n), B3, B4 = max(0, 1 -+ 3 sqrt(1 - c4^2)/c4),
    D3, D4 = max(0, 1 -+ 3 d3/d2); B5, B6 = c4 times B3, B4; D1, D2 = d2 times D3, D4.

    n: readings in a subgroup [-], 2 to 100.
    Returns the factors [-].
    Holds for normal, independent readings.
    Source: ASTM E2587 and ISO 7870-2, table of constants.
    Raises ValueError naming the value when n is out of range.

    >>> round(chart_factors(5).a2, 5)
    0.57682
    """
    _check_size(n)
    mean, square = _range_moments(n)
    spread = math.sqrt(square - mean * mean)
    bias = c4(n)
    s_part = 3.0 * math.sqrt(1.0 - bias * bias) / bias
    r_part = 3.0 * spread / mean
    b3, b4 = max(0.0, 1.0 - s_part), 1.0 + s_part
    d3_limit, d4_limit = max(0.0, 1.0 - r_part), 1.0 + r_part
    return ChartFactors(
        n=n,
        d2=mean,
        d3=spread,
        c4=bias,
        a2=3.0 / (mean * math.sqrt(n)),
        a3=3.0 / (bias * math.sqrt(n)),
        b3=b3,
        b4=b4,
        b5=bias * b3,
        b6=bias * b4,
        d3_limit=d3_limit,
        d4_limit=d4_limit,
        lower_known=mean * d3_limit,
        upper_known=mean * d4_limit,
    )
