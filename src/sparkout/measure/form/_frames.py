"""Right-handed frames in space, and readings seen in them."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["frame_of", "triple", "unit", "upright"]


def unit(vector: Floats) -> Floats:
    """The vector at length 1."""
    return vector / np.sqrt(vector @ vector)


def frame_of(axis: Floats) -> Floats:
    """Rows: two unit vectors square to the axis, then the axis; right-handed."""
    x, y, z = axis.tolist()
    size = math.sqrt(x * x + y * y + z * z)
    x, y, z = x / size, y / size, z / size
    # The coordinate direction farthest from the axis, less its part along the axis.
    if abs(x) <= abs(y) and abs(x) <= abs(z):
        u, v, w = 1.0 - x * x, -x * y, -x * z
    elif abs(y) <= abs(z):
        u, v, w = -y * x, 1.0 - y * y, -y * z
    else:
        u, v, w = -z * x, -z * y, 1.0 - z * z
    size = math.sqrt(u * u + v * v + w * w)
    u, v, w = u / size, v / size, w / size
    return np.array([(u, v, w), (y * w - z * v, z * u - x * w, x * v - y * u), (x, y, z)])


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
