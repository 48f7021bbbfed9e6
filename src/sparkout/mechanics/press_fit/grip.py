"""What a pressed joint holds and what pressing it takes, for a range of friction."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["Range", "press_force", "pressure_for_torque", "torque_capacity"]


class Range(NamedTuple):
    """Lowest and highest value for the friction range given."""

    low: float
    high: float


def _force(
    pressure: float, diameter: float, length: float, friction_low: float, friction_high: float
) -> Range:
    _bounds.above("pressure", pressure, 0.0, "MPa")
    _bounds.above("diameter", diameter, 0.0, "mm")
    _bounds.above("length", length, 0.0, "mm")
    _bounds.above("friction_low", friction_low, 0.0)
    _bounds.ordered("friction_low", friction_low, "friction_high", friction_high)
    area = math.pi * diameter * length
    return Range(friction_low * pressure * area, friction_high * pressure * area)


def press_force(
    pressure: float, diameter: float, length: float, friction_low: float, friction_high: float
) -> Range:
    """Force to press a joint to its full length, or to press it out again.

    F = μ × p × π × d × l.

    pressure: contact pressure [MPa], above zero.
    diameter: of the joint [mm], above zero.
    length: of the contact [mm], above zero.
    friction_low: lowest coefficient of friction [-], above zero.
    friction_high: highest coefficient of friction [-], friction_low or more.
    Returns lowest and highest force at full engagement [N]; on the way it grows with the length in.
    Holds for even pressure along the joint; the shop's own friction range decides the answer.
    Source: Coulomb friction on the contact area; Shigley's Mechanical Engineering Design, 7-8.
    Raises ValueError naming the number when one is out of range.

    >>> [round(f) for f in press_force(10.0, 40.0, 20.0, 0.10, 0.20)]
    [2513, 5027]
    """
    return _force(pressure, diameter, length, friction_low, friction_high)


def torque_capacity(
    pressure: float, diameter: float, length: float, friction_low: float, friction_high: float
) -> Range:
    """Torque a pressed joint carries before it slips.

    T = μ × p × π × d × l × d ÷ 2.

    pressure: contact pressure [MPa], above zero.
    diameter: of the joint [mm], above zero.
    length: of the contact [mm], above zero.
    friction_low: lowest coefficient of friction [-], above zero.
    friction_high: highest coefficient of friction [-], friction_low or more.
    Returns lowest and highest torque [N·m]; plan on the lowest.
    Holds for even pressure, no key, steady load; alternating load needs a margin of its own.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 7-51 (form).
    Raises ValueError naming the number when one is out of range.

    >>> [round(t, 1) for t in torque_capacity(10.0, 40.0, 20.0, 0.10, 0.20)]
    [50.3, 100.5]
    """
    force = _force(pressure, diameter, length, friction_low, friction_high)
    arm = diameter / 2000.0
    return Range(force.low * arm, force.high * arm)


def pressure_for_torque(
    torque: float, diameter: float, length: float, friction_low: float
) -> float:
    """Contact pressure that carries a torque at the lowest friction.

    p = 2 × T ÷ (μ × π × d² × l).

    torque: to be carried, any margin included [N·m], above zero.
    diameter: of the joint [mm], above zero.
    length: of the contact [mm], above zero.
    friction_low: lowest coefficient of friction [-], above zero.
    Returns the contact pressure needed [MPa].
    Holds as `torque_capacity`.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 7-51 (form).
    Raises ValueError naming the number when one is out of range.

    >>> round(pressure_for_torque(50.265, 40.0, 20.0, 0.10), 2)
    10.0
    """
    _bounds.above("torque", torque, 0.0, "N·m")
    _bounds.above("diameter", diameter, 0.0, "mm")
    _bounds.above("length", length, 0.0, "mm")
    _bounds.above("friction_low", friction_low, 0.0)
    return 2000.0 * torque / (friction_low * math.pi * diameter**2 * length)
