"""One step towards a minimax optimum that counts how the distances bend.

Minimises  upper − lower + ½ dᵀ W d  under the same linear borders as `exchange`, where W is the
Hessian of the contacts weighted by their multipliers: Newton's method on the conditions of
optimality, with contacts taken in and dropped until all multipliers are right. Known as sequential
quadratic programming; here with at most a handful of contacts, so each trial is one small system.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sparkout.measure.form._exchange import INNER, OUTER, WALL, Vertex
from sparkout.measure.form._points import Floats

__all__ = ["Goal", "Held", "curved_step", "held_by"]

Held = list[tuple[int, int, float]]
"""Contacts: side, reading, multiplier."""

_MOST_TRIALS = 40


class Goal(NamedTuple):
    """Which borders count: both for the zone, one for the circumscribed or inscribed feature."""

    upper: bool
    lower: bool


def held_by(vertex: Vertex) -> Held:
    """Readings whose multiplier is above rounding."""
    return [
        (row[0], row[1], share)
        for row, share in zip(vertex.rows, vertex.shares, strict=True)
        if row[0] != WALL and share > 1e-9
    ]


def curved_step(
    bend: Floats,
    stiffness: float,
    values: Floats,
    gradients: Floats,
    held: Held,
    goal: Goal,
    tolerance: float,
) -> tuple[Floats, Held]:
    """The step and the contacts, with multipliers, that it ends on.

    stiffness: added to the bend in every direction, to shorten a step that went too far.
    """
    sizes, ways = np.linalg.eigh(bend)
    floor = 1e-9 * max(float(np.abs(sizes).max()), 1e-300)
    rounded = (ways * (np.maximum(np.abs(sizes), floor) + stiffness)) @ ways.T
    middle = float(values.mean())
    deviations = values - middle
    active = [(side, index) for side, index, _ in held]
    step = np.zeros(gradients.shape[0])
    shares: list[float] = [share for _, _, share in held]
    seen: set[frozenset[tuple[int, int]]] = set()
    for _ in range(_MOST_TRIALS):
        step, borders, shares = _equalised(rounded, deviations, gradients, active, goal)
        key = frozenset(active)
        if key in seen:
            break
        seen.add(key)
        residuals = deviations - step @ gradients
        top, bottom = int(residuals.argmax()), int(residuals.argmin())
        over = float(residuals[top]) - borders[0] if goal.upper else -np.inf
        under = borders[-1] - float(residuals[bottom]) if goal.lower else -np.inf
        if min(shares) < -1e-12 and _can_drop(active, int(np.argmin(shares)), goal):
            del active[int(np.argmin(shares))]
            continue
        if max(over, under) <= tolerance:
            break
        entering = (OUTER, top) if over >= under else (INNER, bottom)
        if entering in active:
            break
        active.append(entering)
    kept = [
        (side, index, max(share, 0.0)) for (side, index), share in zip(active, shares, strict=True)
    ]
    return step, kept


def _can_drop(active: list[tuple[int, int]], place: int, goal: Goal) -> bool:
    """Each border that counts keeps at least one contact."""
    side = active[place][0]
    return sum(1 for other, _ in active if other == side) > 1


def _equalised(
    bend: Floats,
    deviations: Floats,
    gradients: Floats,
    active: list[tuple[int, int]],
    goal: Goal,
) -> tuple[Floats, list[float], list[float]]:
    """Step, borders and multipliers with all given contacts exactly on their borders."""
    size = gradients.shape[0]
    borders = goal.upper + goal.lower
    total = size + borders + len(active)
    system = np.zeros((total, total))
    right = np.zeros(total)
    system[:size, :size] = bend
    for number, (side, index) in enumerate(active):
        row = size + borders + number
        border = size if side == OUTER else size + borders - 1
        system[:size, row] = system[row, :size] = -side * gradients[:, index]
        system[border, row] = system[row, border] = -float(side)
        right[row] = -side * float(deviations[index])
    if goal.upper:
        right[size] = -1.0
    if goal.lower:
        right[size + borders - 1] = 1.0
    answer = np.linalg.lstsq(system, right, rcond=1e-14)[0]
    return answer[:size], answer[size : size + borders].tolist(), answer[size + borders :].tolist()
