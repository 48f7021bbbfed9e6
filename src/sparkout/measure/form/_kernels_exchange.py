"""The exchange in compiled code: the same steps as in `exchange`.

Imported only when compiled code is asked for; numba compiles each function once and keeps it on
disk. Whatever these functions do not settle (status above 0) goes the general way in numpy.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numba
import numpy as np

from sparkout.measure.form._points import Floats, Integers

__all__ = ["compiled", "compiled_loose", "exchange_kernel"]

_Function = TypeVar("_Function", bound=Callable[..., object])

_BLOCK = 256
_MOST = 400


def compiled(function: _Function) -> _Function:
    """Compiled once, kept on disk."""
    return cast(_Function, numba.njit(cache=True, nogil=True, error_model="numpy")(function))


def compiled_loose(function: _Function) -> _Function:
    """For sums and maxima of finite numbers: their order is free, so they run in parallel lanes."""
    lanes = {"nnan", "ninf", "nsz", "reassoc", "contract"}
    return cast(
        _Function, numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=lanes)(function)
    )


@compiled_loose
def _block2(
    gradients: Floats, deviations: Floats, shift: Floats, residuals: Floats, a: int, b: int
) -> tuple[float, float]:
    """Residuals of one block, its largest and smallest; two unknowns."""
    high = -np.inf
    low = np.inf
    d0, d1 = shift[0], shift[1]
    for i in range(a, b):
        e = deviations[i] - gradients[0, i] * d0 - gradients[1, i] * d1
        residuals[i] = e
        high = max(high, e)
        low = min(low, e)
    return high, low


@compiled_loose
def _block4(
    gradients: Floats, deviations: Floats, shift: Floats, residuals: Floats, a: int, b: int
) -> tuple[float, float]:
    """Residuals of one block, its largest and smallest; four unknowns."""
    high = -np.inf
    low = np.inf
    d0, d1, d2, d3 = shift[0], shift[1], shift[2], shift[3]
    for i in range(a, b):
        e = (
            deviations[i]
            - gradients[0, i] * d0
            - gradients[1, i] * d1
            - gradients[2, i] * d2
            - gradients[3, i] * d3
        )
        residuals[i] = e
        high = max(high, e)
        low = min(low, e)
    return high, low


@compiled
def _scan(
    gradients: Floats, deviations: Floats, shift: Floats, residuals: Floats
) -> tuple[float, int, float, int]:
    """Largest and smallest residual and where they are; the place is sought in one block only."""
    count = deviations.size
    four = gradients.shape[0] == 4
    high, low = -np.inf, np.inf
    high_block = low_block = 0
    for a in range(0, count, _BLOCK):
        b = min(a + _BLOCK, count)
        if four:
            top, bottom = _block4(gradients, deviations, shift, residuals, a, b)
        else:
            top, bottom = _block2(gradients, deviations, shift, residuals, a, b)
        if top > high:
            high, high_block = top, a
        if bottom < low:
            low, low_block = bottom, a
    where_high, where_low = high_block, low_block
    for i in range(high_block, min(high_block + _BLOCK, count)):
        if residuals[i] == high:
            where_high = i
            break
    for i in range(low_block, min(low_block + _BLOCK, count)):
        if residuals[i] == low:
            where_low = i
            break
    return high, where_high, low, where_low


@compiled
def _inverted(table: Floats, inverse: Floats, size: int) -> bool:
    """Gauss-Jordan elimination with row exchange; False for a singular matrix."""
    work = table[:size, :size].copy()
    for i in range(size):
        for j in range(size):
            inverse[i, j] = 1.0 if i == j else 0.0
    for column in range(size):
        pivot = column
        for i in range(column + 1, size):
            if abs(work[i, column]) > abs(work[pivot, column]):
                pivot = i
        if work[pivot, column] == 0.0:
            return False
        if pivot != column:
            for j in range(size):
                work[pivot, j], work[column, j] = work[column, j], work[pivot, j]
                inverse[pivot, j], inverse[column, j] = inverse[column, j], inverse[pivot, j]
        factor = 1.0 / work[column, column]
        for j in range(size):
            work[column, j] *= factor
            inverse[column, j] *= factor
        for i in range(size):
            if i != column and work[i, column] != 0.0:
                factor = work[i, column]
                for j in range(size):
                    work[i, j] -= factor * work[column, j]
                    inverse[i, j] -= factor * inverse[column, j]
    return True


@compiled
def _fill(
    table: Floats,
    heights: Floats,
    place: int,
    side: int,
    index: int,
    gradients: Floats,
    deviations: Floats,
    box: float,
    size: int,
) -> None:
    """One row a·(shift, borders) ≥ b; side 1 outer, -1 inner, 0 wall."""
    dimension = gradients.shape[0]
    for j in range(size):
        table[place, j] = 0.0
    if side == 0:
        table[place, abs(index) - 1] = 1.0 if index > 0 else -1.0
        heights[place] = -box
    elif side == 1:
        for j in range(dimension):
            table[place, j] = gradients[j, index]
        table[place, dimension] = 1.0
        heights[place] = deviations[index]
    else:
        for j in range(dimension):
            table[place, j] = -gradients[j, index]
        table[place, size - 1] = -1.0
        heights[place] = -deviations[index]


@compiled
def exchange_kernel(
    gradients: Floats,
    deviations: Floats,
    box: float,
    upper: bool,
    lower: bool,
    tolerance: float,
    sides: Integers,
    indices: Integers,
    shares: Floats,
    inverse: Floats,
    solution: Floats,
    residuals: Floats,
    warm: bool,
) -> int:
    """Solve the linear minimax problem in place; exchanges made, or -1 where it did not settle."""
    dimension = gradients.shape[0]
    size = dimension + (1 if upper else 0) + (1 if lower else 0)
    table = np.empty((7, 6))
    heights = np.empty(7)
    weights = np.empty(6)
    if warm:
        for place in range(size):
            _fill(
                table,
                heights,
                place,
                sides[place],
                indices[place],
                gradients,
                deviations,
                box,
                size,
            )
        warm = _inverted(table, inverse, size)
        if warm:
            for place in range(size):
                shares[place] = 0.0
                if upper:
                    shares[place] += inverse[dimension, place]
                if lower:
                    shares[place] -= inverse[size - 1, place]
                if shares[place] < -1e-12:
                    warm = False
    if not warm:
        for j in range(dimension):
            solution[j] = 0.0
        _, top, _, bottom = _scan(gradients, deviations, solution, residuals)
        place = 0
        if upper:
            sides[0], indices[0] = 1, top
            place = 1
        if lower:
            sides[place], indices[place] = -1, bottom
            place += 1
        for j in range(dimension):
            pull = 0.0
            if upper:
                pull -= gradients[j, top]
            if lower:
                pull += gradients[j, bottom]
            sides[place] = 0
            indices[place] = j + 1 if pull >= 0.0 else -(j + 1)
            place += 1
        for place in range(size):
            _fill(
                table,
                heights,
                place,
                sides[place],
                indices[place],
                gradients,
                deviations,
                box,
                size,
            )
        if not _inverted(table, inverse, size):
            return -1
        for place in range(size):
            shares[place] = 0.0
            if upper:
                shares[place] += inverse[dimension, place]
            if lower:
                shares[place] -= inverse[size - 1, place]
    for place in range(size):
        shares[place] = max(shares[place], 0.0)
    fresh = True
    idle = 0
    for count in range(_MOST):
        for i in range(size):
            total = 0.0
            for j in range(size):
                total += inverse[i, j] * heights[j]
            solution[i] = total
        high, top, low, bottom = _scan(gradients, deviations, solution, residuals)
        over = high - solution[dimension] if upper else -np.inf
        under = solution[size - 1] - low if lower else -np.inf
        worst = max(over, under)
        side, index = (1, top) if over >= under else (-1, bottom)
        largest = 0.0
        for j in range(dimension):
            largest = max(largest, abs(solution[j]))
        rounding = 1.8e-15 * largest
        for j in range(dimension):
            beyond = abs(solution[j]) - box
            if beyond > max(worst, rounding):
                worst = beyond
                side, index = 0, (-(j + 1) if solution[j] > 0.0 else j + 1)
        held = False
        for place in range(size):
            if sides[place] == side and indices[place] == index:
                held = True
        if worst <= max(tolerance, rounding) or held:
            if fresh:
                return count
            for place in range(size):
                _fill(
                    table, heights, place, sides[place], indices[place], gradients, deviations,
                    box, size,
                )  # fmt: skip
            if not _inverted(table, inverse, size):
                return -1
            for place in range(size):
                total = 0.0
                if upper:
                    total += inverse[dimension, place]
                if lower:
                    total -= inverse[size - 1, place]
                shares[place] = max(total, 0.0)
            fresh = True
            continue
        _fill(table, heights, 6, side, index, gradients, deviations, box, size)
        step, pivot, leaving = np.inf, 0.0, -1
        for place in range(size):
            weight = 0.0
            for j in range(size):
                weight += table[6, j] * inverse[j, place]
            weights[place] = weight
            if weight > 1e-11:
                ratio = shares[place] / weight
                if ratio < step or (ratio == step and weight > pivot):
                    step, pivot, leaving = ratio, weight, place
        if leaving < 0:
            return -1
        if step <= 1e-15:
            idle += 1
            if idle > 60:
                return -1
        else:
            idle = 0
        for place in range(size):
            shares[place] = max(shares[place] - step * weights[place], 0.0)
        shares[leaving] = step
        sides[leaving], indices[leaving] = side, index
        heights[leaving] = heights[6]
        weights[leaving] -= 1.0
        for i in range(size):
            factor = inverse[i, leaving] / pivot
            if factor != 0.0:
                for j in range(size):
                    inverse[i, j] -= factor * weights[j]
        fresh = False
    return -1
