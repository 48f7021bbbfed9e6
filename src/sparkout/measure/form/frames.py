"""Right-handed frames in space, and readings seen in them."""

from __future__ import annotations

import numpy as np

from sparkout.measure.form.points import Floats

__all__ = ["frame_of", "triple", "unit", "upright"]


def unit(vector: Floats) -> Floats:
    """The vector at length 1."""
    return vector / np.sqrt(vector @ vector)


def frame_of(axis: Floats) -> Floats:
    """Rows: two unit vectors square to the axis, then the axis; right-handed."""
    axis = unit(axis)
    aside = np.zeros(3)
    aside[int(np.abs(axis).argmin())] = 1.0
    first = unit(aside - (aside @ axis) * axis)
    return np.stack([first, np.cross(axis, first), axis])


def upright(vector: Floats) -> Floats:
    """The vector or its opposite: the one whose last component that is not 0 is above 0."""
    for component in vector[::-1].tolist():
        if abs(component) > 1e-12:
            return vector if component > 0.0 else -vector
    return vector


def triple(vector: Floats) -> tuple[float, float, float]:
    """Plain numbers for a record."""
    x, y, z = vector.tolist()
    return x, y, z
