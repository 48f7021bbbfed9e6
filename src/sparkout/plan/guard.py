"""How far inside a limit a value must lie to be proven, for thousands of values at once."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.estimate import Shape

__all__ = ["guard_bands"]

Floats = NDArray[np.float64]


def guard_bands(parts: Floats, shapes: Sequence[tuple[Shape, float]], confidence: float) -> Floats:
    """One guard band per row of signed components (rows × sources), in the unit of the parts."""
    u: Floats = np.sqrt((parts * parts).sum(axis=1))
    return NormalDist().inv_cdf(confidence) * u
