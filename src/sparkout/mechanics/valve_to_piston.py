"""Valve to piston over the crank angle: where they come nearest and what moves it."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.slider_crank import SliderCrank, piston_drop

__all__ = ["LiftPoint", "Nearest", "nearest_approach", "pocket_side_clearance", "valve_gap"]


class LiftPoint(NamedTuple):
    """One point of a valve-lift curve: crank angle [°] and lift along the stem [mm]."""

    crank_angle: float
    lift: float


class Nearest(NamedTuple):
    """Smallest gap square to the valve face [mm] and the crank angle it falls at [°]."""

    gap: float
    crank_angle: float
    lift: float


def _lift_at(curve: Sequence[LiftPoint], angle: float) -> float:
    if angle <= curve[0].crank_angle or angle >= curve[-1].crank_angle:
        return 0.0
    place = bisect_right(curve, angle, key=lambda point: point.crank_angle)
    before, after = curve[place - 1], curve[place]
    part = (angle - before.crank_angle) / (after.crank_angle - before.crank_angle)
    return before.lift + part * (after.lift - before.lift)


def _check(curve: Sequence[LiftPoint], tilt: float) -> None:
    if len(curve) < 3:
        raise ValueError(f"lift curve has {len(curve)} points; it has to have 3 or more")
    for before, after in pairwise(curve):
        if not after.crank_angle > before.crank_angle:
            raise ValueError(
                f"lift curve goes from {before.crank_angle:.6g}° to {after.crank_angle:.6g}°; "
                "crank angles have to rise from point to point"
            )
    for point in curve:
        _bounds.at_least(f"lift at {point.crank_angle:.6g}°", point.lift, 0.0, "mm")
    _bounds.within("tilt", tilt, 0.0, 60.0, "°")


def valve_gap(
    mechanism: SliderCrank,
    crank_angle: float,
    lift: float,
    shut_gap: float,
    tilt: float = 0.0,
) -> float:
    """Gap between valve head and piston, square to the valve face, at one crank angle.

    gap = shut gap + x(θ) × cos γ − lift.

    mechanism: throw, rod and offset [mm].
    crank_angle: from firing-order top dead centre [°], any.
    lift: valve lift along the stem there [mm], zero or more.
    shut_gap: square to the valve face, valve shut, piston at top dead centre [mm].
    tilt: of the stem against the bore [°], 0 to 60.
    Returns the gap [mm]; negative, they have met.
    Holds for a piston pocket whose floor is parallel to the valve face.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(valve_gap(SliderCrank(43.0, 143.5), 10.0, 2.0, 3.5, 0.0), 3)
    2.348
    """
    _bounds.at_least("lift", lift, 0.0, "mm")
    _bounds.within("tilt", tilt, 0.0, 60.0, "°")
    _bounds.finite("shut_gap", shut_gap, "mm")
    return shut_gap + piston_drop(mechanism, crank_angle) * math.cos(math.radians(tilt)) - lift


def nearest_approach(
    mechanism: SliderCrank,
    curve: Sequence[LiftPoint],
    shut_gap: float,
    tilt: float = 0.0,
    retard: float = 0.0,
) -> Nearest:
    """Smallest valve-to-piston gap over a lift curve, and where it falls.

    least over θ of shut gap + x(θ) × cos γ − lift(θ − retard); looked for every tenth of a degree,
    then closed in by golden section.

    mechanism: throw, rod and offset [mm].
    curve: lift points by rising crank angle, 0° at the overlap's top dead centre [°, mm].
    shut_gap: square to the valve face, valve shut, piston at top dead centre [mm].
    tilt: of the stem against the bore [°], 0 to 60.
    retard: how much later than the curve the cam is timed [crank °]; negative is earlier.
    Returns gap [mm], crank angle [°] and lift there [mm]. Cutting deck or head by c takes
    c × cos γ from the gap, a thicker gasket gives it, a valve sunk by s gives s.
    Holds for straight lines between the points and no valve float; a limit (common practice: 1.5
    intake, 2.0 exhaust in petrol engines, a rule of thumb) is on the maker's word.
    Source: geometry; the mock-up with light springs measures the same thing.
    Raises ValueError when the curve is not one, or a number is out of range.

    >>> curve = [LiftPoint(float(a), 9.0 * math.sin(math.pi * (a + 20) / 240) ** 2)
    ...          for a in range(-20, 221, 2)]
    >>> near = nearest_approach(SliderCrank(43.0, 143.5), curve, 4.0, 10.0)
    >>> round(near.gap, 2), round(near.crank_angle)
    (3.27, 4)
    """
    _check(curve, tilt)
    _bounds.finite("shut_gap", shut_gap, "mm")
    _bounds.finite("retard", retard, "°")
    cosine = math.cos(math.radians(tilt))

    def gap(angle: float) -> float:
        return shut_gap + piston_drop(mechanism, angle) * cosine - _lift_at(curve, angle - retard)

    first, last = curve[0].crank_angle + retard, curve[-1].crank_angle + retard
    count = max(2, math.ceil((last - first) * 10.0))
    step = (last - first) / count
    best = min(range(count + 1), key=lambda i: gap(first + i * step))
    low, high = max(first, first + (best - 1) * step), min(last, first + (best + 1) * step)
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    while high - low > 1e-7:
        inner, outer = high - golden * (high - low), low + golden * (high - low)
        if gap(inner) < gap(outer):
            high = outer
        else:
            low = inner
    angle = min((low + high) / 2.0, first + best * step, key=gap)
    return Nearest(gap(angle), angle, _lift_at(curve, angle - retard))


def pocket_side_clearance(
    mechanism: SliderCrank, crank_angle: float, side_gap: float, tilt: float
) -> float:
    """Gap at the side of a piston pocket, which a tilted valve slides towards as the piston drops.

    side = side gap − x(θ) × sin γ.

    mechanism: throw, rod and offset [mm].
    crank_angle: [°], any.
    side_gap: between valve rim and pocket wall on the side towards which the pocket wanders, with
    the piston at top dead centre [mm].
    tilt: of the stem against the bore [°], 0 to 60.
    Returns the side gap [mm]; negative, rim and wall overlap if the valve is still in the pocket.
    Holds while the valve head is below the crown's surface.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(pocket_side_clearance(SliderCrank(43.0, 143.5), 15.0, 1.5, 20.0), 2)
    0.85
    """
    _bounds.within("tilt", tilt, 0.0, 60.0, "°")
    _bounds.finite("side_gap", side_gap, "mm")
    return side_gap - piston_drop(mechanism, crank_angle) * math.sin(math.radians(tilt))
