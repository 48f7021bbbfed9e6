"""From the linear minimax problem to the exact non-linear one.

The distances of readings from a circle's centre or a cylinder's axis bend as the feature moves.
The linear problem is therefore solved again where its answer led, until it stays put. Where as many
readings as unknowns hold the optimum, each round doubles the number of right digits. Where fewer
hold it (two readings across a diameter), the bend itself does, and a step that counts it takes
over (module `curved`).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._curved import Goal, Held, curved_step, held_by
from sparkout.measure.form._exchange import INNER, OUTER, Row, Vertex, exchange
from sparkout.measure.form._points import Floats, greatest, least

__all__ = ["Measure", "Settled", "settle", "value_of"]

Measure = Callable[[Floats], tuple[Floats, Floats]]
"""q → distances r and gradients G with r(q + d) ≈ r − dᵀG."""

_MOST_ROUNDS = 120


class Settled(NamedTuple):
    """Where the feature came to rest, with the vertex of contacts that holds it there."""

    place: Floats
    values: Floats
    gradients: Floats
    vertex: Vertex
    steps: int
    at_rest: bool


def value_of(values: Floats, goal: Goal) -> float:
    """What is made least: the zone, the largest distance, or minus the smallest."""
    high = greatest(values) if goal.upper else 0.0
    return high - least(values) if goal.lower else high


def settle(
    measure: Measure,
    place: Floats,
    goal: Goal,
    *,
    room: float,
    small: float,
    limit: float = np.inf,
    grain: float = 0.0,
    start: list[Row] | None = None,
    known: tuple[Floats, Floats] | None = None,
) -> Settled:
    """Move from `place` to the nearest optimum.

    room: first bound of one move. small: smallest distance that curvature counts against (inner
    radius). limit: stop, not at rest, when the feature has moved farther than this from its start.
    grain: rounding of the distances where coordinates are larger than they are. start: rows
    known to be in contact there. known: distances and gradients at `place`, where they are at hand.
    """
    first = place
    values, gradients = known or measure(place)
    value = value_of(values, goal)
    scale = greatest(values)
    tolerance = max(8.0 * float(np.finfo(float).eps) * scale, grain, 1e-300)
    rows = start
    held: Held = []
    stiffness = 0.0
    exchanges = 0
    vertex: Vertex
    for _ in range(_MOST_ROUNDS):
        # Distances less their size, so that rounding counts against the form alone.
        middle = values.item(0)
        vertex = exchange(
            gradients,
            values - middle,
            [room] * place.shape[0],
            upper=goal.upper,
            lower=goal.lower,
            tolerance=tolerance,
            start=rows,
            reached=value + middle * (goal.lower - goal.upper),
        )
        rows = vertex.rows
        exchanges += vertex.exchanges
        promised = (middle + vertex.upper if goal.upper else 0.0) - (
            middle + vertex.lower if goal.lower else 0.0
        )
        if value - promised <= tolerance:
            if not vertex.sound:
                return Settled(place, values, gradients, vertex, exchanges, False)
            escape = _downhill(measure, place, values, gradients, vertex, goal, value, room)
            if escape is None:
                return Settled(place, values, gradients, vertex, exchanges, True)
            place = escape
            values, gradients = measure(place)
            value = value_of(values, goal)
            continue
        moved = place + vertex.shift
        new_values, new_gradients = measure(moved)
        new_value = value_of(new_values, goal)
        length = math.hypot(*vertex.shift.tolist())
        if vertex.walls or new_value > value:
            held = held or held_by(vertex)
            bend = _bend(measure, place, held)
            bent, held = curved_step(bend, stiffness, values, gradients, held, goal, tolerance)
            bent_values, bent_gradients = measure(place + bent)
            bent_value = value_of(bent_values, goal)
            if bent_value < value:
                stiffness *= 0.1
            else:
                stiffness = max(10.0 * stiffness, 1e-3 * float(np.abs(bend).max()))
            if bent_value < new_value:
                moved, new_values, new_gradients = place + bent, bent_values, bent_gradients
                new_value = bent_value
                length = float(np.sqrt(bent @ bent))
        gain = value - new_value
        if gain <= 0.0:
            if room < 1e-14 * scale or (gain > -tolerance and length < 1e-7 * small):
                return Settled(place, values, gradients, vertex, exchanges, True)
            room = 0.25 * min(room, max(length, 1e-15 * scale))
            continue
        if gain > 0.75 * (value - promised) and vertex.walls:
            room *= 2.0
        elif gain < 0.25 * (value - promised):
            room *= 0.5
        place, values, gradients, value = moved, new_values, new_gradients, new_value
        if limit < np.inf and greatest(np.abs(place - first)) > limit:
            return Settled(place, values, gradients, vertex, exchanges, False)
    return Settled(place, values, gradients, vertex, exchanges, False)


def _bend(measure: Measure, place: Floats, held: Held) -> Floats:
    """Hessian of Σ share·r(outer) − Σ share·r(inner), by central differences of the gradients."""
    size = place.shape[0]
    scale = float(measure(place)[0].max())
    width = 1e-5 * scale
    bend = np.zeros((size, size))
    for axis in range(size):
        offset = np.zeros(size)
        offset[axis] = width
        ahead = measure(place + offset)[1]
        behind = measure(place - offset)[1]
        for side, index, share in held:
            bend[axis] -= side * share * (ahead[:, index] - behind[:, index]) / (2.0 * width)
    return 0.5 * (bend + bend.T)


def _downhill(
    measure: Measure,
    place: Floats,
    values: Floats,
    gradients: Floats,
    vertex: Vertex,
    goal: Goal,
    value: float,
    room: float,
) -> Floats | None:
    """A better place beside a resting point that is no optimum (a saddle), if there is one.

    Needed only where fewer readings than unknowns hold the feature: two readings across a diameter
    balance an inscribed circle that can still grow sideways.
    """
    if vertex.sharpness > 1e-9:
        return None
    held = held_by(vertex)
    differences = []
    for side in (OUTER, INNER):
        same = [index for row_side, index, _ in held if row_side == side]
        differences += [gradients[:, index] - gradients[:, same[0]] for index in same[1:]]
        if same and goal.upper != goal.lower:
            differences.append(gradients[:, same[0]])
    size = place.shape[0]
    free = np.eye(size)
    if differences:
        _, sizes, turned = np.linalg.svd(np.array(differences))
        free = turned[int((sizes > 1e-9).sum()) :].T
    if free.shape[1] == 0:
        return None
    bends, ways = np.linalg.eigh(free.T @ _bend(measure, place, held) @ free)
    if bends[0] >= -1e-9 / max(float(values.max()), 1e-300):
        return None
    way = free @ ways[:, 0]
    margin = 1e-12 * float(values.max())
    length = room
    while length > 1e-7 * float(values.max()):
        for sign in (1.0, -1.0):
            other = place + sign * length * way
            if value_of(measure(other)[0], goal) < value - margin:
                return np.asarray(other)
        length *= 0.25
    return None
