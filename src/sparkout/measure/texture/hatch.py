"""Cross-hatch of a honed bore: from how the machine moves, and from lines measured on the wall.

Two habits of naming the angle are in use and mean opposite things. Here both are always given: the
angle the circumference halves (flat hatch, small angle: slow stroking) and the one the bore axis
halves, which is 180° less it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.faults import Fault, Place

__all__ = [
    "Hatch",
    "HatchLines",
    "axial_speed_for",
    "hatch_from_lines",
    "hatch_from_speeds",
    "stroking_speed",
    "surface_speed",
]


@dataclass(frozen=True, slots=True)
class Hatch:
    """The included angle between the two sets of hone lines [°], by both conventions."""

    about_circumference: float
    about_axis: float

    def __str__(self) -> str:
        return (
            f"{self.about_circumference:.1f}° included, halved by the circumference "
            f"({self.about_axis:.1f}° halved by the bore axis)"
        )


@dataclass(frozen=True, slots=True)
class HatchLines:
    """Cross-hatch from measured lines.

    hatch: included angle; u: its standard uncertainty from the scatter of the lines [°].
    rising, falling: mean angles of the two sets from the circumference [°], both positive.
    tilt: half of rising - falling [°]: up- and downstroke differ in speed. lines: how many.
    """

    hatch: Hatch
    u: float
    rising: float
    falling: float
    tilt: float
    lines: int


def surface_speed(bore: float, speed_rpm: float) -> float:
    """Speed of a hone stone round the bore.

    v = pi * bore * speed.

    bore: bore diameter [mm], above zero.
    speed_rpm: spindle speed [1/min], above zero.
    Returns the surface speed [m/min].
    Holds for stones at the wall.
    Source: plane kinematics.
    Raises ValueError naming the values when one is not above zero.

    >>> round(surface_speed(86.0, 200.0), 3)
    54.035
    """
    if not (bore > 0.0 and speed_rpm > 0.0):
        raise ValueError(f"bore and speed must be above zero, got {bore!r} and {speed_rpm!r}")
    return math.pi * bore * speed_rpm / 1000.0


def stroking_speed(stroke: float, strokes_per_min: float) -> float:
    """Mean axial speed of a hone.

    v = 2 * stroke * strokes: one stroke is once down and once up.

    stroke: length of stroke [mm], above zero.
    strokes_per_min: double strokes [1/min], above zero.
    Returns the mean axial speed [m/min].
    Holds away from the reversals, where the lines curve and the angle goes to zero.
    Source: plane kinematics.
    Raises ValueError naming the values when one is not above zero.

    >>> stroking_speed(130.0, 60.0)
    15.6
    """
    if not (stroke > 0.0 and strokes_per_min > 0.0):
        raise ValueError(
            f"stroke and strokes must be above zero, got {stroke!r} and {strokes_per_min!r}"
        )
    return 2.0 * stroke * strokes_per_min / 1000.0


def hatch_from_speeds(axial_m_min: float, surface_m_min: float) -> Hatch:
    """Included cross-hatch angle from the two speeds of a hone.

    tan(angle / 2) = axial speed / surface speed, angle halved by the circumference.

    axial_m_min: axial speed [m/min], not below zero.
    surface_m_min: surface speed [m/min], above zero.
    Returns the angle by both conventions [°].
    Holds for equal speeds up and down, away from the reversals.
    Source: plane kinematics; the relation is common practice in honing.
    Raises ValueError naming the values when out of range.

    >>> round(hatch_from_speeds(15.6, surface_speed(100.0, 150.0)).about_circumference, 1)
    36.6
    """
    if not (axial_m_min >= 0.0 and surface_m_min > 0.0):
        raise ValueError(f"speeds must be above zero, got {axial_m_min!r} and {surface_m_min!r}")
    angle = 2.0 * math.degrees(math.atan2(axial_m_min, surface_m_min))
    return Hatch(angle, 180.0 - angle)


def axial_speed_for(angle: float, surface_m_min: float) -> float:
    """Axial speed that gives a wanted cross-hatch.

    axial = surface * tan(angle / 2), angle halved by the circumference.

    angle: included angle, halved by the circumference [°], above 0 and below 180.
    surface_m_min: surface speed [m/min], above zero.
    Returns the axial speed [m/min].
    Holds for equal speeds up and down, away from the reversals.
    Source: plane kinematics; the relation is common practice in honing.
    Raises ValueError naming the values when out of range.

    >>> round(axial_speed_for(60.0, 54.035), 3)
    31.197
    """
    if not (0.0 < angle < 180.0 and surface_m_min > 0.0):
        raise ValueError(f"angle 0 to 180, speed above zero, got {angle!r} and {surface_m_min!r}")
    return surface_m_min * math.tan(math.radians(0.5 * angle))


def hatch_from_lines(
    angles: Sequence[float], place: Place | None = None
) -> tuple[HatchLines | None, tuple[Fault, ...]]:
    """Cross-hatch from the angles of single hone lines.

    Lines sloping one way and the other are averaged apart; the included angle is the sum of the two
    means, u from the scatter within each set.

    angles: of each line from the circumference [°], -90 to 90, the sign for which way it slopes.
    place: where the angles stand, named in faults [-].
    Returns the cross-hatch, or nothing with the faults that stopped it [-].
    Holds for two distinct sets of lines, two or more in each.
    Source: means and their uncertainty, JCGM 100:2008 (GUM), 4.2.3.

    >>> h, _ = hatch_from_lines([29.0, 31.0, -30.0, -32.0])
    >>> str(h.hatch)
    '61.0° included, halved by the circumference (119.0° halved by the bore axis)'
    """
    place = place or Place(key="hone lines")
    faults = [
        Fault(
            place,
            f"{a!r}° as line {i}",
            "an angle from the circumference between -90° and 90°, not 0°",
            "Measure from the circumference and give lines the other way a minus sign.",
        )
        for i, a in enumerate(angles, 1)
        if not (0.0 < abs(a) < 90.0)
    ]
    up = [a for a in angles if a > 0.0]
    down = [-a for a in angles if a < 0.0]
    if not faults and (len(up) < 2 or len(down) < 2):
        faults.append(
            Fault(
                place,
                f"{len(up)} line(s) one way and {len(down)} the other",
                "two or more each way",
                "Measure more lines; a bore with lines one way only is not cross-hatched.",
            )
        )
    if faults:
        return None, tuple(faults)
    means = [math.fsum(side) / len(side) for side in (up, down)]
    squares = [
        math.fsum((a - mean) ** 2 for a in side) / (len(side) - 1) / len(side)
        for side, mean in zip((up, down), means, strict=True)
    ]
    angle = means[0] + means[1]
    return (
        HatchLines(
            hatch=Hatch(angle, 180.0 - angle),
            u=math.sqrt(math.fsum(squares)),
            rising=means[0],
            falling=means[1],
            tilt=0.5 * (means[0] - means[1]),
            lines=len(angles),
        ),
        (),
    )
