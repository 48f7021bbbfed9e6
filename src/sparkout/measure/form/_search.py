"""The best zone or inscribed circle anywhere, by branch and bound over where the centre may lie.

Needed where the short proof fails: arcs, gross dents, very few readings. A square of centres is
bounded from below by the linear minimax problem in it, less what the bending of distances can give
back; squares that cannot beat the best circle known are dropped, the others are cut in four. What
remains proven at the end is proven everywhere in the region searched.
"""

from __future__ import annotations

import heapq
import math
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import exchange
from sparkout.measure.form._points import Floats
from sparkout.measure.form._proof import contact_sharpness, disc_reach
from sparkout.measure.form._settle import Measure, Settled, settle, value_of

__all__ = ["Found", "best_circle"]

_MOST_SQUARES = 4000
_MOST_RESTS = 300
_BEND = 1.1548
"""Largest third derivative of the distance |x| in the plane times |x|²: 2/√3."""


class Found(NamedTuple):
    """The best circle, whether that is proven for the region, and other circles nearly as good."""

    best: Settled | None
    proven: bool
    rivals: tuple[Settled, ...]
    squares: int


class _Region(NamedTuple):
    """What does not change during one search."""

    rows: Floats
    measure: Measure
    goal: Goal
    extent: float
    surrounded: bool
    """Only centres among the readings count (inscribed circle)."""


def _give(region: _Region, centre: Floats, values: Floats, radius: float) -> float:
    """How far the true value can fall below the linear problem's in a disc of that radius."""
    nearest = float(values.min())
    bending = math.inf
    if radius < nearest:
        # Only the inner border bends the wrong way: distances stay below tangent + s²/(2(r − s)).
        bending = 0.5 * radius * radius / (nearest - radius)
    away = math.hypot(*centre.tolist()) - region.extent - radius
    if away > 0.0 and region.goal.upper:
        # From afar all distances bend alike; the common part cancels in the zone.
        bending = min(bending, _BEND * region.extent * (radius / away) ** 2)
    return bending


def _never_rests(region: _Region, centre: Floats, values: Floats, radius: float) -> bool:
    """Whether no centre in a disc can be the rest of an inscribed circle.

    At a rest the nearest readings lie round the centre. Only readings within two radii of the
    nearest can be nearest anywhere in the disc; if they all lie on one side of it, there is none.
    """
    candidates = region.rows[:, values <= float(values.min()) + 2.0 * radius]
    if candidates.shape[1] < 3:
        # Two readings across a diameter balance, but the circle between them grows sideways.
        return True
    aside = candidates - centre[:, None]
    angles = np.sort(np.arctan2(aside[1], aside[0]))
    gaps = np.diff(np.append(angles, angles[0] + 2.0 * np.pi))
    widest = int(gaps.argmax())
    away = float(angles[widest]) + 0.5 * float(gaps[widest]) + np.pi
    return float((np.cos(away) * aside[0] + np.sin(away) * aside[1]).min()) > radius


def _sharpness(settled: Settled, goal: Goal) -> float:
    """Above 0 where the readings that touch hold the centre from all sides."""
    return contact_sharpness(settled.values, settled.gradients, goal.upper, goal.lower)


def best_circle(
    rows: Floats, measure: Measure, goal: Goal, start: Settled | None, half: float
) -> Found:
    """Search centres within `half` of the origin (rows are about their own middle)."""
    extent = float(np.sqrt((rows * rows).sum(axis=0)).max())
    region = _Region(rows, measure, goal, extent, not goal.upper)
    best = start
    least = math.inf if start is None else value_of(start.values, goal)
    kept: list[Settled] = [] if start is None else [start]
    whole = True
    reach = _reach(start, goal)
    queue: list[tuple[float, int, float, float, float]] = [(-math.inf, 0, 0.0, 0.0, half)]
    number = 0
    squares = tries = 0
    smallest = 1e-13 * extent
    while queue:
        bound, _, x, y, side = heapq.heappop(queue)
        margin = max(1e-9 * abs(least) if goal.upper else 0.0, 4e-12 * extent)
        if bound >= least - margin:
            break
        if squares >= _MOST_SQUARES:
            return Found(best, False, _rivals(kept, best, goal), squares)
        squares += 1
        centre = np.array([x, y])
        radius = side * math.sqrt(2.0)
        if best is not None and float(np.hypot(*(centre - best.place))) + radius < reach:
            continue
        values, gradients = measure(centre)
        if region.surrounded and _never_rests(region, centre, values, radius):
            continue
        middle = float(values.mean())
        vertex = exchange(
            gradients,
            values - middle,
            [side, side],
            upper=goal.upper,
            lower=goal.lower,
            tolerance=2e-15 * float(values.max()),
        )
        rounding = 1e-14 * (float(values.max()) + radius)
        linear = (middle + vertex.upper if goal.upper else 0.0) - (middle + vertex.lower)
        bound = max(
            linear - _give(region, centre, values, radius) - rounding
            if vertex.sound
            else -math.inf,
            value_of(values, goal) - (2.0 if goal.upper else 1.0) * radius,
        )
        if bound >= least - margin:
            continue
        there = centre + vertex.shift
        value = value_of(measure(there)[0], goal)
        near = least + 0.02 * (abs(least) if goal.upper else extent)
        better = value < least - 0.5 * margin
        fresh = value < near and not _known(kept, there, 1e-3 * extent)
        # Where walls of the square hold the linear optimum, its hollow lies elsewhere.
        worth = not vertex.walls if region.surrounded else better or (fresh and not vertex.walls)
        if tries < _MOST_RESTS and worth:
            tries += 1
            # Short steps: a long one may leap out of the hollow that this square lies in.
            settled = settle(
                measure,
                there,
                goal,
                room=min(0.5 * side, extent),
                small=max(float(values.min()), smallest),
                limit=half if goal.upper else 4.0 * side,
            )
            if settled.at_rest and (not region.surrounded or _sharpness(settled, goal) > 1e-9):
                found = value_of(settled.values, goal)
                if not _known(kept, settled.place, 1e-6 * extent):
                    kept.append(settled)
                if found < least:
                    best, least, reach = settled, found, _reach(settled, goal)
        quarter = 0.5 * side
        if quarter < smallest:
            whole = False
            continue
        for dx in (-quarter, quarter):
            for dy in (-quarter, quarter):
                number += 1
                heapq.heappush(queue, (bound, number, x + dx, y + dy, quarter))
    return Found(best, whole, _rivals(kept, best, goal), squares)


def _known(kept: list[Settled], place: Floats, near: float) -> bool:
    """Whether a resting place has been met before."""
    return any(float(np.abs(other.place - place).max()) < near for other in kept)


def _reach(best: Settled | None, goal: Goal) -> float:
    """How far round the best circle it is already proven best."""
    if best is None:
        return 0.0
    return disc_reach(max(_sharpness(best, goal), 0.0), float(best.values.min()))


def _rivals(kept: list[Settled], best: Settled | None, goal: Goal) -> tuple[Settled, ...]:
    """Other resting places whose value is within a hundredth of the best one's."""
    if best is None:
        return ()
    least = value_of(best.values, goal)
    apart = 1e-6 * float(best.values.max())
    return tuple(
        other
        for other in kept
        if float(np.abs(other.place - best.place).max()) > apart
        and value_of(other.values, goal) <= least + 0.01 * abs(least)
    )
