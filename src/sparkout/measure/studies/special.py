"""Special functions the statistics of this room rest on, to near double precision.

Written out here because the runtime needs a handful of them only; the tests hold every one
against a general-purpose numerical library.
"""

from __future__ import annotations

import math
from collections.abc import Callable

__all__ = ["beta_ratio", "digamma", "gamma_ratio", "gamma_ratio_upper", "root", "trigamma"]

# Iterations allowed before a series or fraction is called a fault of ours: sqrt(a) times a few is
# needed near x = a, so this reaches a of about 1e8.
_MOST = 100_000
_TINY = 1e-300
_EPS = 2.0**-53


def root(f: Callable[[float], float], low: float, high: float, tolerance: float = 1e-13) -> float:
    """Where a continuous function crosses zero inside a bracket.

    Inverse quadratic interpolation kept inside a shrinking bracket, bisection where it is unsafe.

    f: function of one number [-], opposite signs at the two ends.
    low: one end of the bracket [-], any value.
    high: the other end [-], any value.
    tolerance: width at which the bracket is narrow enough, relative to the root [-], above zero.
    Returns the crossing [-].
    Holds for a continuous function; with several crossings it finds one of them.
    Source: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149.
    Raises ValueError naming both ends when the function has one sign there.

    >>> round(root(lambda x: x * x - 2.0, 0.0, 2.0), 9)
    1.414213562
    """
    a, b = high, low
    fa, fb = f(a), f(b)
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if (fa > 0.0) == (fb > 0.0):
        raise ValueError(f"no change of sign between {low!r} ({fb!r}) and {high!r} ({fa!r})")
    c, fc = b, fb
    t = 0.5
    while True:
        x = a + t * (b - a)
        fx = f(x)
        if (fx > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = x, fx
        best = a if abs(fa) < abs(fb) else b
        edge = (2.0 * _EPS * abs(best) + 0.5 * tolerance * abs(best) + _TINY) / abs(b - a)
        if edge > 0.5 or fa == 0.0:
            return best
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            t = fa / (fb - fa) * fc / (fb - fc)
            t += (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        else:
            t = 0.5
        t = min(max(t, edge), 1.0 - edge)


def digamma(x: float) -> float:
    """Derivative of the logarithm of the gamma function.

    psi(x) = psi(x + 1) - 1/x up to x = 12, then the asymptotic series in 1/x^2.

    x: argument [-], above zero.
    Returns psi(x) [-].
    Holds to about 1e-15 of the larger of 1 and |psi|.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.3.5 and 6.3.18.
    Raises ValueError naming the value when it is not above zero.

    >>> round(digamma(1.0), 10)
    -0.5772156649
    """
    if not x > 0.0:
        raise ValueError(f"digamma needs a value above zero, got {x!r}")
    shift = 0.0
    while x < 12.0:
        shift -= 1.0 / x
        x += 1.0
    w = 1.0 / (x * x)
    # B2k / 2k: 1/12, -1/120, 1/252, -1/240, 1/132, -691/32760, 1/12
    tail = w * (
        1 / 12 - w * (1 / 120 - w * (1 / 252 - w * (1 / 240 - w * (1 / 132 - w * (691 / 32760)))))
    )
    return shift + math.log(x) - 0.5 / x - tail


def trigamma(x: float) -> float:
    """Second derivative of the logarithm of the gamma function.

    psi'(x) = psi'(x + 1) + 1/x^2 up to x = 12, then the asymptotic series.

    x: argument [-], above zero.
    Returns psi'(x) [-].
    Holds to about 1e-15 of its value.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.4.6 and 6.4.12.
    Raises ValueError naming the value when it is not above zero.

    >>> round(trigamma(1.0), 10)
    1.6449340668
    """
    if not x > 0.0:
        raise ValueError(f"trigamma needs a value above zero, got {x!r}")
    shift = 0.0
    while x < 12.0:
        shift += 1.0 / (x * x)
        x += 1.0
    w = 1.0 / (x * x)
    # B2k: 1/6, -1/30, 1/42, -1/30, 5/66, -691/2730
    tail = w * (1 / 6 - w * (1 / 30 - w * (1 / 42 - w * (1 / 30 - w * (5 / 66 - w * 691 / 2730)))))
    return shift + (1.0 + 0.5 / x + tail) / x


def _gamma_series(a: float, x: float) -> float:
    term = total = 1.0 / a
    for k in range(1, _MOST):
        term *= x / (a + k)
        total += term
        if term < total * _EPS:
            return total * math.exp(a * math.log(x) - x - math.lgamma(a))
    raise ArithmeticError(f"incomplete gamma series did not settle at a={a!r}, x={x!r}")


def _gamma_fraction(a: float, x: float) -> float:
    b = x + 1.0 - a
    c = 1.0 / _TINY
    d = 1.0 / b
    h = d
    for k in range(1, _MOST):
        step = -k * (k - a)
        b += 2.0
        d = step * d + b
        d = 1.0 / (d if abs(d) > _TINY else _TINY)
        c = b + step / c
        c = c if abs(c) > _TINY else _TINY
        h *= d * c
        if abs(d * c - 1.0) < 4.0 * _EPS:
            return h * math.exp(a * math.log(x) - x - math.lgamma(a))
    raise ArithmeticError(f"incomplete gamma fraction did not settle at a={a!r}, x={x!r}")


def gamma_ratio(a: float, x: float) -> float:
    """Regularised lower incomplete gamma function.

    P(a, x) = 1/Gamma(a) * integral from 0 to x of t^(a-1) e^-t dt.

    a: shape [-], above zero.
    x: upper end of the integral [-], not below zero.
    Returns P(a, x) [-], 0 to 1.
    Holds to about 1e-13 for shapes up to some thousands.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.5.29 and 6.5.31.
    Raises ValueError naming the values when they are out of range.

    >>> round(gamma_ratio(2.0, 2.0), 9)
    0.59399415
    """
    if not a > 0.0 or not x >= 0.0:
        raise ValueError(f"incomplete gamma needs a > 0 and x >= 0, got a={a!r}, x={x!r}")
    if x == 0.0:
        return 0.0
    if math.isinf(x):
        return 1.0
    return _gamma_series(a, x) if x < a + 1.0 else 1.0 - _gamma_fraction(a, x)


def gamma_ratio_upper(a: float, x: float) -> float:
    """Regularised upper incomplete gamma function, exact in its far tail.

    Q(a, x) = 1 - P(a, x).

    a: shape [-], above zero.
    x: lower end of the integral [-], not below zero.
    Returns Q(a, x) [-], 0 to 1.
    Holds to about 1e-13 for shapes up to some thousands.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.5.29 and 6.5.31.
    Raises ValueError naming the values when they are out of range.

    >>> round(gamma_ratio_upper(1.0, 3.0), 9)
    0.049787068
    """
    if not a > 0.0 or not x >= 0.0:
        raise ValueError(f"incomplete gamma needs a > 0 and x >= 0, got a={a!r}, x={x!r}")
    if x == 0.0:
        return 1.0
    if math.isinf(x):
        return 0.0
    return 1.0 - _gamma_series(a, x) if x < a + 1.0 else _gamma_fraction(a, x)


def _beta_fraction(a: float, b: float, x: float) -> float:
    c = 1.0
    d = 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    h = d
    for m in range(1, _MOST):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)),
        ):
            d = 1.0 + step * d
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = 1.0 + step / c
            c = c if abs(c) > _TINY else _TINY
            h *= d * c
        if abs(d * c - 1.0) < 4.0 * _EPS:
            return h
    raise ArithmeticError(f"incomplete beta did not settle at a={a!r}, b={b!r}, x={x!r}")


def beta_ratio(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function.

    I_x(a, b) = 1/B(a, b) * integral from 0 to x of t^(a-1) (1-t)^(b-1) dt.

    a: first shape [-], above zero.
    b: second shape [-], above zero.
    x: upper end of the integral [-], 0 to 1.
    Returns I_x(a, b) [-], 0 to 1.
    Holds to about 1e-13 for shapes up to some thousands.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.5.8.
    Raises ValueError naming the values when they are out of range.

    >>> round(beta_ratio(2.0, 3.0, 0.5), 9)
    0.6875
    """
    if not (a > 0.0 and b > 0.0 and 0.0 <= x <= 1.0):
        raise ValueError(f"incomplete beta needs a, b > 0, 0 <= x <= 1, got {a!r}, {b!r}, {x!r}")
    if x in (0.0, 1.0):
        return x
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _beta_fraction(a, b, x) / a
    return 1.0 - front * _beta_fraction(b, a, 1.0 - x) / b
