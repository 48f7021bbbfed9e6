"""Piston-ring end gaps: at another bore size, hot, and the least gap that stays open."""

from __future__ import annotations

import math

from sparkout.mechanics import _bounds
from sparkout.mechanics.temperature import REFERENCE

__all__ = ["gap_at_bore", "hot_gap", "least_cold_gap"]


def gap_at_bore(gap: float, measured_bore: float, other_bore: float) -> float:
    """End gap of a ring in a bore of another size.

    G2 = G1 + π × (D2 − D1).

    gap: end gap as measured [mm], zero or more.
    measured_bore: bore diameter where it was measured [mm], above zero.
    other_bore: bore diameter asked for [mm], above zero.
    Returns the end gap there [mm].
    Holds for the same ring square in the bore: 0.01 mm of bore is 0.031 mm of gap.
    Source: circumference of a circle; TM 5-3805-261-34 rounds it to 0.003 in a 0.001 in.
    Raises ValueError when the ring would butt, or a number is out of range.

    >>> round(gap_at_bore(0.40, 100.00, 100.03), 3)
    0.494
    """
    _bounds.at_least("gap", gap, 0.0, "mm")
    _bounds.above("measured_bore", measured_bore, 0.0, "mm")
    _bounds.above("other_bore", other_bore, 0.0, "mm")
    other = gap + math.pi * (other_bore - measured_bore)
    if other < 0.0:
        raise ValueError(
            f"gap at {other_bore:.6g} mm bore comes out at {other:.4g} mm: the ring butts; it has "
            "to be 0 mm or more, so file the ring or use it in a larger bore"
        )
    return other


def hot_gap(
    cold_gap: float,
    bore: float,
    ring_expansion: float,
    ring_temperature: float,
    bore_expansion: float,
    bore_temperature: float,
) -> float:
    """End gap at working temperatures; negative means the ends would butt.

    G hot = G + π D × (αb × (tb − 20) − αr × (tr − 20)).

    cold_gap: end gap at 20 °C in this bore [mm], zero or more.
    bore: bore diameter at 20 °C [mm], above zero.
    ring_expansion: mean linear expansion of the ring [1/°C], 0 to 1e-4.
    ring_temperature: of the ring [°C].
    bore_expansion: mean linear expansion of the bore [1/°C], 0 to 1e-4.
    bore_temperature: of the bore [°C].
    Returns the end gap hot [mm].
    Holds for an evenly warm ring and bore; must stay above zero, butting breaks lands.
    Source: definition of mean linear expansion; common practice for the form.
    Raises ValueError naming the number when one is out of range.

    >>> round(hot_gap(0.40, 100.0, 11.4e-6, 200.0, 11.4e-6, 120.0), 3)
    0.113
    """
    _bounds.at_least("cold_gap", cold_gap, 0.0, "mm")
    _bounds.above("bore", bore, 0.0, "mm")
    _bounds.within("ring_expansion", ring_expansion, 0.0, 1e-4, "1/°C")
    _bounds.within("bore_expansion", bore_expansion, 0.0, 1e-4, "1/°C")
    _bounds.temperature("ring_temperature", ring_temperature)
    _bounds.temperature("bore_temperature", bore_temperature)
    ring = ring_expansion * (ring_temperature - REFERENCE)
    wall = bore_expansion * (bore_temperature - REFERENCE)
    return cold_gap + math.pi * bore * (wall - ring)


def least_cold_gap(
    bore: float,
    ring_expansion: float,
    ring_temperature: float,
    bore_expansion: float,
    bore_temperature: float,
    margin: float = 0.0,
) -> float:
    """Cold end gap that keeps a margin open hot.

    G = margin + π D × (αr × (tr − 20) − αb × (tb − 20)), never below the margin.

    bore: bore diameter at 20 °C [mm], above zero.
    ring_expansion: mean linear expansion of the ring [1/°C], 0 to 1e-4.
    ring_temperature: hottest the ring gets [°C].
    bore_expansion: mean linear expansion of the bore [1/°C], 0 to 1e-4.
    bore_temperature: of the bore at that moment [°C].
    margin: gap to be left hot [mm], zero or more.
    Returns the least cold gap [mm].
    Holds as `hot_gap`; the ring maker's minimum wins.
    Source: definition of mean linear expansion.
    Raises ValueError naming the number when one is out of range.

    >>> round(least_cold_gap(100.0, 11.4e-6, 200.0, 11.4e-6, 120.0, 0.05), 3)
    0.337
    """
    _bounds.at_least("margin", margin, 0.0, "mm")
    closing = -hot_gap(
        0.0, bore, ring_expansion, ring_temperature, bore_expansion, bore_temperature
    )
    return margin + max(closing, 0.0)
