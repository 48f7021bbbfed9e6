"""How far inside a limit a value must lie to be proven, for thousands of values at once."""

from __future__ import annotations

from collections.abc import Mapping
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.estimate import Shape

__all__ = ["guard_bands"]

Floats = NDArray[np.float64]


def guard_bands(
    parts: Mapping[str, Floats], sources: Mapping[str, tuple[Shape, float]], shape: tuple[int, ...],
    confidence: float,
) -> Floats:  # fmt: skip
    """The guard band for every combination, in the unit of the parts."""
    square = np.zeros(shape)
    for array in parts.values():
        square = square + array * array
    band: Floats = NormalDist().inv_cdf(confidence) * np.sqrt(square)
    return band
