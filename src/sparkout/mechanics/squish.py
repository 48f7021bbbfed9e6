"""The gap between crown and head at top dead centre, and the band where it is tight."""

from __future__ import annotations

import math

from sparkout.mechanics import _bounds
from sparkout.mechanics.slider_crank import SliderCrank, piston_drop, piston_velocity

__all__ = ["piston_to_head", "squish_share", "squish_velocity"]


def piston_to_head(
    gasket_thickness: float,
    deck_gap: float,
    chamber_step: float = 0.0,
    crown_step: float = 0.0,
) -> float:
    """Cold gap between piston and head at one place, at top dead centre.

    gap = compressed gasket + deck gap + chamber step − crown step.

    gasket_thickness: compressed [mm], zero or more.
    deck_gap: crown reference below the deck [mm]; negative when the piston protrudes.
    chamber_step: how much higher the head is there than its face [mm], zero or more.
    crown_step: how much the crown stands above its reference there [mm].
    Returns the gap [mm].
    Holds at rest and cold; at speed rod stretch and clearances take from it, so a minimum (common
    practice asks 0.7 to 1.0 mm in petrol engines, a rule of thumb) is on the maker's word.
    Source: geometry.
    Raises ValueError when the piston would touch, or a number is out of range.

    >>> round(piston_to_head(1.30, -0.48), 3)
    0.82
    """
    _bounds.at_least("gasket_thickness", gasket_thickness, 0.0, "mm")
    _bounds.at_least("chamber_step", chamber_step, 0.0, "mm")
    _bounds.finite("deck_gap", deck_gap, "mm")
    _bounds.finite("crown_step", crown_step, "mm")
    gap = gasket_thickness + deck_gap + chamber_step - crown_step
    if not gap > 0.0:
        raise ValueError(
            f"piston to head comes out at {gap:.4g} mm: they touch; it has to be above 0 mm: a "
            "thicker gasket or a lower crown"
        )
    return gap


def squish_share(bore: float, open_area_mm2: float) -> float:
    """Share of the piston's area that meets flat head.

    share = 1 − A ÷ (π/4 D²).

    bore: cylinder diameter [mm], above zero.
    open_area_mm2: opening of chamber or bowl in the face [mm²], from 0 to the bore's area.
    Returns the share [-], 0 to 1.
    Holds for flat bands.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(squish_share(100.0, 3141.6), 2)
    0.6
    """
    _bounds.above("bore", bore, 0.0, "mm")
    area = math.pi / 4.0 * bore**2
    _bounds.within("open_area_mm2", open_area_mm2, 0.0, area, "mm²")
    return 1.0 - open_area_mm2 / area


def squish_velocity(
    mechanism: SliderCrank,
    crank_angle: float,
    rev_per_min: float,
    bore: float,
    bowl_diameter: float,
    bowl_cm3: float,
    gap: float,
) -> float:
    """Gas speed from the squish band into a round bowl in the piston.

    vsq = v × ((D ÷ Db)² − 1) × Db ÷ (4 z) × VB ÷ (A z + VB), z = gap + piston drop, A = π/4 D².

    mechanism: throw, rod and offset [mm].
    crank_angle: [°]; before top dead centre the flow is inwards and positive.
    rev_per_min: crank speed [1/min], zero or more.
    bore: cylinder diameter [mm], above the bowl's.
    bowl_diameter: of the bowl's mouth [mm], above zero.
    bowl_cm3: volume of the bowl [cm³], above zero.
    gap: piston to head at top dead centre [mm], above zero.
    Returns the speed through the bowl's edge [m/s].
    Holds without leakage, friction and heat: an upper value.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), 8.4 (recalled from memory,
    derived again from continuity in the tests).
    Raises ValueError naming the number when one is out of range.

    >>> round(squish_velocity(SliderCrank(60.0, 205.0), -10.0, 2200.0, 100.0, 55.0, 45.0, 0.9), 1)
    34.7
    """
    _bounds.above("bowl_diameter", bowl_diameter, 0.0, "mm")
    _bounds.above("bore", bore, bowl_diameter, "mm")
    _bounds.above("bowl_cm3", bowl_cm3, 0.0, "cm³")
    _bounds.above("gap", gap, 0.0, "mm")
    rising = -piston_velocity(mechanism, crank_angle, rev_per_min)
    height = gap + piston_drop(mechanism, crank_angle)
    bowl = bowl_cm3 * 1000.0
    shape = ((bore / bowl_diameter) ** 2 - 1.0) * bowl_diameter / (4.0 * height)
    return rising * shape * bowl / (math.pi / 4.0 * bore**2 * height + bowl)
