"""Where the axis of a cylinder may point: the most likely of many directions, seen at once."""

from __future__ import annotations

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["starting_axes"]

_LOOKS = 400
_TAKEN = 6
_PLACES = np.arange(_LOOKS) + 0.5
_HEIGHTS = 1.0 - _PLACES / _LOOKS
_TURNS = _PLACES * (np.pi * (1.0 + np.sqrt(5.0)))
_ASIDE = np.sqrt(1.0 - _HEIGHTS * _HEIGHTS)
_HEMISPHERE = np.stack([_ASIDE * np.cos(_TURNS), _ASIDE * np.sin(_TURNS), _HEIGHTS], axis=1)
_HEMISPHERE.setflags(write=False)


def starting_axes(rows: Floats) -> list[Floats]:
    """A few directions along which the readings look most like a circle.

    For each of 400 directions, spread evenly over half a sphere, the readings are seen along it
    and an algebraic circle is fitted; the ones with the least relative residual come first.
    """
    axes = _HEMISPHERE
    aside = np.zeros_like(axes)
    aside[np.arange(_LOOKS), np.abs(axes).argmin(axis=1)] = 1.0
    first = aside - (aside * axes).sum(axis=1)[:, None] * axes
    first /= np.sqrt((first * first).sum(axis=1))[:, None]
    second = np.cross(axes, first)
    across, up = first @ rows, second @ rows
    squares = across * across + up * up
    squares -= squares.mean(axis=1)[:, None]
    xx, xy, yy = (across * across).sum(1), (across * up).sum(1), (up * up).sum(1)
    xs, ys = (across * squares).sum(1), (up * squares).sum(1)
    determinant = xx * yy - xy * xy
    flat = determinant <= 1e-12 * (xx + yy) ** 2
    determinant[flat] = 1.0
    a, b = (yy * xs - xy * ys) / determinant, (xx * ys - xy * xs) / determinant
    residuals = squares - a[:, None] * across - b[:, None] * up
    scale = (xx + yy) / rows.shape[1] + 0.25 * (a * a + b * b)
    costs = (residuals * residuals).sum(axis=1) / scale
    costs[flat] = np.inf
    order = np.argsort(costs)
    taken: list[Floats] = []
    for place in order.tolist():
        if not np.isfinite(costs[place]) or len(taken) == _TAKEN:
            break
        axis = axes[place]
        if all(abs(float(axis @ other)) < 0.97 for other in taken):
            taken.append(axis)
    return taken
