"""Readings as arrays: checked once, moved to their own middle so that far origins cost nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.form.records import UndeterminedError

__all__ = [
    "Coordinates",
    "Floats",
    "Integers",
    "all_agree",
    "centred",
    "coordinates",
    "greatest",
    "largest_size",
    "least",
]

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Coordinates = Sequence[Sequence[float]] | Floats


def coordinates(points: Coordinates, size: int, fewest: int, what: str) -> Floats:
    """The readings as an array of one row per coordinate, or a sentence that says what is wrong."""
    try:
        array = np.array(points, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise ValueError(
            f"{what} needs readings of {size} coordinates each; found {points!r:.120}"
        ) from error
    if array.ndim != 2 or array.shape[1] != size:
        if array.size == 0:
            raise UndeterminedError(f"{what} needs at least {fewest} readings; found none")
        raise ValueError(
            f"{what} needs readings of {size} coordinates each; found an array of {array.shape}"
        )
    if not np.isfinite(array).all():
        row = int(np.flatnonzero(~np.isfinite(array).all(axis=1))[0])
        raise ValueError(f"reading {row} of {what} is {array[row].tolist()}; expected numbers")
    if array.shape[0] < fewest:
        raise UndeterminedError(f"{what} needs at least {fewest} readings; found {array.shape[0]}")
    return array.T


def centred(rows: Floats) -> tuple[Floats, Floats]:
    """The readings about their own mean, contiguous, and that mean."""
    middle = np.add.reduce(rows, axis=1) / rows.shape[1]
    return np.ascontiguousarray(rows - middle[:, None]), middle


def all_agree(rows: Floats) -> bool:
    """Whether all readings are the same one.

    About their mean they would differ from nothing by its rounding.
    """
    return not (rows != rows[:, :1]).any()


def greatest(values: Floats) -> float:
    """The largest value (for short arrays quicker than the method of the array)."""
    value: float = values.item(int(values.argmax()))
    return value


def least(values: Floats) -> float:
    """The smallest value."""
    value: float = values.item(int(values.argmin()))
    return value


def largest_size(rows: Floats) -> float:
    """The largest absolute coordinate."""
    flat = rows.ravel()
    return max(greatest(flat), -least(flat))
