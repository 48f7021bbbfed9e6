"""Viscosity of an engine oil over temperature from its two catalogue figures."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["Oil", "dynamic_viscosity_mpas", "kinematic_viscosity", "oil_density", "vogel"]

_KELVIN = 273.15
_DENSITY_SLOPE = 0.00064
"""g/cm³ per °C for mineral oil (petroleum tables, recalled from memory)."""


class Oil(NamedTuple):
    """Kinematic viscosity [mm²/s] at 40 and 100 °C, density at 15 °C [g/cm³], heat [J/(g·K)]."""

    viscosity_40: float
    viscosity_100: float
    density_15: float = 0.88
    specific_heat: float = 2.0
    """typical of mineral engine oil (recalled from memory)"""


def _double_log(viscosity: float) -> float:
    return math.log10(math.log10(viscosity + 0.7))


def kinematic_viscosity(oil: Oil, temperature: float) -> float:
    """Kinematic viscosity of an oil at a temperature.

    log10 log10 (ν + 0.7) = A − B log10 T through the two catalogue figures.

    oil: kinematic viscosities at 40 and 100 °C [mm²/s], that at 40 °C the larger, both 2 or more.
    temperature: of the oil [°C], −20 to 200.
    Returns the kinematic viscosity [mm²/s].
    Holds for mineral and most synthetic oils where the result is 2 mm²/s or more; multigrade oils
    thin further while they are sheared in a bearing.
    Source: ASTM D341 (Walther's equation with MacCoull's constant 0.7).
    Raises ValueError naming the number when one is out of range.

    >>> round(kinematic_viscosity(Oil(94.0, 14.4), 90.0), 1)
    18.2
    """
    _bounds.at_least("viscosity_100", oil.viscosity_100, 2.0, "mm²/s")
    _bounds.above("viscosity_40", oil.viscosity_40, oil.viscosity_100, "mm²/s")
    _bounds.within("temperature", temperature, -20.0, 200.0, "°C")
    cool, warm = math.log10(40.0 + _KELVIN), math.log10(100.0 + _KELVIN)
    top, bottom = _double_log(oil.viscosity_40), _double_log(oil.viscosity_100)
    slope = (top - bottom) / (warm - cool)
    there = top - slope * (math.log10(temperature + _KELVIN) - cool)
    return float(10.0 ** (10.0**there)) - 0.7


def oil_density(oil: Oil, temperature: float) -> float:
    """Density of an oil at a temperature.

    ρ = ρ15 − 0.00064 × (t − 15).

    oil: density at 15 °C [g/cm³], 0.7 to 1.1.
    temperature: of the oil [°C], −20 to 200.
    Returns the density [g/cm³].
    Holds for mineral oil.
    Source: petroleum tables' mean slope (recalled from memory), a rule of thumb.
    Raises ValueError naming the number when one is out of range.

    >>> round(oil_density(Oil(94.0, 14.4), 90.0), 3)
    0.832
    """
    _bounds.within("density_15", oil.density_15, 0.7, 1.1, "g/cm³")
    _bounds.within("temperature", temperature, -20.0, 200.0, "°C")
    return oil.density_15 - _DENSITY_SLOPE * (temperature - 15.0)


def dynamic_viscosity_mpas(oil: Oil, temperature: float) -> float:
    """Dynamic viscosity of an oil at a temperature.

    µ = ν × ρ.

    oil: viscosities and density [mm²/s, g/cm³].
    temperature: of the oil [°C], −20 to 200.
    Returns the dynamic viscosity [mPa·s].
    Holds as `kinematic_viscosity`, without pressure or shear thinning.
    Source: definition; ASTM D341 for ν.
    Raises ValueError naming the number when one is out of range.

    >>> round(dynamic_viscosity_mpas(Oil(94.0, 14.4), 90.0), 1)
    15.2
    """
    return kinematic_viscosity(oil, temperature) * oil_density(oil, temperature)


def vogel(points: tuple[tuple[float, float], ...], temperature: float) -> float:
    """Dynamic viscosity from three measured points after Vogel.

    ln µ = a + b ÷ (t + c) through the points.

    points: three of (temperature [°C], viscosity [mPa·s]) by rising temperature [-].
    temperature: asked for [°C], not more than 50 °C outside the points.
    Returns the dynamic viscosity [mPa·s].
    Holds between the points and a little beyond.
    Source: Vogel (1921), as used by ISO 7902-1 (recalled from memory).
    Raises ValueError when the points do not fall ever more slowly, or one is out of range.

    >>> round(vogel(((40.0, 80.0), (70.0, 25.0), (100.0, 11.5)), 85.0), 1)
    16.4
    """
    if len(points) != 3:
        raise ValueError(f"points holds {len(points)}; it has to hold 3")
    (t1, m1), (t2, m2), (t3, m3) = points
    for value in (m1, m2, m3):
        _bounds.above("viscosity", value, 0.0, "mPa·s")
    _bounds.within("temperature", temperature, t1 - 50.0, t3 + 50.0, "°C")
    y1, y2, y3 = math.log(m1), math.log(m2), math.log(m3)
    first, second = (y1 - y2) / (t2 - t1), (y2 - y3) / (t3 - t2)
    if not (t1 < t2 < t3 and first > second > 0.0):
        raise ValueError(
            "points have to rise in temperature and fall in viscosity ever more slowly; "
            f"ln µ falls {first:.4g} per °C, then {second:.4g}"
        )
    # (y1 - y2)/(y2 - y3) = (t2 - t1)(t3 + c) / ((t3 - t2)(t1 + c)) solved for c.
    ratio = first / second
    shift = (t3 - ratio * t1) / (ratio - 1.0)
    slope = (y1 - y2) / (1.0 / (t1 + shift) - 1.0 / (t2 + shift))
    return math.exp(y1 + slope * (1.0 / (temperature + shift) - 1.0 / (t1 + shift)))
