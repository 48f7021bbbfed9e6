"""Clearances from cold to hot: a piston in a bore, a pin in a boss, two metals."""

from __future__ import annotations

from sparkout.mechanics import _bounds
from sparkout.mechanics.temperature import REFERENCE, size_at

__all__ = ["clearance_at", "cold_clearance_for", "seizing_temperature"]


def clearance_at(
    hole: float,
    shaft: float,
    hole_expansion: float,
    shaft_expansion: float,
    hole_temperature: float,
    shaft_temperature: float,
) -> float:
    """Diametral clearance of a shaft in a hole at working temperatures (negative: interference).

    c = Dh × (1 + αh × (th − 20)) − Ds × (1 + αs × (ts − 20)).

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: shaft or piston diameter at 20 °C [mm], above zero.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    shaft_expansion: mean linear expansion of the shaft [1/°C], 0 to 1e-4.
    hole_temperature: temperature of the part with the hole [°C], above absolute zero.
    shaft_temperature: temperature of the shaft, for a piston that of the skirt [°C].
    Returns the diametral clearance hot [mm].
    Holds for free, evenly warm parts; a piston is warmer at the crown than at the skirt.
    Source: definition of mean linear expansion; ISO 1:2022 for 20 °C.
    Raises ValueError naming the number when one is out of range.

    >>> round(clearance_at(100.0, 99.92, 11.4e-6, 19.4e-6, 110.0, 150.0), 4)
    -0.0694
    """
    return size_at(hole, hole_expansion, hole_temperature) - size_at(
        shaft, shaft_expansion, shaft_temperature
    )


def cold_clearance_for(
    hot_clearance: float,
    hole: float,
    hole_expansion: float,
    shaft_expansion: float,
    hole_temperature: float,
    shaft_temperature: float,
) -> float:
    """Diametral clearance at 20 °C that leaves a wanted clearance hot.

    Ds = (Dh × (1 + αh × (th − 20)) − c_hot) ÷ (1 + αs × (ts − 20)); c_cold = Dh − Ds.

    hot_clearance: diametral clearance wanted at working temperatures [mm].
    hole: hole diameter at 20 °C [mm], above zero.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    shaft_expansion: mean linear expansion of the shaft [1/°C], 0 to 1e-4.
    hole_temperature: temperature of the part with the hole [°C], above absolute zero.
    shaft_temperature: temperature of the shaft [°C], above absolute zero.
    Returns the diametral clearance at 20 °C [mm]; negative means an interference cold.
    Holds as `clearance_at`, of which it is the inverse.
    Source: definition of mean linear expansion; ISO 1:2022 for 20 °C.
    Raises ValueError naming the number when one is out of range, or when no shaft would be left.

    >>> round(cold_clearance_for(0.03, 100.0, 11.4e-6, 19.4e-6, 110.0, 150.0), 4)
    0.1791
    """
    hot_shaft = size_at(hole, hole_expansion, hole_temperature) - hot_clearance
    _bounds.above("shaft that leaves the hot clearance", hot_shaft, 0.0, "mm")
    _bounds.within("shaft_expansion", shaft_expansion, 0.0, 1e-4, "1/°C")
    _bounds.temperature("shaft_temperature", shaft_temperature)
    return hole - hot_shaft / (1.0 + shaft_expansion * (shaft_temperature - REFERENCE))


def seizing_temperature(
    hole: float,
    shaft: float,
    hole_expansion: float,
    shaft_expansion: float,
    hole_temperature: float,
) -> float:
    """Shaft (or piston skirt) temperature at which the clearance is used up.

    t = 20 + (Dh × (1 + αh × (th − 20)) ÷ Ds − 1) ÷ αs.

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: shaft or piston diameter at 20 °C [mm], above zero.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    shaft_expansion: mean linear expansion of the shaft [1/°C], above zero.
    hole_temperature: temperature of the part with the hole [°C], above absolute zero.
    Returns the shaft temperature at zero diametral clearance [°C].
    Holds as `clearance_at`; no margin for oil, ovality or taper is in it.
    Source: definition of mean linear expansion; ISO 1:2022 for 20 °C.
    Raises ValueError naming the number when one is out of range.

    >>> round(seizing_temperature(100.0, 99.92, 11.4e-6, 19.4e-6, 110.0), 1)
    114.2
    """
    _bounds.above("shaft", shaft, 0.0, "mm")
    _bounds.above("shaft_expansion", shaft_expansion, 0.0, "1/°C")
    hot_hole = size_at(hole, hole_expansion, hole_temperature)
    return REFERENCE + (hot_hole / shaft - 1.0) / shaft_expansion
