"""Student's distribution with any degrees of freedom, whole or not.

A Student quantity is a normal one whose variance is itself uncertain: t = z·√c with c = ν/χ²(ν).
Summing over a few values of c gives distribution, density and characteristic function alike. The
trapezoidal rule on log χ² converges exponentially because the density of log χ² is analytic.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .special import Floats, bessel_k01_scaled, normal_quantile, upper_tail

__all__ = ["student_cdf", "student_characteristic", "student_density", "student_quantile"]

# Beyond this the normal distribution agrees to 1e-12.
_NORMAL_FROM = 1e12
# The polynomial that turns normal values into Student ones.
_DEGREE, _BEND = 11, 16.0
_TOP = 6.5**2 / (6.5**2 + _BEND)


def _check_dof(dof: float) -> None:
    if not dof >= 1.0:
        raise ValueError(f"degrees of freedom {dof} are below 1 (two readings give 1)")


def variance_mixture(dof: float, accuracy: float = 1e-17) -> tuple[Floats, Floats]:
    """Variances c and weights p, so that t has the density of Σ p·N(0, c).

    With w = χ²/2 and d = log(2w/ν) the weight is exp(−(ν/2)(e^d − 1 − d)); both ends are cut where
    that falls below `accuracy`. The integrand is analytic for |Im d| = a < π/2, where it grows by
    cos(a)^(−ν/2), so a step h errs by cos(a)^(−ν/2)·exp(−2πa/h): the widest h over a is taken.
    """
    if dof >= _NORMAL_FROM:
        return np.ones(1), np.ones(1)
    half = 0.5 * dof
    depth = -math.log(accuracy) / half
    root = math.sqrt(2.0 * depth)
    low, high = -(depth + root), math.log1p(depth + root)
    strip = np.geomspace(1e-7, 1.55, 80)
    step = float(np.max(math.tau * strip / (-math.log(accuracy) - half * np.log(np.cos(strip)))))
    count = math.ceil((high - low) / step)
    d = low + step * np.arange(count + 1)
    weight = np.exp(-half * (np.expm1(d) - d))
    return np.exp(-d), weight / weight.sum()


def student_cdf(t: ArrayLike, dof: float) -> Floats:
    """Probability that a Student quantity is not above t.

    F(t) = Σ p·Φ(t/√c) over the variance c = ν/χ²(ν).

    t: value divided by its scale [-], any number or an array of them.
    dof: degrees of freedom [-], 1 or more, whole or not.
    Returns the probability [-], absolute error below 1e-14, an array of the shape of t.
    Holds for all t; a tail below 1e-15 is right in size only.
    Source: JCGM 101:2008, 6.4.9.2; tested against SciPy.
    Raises ValueError naming the degrees of freedom when they are below 1.

    >>> round(float(student_cdf(2.0, 10)), 6)
    0.963306
    """
    _check_dof(dof)
    value = np.asarray(t, dtype=np.float64)
    variance, weight = variance_mixture(dof)
    size = np.minimum(np.abs(value)[..., None] / np.sqrt(variance), 40.0)
    tail = upper_tail(size) @ weight
    return np.where(value < 0.0, tail, 1.0 - tail)


def student_density(t: ArrayLike, dof: float) -> Floats:
    """Density of Student's distribution.

    f(t) = Γ((ν+1)/2)/(Γ(ν/2)·√(πν))·(1 + t²/ν)^(−(ν+1)/2).

    t: value divided by its scale [-], any number or an array of them.
    dof: degrees of freedom [-], 1 or more, whole or not.
    Returns the density [-], an array of the shape of t.
    Holds for all t.
    Source: JCGM 101:2008, equation 9.
    Raises ValueError naming the degrees of freedom when they are below 1.

    >>> round(float(student_density(0.0, 4)), 6)
    0.375
    """
    _check_dof(dof)
    value = np.asarray(t, dtype=np.float64)
    if dof >= _NORMAL_FROM:
        return np.exp(-0.5 * value * value) / math.sqrt(math.tau)
    half = 0.5 * dof
    if dof > 1000.0:  # the difference of two large logarithms loses digits; Stirling's series not
        series = 1.0 - 1.0 / (8.0 * half) + 1.0 / (128.0 * half**2) + 5.0 / (1024.0 * half**3)
        scale = series / math.sqrt(math.tau)
    else:
        gammas = math.exp(math.lgamma(half + 0.5) - math.lgamma(half))
        scale = gammas / math.sqrt(math.pi * dof)
    return scale * np.exp(-0.5 * (dof + 1.0) * np.log1p(value * value / dof))


def student_quantile(p: ArrayLike, dof: float) -> Floats:
    """Value that a Student quantity stays below with probability p.

    Newton's method on the logarithm of the tail, started from the quantile of the normal
    distribution by Wallace's transformation.

    p: probability [-], above 0 and below 1, or an array of them.
    dof: degrees of freedom [-], 1 or more, whole or not.
    Returns the value divided by its scale [-], an array of the shape of p.
    Holds for tails of 1e-12 and more.
    Source: GUM, JCGM 100:2008, table G.2 (the factor t_p(ν) is the quantile at (1 + p)/2).
    Raises ValueError naming a probability not between 0 and 1 or degrees of freedom below 1.

    >>> round(float(student_quantile(0.975, 10)), 3)
    2.228
    """
    _check_dof(dof)
    prob = np.asarray(p, dtype=np.float64)
    z = np.atleast_1d(np.abs(normal_quantile(prob)))
    if dof >= _NORMAL_FROM:
        size = z
    else:
        tail = np.atleast_1d(np.minimum(prob, 1.0 - prob))
        adjusted = z * (8.0 * dof + 3.0) / (8.0 * dof + 1.0)
        size = np.sqrt(dof * np.expm1(np.minimum(adjusted * adjusted / dof, 600.0)))
        goal = np.log(tail)
        for _ in range(60):
            # log tail against log t is nearly straight in both the middle and the power-law tail
            now = student_cdf(-size, dof)
            slope = size * student_density(size, dof) / now
            change = np.where(size > 0.0, (np.log(now) - goal) / np.maximum(slope, 1e-300), 0.0)
            growth = np.clip(change, -1.0, 1.0)
            near = size < 0.5  # there t itself, not its logarithm, is the good variable
            step = (now - tail) / student_density(size, dof)
            new = np.where(near, size + step, size * np.exp(growth))
            done = np.abs(new - size) <= 1e-14 * (1.0 + size)
            size = np.abs(new)
            if done.all():
                break
    value: Floats = np.copysign(size, np.atleast_1d(prob - 0.5)).reshape(prob.shape)
    return value


def student_characteristic(t: ArrayLike, dof: float, accuracy: float = 1e-15) -> Floats:
    """Characteristic function of Student's distribution (real, because it is symmetric).

    φ(t) = K_μ(x)·x^μ/(Γ(μ)·2^(μ−1)) with μ = ν/2 and x = √ν·|t|.

    t: argument, the reciprocal of the value over its scale [-], any number or an array of them.
    dof: degrees of freedom [-], 1 or more, whole or not.
    accuracy: absolute error allowed where the degrees of freedom are not a whole number [-], > 0.
    Returns the characteristic function [-], between 0 and 1, an array of the shape of t.
    Holds for all t.
    Source: Gaunt, An elementary derivation of the characteristic function of Student's
    distribution (2019), equation 1.1, recalled from memory; tested against SciPy.
    Raises ValueError naming the degrees of freedom when they are below 1.

    >>> round(float(student_characteristic(1.0, 1)), 6)
    0.367879
    """
    _check_dof(dof)
    size = np.abs(np.asarray(t, dtype=np.float64))
    flat = size.ravel()
    if dof <= 40.0 and dof == math.floor(dof):
        x = math.sqrt(dof) * flat
        value = _odd(x, int(dof)) if dof % 2.0 else _even(x, int(dof))
    else:
        variance, weight = variance_mixture(dof, max(accuracy * 1e-2, 1e-17))
        value = np.exp(np.multiply.outer(flat * flat, -0.5 * variance)) @ weight
    return value.reshape(size.shape)


def _odd(x: Floats, dof: int) -> Floats:
    """Half-integer order: an exponential times a polynomial with positive terms."""
    n = (dof - 1) // 2
    factor = [1.0]
    for k in range(1, n + 1):
        factor.append(factor[-1] * 2.0 * (n - k + 1) / (k * (2 * n - k + 1)))
    total = np.full_like(x, factor[-1])
    for value in factor[-2::-1]:
        total = total * x + value
    return total * np.exp(-x)


def _even(x: Floats, dof: int) -> Floats:
    """Whole order: upward recurrence of x^μ·K_μ from K0 and K1, every term positive."""
    order = dof // 2
    x = np.clip(x, 1e-150, 700.0)
    k0, k1 = bessel_k01_scaled(x)
    below, now = k0, x * k1
    square = x * x
    for m in range(1, order):
        below, now = now, (square * below + 2.0 * m * now) / (2.0 * m)
        below = below / (2.0 * m)
    return now * np.exp(-x)


@dataclass(frozen=True, slots=True)
class FromNormal:
    """Student values from normal ones of the same probability, |z| <= 6.5, relative error 1e-6.

    ν·log(1 + t²/ν)/z² hardly changes with z, so a short polynomial in z²/(z² + 16) gives it. For
    drawing values, where the quantile itself would be too slow.
    """

    dof: float
    coefficients: tuple[float, ...]

    @classmethod
    def fitted(cls, dof: float) -> FromNormal:
        if dof >= _NORMAL_FROM:
            return cls(dof, ())
        place = (
            0.5 * _TOP * (1.0 - np.cos(math.pi * (np.arange(_DEGREE + 1) + 0.5) / (_DEGREE + 1)))
        )
        node = np.sqrt(_BEND * place / (1.0 - place)) * (8.0 * dof + 3.0) / (8.0 * dof + 1.0)
        t = np.sqrt(dof * np.expm1(node * node / dof))
        variance, weight = variance_mixture(dof)
        square = normal_quantile(upper_tail(t[:, None] / np.sqrt(variance)) @ weight) ** 2
        scaled = (2.0 / _TOP) * square / (square + _BEND) - 1.0
        ratio = dof * np.log1p(t * t / dof) / square
        return cls(dof, tuple(np.linalg.solve(np.vander(scaled, _DEGREE + 1), ratio).tolist()))

    def __call__(self, z: Floats) -> Floats:
        if not self.coefficients:
            return z
        square = z * z
        scaled = (2.0 / _TOP) * square / (square + _BEND) - 1.0
        value = np.full_like(z, self.coefficients[0])
        for coefficient in self.coefficients[1:]:
            value *= scaled
            value += coefficient
        out: Floats = np.copysign(np.sqrt(self.dof * np.expm1(square * value / self.dof)), z)
        return out
