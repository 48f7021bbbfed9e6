"""The law of one thing not yet read: how it scatters over engines, and where it starts as new."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["MOST", "Z90", "Law", "by_range", "chance_law"]

Floats = NDArray[np.float64]

# Nine in ten of a standard normal lie below this: Abramowitz and Stegun, table 26.5 (1.28155).
Z90 = 1.2815515655446004

# Draws are held within so many standard deviations: beyond (one in a hundred) laws are guesses, and
# a tail of the logarithm would wear journals away.
MOST = 2.6


@dataclass(frozen=True, slots=True)
class Law:
    """value = start + way × distance, with distance (log: its logarithm) normal.

    start: as new. way: +1 where wear makes it larger, −1 smaller. floor: values never fall below it
    (a gap has no sign). source: who says so; thumb: a rule of thumb, to be marked wherever it
    shows. alike: share of the variance that the features of one engine have in common.
    """

    start: float
    way: int
    log: bool
    mean: float
    sd: float
    source: str
    thumb: bool
    alike: float
    floor: float = -math.inf

    def value(self, z: Floats) -> Floats:
        """The values that stand at so many standard deviations."""
        distance = self.mean + self.sd * np.clip(z, -MOST, MOST)
        if self.log:
            distance = np.exp(distance)
        return np.asarray(np.maximum(self.start + self.way * distance, self.floor))

    def z_of(self, value: float) -> float:
        """Where a value that was read stands in this law, held within ±MOST."""
        distance = self.way * (value - self.start)
        if self.log:
            if distance <= 0.0:
                return -MOST
            distance = math.log(distance)
        if self.sd == 0.0:
            return 0.0
        return min(MOST, max(-MOST, (distance - self.mean) / self.sd))


def by_range(
    start: float,
    way: int,
    low: float,
    high: float,
    source: str,
    *,
    thumb: bool,
    alike: float,
    floor: float = -math.inf,
) -> Law:
    """The law with one engine in ten below `low` and one in ten above `high`.

    Where both lie on the side that wear goes to, wear is taken as log-normal: it has no sign and a
    long tail (rule of thumb). Else the value is taken as normal.

    >>> law = by_range(100.0, 1, 100.02, 100.08, "x", thumb=False, alike=0.5)
    >>> [round(float(v), 4) for v in law.value(np.array([-Z90, 0.0, Z90]))]
    [100.02, 100.04, 100.08]
    """
    near, far = sorted((way * (low - start), way * (high - start)))
    if near > 0.0:
        first, last = math.log(near), math.log(far)
        mean, sd = (first + last) / 2, (last - first) / (2 * Z90)
        return Law(start, way, True, mean, sd, source, thumb, alike, floor)
    mean, sd = (near + far) / 2, (far - near) / (2 * Z90)
    return Law(start, way, False, mean, sd, source, thumb, alike, floor)


def chance_law(chance: float, source: str, *, thumb: bool, alike: float) -> Law:
    """The law of a test: it is failed where the value is above zero."""
    from sparkout.measure.uncertainty.special import normal_quantile

    held = min(max(chance, 1e-9), 1 - 1e-9)
    return Law(0.0, 1, False, float(normal_quantile(held)), 1.0, source, thumb, alike)
