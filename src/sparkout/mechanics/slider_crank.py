"""Piston motion of a slider crank, with or without pin or crank offset.

Crank angle 0 is the throw pointing along the bore away from the shaft. The offset is the distance
of the pin's path from the shaft's axis, positive on the side the throw moves to after angle 0.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = [
    "SliderCrank",
    "angles_at_drop",
    "dead_centres",
    "mean_piston_speed",
    "piston_acceleration",
    "piston_drop",
    "piston_stroke",
    "piston_velocity",
    "rod_angle",
]


class SliderCrank(NamedTuple):
    """Throw (half the crank's stroke), rod centre length and offset [mm]."""

    throw: float
    rod: float
    offset: float = 0.0


def _check(mechanism: SliderCrank) -> None:
    _bounds.above("throw", mechanism.throw, 0.0, "mm")
    _bounds.finite("offset", mechanism.offset, "mm")
    least = mechanism.throw + abs(mechanism.offset)
    if not (math.isfinite(mechanism.rod) and mechanism.rod > least):
        raise ValueError(
            f"rod is {mechanism.rod:.6g} mm; it has to be above throw and offset together, "
            f"{least:.6g} mm, or the crank cannot turn over"
        )


def _pin_height(mechanism: SliderCrank, crank: float) -> float:
    aside = mechanism.throw * math.sin(crank) - mechanism.offset
    return mechanism.throw * math.cos(crank) + math.sqrt(mechanism.rod**2 - aside**2)


def _highest(mechanism: SliderCrank) -> float:
    return math.sqrt((mechanism.rod + mechanism.throw) ** 2 - mechanism.offset**2)


def dead_centres(mechanism: SliderCrank) -> tuple[float, float]:
    """Crank angles of the piston's top and bottom dead centre.

    top: asin(e ÷ (l + a)); bottom: 180° + asin(e ÷ (l − a)).

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    Returns both angles [°].
    Holds for a rigid mechanism without clearances.
    Source: geometry (throw and rod in line).
    Raises ValueError when the crank could not turn over.

    >>> [round(angle, 2) for angle in dead_centres(SliderCrank(43.0, 143.5, 0.8))]
    [0.25, 180.46]
    """
    _check(mechanism)
    top = math.asin(mechanism.offset / (mechanism.rod + mechanism.throw))
    bottom = math.pi + math.asin(mechanism.offset / (mechanism.rod - mechanism.throw))
    return math.degrees(top), math.degrees(bottom)


def piston_stroke(mechanism: SliderCrank) -> float:
    """Stroke of the piston: with an offset a little more than twice the throw.

    S = √((l + a)² − e²) − √((l − a)² − e²).

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    Returns the stroke [mm].
    Holds for a rigid mechanism without clearances.
    Source: geometry (throw and rod in line).
    Raises ValueError when the crank could not turn over.

    >>> piston_stroke(SliderCrank(43.0, 143.5))
    86.0
    """
    _check(mechanism)
    lowest = math.sqrt((mechanism.rod - mechanism.throw) ** 2 - mechanism.offset**2)
    return _highest(mechanism) - lowest


def piston_drop(mechanism: SliderCrank, crank_angle: float) -> float:
    """How far the piston is below its top dead centre at a crank angle.

    x = √((l + a)² − e²) − a cos θ − √(l² − (a sin θ − e)²).

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    crank_angle: from the throw pointing along the bore, in the direction of rotation [°], any.
    Returns the distance down the bore [mm].
    Holds for a rigid mechanism without clearances.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), equation 2.5, with offset.
    Raises ValueError when the crank could not turn over.

    >>> round(piston_drop(SliderCrank(43.0, 143.5), 60.0), 5)
    26.41609
    """
    _check(mechanism)
    return _highest(mechanism) - _pin_height(mechanism, math.radians(crank_angle))


def rod_angle(mechanism: SliderCrank, crank_angle: float) -> float:
    """Lean of the rod against the bore.

    β = asin((a sin θ − e) ÷ l).

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    crank_angle: [°], any.
    Returns the angle, positive towards the side the throw moves to after angle 0 [°].
    Holds for a rigid mechanism without clearances.
    Source: geometry.
    Raises ValueError when the crank could not turn over.

    >>> round(rod_angle(SliderCrank(43.0, 143.5), 90.0), 2)
    17.44
    """
    _check(mechanism)
    aside = mechanism.throw * math.sin(math.radians(crank_angle)) - mechanism.offset
    return math.degrees(math.asin(aside / mechanism.rod))


def piston_velocity(mechanism: SliderCrank, crank_angle: float, rev_per_min: float) -> float:
    """Speed of the piston, downwards positive.

    v = ω × a × sin(θ + β) ÷ cos β with sin β = (a sin θ − e) ÷ l.

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    crank_angle: [°], any.
    rev_per_min: crank speed [1/min], zero or more.
    Returns the velocity [m/s].
    Holds at even crank speed.
    Source: derivative of Heywood (1988), equation 2.5.
    Raises ValueError when the crank could not turn over or the speed is below zero.

    >>> round(piston_velocity(SliderCrank(43.0, 143.5), 75.0, 6000.0), 2)
    28.21
    """
    _bounds.at_least("rev_per_min", rev_per_min, 0.0, "1/min")
    lean = math.radians(rod_angle(mechanism, crank_angle))
    turn = math.radians(crank_angle)
    per_radian = mechanism.throw * math.sin(turn + lean) / math.cos(lean)
    return per_radian * rev_per_min * math.pi / 30.0 / 1000.0


def piston_acceleration(mechanism: SliderCrank, crank_angle: float, rev_per_min: float) -> float:
    """Acceleration of the piston, downwards positive.

    w = ω² × a × (cos(θ + β) ÷ cos β + (a ÷ l) × cos² θ ÷ cos³ β).

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    crank_angle: [°], any.
    rev_per_min: crank speed [1/min], zero or more.
    Returns the acceleration [m/s²].
    Holds at even crank speed.
    Source: second derivative of Heywood (1988), equation 2.5.
    Raises ValueError when the crank could not turn over or the speed is below zero.

    >>> round(piston_acceleration(SliderCrank(43.0, 143.5), 0.0, 6000.0))
    22063
    """
    _bounds.at_least("rev_per_min", rev_per_min, 0.0, "1/min")
    lean = math.radians(rod_angle(mechanism, crank_angle))
    turn = math.radians(crank_angle)
    ratio = mechanism.throw / mechanism.rod
    shape = math.cos(turn + lean) / math.cos(lean)
    shape += ratio * math.cos(turn) ** 2 / math.cos(lean) ** 3
    return mechanism.throw * shape * (rev_per_min * math.pi / 30.0) ** 2 / 1000.0


def mean_piston_speed(stroke: float, rev_per_min: float) -> float:
    """Mean speed of the piston.

    v = 2 × S × n.

    stroke: of the piston [mm], above zero.
    rev_per_min: crank speed [1/min], zero or more.
    Returns the mean speed [m/s].
    Holds at even crank speed.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), equation 2.9.
    Raises ValueError naming the number when one is out of range.

    >>> mean_piston_speed(86.0, 6000.0)
    17.2
    """
    _bounds.above("stroke", stroke, 0.0, "mm")
    _bounds.at_least("rev_per_min", rev_per_min, 0.0, "1/min")
    return 2.0 * stroke * rev_per_min / 60.0 / 1000.0


def angles_at_drop(mechanism: SliderCrank, drop: float) -> tuple[float, float]:
    """Crank angles before and after top dead centre at which the piston is a given way down.

    With h = √((l + a)² − e²) − x: a and l close the triangle from the shaft to (e, h), so
    θ = atan2(e, h) ± acos((a² + r² − l²) ÷ (2 a r)), r² = e² + h².

    mechanism: throw, rod and offset [mm], rod above throw and offset together.
    drop: distance below top dead centre [mm], from 0 to the stroke.
    Returns the angle before (negative or small) and after top dead centre [°].
    Holds for a rigid mechanism without clearances; used with a positive stop, half their sum is not
    top dead centre when there is an offset.
    Source: geometry (law of cosines), inverse of `piston_drop`.
    Raises ValueError naming the drop when it is outside the stroke.

    >>> [round(angle, 4) for angle in angles_at_drop(SliderCrank(43.0, 143.5), 26.41609)]
    [-60.0, 60.0]
    """
    stroke = piston_stroke(mechanism)
    _bounds.within("drop", drop, 0.0, stroke, "mm")
    height = _highest(mechanism) - drop
    reach = math.hypot(mechanism.offset, height)
    cosine = (mechanism.throw**2 + reach**2 - mechanism.rod**2) / (2.0 * mechanism.throw * reach)
    # Rounding may carry the cosine past 1 by a few parts in 1e16 at the dead centres.
    swing = math.acos(max(-1.0, min(1.0, cosine)))
    middle = math.atan2(mechanism.offset, height)
    return math.degrees(middle - swing), math.degrees(middle + swing)
