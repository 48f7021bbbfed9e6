"""Scrambled Sobol points in at most ten dimensions, any block of a longer sequence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .special import Floats

__all__ = ["sobol_points"]

Digits = NDArray[np.int64]

MOST_DIMENSIONS = 10
_BITS = 30
# Degree and inner coefficients of a primitive polynomial, then initial direction numbers, for
# dimensions 2 to 10: Joe and Kuo, Constructing Sobol sequences with better two-dimensional
# projections, SIAM J. Sci. Comput. 30 (2008) 2635-2654, their table of 2008-06.
_POLYNOMIALS: tuple[tuple[int, int, tuple[int, ...]], ...] = (
    (1, 0, (1,)),
    (2, 1, (1, 3)),
    (3, 1, (1, 3, 1)),
    (3, 2, (1, 1, 1)),
    (4, 1, (1, 1, 3, 3)),
    (4, 4, (1, 3, 5, 13)),
    (5, 2, (1, 1, 5, 5, 17)),
    (5, 4, (1, 1, 5, 5, 5)),
    (5, 7, (1, 1, 7, 11, 19)),
)


def _directions() -> Digits:
    """Direction numbers as 30-bit integers, shape (dimensions, bits)."""
    table = np.empty((MOST_DIMENSIONS, _BITS), dtype=np.int64)
    table[0] = [1 << (_BITS - 1 - bit) for bit in range(_BITS)]
    for row, (degree, inner, first) in enumerate(_POLYNOMIALS, start=1):
        m = list(first)
        for k in range(degree, _BITS):
            value = m[k - degree] ^ (m[k - degree] << degree)
            for j in range(1, degree):
                if (inner >> (degree - 1 - j)) & 1:
                    value ^= m[k - j] << j
            m.append(value)
        table[row] = [value << (_BITS - 1 - bit) for bit, value in enumerate(m)]
    table.flags.writeable = False
    return table


_DIRECTIONS = _directions()


@dataclass(frozen=True, slots=True)
class Sobol:
    """A Sobol sequence, scrambled once: direction numbers and a shift for each dimension."""

    columns: Digits
    shift: Digits
    centre: float

    @classmethod
    def scrambled(cls, dimensions: int, seed: int | None) -> Sobol:
        columns = _DIRECTIONS[:dimensions]
        if seed is None:
            return cls(columns, np.zeros(dimensions, dtype=np.int64), 0.0)
        random = np.random.Generator(np.random.Philox(seed))
        digits = random.integers(0, 1 << _BITS, (dimensions, _BITS + 1))
        return cls(_scrambled(columns, digits[:, 1:]), digits[:, 0], 0.5)

    def block(self, start: int, count: int) -> Floats:
        """Points start … start + count − 1, shape (dimensions, count)."""
        shift = self.shift
        bits = count.bit_length() - 1
        for bit in range(bits, (start + count - 1).bit_length()):
            if start >> bit & 1:
                shift = shift ^ self.columns[:, bit]
        points = np.empty((len(self.columns), count), dtype=np.int64)
        points[:, 0] = shift
        for bit in range(bits):
            half = 1 << bit
            np.bitwise_xor(
                points[:, :half], self.columns[:, bit, None], out=points[:, half : 2 * half]
            )
        return (points.astype(np.float64) + self.centre) * 2.0**-_BITS


def sobol_points(dimensions: int, start: int, count: int, seed: int | None) -> Floats:
    """Points of a Sobol sequence, spread evenly over the unit cube.

    Point i is the exclusive or of the direction numbers at the binary digits of i; the scrambling
    multiplies those by a random lower triangular matrix of bits and shifts the result by one.

    dimensions: of the cube [-], 1 to 10.
    start: index of the first point [-], a multiple of count.
    count: number of points [-], a power of two, at most 2**24.
    seed: of the scrambling [-], 0 or more; None for the plain sequence.
    Returns coordinates [-], above 0 (the plain sequence starts at 0) and below 1, shape
    (dimensions, count).
    Holds for blocks that end before point 2**30.
    Source: Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635-2654; scrambling of Matoušek, J.
    Complexity 14 (1998) 527-556.
    Raises ValueError naming dimensions, start or count when they are out of range.

    >>> sobol_points(2, 0, 4, None).round(3).tolist()
    [[0.0, 0.5, 0.25, 0.75], [0.0, 0.5, 0.75, 0.25]]
    """
    if not 1 <= dimensions <= MOST_DIMENSIONS:
        raise ValueError(f"{dimensions} dimensions are not between 1 and {MOST_DIMENSIONS}")
    if count < 1 or count & (count - 1) or count > 1 << 24:
        raise ValueError(f"count {count} is not a power of two up to 2**24")
    if start < 0 or start % count or start + count > 1 << _BITS:
        raise ValueError(f"start {start} is not a multiple of {count} below 2**30")
    return Sobol.scrambled(dimensions, seed).block(start, count)


def _scrambled(columns: Digits, random: Digits) -> Digits:
    """Each column times a lower triangular matrix of bits with ones on its diagonal."""
    diagonal = np.int64(1) << np.arange(_BITS - 1, -1, -1)
    above = ~(2 * diagonal - 1)  # digits of more weight than the diagonal one
    rows = (random & above) | diagonal
    product = np.bitwise_count(rows[:, :, None] & columns[:, None, :]) & 1
    out: Digits = np.einsum("drb,r->db", product, diagonal)
    return out
