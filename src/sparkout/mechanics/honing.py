"""Cross-hatch of a honed bore from stroke and speed, in both conventions of measuring it."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["CrossHatch", "cross_hatch", "strokes_for_angle", "surface_speed"]


class CrossHatch(NamedTuple):
    """Speeds [m/min] and the angle between the lines [°], as both customs measure it."""

    surface_speed: float
    axial_speed: float
    about_circumference: float
    """between the lines, opening sideways: the acute one of a usual hatch"""
    about_axis: float
    """between the lines, opening along the bore: 180° less the other"""


def surface_speed(bore: float, rev_per_min: float) -> float:
    """Speed of the stones round the bore.

    v = π × D × n.

    bore: bore diameter [mm], above zero.
    rev_per_min: spindle speed [1/min], above zero.
    Returns the speed [m/min].
    Holds for any bore.
    Source: circumference of a circle.
    Raises ValueError naming the number when one is out of range.

    >>> round(surface_speed(86.0, 200.0), 3)
    54.035
    """
    _bounds.above("bore", bore, 0.0, "mm")
    _bounds.above("rev_per_min", rev_per_min, 0.0, "1/min")
    return math.pi * bore * rev_per_min / 1000.0


def cross_hatch(
    bore: float, rev_per_min: float, stroke: float, double_strokes_per_min: float
) -> CrossHatch:
    """Angle between the honing lines from spindle speed and stroking.

    angle about the circumference = 2 × atan(2 × stroke × double strokes ÷ (π × D × n)); about the
    axis = 180° − that.

    bore: bore diameter [mm], above zero.
    rev_per_min: spindle speed [1/min], above zero.
    stroke: length of one stroke [mm], above zero.
    double_strokes_per_min: up and down counts as one [1/min], above zero.
    Returns speeds [m/min] and the angle in both conventions [°].
    Holds in the middle of the stroke; the lines flatten where the stroke turns.
    Source: honing kinematics, common practice; sources differ in which angle they mean, so both
    are given.
    Raises ValueError naming the number when one is out of range.

    >>> round(cross_hatch(100.0, 150.0, 130.0, 60.0).about_circumference, 1)
    36.6
    """
    round_speed = surface_speed(bore, rev_per_min)
    _bounds.above("stroke", stroke, 0.0, "mm")
    _bounds.above("double_strokes_per_min", double_strokes_per_min, 0.0, "1/min")
    axial = 2.0 * stroke * double_strokes_per_min / 1000.0
    angle = 2.0 * math.degrees(math.atan2(axial, round_speed))
    return CrossHatch(round_speed, axial, angle, 180.0 - angle)


def strokes_for_angle(
    bore: float, rev_per_min: float, stroke: float, about_circumference: float
) -> float:
    """Double strokes a minute that give a cross-hatch.

    double strokes = π × D × n × tan(angle ÷ 2) ÷ (2 × stroke).

    bore: bore diameter [mm], above zero.
    rev_per_min: spindle speed [1/min], above zero.
    stroke: length of one stroke [mm], above zero.
    about_circumference: angle between the lines about the circumference [°], above 0, below 180.
    Returns double strokes a minute [1/min].
    Holds as `cross_hatch`, of which it is the inverse.
    Source: honing kinematics, common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(strokes_for_angle(100.0, 150.0, 130.0, 36.6), 1)
    59.9
    """
    round_speed = surface_speed(bore, rev_per_min)
    _bounds.above("stroke", stroke, 0.0, "mm")
    _bounds.above("about_circumference", about_circumference, 0.0, "°")
    _bounds.below("about_circumference", about_circumference, 180.0, "°")
    axial = round_speed * math.tan(math.radians(about_circumference) / 2.0)
    return axial * 1000.0 / (2.0 * stroke)
