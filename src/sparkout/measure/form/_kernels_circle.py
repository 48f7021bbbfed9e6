"""Circles in compiled code: the same steps as `settle`, `enclosing` and `proof`, set after set.

What is not plain (status -1) is left to the general way in numpy.
"""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._kernels_enclosing import enclosing_kernel
from sparkout.measure.form._kernels_exchange import compiled, compiled_loose, exchange_kernel
from sparkout.measure.form._points import Floats, Integers

__all__ = ["circle_kernel", "circles_kernel"]

_LOOKS = 64


@compiled_loose
def _measure_circle(
    rows: Floats, x: float, y: float, values: Floats, gradients: Floats
) -> tuple[float, float, float]:
    """Distances from a centre, unit vectors, and largest, smallest and mean distance."""
    high, low, total = -np.inf, np.inf, 0.0
    for i in range(values.size):
        aside, up = rows[0, i] - x, rows[1, i] - y
        distance = np.sqrt(aside * aside + up * up)
        scale = 1.0 / distance
        values[i] = distance
        gradients[0, i] = aside * scale
        gradients[1, i] = up * scale
        high = max(high, distance)
        low = min(low, distance)
        total += distance
    return high, low, total / values.size


@compiled_loose
def _algebraic(rows: Floats) -> tuple[float, float, float]:
    """Algebraic centre of points about their own middle, and the largest coordinate."""
    xx = xy = yy = xs = ys = extent = 0.0
    for i in range(rows.shape[1]):
        x, y = rows[0, i], rows[1, i]
        square = x * x + y * y
        xx += x * x
        xy += x * y
        yy += y * y
        xs += x * square
        ys += y * square
        extent = max(extent, max(abs(x), abs(y)))
    determinant = xx * yy - xy * xy
    if determinant <= 1e-9 * (xx + yy) * (xx + yy):
        return 0.0, 0.0, -1.0
    return (
        0.5 * (yy * xs - xy * ys) / determinant,
        0.5 * (xx * ys - xy * xs) / determinant,
        extent,
    )


@compiled
def circle_kernel(
    rows: Floats,
    upper: bool,
    lower: bool,
    values: Floats,
    gradients: Floats,
    residuals: Floats,
    sides: Integers,
    indices: Integers,
    shares: Floats,
    inverse: Floats,
    solution: Floats,
    place: Floats,
) -> int:
    """Settle a circle from its algebraic centre; exchanges made, or -1 where the way is not plain.

    Plain: readings close to a circle all round, every round an improvement, no wall of the box in
    use. On return the arrays hold distances, unit vectors and the vertex at the centre found.
    """
    x, y, extent = _algebraic(rows)
    if extent < 0.0:
        return -1
    room = 0.25 * extent
    high, low, middle = _measure_circle(rows, x, y, values, gradients)
    if high - low > 0.02 * high:
        return -1
    tolerance = 8.0 * 2.220446049250313e-16 * high
    deviations = np.empty(values.size)
    total = 0
    warm = False
    for _ in range(30):
        value = (high if upper else 0.0) - (low if lower else 0.0)
        for i in range(values.size):
            deviations[i] = values[i] - middle
        steps = exchange_kernel(
            gradients, deviations, room, upper, lower, tolerance, sides, indices, shares, inverse,
            solution, residuals, warm,
        )  # fmt: skip
        if steps < 0:
            return -1
        total += steps
        warm = True
        size = 2 + (1 if upper else 0) + (1 if lower else 0)
        for row in range(size):
            if sides[row] == 0 and shares[row] > 1e-12:
                return -1
        promised = (middle + solution[2] if upper else 0.0) - (
            middle + solution[size - 1] if lower else 0.0
        )
        if value - promised <= tolerance:
            place[0], place[1] = x, y
            return total
        new_x, new_y = x + solution[0], y + solution[1]
        new_high, new_low, new_middle = _measure_circle(rows, new_x, new_y, values, gradients)
        new_value = (new_high if upper else 0.0) - (new_low if lower else 0.0)
        if new_value >= value:
            # Below rounding nothing more can be gained: the better of the two places stands.
            _measure_circle(rows, x, y, values, gradients)
            place[0], place[1] = x, y
            moved = max(abs(solution[0]), abs(solution[1]))
            return total if new_value - value < tolerance and moved < 1e-7 * low else -1
        x, y, high, low, middle = new_x, new_y, new_high, new_low, new_middle
    return -1


