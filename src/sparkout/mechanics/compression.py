"""Swept and clearance volume, compression ratio, and how each dimension moves it."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = [
    "Chamber",
    "ClearanceVolume",
    "RatioSlopes",
    "chamber_volume_for_ratio",
    "clearance_volume",
    "compression_ratio",
    "gasket_thickness_for_ratio",
    "ratio_slopes",
    "ratio_when_piston_at",
    "swept_volume",
]

_QUARTER_PI = math.pi / 4.0


class Chamber(NamedTuple):
    """Everything that makes one cylinder's clearance volume. mm and cm³.

    chamber_cm3: in the head, measured with its valves at the recessions of that day.
    gasket_bore, gasket_thickness: compressed. deck_gap: crown below the deck at top dead centre;
    negative when it stands proud. bowl_cm3: bowl and reliefs below the flat crown; dome_cm3: above.
    top_land_height, top_land_gap: from crown to top ring, and the diametral gap there.
    recession_change: summed over valves, head diameter and how much deeper each sits since the
    chamber was measured.
    """

    bore: float
    stroke: float
    chamber_cm3: float
    gasket_bore: float
    gasket_thickness: float
    deck_gap: float = 0.0
    bowl_cm3: float = 0.0
    dome_cm3: float = 0.0
    top_land_height: float = 0.0
    top_land_gap: float = 0.0
    recession_change: tuple[tuple[float, float], ...] = ()


class ClearanceVolume(NamedTuple):
    """Parts of the clearance volume [cm³]; the dome counts negative, so they add up."""

    chamber: float
    recession: float
    gasket: float
    deck: float
    bowl: float
    dome: float
    crevice: float

    @property
    def total(self) -> float:
        return math.fsum(self)


class RatioSlopes(NamedTuple):
    """Change of compression ratio per mm, or per cm³ for the volumes."""

    bore: float
    stroke: float
    chamber_cm3: float
    gasket_bore: float
    gasket_thickness: float
    deck_gap: float
    bowl_cm3: float
    dome_cm3: float
    top_land_height: float
    top_land_gap: float
    valve_recession: tuple[float, ...]
    """one per valve of `recession_change`"""


def _check(chamber: Chamber) -> None:
    _bounds.above("bore", chamber.bore, 0.0, "mm")
    _bounds.above("stroke", chamber.stroke, 0.0, "mm")
    _bounds.at_least("chamber_cm3", chamber.chamber_cm3, 0.0, "cm³")
    _bounds.above("gasket_bore", chamber.gasket_bore, 0.0, "mm")
    _bounds.at_least("gasket_thickness", chamber.gasket_thickness, 0.0, "mm")
    _bounds.finite("deck_gap", chamber.deck_gap, "mm")
    _bounds.at_least("bowl_cm3", chamber.bowl_cm3, 0.0, "cm³")
    _bounds.at_least("dome_cm3", chamber.dome_cm3, 0.0, "cm³")
    _bounds.at_least("top_land_height", chamber.top_land_height, 0.0, "mm")
    _bounds.at_least("top_land_gap", chamber.top_land_gap, 0.0, "mm")
    _bounds.below("top_land_gap", chamber.top_land_gap, chamber.bore, "mm")
    for diameter, _ in chamber.recession_change:
        _bounds.above("valve head diameter", diameter, 0.0, "mm")


def swept_volume(bore: float, stroke: float) -> float:
    """Swept volume of one cylinder.

    Vs = π ÷ 4 × D² × S.

    bore: cylinder diameter [mm], above zero.
    stroke: of the piston [mm], above zero.
    Returns the volume [cm³].
    Holds for a cylinder.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), 2.1.
    Raises ValueError naming the number when one is out of range.

    >>> round(swept_volume(86.5, 86.0), 3)
    505.383
    """
    _bounds.above("bore", bore, 0.0, "mm")
    _bounds.above("stroke", stroke, 0.0, "mm")
    return _QUARTER_PI * bore**2 * stroke / 1000.0


def clearance_volume(chamber: Chamber) -> ClearanceVolume:
    """Clearance volume of one cylinder, part by part.

    Vc = chamber + Σ π/4 dv² r + π/4 Dg² t + π/4 D² gap + bowl − dome + π/4 (D² − Dl²) hl.

    chamber: sizes and volumes of that cylinder [mm, cm³].
    Returns the parts and their total [cm³].
    Holds cold and at rest: rod stretch and bearing clearance take a little more at speed.
    Source: geometry.
    Raises ValueError naming the number when one is out of range, or when nothing is left.

    >>> parts = clearance_volume(Chamber(86.0, 86.0, 40.0, 87.0, 1.2, 0.1, 6.0))
    >>> round(parts.gasket, 3), round(parts.total, 3)
    (7.134, 53.714)
    """
    _check(chamber)
    c = chamber
    land = c.bore - c.top_land_gap
    parts = ClearanceVolume(
        c.chamber_cm3,
        math.fsum(_QUARTER_PI * d**2 * deeper for d, deeper in c.recession_change) / 1000.0,
        _QUARTER_PI * c.gasket_bore**2 * c.gasket_thickness / 1000.0,
        _QUARTER_PI * c.bore**2 * c.deck_gap / 1000.0,
        c.bowl_cm3,
        -c.dome_cm3,
        _QUARTER_PI * (c.bore**2 - land**2) * c.top_land_height / 1000.0,
    )
    _bounds.above("clearance volume", parts.total, 0.0, "cm³")
    return parts


def compression_ratio(chamber: Chamber) -> float:
    """Compression ratio of one cylinder.

    r = 1 + Vs ÷ Vc.

    chamber: sizes and volumes of that cylinder [mm, cm³].
    Returns the ratio [-].
    Holds for geometry; valve timing makes the effective one smaller.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), equation 2.1.
    Raises ValueError naming the number when one is out of range, or when no volume is left.

    >>> round(compression_ratio(Chamber(200.0, 250.0, 1570.0, 200.0, 0.0)), 4)
    6.0025
    """
    swept = swept_volume(chamber.bore, chamber.stroke)
    return 1.0 + swept / clearance_volume(chamber).total


def ratio_slopes(chamber: Chamber) -> RatioSlopes:
    """How much the compression ratio moves for each dimension.

    ∂r/∂x = (∂Vs/∂x) ÷ Vc − Vs × (∂Vc/∂x) ÷ Vc².

    chamber: sizes and volumes of that cylinder [mm, cm³].
    Returns the slopes [1/mm], those of the volumes [1/cm³].
    Holds for small changes, each dimension on its own; a bore change moves swept volume, deck
    volume and crevice, not the gasket's bore.
    Source: derivative of r = 1 + Vs ÷ Vc.
    Raises ValueError naming the number when one is out of range.

    >>> round(ratio_slopes(Chamber(86.0, 86.0, 40.0, 87.0, 1.2, 0.1, 6.0)).deck_gap, 3)
    -1.006
    """
    c = chamber
    swept = swept_volume(c.bore, c.stroke)
    clearance = clearance_volume(c).total
    land = c.bore - c.top_land_gap

    def slope(swept_by: float, clearance_by: float) -> float:
        return swept_by / clearance - swept * clearance_by / clearance**2

    # Areas in cm² ÷ 10 = cm³ per mm.
    return RatioSlopes(
        bore=slope(
            2.0 * swept / c.bore,
            2.0 * _QUARTER_PI * (c.bore * c.deck_gap + c.top_land_gap * c.top_land_height) / 1000.0,
        ),
        stroke=slope(swept / c.stroke, 0.0),
        chamber_cm3=slope(0.0, 1.0),
        gasket_bore=slope(0.0, 2.0 * _QUARTER_PI * c.gasket_bore * c.gasket_thickness / 1000.0),
        gasket_thickness=slope(0.0, _QUARTER_PI * c.gasket_bore**2 / 1000.0),
        deck_gap=slope(0.0, _QUARTER_PI * c.bore**2 / 1000.0),
        bowl_cm3=slope(0.0, 1.0),
        dome_cm3=slope(0.0, -1.0),
        top_land_height=slope(0.0, _QUARTER_PI * (c.bore**2 - land**2) / 1000.0),
        top_land_gap=slope(0.0, 2.0 * _QUARTER_PI * land * c.top_land_height / 1000.0),
        valve_recession=tuple(
            slope(0.0, _QUARTER_PI * d**2 / 1000.0) for d, _ in c.recession_change
        ),
    )


def chamber_volume_for_ratio(chamber: Chamber, ratio: float) -> float:
    """Chamber volume in the head that gives a wanted compression ratio.

    chamber = Vs ÷ (r − 1) − all other parts.

    chamber: the cylinder as it is; its own chamber volume does not matter [mm, cm³].
    ratio: compression ratio wanted [-], above 1.
    Returns the chamber volume [cm³].
    Holds as `compression_ratio`, of which it is an inverse.
    Source: geometry.
    Raises ValueError when no chamber would be left, or a number is out of range.

    >>> round(chamber_volume_for_ratio(Chamber(86.0, 86.0, 40.0, 87.0, 1.2, 0.1, 6.0), 10.5), 2)
    38.87
    """
    _bounds.above("ratio", ratio, 1.0)
    others = clearance_volume(chamber).total - chamber.chamber_cm3
    wanted = swept_volume(chamber.bore, chamber.stroke) / (ratio - 1.0) - others
    if wanted < 0.0:
        raise ValueError(
            f"ratio is {ratio:.6g}; gasket, deck and bowl alone give "
            f"{1.0 + swept_volume(chamber.bore, chamber.stroke) / others:.4g}, so it has to be "
            "below that"
        )
    return wanted


def gasket_thickness_for_ratio(chamber: Chamber, ratio: float) -> float:
    """Compressed gasket thickness that gives a wanted compression ratio.

    t = (Vs ÷ (r − 1) − all other parts) ÷ (π/4 Dg²).

    chamber: the cylinder as it is; its own gasket thickness does not matter [mm, cm³].
    ratio: compression ratio wanted [-], above 1.
    Returns the thickness [mm].
    Holds as `compression_ratio`, of which it is an inverse.
    Source: geometry.
    Raises ValueError when no gasket would be left, or a number is out of range.

    >>> round(gasket_thickness_for_ratio(Chamber(86.0, 86.0, 40.0, 87.0, 1.2, 0.1, 6.0), 10.2), 3)
    1.298
    """
    _bounds.above("ratio", ratio, 1.0)
    parts = clearance_volume(chamber)
    others = parts.total - parts.gasket
    swept = swept_volume(chamber.bore, chamber.stroke)
    thickness = (swept / (ratio - 1.0) - others) * 1000.0 / (_QUARTER_PI * chamber.gasket_bore**2)
    if thickness < 0.0:
        raise ValueError(
            f"ratio is {ratio:.6g}; without any gasket it is {1.0 + swept / others:.4g}, so it has "
            "to be below that"
        )
    return thickness


def ratio_when_piston_at(chamber: Chamber, drop: float) -> float:
    """Volume over the piston at a position, as a multiple of the clearance volume.

    V ÷ Vc = 1 + π/4 D² × x ÷ Vc.

    chamber: sizes and volumes of that cylinder [mm, cm³].
    drop: piston below top dead centre [mm], from 0 to the stroke.
    Returns the ratio of volumes [-].
    Holds for geometry.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), equation 2.4.
    Raises ValueError naming the number when one is out of range.

    >>> round(ratio_when_piston_at(Chamber(200.0, 250.0, 1570.0, 200.0, 0.0), 125.0), 4)
    3.5013
    """
    _bounds.within("drop", drop, 0.0, chamber.stroke, "mm")
    return 1.0 + _QUARTER_PI * chamber.bore**2 * drop / 1000.0 / clearance_volume(chamber).total
