"""Least metal: the smallest size a worn bore cleans up at, the largest a worn journal does.

Cutting leaves a true circle about the cutter's centre that must reach every bit of worn or scored
wall. On the true centre the deepest place on one side decides, twice over; off it, towards the
deep place, less is cut. How far the centre may go is the shop's limit, never one of this program.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._enclosing import smallest_enclosing, smallest_enclosing_near
from sparkout.measure.form._held_inscribed import largest_inscribed_near
from sparkout.measure.form._points import Coordinates, Floats, coordinates

__all__ = [
    "CleanUp",
    "Score",
    "TwoPointCleanUp",
    "bore_clean_up",
    "bore_clean_up_scored",
    "bore_clean_up_two_point",
    "journal_clean_up",
    "journal_clean_up_scored",
    "journal_clean_up_two_point",
]


class Score(NamedTuple):
    """A worn or scored place: direction [°], depth from the unworn wall, one-sided [mm]."""

    direction: float
    depth: float


@dataclass(frozen=True, slots=True)
class CleanUp:
    """A size that just cleans up, and where the cutter stands; lengths in mm.

    diameter: least bore or largest journal. x, y: centre of the cut. shift: how far it lies from
    the centre asked for. deciders: readings (or scores) that decide. wall: whether the unworn wall
    itself decides. held: whether the allowed shift holds the centre back. proven: whether no
    centre within the allowed shift is better. removed: radial metal taken at each reading.
    """

    diameter: float
    x: float
    y: float
    shift: float
    deciders: tuple[int, ...]
    wall: bool
    held: bool
    proven: bool
    removed: tuple[float, ...]


class TwoPointCleanUp(NamedTuple):
    """What two-point readings allow to say; diameters in mm.

    sure: cleans up on the unworn centre even if all wear is on one side. hopeful: cleans up only
    if wear is even all round, or the cutter may follow it.
    """

    sure: float
    hopeful: float


def _checked_shift(shift: float) -> float:
    if not shift >= 0.0:
        raise ValueError(f"allowed shift is {shift}; expected 0 or more (infinite for free)")
    return shift


def _checked_size(size: float, what: str) -> float:
    if not (size > 0.0 and math.isfinite(size)):
        raise ValueError(f"{what} is {size}; expected above 0")
    return size


def bore_clean_up(
    points: Coordinates, centre: tuple[float, float] = (0.0, 0.0), shift: float = 0.0
) -> CleanUp:
    """Smallest bore that reaches every reading, its centre at most `shift` from a given one.

    D = 2·min over |c − centre| ≤ shift of max |p − c|: the minimum circumscribed circle with its
    centre held to a disc.

    points: readings (x, y) on the worn wall, all levels seen along the cutter's axis [mm].
    centre: of the dowels, of the true axis, or of the unworn end [mm].
    shift: how far the cutter may stand off that centre [mm], 0 for on it, infinite for free.
    Returns the size, the cutter's centre and the metal taken at each reading [mm].
    Holds for a cutter that runs along one axis through all levels; wall between readings is not
        known. Exact and global, since the largest distance is convex.
    Source: smallest enclosing circle with its centre in a disc (convex minimax); the rule on
        centre: common practice.
    Raises ValueError for a shift below 0 or readings that are no numbers.

    >>> worn = [(50.1, 0), (0, 50), (-50, 0), (0, -50)]
    >>> [round(bore_clean_up(worn, shift=allowed).diameter, 9) for allowed in (0, 0.02, math.inf)]
    [100.2, 100.16, 100.1]
    """
    rows = coordinates(points, 2, 1, "a clean-up") - np.array(centre, dtype=np.float64)[:, None]
    limit = _checked_shift(shift)
    if math.isinf(limit):
        middle = rows.mean(axis=1)
        found = smallest_enclosing(rows - middle[:, None])
        x, y = found.x + float(middle[0]), found.y + float(middle[1])
    else:
        found = smallest_enclosing_near(rows, limit)
        x, y = found.x, found.y
    return _clean_up(rows, centre, (x, y), found.radius, found.deciders, found.held, True, 1.0)


def journal_clean_up(
    points: Coordinates, centre: tuple[float, float] = (0.0, 0.0), shift: float = 0.0
) -> CleanUp:
    """Largest journal left inside every reading, its centre at most `shift` from a given one.

    d = 2·max over |c − centre| ≤ shift of min |p − c|: the maximum inscribed circle with its
    centre held to a disc.

    points: readings (x, y) on the worn surface, all levels seen along the axis of grinding [mm].
    centre: of the throw or of the true axis [mm].
    shift: how far the grinding axis may stand off that centre [mm], 0 for on it.
    Returns the size, the grinding centre and the metal taken at each reading [mm].
    Holds for finite shifts small against the radius; `proven` says whether the answer is certain
        everywhere in the disc or only close by.
    Source: largest empty circle with its centre in a disc; the rule on centre: common practice.
    Raises ValueError for a shift below 0 or infinite, or readings that are no numbers.

    >>> worn = [(24.9, 0), (0, 25), (-25, 0), (0, -25)]
    >>> [round(journal_clean_up(worn, shift=allowed).diameter, 6) for allowed in (0, 0.02)]
    [49.8, 49.84]
    """
    limit = _checked_shift(shift)
    if math.isinf(limit):
        raise ValueError("allowed shift is infinite; a journal's throw and index need a limit")
    rows = coordinates(points, 2, 1, "a clean-up") - np.array(centre, dtype=np.float64)[:, None]
    found = largest_inscribed_near(rows, limit)
    return _clean_up(
        rows, centre, (found.x, found.y), found.radius, found.deciders, found.held, found.proven,
        -1.0,
    )  # fmt: skip


def _clean_up(
    rows: Floats,
    centre: tuple[float, float],
    offset: tuple[float, float],
    radius: float,
    deciders: tuple[int, ...],
    held: bool,
    proven: bool,
    sign: float,
) -> CleanUp:
    distances = np.hypot(rows[0] - offset[0], rows[1] - offset[1])
    removed = np.maximum(sign * (radius - distances), 0.0)
    return CleanUp(
        2.0 * radius,
        centre[0] + offset[0],
        centre[1] + offset[1],
        math.hypot(*offset),
        deciders,
        False,
        held,
        proven,
        tuple(removed.tolist()),
    )


def bore_clean_up_scored(unworn: float, scores: Sequence[Score], shift: float = 0.0) -> CleanUp:
    """Smallest bore that cleans up scores in an otherwise unworn wall.

    D = 2·min over |c| ≤ shift of max(R_unworn + |c|, |score − c|). One score of depth d with the
    cutter e towards it: D = 2·max(R_unworn + d − e, R_unworn + e); on centre D_unworn + 2d.

    unworn: diameter of the wall where nothing has run [mm], above zero.
    scores: direction [°] and one-sided depth [mm] of each worn or scored place, any number.
    shift: how far the cutter may stand off the unworn centre [mm], 0 for on it.
    Returns the size, the cutter's centre and the metal taken at each score [mm].
    Holds for depths measured from the unworn wall, radially; exact for any number of scores.
    Source: common practice (unworn diameter plus twice the deepest one-sided wear); the offset
        form is its geometry.
    Raises ValueError naming a size, depth or shift that is out of range.

    >>> one = [Score(90, 0.0258)]
    >>> [round(bore_clean_up_scored(4.001, one, shift).diameter, 4) for shift in (0, 0.010, 0.004)]
    [4.0526, 4.0326, 4.0446]
    """
    wall = 0.5 * _checked_size(unworn, "unworn diameter")
    limit = _checked_shift(shift)
    rows = _score_points(wall, scores, 1.0)
    deepest = max((score.depth for score in scores), default=0.0)
    if deepest == 0.0 or not scores:
        return CleanUp(unworn, 0.0, 0.0, 0.0, (), True, False, True, (0.0,) * len(scores))
    # Never farther than the depth: the unworn wall alone would ask for more than on centre.
    limit = min(limit, deepest)

    def excess(step: float) -> float:
        found = smallest_enclosing_near(rows, step)
        return found.radius - wall - math.hypot(found.x, found.y)

    step, wall_decides = _crossing(excess, limit)
    found = smallest_enclosing_near(rows, step)
    off = math.hypot(found.x, found.y)
    radius = max(found.radius, wall + off)
    held = not wall_decides and limit == shift and off >= shift * (1.0 - 1e-12)
    cut = _clean_up(rows, (0.0, 0.0), (found.x, found.y), radius, found.deciders, held, True, 1.0)
    return _with_wall(cut, wall_decides)


def journal_clean_up_scored(unworn: float, scores: Sequence[Score], shift: float = 0.0) -> CleanUp:
    """Largest journal that cleans up worn or scored places in an otherwise unworn surface.

    d = 2·max over |c| ≤ shift of min(R_unworn − |c|, |score − c|). One place of depth d with the
    axis e away from it: 2·min(R_unworn − d + e, R_unworn − e); on centre d_unworn − 2d.

    unworn: diameter where nothing has run [mm], above zero.
    scores: direction [°] and one-sided depth [mm] of each worn or scored place, any number.
    shift: how far the grinding axis may stand off the unworn centre [mm], 0 for on it.
    Returns the size, the grinding centre and the metal taken at each score [mm].
    Holds for depths measured from the unworn surface, radially.
    Source: common practice (unworn diameter less twice the one-sided wear).
    Raises ValueError naming a size, depth or shift that is out of range.

    >>> round(journal_clean_up_scored(64.988, [Score(0, 0.043)]).diameter, 3)
    64.902
    """
    wall = 0.5 * _checked_size(unworn, "unworn diameter")
    limit = _checked_shift(shift)
    rows = _score_points(wall, scores, -1.0)
    deepest = max((score.depth for score in scores), default=0.0)
    if deepest == 0.0 or not scores:
        return CleanUp(unworn, 0.0, 0.0, 0.0, (), True, False, True, (0.0,) * len(scores))
    limit = min(limit, deepest)

    def excess(step: float) -> float:
        found = largest_inscribed_near(rows, step)
        return wall - math.hypot(found.x, found.y) - found.radius

    step, wall_decides = _crossing(excess, limit)
    found = largest_inscribed_near(rows, step)
    off = math.hypot(found.x, found.y)
    radius = min(found.radius, wall - off)
    held = not wall_decides and limit == shift and off >= shift * (1.0 - 1e-12)
    cut = _clean_up(
        rows, (0.0, 0.0), (found.x, found.y), radius, found.deciders, held, found.proven, -1.0
    )
    return _with_wall(cut, wall_decides)


def _with_wall(cut: CleanUp, wall: bool) -> CleanUp:
    return replace(cut, wall=wall)


def _score_points(wall: float, scores: Sequence[Score], sign: float) -> Floats:
    points = []
    for place, score in enumerate(scores):
        if not (score.depth >= 0.0 and math.isfinite(score.depth)) or not score.depth < wall:
            raise ValueError(
                f"depth of score {place} is {score.depth}; expected 0 up to the radius {wall:g}"
            )
        turn = math.radians(score.direction)
        reach = wall + sign * score.depth
        points.append((reach * math.cos(turn), reach * math.sin(turn)))
    return np.array(points, dtype=np.float64).reshape(-1, 2).T


def _crossing(excess: Callable[[float], float], limit: float) -> tuple[float, bool]:
    """Where scores and unworn wall ask for one size: the step, and whether the wall decides there.

    excess falls with the step: false position with halving of the stale end.
    """
    low, high = 0.0, limit
    above, below = excess(low), excess(high)
    if below > 0.0:
        return limit, False
    side = 0
    for _ in range(200):
        if high - low <= 1e-15 * limit or below == 0.0:
            break
        middle = high - below * (high - low) / (below - above)
        if not low < middle < high:
            middle = 0.5 * (low + high)
        value = excess(middle)
        if value > 0.0:
            low, above = middle, value
            below = 0.5 * below if side == 1 else below
            side = 1
        else:
            high, below = middle, value
            above = 0.5 * above if side == -1 else above
            side = -1
    return high, True


def bore_clean_up_two_point(unworn: float, largest: float) -> TwoPointCleanUp:
    """Clean-up size of a bore from two-point readings alone, at worst and at best.

    sure = D_unworn + 2·(D_largest − D_unworn): all wear may be on one side. hopeful = D_largest.

    unworn: diameter where nothing has run [mm], above zero.
    largest: largest two-point diameter [mm], not below unworn.
    Returns both sizes, cutter on the unworn centre for the sure one [mm].
    Holds for wear in one place; two-point readings do not show on which side it is.
    Source: common practice.
    Raises ValueError naming a size that is out of range.

    >>> round(bore_clean_up_two_point(100.036, 100.246).sure, 3)
    100.456
    """
    _checked_size(unworn, "unworn diameter")
    if not largest >= unworn:
        raise ValueError(f"largest diameter is {largest}; expected {unworn} (unworn) or more")
    return TwoPointCleanUp(unworn + 2.0 * (largest - unworn), largest)


def journal_clean_up_two_point(unworn: float, smallest: float) -> TwoPointCleanUp:
    """Clean-up size of a journal from two-point readings alone, at worst and at best.

    sure = d_unworn − 2·(d_unworn − d_smallest): all wear may be on one side. hopeful = d_smallest.

    unworn: diameter where nothing has run [mm], above zero.
    smallest: smallest two-point diameter [mm], above zero, not above unworn.
    Returns both sizes, ground on the unworn centre for the sure one [mm].
    Holds for wear in one place; two-point readings do not show on which side it is.
    Source: common practice.
    Raises ValueError naming a size that is out of range.

    >>> round(journal_clean_up_two_point(64.988, 64.945).sure, 3)
    64.902
    """
    _checked_size(smallest, "smallest diameter")
    if not unworn >= smallest:
        raise ValueError(f"smallest diameter is {smallest}; expected {unworn} (unworn) or less")
    return TwoPointCleanUp(unworn - 2.0 * (unworn - smallest), smallest)
