"""Sums whose distribution has a closed form, many rows at once.

Each kind answers `at(x)`: distribution and density at x, shape (rows, points).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from .special import Floats, normal_cdf, normal_density
from .student import student_cdf, student_density

__all__: list[str] = []

RECTANGULAR_MOST = 6


@dataclass(frozen=True, slots=True)
class Exact:
    """No uncertainty: a step at zero."""

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        return np.where(x < 0.0, 0.0, 1.0), np.zeros_like(x)


@dataclass(frozen=True, slots=True)
class Normal:
    """Normal parts only."""

    deviation: Floats

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        z = x / self.deviation[:, None]
        return normal_cdf(z), normal_density(z) / self.deviation[:, None]


@dataclass(frozen=True, slots=True)
class NormalAndOne:
    """A normal part and one rectangular one of half-width a.

    F(x) = σ/(2a)·(H((x + a)/σ) − H((x − a)/σ)) with H(z) = z·Φ(z) + φ(z), the integral of Φ.
    """

    deviation: Floats
    half: Floats

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        sigma, half = self.deviation[:, None], self.half[:, None]
        left = -np.abs(x)  # the lower half loses no digits
        high, low = (left + half) / sigma, (left - half) / sigma
        above, below = normal_cdf(high), normal_cdf(low)
        tail = high * above + normal_density(high) - low * below - normal_density(low)
        tail = np.maximum(tail * sigma / (2.0 * half), 0.0)
        return np.where(x < 0.0, tail, 1.0 - tail), (above - below) / (2.0 * half)


@dataclass(frozen=True, slots=True)
class Rectangulars:
    """Rectangular parts only, the same number in every row.

    F(x) = Σ over signs of ±max(x + Σ ±a, 0)^m/(m!·Π 2a), the sign being the product of the signs.
    """

    half: Floats

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        number = self.half.shape[1]
        left = -np.abs(x)
        volume = np.prod(2.0 * self.half, axis=1)[:, None]
        total, slope = np.zeros_like(left), np.zeros_like(left)
        for signs in itertools.product((1.0, -1.0), repeat=number):
            edge = np.maximum(left + (self.half @ np.array(signs))[:, None], 0.0)
            power = edge ** (number - 1) if number > 1 else np.where(edge > 0.0, 1.0, 0.0)
            slope += math.prod(signs) * power
            total += math.prod(signs) * power * edge
        tail = np.clip(total / (volume * math.factorial(number)), 0.0, 0.5)
        density = np.maximum(slope / (volume * math.factorial(number - 1)), 0.0)
        return np.where(x < 0.0, tail, 1.0 - tail), density

    @staticmethod
    def lost(half: Floats) -> Floats:
        """Rounding error of the alternating sum, about."""
        number = half.shape[1]
        size: Floats = half.sum(axis=1) ** number / np.prod(half, axis=1)
        return size * (1e-16 / math.factorial(number))


@dataclass(frozen=True, slots=True)
class Student:
    """One Student part only, all rows with the same degrees of freedom."""

    scale: Floats
    dof: float

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        t = x / self.scale[:, None]
        return student_cdf(t, self.dof), student_density(t, self.dof) / self.scale[:, None]
