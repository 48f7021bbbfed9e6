"""Heating and chilling for assembly, and what service temperature does to the interference."""

from __future__ import annotations

from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.cautions import Caution
from sparkout.mechanics.temperature import REFERENCE, size_at

__all__ = [
    "DropIn",
    "chill_temperature",
    "heat_temperature",
    "interference_at",
    "loosening_temperature",
]


class DropIn(NamedTuple):
    """Temperature at which one part slips over or into the other with the gap asked for."""

    temperature: float
    """[°C]"""
    gap: float
    """diametral, at that temperature [mm]"""
    cautions: tuple[Caution, ...]


def _check(hole: float, shaft: float, gap: float) -> None:
    _bounds.above("hole", hole, 0.0, "mm")
    _bounds.above("shaft", shaft, 0.0, "mm")
    if not shaft > hole:
        raise ValueError(
            f"shaft is {shaft:.6g} mm and hole {hole:.6g} mm: nothing has to be heated or chilled; "
            "the shaft has to be above the hole"
        )
    _bounds.at_least("gap", gap, 0.0, "mm")


def heat_temperature(
    hole: float,
    shaft: float,
    gap: float,
    hole_expansion: float,
    shaft_temperature: float,
    shaft_expansion: float,
    hottest: float | None = None,
) -> DropIn:
    """Temperature of the part with the hole at which the other drops in.

    t = 20 + ((Ds(ts) + gap) ÷ Dh − 1) ÷ αh, with Ds(ts) the shaft as it is, room warm or chilled.

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: shaft diameter at 20 °C [mm], above the hole.
    gap: diametral gap for handling when they meet [mm], zero or more.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], above zero.
    shaft_temperature: temperature of the shaft at that moment [°C].
    shaft_expansion: mean linear expansion of the shaft [1/°C], 0 to 1e-4.
    hottest: highest temperature the heated part may see [°C], or None when no limit is given.
    Returns the temperature and gap; a caution "too_hot" where it is above the limit given.
    Holds for a part heated through, slipped on at once: heat flows as soon as they touch.
    Source: ΔT = (interference + gap) ÷ (α d), common practice, here without rounding.
    Raises ValueError when there is no interference or a number is out of range.

    >>> round(heat_temperature(400.0, 400.2, 0.0, 12e-6, 20.0, 12e-6).temperature, 1)
    61.7
    """
    _check(hole, shaft, gap)
    _bounds.above("hole_expansion", hole_expansion, 0.0, "1/°C")
    needed = size_at(shaft, shaft_expansion, shaft_temperature) + gap
    temperature = REFERENCE + (needed / hole - 1.0) / hole_expansion
    cautions: tuple[Caution, ...] = ()
    if hottest is not None and temperature > hottest:
        cautions = (
            Caution(
                "too_hot", temperature, hottest, "°C",
                "the part would have to be hotter than the limit given for it; chill the other "
                "part as well, or take less interference or gap",
            ),
        )  # fmt: skip
    return DropIn(temperature, gap, cautions)


