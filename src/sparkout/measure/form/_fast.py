"""The door to compiled code: opened only when asked for, and only if its compiler is installed."""

from __future__ import annotations

import numpy as np

from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import Row
from sparkout.measure.form._frames import frame_of
from sparkout.measure.form._points import Floats, Integers

__all__ = ["CompilerMissingError", "axis_contacts", "circle_contacts", "circles", "plane_contacts"]


class CompilerMissingError(RuntimeError):
    """engine="compiled" was asked for, but numba is not installed."""

    def __init__(self) -> None:
        super().__init__(
            'engine="compiled" needs numba, which is not installed; install sparkout with the '
            'extra "fast", or use engine="numpy" for the same answers'
        )


def circle_contacts(rows: Floats, goal: Goal) -> tuple[Floats, list[Row]] | None:
    """Centre and rows in contact of a zone or inscribed circle; None where numpy must do it."""
    try:
        from sparkout.measure.form._kernels_circle import circle_kernel
    except ImportError as error:
        raise CompilerMissingError from error
    count = rows.shape[1]
    sides, indices = np.zeros(6, np.int64), np.zeros(6, np.int64)
    place = np.zeros(4)
    steps = circle_kernel(
        rows, goal.upper, goal.lower, np.empty(count), np.empty((2, count)), np.empty(count),
        sides, indices, np.empty(6), np.empty((6, 6)), np.empty(6), place,
    )  # fmt: skip
    return None if steps < 0 else (place[:2], _rows(sides, indices, 2 + goal.upper + goal.lower))


def circles(points: Floats, starts: Integers, method: int) -> tuple[Floats, Integers]:
    """Many circles in one call: answers and contacts as `circles_kernel` describes them."""
    try:
        from sparkout.measure.form._kernels_circle import circles_kernel
    except ImportError as error:
        raise CompilerMissingError from error
    answers = np.empty((starts.size - 1, 6))
    contacts = np.empty((starts.size - 1, 4), np.int64)
    circles_kernel(points, starts, method, answers, contacts)
    return answers, contacts


def plane_contacts(rows: Floats, normal: Floats) -> tuple[Floats, list[Row]] | None:
    """Normal and rows in contact of the narrowest zone; None where numpy must do it."""
    try:
        from sparkout.measure.form._kernels_space import plane_kernel
    except ImportError as error:
        raise CompilerMissingError from error
    frame = frame_of(normal)
    sides, indices = np.zeros(6, np.int64), np.zeros(6, np.int64)
    if plane_kernel(rows, frame, sides, indices, np.empty(6), np.empty((6, 6))) < 0:
        return None
    return frame[2], _rows(sides, indices, 4)


def axis_contacts(local: Floats, half: float, goal: Goal) -> tuple[Floats, list[Row]] | None:
    """Axis (shift, half × tilt) and rows in contact of a cylinder; None where numpy must do it."""
    try:
        from sparkout.measure.form._kernels_space import cylinder_kernel
    except ImportError as error:
        raise CompilerMissingError from error
    sides, indices = np.zeros(6, np.int64), np.zeros(6, np.int64)
    place = np.zeros(4)
    if cylinder_kernel(local, half, goal.upper, goal.lower, place, sides, indices) < 0:
        return None
    return place, _rows(sides, indices, 4 + goal.upper + goal.lower)


def _rows(sides: Integers, indices: Integers, size: int) -> list[Row]:
    return list(zip(sides[:size].tolist(), indices[:size].tolist(), strict=True))
