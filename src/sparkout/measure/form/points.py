"""Readings as arrays: checked once, moved to their own middle so that far origins cost nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.form.records import UndeterminedError

__all__ = ["Coordinates", "Floats", "Integers", "centred", "coordinates"]

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Coordinates = Sequence[Sequence[float]] | Floats


def coordinates(points: Coordinates, size: int, least: int, what: str) -> Floats:
    """The readings as an array of one row per coordinate, or a sentence that says what is wrong."""
    try:
        array = np.array(points, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise ValueError(
            f"{what} needs readings of {size} coordinates each; found {points!r:.120}"
        ) from error
    if array.ndim != 2 or array.shape[1] != size:
        if array.size == 0:
            raise UndeterminedError(f"{what} needs at least {least} readings; found none")
        raise ValueError(
            f"{what} needs readings of {size} coordinates each; found an array of {array.shape}"
        )
    if not np.isfinite(array).all():
        row = int(np.flatnonzero(~np.isfinite(array).all(axis=1))[0])
        raise ValueError(f"reading {row} of {what} is {array[row].tolist()}; expected numbers")
    if array.shape[0] < least:
        raise UndeterminedError(f"{what} needs at least {least} readings; found {array.shape[0]}")
    return array.T


def centred(rows: Floats) -> tuple[Floats, Floats]:
    """The readings about their own mean, contiguous, and that mean."""
    middle = rows.mean(axis=1)
    return np.ascontiguousarray(rows - middle[:, None]), middle
