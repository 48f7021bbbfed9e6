"""Backlash of a gear pair when its shafts move or the housing and gears warm up."""

from __future__ import annotations

import math

from sparkout.mechanics import _bounds
from sparkout.mechanics.temperature import REFERENCE

__all__ = ["backlash_at_temperature", "backlash_change", "centre_distance_for_backlash"]


def _involute(angle: float) -> float:
    return math.tan(angle) - angle


def backlash_change(
    centre_distance: float, change: float, pressure_angle: float, helix_angle: float = 0.0
) -> float:
    """Change of backlash round the pitch circle when the centres move apart or together.

    Δj = 2 a' × (inv α' − inv α), cos α' = a cos α ÷ a'; for small moves 2 Δa tan α. Helical gears:
    α in the plane of rotation, tan αt = tan αn ÷ cos β.

    centre_distance: of the pair before, at its pressure angle [mm], above zero.
    change: apart positive, together negative, along the line of centres [mm].
    pressure_angle: normal pressure angle [°], 10 to 30.
    helix_angle: [°], 0 to 45; 0 for spur gears.
    Returns the change of circumferential backlash [mm].
    Holds for an external involute pair whose centre distance is that of its pressure angle.
    Source: involute geometry; Machinery's Handbook gives 2 Δa tan α (recalled from memory).
    Raises ValueError naming the number when one is out of range.

    >>> round(backlash_change(100.0, -0.02, 20.0), 4)
    -0.0145
    """
    _bounds.above("centre_distance", centre_distance, 0.0, "mm")
    _bounds.within("pressure_angle", pressure_angle, 10.0, 30.0, "°")
    _bounds.within("helix_angle", helix_angle, 0.0, 45.0, "°")
    angle = math.atan(math.tan(math.radians(pressure_angle)) / math.cos(math.radians(helix_angle)))
    moved = centre_distance + change
    _bounds.above("centre distance after the change", moved, 0.0, "mm")
    cosine = centre_distance * math.cos(angle) / moved
    if not cosine < 1.0:
        raise ValueError(
            f"change is {change:.6g} mm; it has to be above "
            f"{centre_distance * (math.cos(angle) - 1.0):.6g} mm, where the base circles meet"
        )
    working = math.acos(cosine)
    return 2.0 * moved * (_involute(working) - _involute(angle))


def centre_distance_for_backlash(
    centre_distance: float, backlash_wanted_more: float, pressure_angle: float
) -> float:
    """How far the centres have to move for more (or less) backlash.

    Δa = Δj ÷ (2 tan α), then refined on the exact relation of `backlash_change`.

    centre_distance: of the pair before [mm], above zero.
    backlash_wanted_more: change of backlash wanted, negative for less [mm].
    pressure_angle: [°], 10 to 30.
    Returns the move, apart positive [mm].
    Holds as `backlash_change`, for spur gears.
    Source: involute geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(centre_distance_for_backlash(100.0, 0.05, 20.0), 4)
    0.0685
    """
    _bounds.within("pressure_angle", pressure_angle, 10.0, 30.0, "°")
    slope = 2.0 * math.tan(math.radians(pressure_angle))
    move = backlash_wanted_more / slope
    for _ in range(20):
        error = backlash_change(centre_distance, move, pressure_angle) - backlash_wanted_more
        move -= error / slope
        if abs(error) < 1e-12:
            break
    return move


def backlash_at_temperature(
    backlash: float,
    centre_distance: float,
    pressure_angle: float,
    housing_expansion: float,
    housing_temperature: float,
    gear_expansion: float,
    gear_temperature: float,
) -> float:
    """Backlash of a pair when housing and gears are warm; negative means it binds.

    j(t) = j20 + 2 tan α × a × (αh × (th − 20) − αg × (tg − 20)).

    backlash: circumferential at 20 °C [mm].
    centre_distance: at 20 °C [mm], above zero.
    pressure_angle: [°], 10 to 30.
    housing_expansion: mean linear expansion of what holds the shafts [1/°C], 0 to 1e-4.
    housing_temperature: [°C].
    gear_expansion: mean linear expansion of the gears [1/°C], 0 to 1e-4.
    gear_temperature: [°C].
    Returns the backlash at temperature [mm].
    Holds for both gears of one metal and temperature: growing gears act as centres coming closer.
    Source: involute geometry and definition of mean linear expansion.
    Raises ValueError naming the number when one is out of range.

    >>> round(backlash_at_temperature(0.10, 150.0, 20.0, 21.5e-6, 90.0, 11.7e-6, 100.0), 3)
    0.162
    """
    _bounds.above("centre_distance", centre_distance, 0.0, "mm")
    _bounds.within("pressure_angle", pressure_angle, 10.0, 30.0, "°")
    _bounds.within("housing_expansion", housing_expansion, 0.0, 1e-4, "1/°C")
    _bounds.within("gear_expansion", gear_expansion, 0.0, 1e-4, "1/°C")
    _bounds.temperature("housing_temperature", housing_temperature)
    _bounds.temperature("gear_temperature", gear_temperature)
    opening = centre_distance * (
        housing_expansion * (housing_temperature - REFERENCE)
        - gear_expansion * (gear_temperature - REFERENCE)
    )
    return backlash + 2.0 * math.tan(math.radians(pressure_angle)) * opening