@compiled
def _least_squares(rows: Floats, x: float, y: float) -> tuple[float, float, bool]:
    """Newton's method on the geometric sum of squares; True where it came to rest."""
    count = rows.shape[1]
    extent = 0.0
    for i in range(count):
        extent = max(extent, max(abs(rows[0, i]), abs(rows[1, i])))
    for _ in range(60):
        mean = ux = uy = uxx = uxy = uyy = 0.0
        for i in range(count):
            aside, up = rows[0, i] - x, rows[1, i] - y
            distance = math.sqrt(aside * aside + up * up)
            mean += distance
            ux += aside / distance
            uy += up / distance
        mean, ux, uy = mean / count, ux / count, uy / count
        gx = gy = bend = 0.0
        for i in range(count):
            aside, up = rows[0, i] - x, rows[1, i] - y
            distance = math.sqrt(aside * aside + up * up)
            cx, cy = aside / distance, up / distance
            deviation = distance - mean
            share = deviation / distance
            gx -= deviation * cx
            gy -= deviation * cy
            bend += share
            uxx += (1.0 - share) * cx * cx
            uxy += (1.0 - share) * cx * cy
            uyy += (1.0 - share) * cy * cy
        hxx = (uxx + bend) / count - ux * ux
        hxy = uxy / count - ux * uy
        hyy = (uyy + bend) / count - uy * uy
        determinant = hxx * hyy - hxy * hxy
        if not (determinant > 0.0 and hxx > 0.0):
            return x, y, False
        sx = -(hyy * gx - hxy * gy) / (determinant * count)
        sy = -(hxx * gy - hxy * gx) / (determinant * count)
        x, y = x + sx, y + sy
        if max(abs(sx), abs(sy)) <= 1e-13 * extent:
            return x, y, True
        if max(abs(sx), abs(sy)) > extent:
            return x, y, False
    return x, y, False


@compiled
def _cover(gradients: Floats) -> float:
    """An angle within which every direction has a reading: from the widest run of empty sectors.

    Readings are counted into 64 sectors by the ratio of their coordinates, which grows with the
    angle; the borders of the sectors are known angles, so nothing is sorted and no angle computed.
    """
    used = np.zeros(_LOOKS, np.int64)
    for i in range(gradients.shape[1]):
        u, v = gradients[0, i], gradients[1, i]
        ratio = v / (abs(u) + abs(v))
        turn = ratio if u >= 0.0 else 2.0 - ratio
        used[int((turn + 1.0) * (_LOOKS / 4)) % _LOOKS] = 1
    first = -1
    last = -1
    widest = 0.0
    for place in range(2 * _LOOKS):
        if used[place % _LOOKS] == 0:
            continue
        if last >= 0:
            widest = max(widest, _border(place + 1) - _border(last))
        else:
            first = place
        last = place
        if place - first > _LOOKS:
            break
    return math.pi if first < 0 or last == first else 0.5 * widest


@compiled
def _border(place: int) -> float:
    """Angle at which a sector begins."""
    turn = place / (_LOOKS / 4) - 1.0
    rounds = math.floor((turn + 1.0) / 4.0)
    turn -= 4.0 * rounds
    if turn <= 1.0:
        angle = math.atan2(turn, 1.0 - abs(turn))
    else:
        rest = 2.0 - turn
        angle = math.pi - math.atan2(rest, 1.0 - abs(rest))
    return angle + 2.0 * math.pi * rounds