def chill_temperature(
    hole: float,
    shaft: float,
    gap: float,
    shaft_expansion: float,
    hole_temperature: float,
    hole_expansion: float,
    coldest: float | None = None,
) -> DropIn:
    """Temperature of the inner part at which it drops into the hole.

    t = 20 + ((Dh(th) − gap) ÷ Ds − 1) ÷ αs, with Dh(th) the hole as it is, room warm or heated.

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: outside diameter of the inner part at 20 °C [mm], above the hole.
    gap: diametral gap for handling when they meet [mm], zero or more.
    shaft_expansion: mean linear expansion of the inner part [1/°C], above zero.
    hole_temperature: temperature of the part with the hole at that moment [°C].
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    coldest: lowest temperature the chilled part may see [°C], or None when no limit is given.
    Returns the temperature and gap; a caution "too_cold" where it is below the limit given.
    Holds for a part chilled through. α falls with temperature (steel by about a third at −196 °C,
    from memory), so the real need is colder than this figure below about −80 °C.
    Source: ΔT = (interference + gap) ÷ (α d), common practice, here without rounding.
    Raises ValueError when there is no interference, or when even absolute zero would not do.

    >>> round(chill_temperature(32.0, 32.05, 0.03, 11.7e-6, 150.0, 21.5e-6).temperature, 1)
    45.2
    """
    _check(hole, shaft, gap)
    _bounds.above("shaft_expansion", shaft_expansion, 0.0, "1/°C")
    wanted = size_at(hole, hole_expansion, hole_temperature) - gap
    temperature = REFERENCE + (wanted / shaft - 1.0) / shaft_expansion
    if temperature <= _bounds.ABSOLUTE_ZERO:
        raise ValueError(
            f"the chill needed is {temperature:.1f} °C, below absolute zero; heat the hole to more "
            f"than {hole_temperature:.6g} °C, or take less interference or gap"
        )
    cautions: tuple[Caution, ...] = ()
    if coldest is not None and temperature < coldest:
        cautions = (
            Caution(
                "too_cold", temperature, coldest, "°C",
                "the part would have to be colder than the limit given for it; heat the other "
                "part as well, or take less interference or gap",
            ),
        )  # fmt: skip
    return DropIn(temperature, gap, cautions)


def interference_at(
    hole: float,
    shaft: float,
    hole_expansion: float,
    shaft_expansion: float,
    hole_temperature: float,
    shaft_temperature: float,
) -> float:
    """Diametral interference in service, as free sizes at the temperatures given.

    δ(t) = Ds × (1 + αs × (ts − 20)) − Dh × (1 + αh × (th − 20)).

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: shaft diameter at 20 °C [mm], above zero.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    shaft_expansion: mean linear expansion of the shaft [1/°C], 0 to 1e-4.
    hole_temperature: temperature of the part with the hole [°C].
    shaft_temperature: temperature of the shaft [°C].
    Returns the diametral interference [mm]; negative, the joint is loose.
    Holds for each part evenly warm; put the result into `press_fit` for the pressure in service.
    Source: definition of mean linear expansion; ISO 1:2022 for 20 °C.
    Raises ValueError naming the number when one is out of range.

    >>> round(interference_at(32.0, 32.08, 21.5e-6, 11.7e-6, 200.0, 250.0), 4)
    0.0425
    """
    return size_at(shaft, shaft_expansion, shaft_temperature) - size_at(
        hole, hole_expansion, hole_temperature
    )


def loosening_temperature(
    hole: float, shaft: float, hole_expansion: float, shaft_expansion: float
) -> float:
    """Common temperature of both parts at which the interference is gone.

    t = 20 + (Ds − Dh) ÷ (Dh αh − Ds αs).

    hole: hole diameter at 20 °C [mm], above zero.
    shaft: shaft diameter at 20 °C [mm], above the hole.
    hole_expansion: mean linear expansion of the part with the hole [1/°C], 0 to 1e-4.
    shaft_expansion: mean linear expansion of the shaft [1/°C], 0 to 1e-4.
    Returns the temperature at which the joint is loose [°C].
    Holds for both parts at one temperature.
    Source: definition of mean linear expansion; ISO 1:2022 for 20 °C.
    Raises ValueError when there is no interference, or when warming tightens the joint.

    >>> round(loosening_temperature(32.0, 32.08, 21.5e-6, 11.7e-6), 0)
    276.0
    """
    _check(hole, shaft, 0.0)
    opening = hole * hole_expansion - shaft * shaft_expansion
    if opening <= 0.0:
        raise ValueError(
            f"hole_expansion is {hole_expansion:.3g} 1/°C and shaft_expansion "
            f"{shaft_expansion:.3g} 1/°C: warming tightens this joint, so it has no loosening "
            "temperature"
        )
    return REFERENCE + (shaft - hole) / opening
