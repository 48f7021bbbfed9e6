"""Planes and cylinders in compiled code: the same steps as in `plane` and `cylinder`."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._kernels_exchange import compiled, compiled_loose, exchange_kernel
from sparkout.measure.form._points import Floats, Integers

__all__ = ["cylinder_kernel", "plane_kernel"]


@compiled
def plane_kernel(
    rows: Floats, frame: Floats, sides: Integers, indices: Integers, shares: Floats, inverse: Floats
) -> int:
    """Narrowest zone near the frame's last row, the frame turned in place; exchanges made or -1.

    rows: x, y, z about their middle. On return the rows in contact and their inverse are those in
    the final frame.
    """
    count = rows.shape[1]
    level = np.empty((2, count))
    heights, residuals, solution = np.empty(count), np.empty(count), np.empty(6)
    extent = 0.0
    for i in range(count):
        extent = max(extent, max(abs(rows[0, i]), max(abs(rows[1, i]), abs(rows[2, i]))))
    tolerance = 8.0 * 2.220446049250313e-16 * extent
    total = 0
    warm = False
    for _ in range(60):
        _seen(rows, frame, level, heights)
        steps = exchange_kernel(
            level, heights, 1.0, True, True, tolerance, sides, indices, shares, inverse, solution,
            residuals, warm,
        )  # fmt: skip
        if steps < 0:
            return -1
        total += steps
        warm = True
        for row in range(4):
            if sides[row] == 0 and shares[row] > 1e-12:
                warm = False
        a, b = solution[0], solution[1]
        if not max(abs(a), abs(b)) > 1e-8:
            return total
        _turn(frame, -a, -b)
    return -1


@compiled_loose
def _seen(rows: Floats, frame: Floats, level: Floats, heights: Floats) -> None:
    """Readings in a frame: two coordinates in the level, one above it."""
    for i in range(heights.size):
        x, y, z = rows[0, i], rows[1, i], rows[2, i]
        level[0, i] = frame[0, 0] * x + frame[0, 1] * y + frame[0, 2] * z
        level[1, i] = frame[1, 0] * x + frame[1, 1] * y + frame[1, 2] * z
        heights[i] = frame[2, 0] * x + frame[2, 1] * y + frame[2, 2] * z


@compiled
def _turn(frame: Floats, along: float, across: float) -> None:
    """Turn the frame so that its last row leans by two slopes; the others stay square to it."""
    new = np.empty(3)
    for j in range(3):
        new[j] = frame[2, j] + along * frame[0, j] + across * frame[1, j]
    size = math.sqrt(new[0] ** 2 + new[1] ** 2 + new[2] ** 2)
    share = 0.0
    for j in range(3):
        new[j] /= size
        share += new[j] * frame[0, j]
    size = 0.0
    for j in range(3):
        frame[0, j] -= share * new[j]
        size += frame[0, j] ** 2
    size = math.sqrt(size)
    for j in range(3):
        frame[0, j] /= size
        frame[2, j] = new[j]
    frame[1, 0] = frame[2, 1] * frame[0, 2] - frame[2, 2] * frame[0, 1]
    frame[1, 1] = frame[2, 2] * frame[0, 0] - frame[2, 0] * frame[0, 2]
    frame[1, 2] = frame[2, 0] * frame[0, 1] - frame[2, 1] * frame[0, 0]


@compiled_loose
def _measure_axis(
    local: Floats, half: float, place: Floats, values: Floats, gradients: Floats
) -> tuple[float, float, float]:
    """Distances from an axis and their gradients; largest, smallest and mean distance."""
    tx, ty = place[2] / half, place[3] / half
    square = 1.0 / (1.0 + tx * tx + ty * ty)
    high, low, total = -np.inf, np.inf, 0.0
    for i in range(values.size):
        aside, up = local[0, i] - place[0], local[1, i] - place[1]
        foot = (aside * tx + up * ty + local[2, i]) * square
        aside -= foot * tx
        up -= foot * ty
        along = local[2, i] - foot
        distance = np.sqrt(aside * aside + up * up + along * along)
        values[i] = distance
        cx, cy = aside / distance, up / distance
        gradients[0, i], gradients[1, i] = cx, cy
        gradients[2, i], gradients[3, i] = cx * (foot / half), cy * (foot / half)
        high = max(high, distance)
        low = min(low, distance)
        total += distance
    return high, low, total / values.size


@compiled_loose
def _normal_equations(values: Floats, gradients: Floats, mean: float, system: Floats) -> None:
    """Gauss-Newton system of the deviations from the mean distance: 5 × 6, border last."""
    for p in range(5):
        for q in range(6):
            system[p, q] = 0.0
    for p in range(4):
        for q in range(p, 4):
            total = 0.0
            for i in range(values.size):
                total += gradients[p, i] * gradients[q, i]
            system[p, q] = total
            system[q, p] = total
        total = right = 0.0
        for i in range(values.size):
            total += gradients[p, i]
            right += gradients[p, i] * (values[i] - mean)
        system[p, 4] = total
        system[4, p] = total
        system[p, 5] = right
    system[4, 4] = values.size


@compiled
def _solve(system: Floats) -> bool:
    """Gauss elimination of a 5 × 6 system; the answer is left in the last column."""
    for column in range(5):
        pivot = column
        for i in range(column + 1, 5):
            if abs(system[i, column]) > abs(system[pivot, column]):
                pivot = i
        if abs(system[pivot, column]) < 1e-12 * abs(system[4, 4]):
            return False
        if pivot != column:
            for j in range(6):
                system[pivot, j], system[column, j] = system[column, j], system[pivot, j]
        for i in range(5):
            if i != column:
                factor = system[i, column] / system[column, column]
                for j in range(column, 6):
                    system[i, j] -= factor * system[column, j]
    for i in range(5):
        system[i, 5] /= system[i, i]
    return True


@compiled
def cylinder_kernel(
    local: Floats, half: float, upper: bool, lower: bool, place: Floats, sides: Integers,
    indices: Integers,
) -> int:  # fmt: skip
    """Settle an axis near the frame's z from its least-squares place; exchanges made or -1.

    local: readings in the frame, z about its middle. place: shift and half × tilt, the answer.
    """
    count = local.shape[1]
    values, residuals = np.empty(count), np.empty(count)
    gradients, system = np.empty((4, count)), np.empty((5, 6))
    shares, inverse, solution = np.empty(6), np.empty((6, 6)), np.empty(6)
    trial, deviations = np.empty(4), np.empty(count)
    for j in range(4):
        place[j] = 0.0
    high, low, mean = _measure_axis(local, half, place, values, gradients)
    for _ in range(8):
        _normal_equations(values, gradients, mean, system)
        if not _solve(system):
            return -1
        moved = 0.0
        for j in range(4):
            place[j] += system[j, 5]
            moved = max(moved, abs(system[j, 5]))
        high, low, mean = _measure_axis(local, half, place, values, gradients)
        if moved < 1e-3 * (high - low) + 1e-12 * high:
            break
    if high - low > 0.05 * high:
        return -1
    room = 0.1 * min(low, half)
    tolerance = 8.0 * 2.220446049250313e-16 * high
    size = 4 + (1 if upper else 0) + (1 if lower else 0)
    total = 0
    warm = False
    for _ in range(40):
        value = (high if upper else 0.0) - (low if lower else 0.0)
        for i in range(count):
            deviations[i] = values[i] - mean
        steps = exchange_kernel(
            gradients, deviations, room, upper, lower, tolerance, sides, indices, shares, inverse,
            solution, residuals, warm,
        )  # fmt: skip
        if steps < 0:
            return -1
        total += steps
        warm = True
        for row in range(size):
            if sides[row] == 0 and shares[row] > 1e-12:
                return -1
        promised = (mean + solution[4] if upper else 0.0) - (
            mean + solution[size - 1] if lower else 0.0
        )
        if value - promised <= tolerance:
            return total
        moved = 0.0
        for j in range(4):
            trial[j] = place[j] + solution[j]
            moved = max(moved, abs(solution[j]))
        new_high, new_low, new_mean = _measure_axis(local, half, trial, values, gradients)
        new_value = (new_high if upper else 0.0) - (new_low if lower else 0.0)
        if new_value >= value:
            return total if new_value - value < tolerance and moved < 1e-7 * low else -1
        for j in range(4):
            place[j] = trial[j]
        high, low, mean = new_high, new_low, new_mean
    return -1