@compiled
def _proven(high: float, low: float, angle: float, sharpness: float, zone: bool) -> bool:
    """The short proofs of `proof.zone_is_global` and `proof.inscribed_is_global`."""
    if angle >= 0.5 * math.pi - 1e-6:
        return False
    cosine = math.cos(angle)
    reach = 2.0 * sharpness * low / (1.0 + 2.0 * sharpness)
    if not zone:
        middle = high * cosine
        root = middle * middle - high * high + low * low
        if root <= 0.0:
            return False
        width = math.sqrt(root)
        return middle - width <= reach and middle + width >= high
    form = high - low
    shift = 1.02 * form / cosine + 1e-15 * high
    for _ in range(60):
        behind = math.sqrt(low * low + shift * (shift + 2.0 * low * cosine))
        ahead = math.sqrt(
            max(
                low * low + shift * (shift - 2.0 * low * cosine),
                max(high * high + shift * (shift - 2.0 * high * cosine), 0.0),
            )
        )
        if behind - ahead >= form:
            return shift <= reach
        shift *= 1.25
        if shift > low:
            return False
    return False


@compiled
def circles_kernel(
    points: Floats, starts: Integers, method: int, answers: Floats, contacts: Integers
) -> None:
    """Many sets in one go. points: all sets one after another, rows x and y.

    method: 0 minimum zone, 1 maximum inscribed, 2 minimum circumscribed, 3 least squares.
    answers: per set x, y, largest and smallest distance, mean distance, and a status: 1 proven
    global, 0 settled, -1 left to the general way. contacts: readings that hold it, -1 for none.
    """
    longest = 0
    for number in range(starts.size - 1):
        longest = max(longest, starts[number + 1] - starts[number])
    store = np.empty((2, longest))
    values_store, residual_store = np.empty(longest), np.empty(longest)
    gradient_store = np.empty((2, longest))
    sides, indices = np.empty(6, np.int64), np.empty(6, np.int64)
    shares, inverse = np.empty(6), np.empty((6, 6))
    solution, place = np.empty(6), np.empty(4)
    for number in range(starts.size - 1):
        begin, end = starts[number], starts[number + 1]
        count = end - begin
        rows = store[:, :count]
        middle_x = middle_y = 0.0
        for i in range(count):
            middle_x += points[0, begin + i]
            middle_y += points[1, begin + i]
        middle_x, middle_y = middle_x / count, middle_y / count
        for i in range(count):
            rows[0, i] = points[0, begin + i] - middle_x
            rows[1, i] = points[1, begin + i] - middle_y
        values, gradients = values_store[:count], gradient_store[:, :count]
        for j in range(4):
            contacts[number, j] = -1
        status = -1.0
        x = y = 0.0
        if method <= 1:
            zone = method == 0
            steps = circle_kernel(
                rows, zone, True, values, gradients, residual_store[:count], sides, indices,
                shares, inverse, solution, place,
            )  # fmt: skip
            if steps >= 0:
                x, y = place[0], place[1]
                size = 4 if zone else 3
                sharpness = np.inf
                wall = False
                for j in range(size):
                    contacts[number, j] = indices[j] if sides[j] != 0 else -1
                    wall = wall or sides[j] == 0
                    length = math.sqrt(inverse[0, j] ** 2 + inverse[1, j] ** 2)
                    if length > 0.0:
                        sharpness = min(sharpness, shares[j] / length)
                high, low = -np.inf, np.inf
                for i in range(count):
                    high, low = max(high, values[i]), min(low, values[i])
                good = not wall and _proven(high, low, _cover(gradients), sharpness, zone)
                status = 1.0 if good else 0.0
        elif method == 2:
            x, y, held = enclosing_kernel(rows, contacts[number])
            for j in range(max(held, 0), 4):
                contacts[number, j] = -1
            status = 1.0 if held > 1 else -1.0
        else:
            x, y, extent = _algebraic(rows)
            if extent > 0.0:
                x, y, rest = _least_squares(rows, x, y)
                status = 0.0 if rest else -1.0
        high, low, mean = _measure_circle(rows, x, y, values, gradients)
        answers[number, 0], answers[number, 1] = x + middle_x, y + middle_y
        answers[number, 2], answers[number, 3] = high, low
        answers[number, 4], answers[number, 5] = mean, status
