"""Sizes at 20 °C from readings at the temperatures of part, gauge and master.

A part of a gauge's own material at the gauge's own temperature reads right at any temperature; what
counts is the difference of both expansions. Temperatures taken with one thermometer and materials
of one name share their errors, by the names of their sources.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sparkout.measure.estimate import Component, Estimate, Shape, combine

__all__ = [
    "REFERENCE",
    "Expansion",
    "Temperature",
    "at_reference",
    "corrected",
    "expansion_components",
    "part_at_reference",
]

# Reference temperature of geometrical product specifications [°C]: ISO 1:2022.
REFERENCE = Fraction(20)


@dataclass(frozen=True, slots=True)
class Expansion:
    """How a material grows: coefficient [1/°C] and how far it may be off either way [1/°C].

    Pieces of one material share the error of its coefficient.
    """

    material: str
    coefficient: Fraction
    half_width: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        if not 0 <= self.coefficient < Fraction(1, 1000):
            raise ValueError(
                f"expansion of {self.material!r}: {float(self.coefficient)} per °C is not between 0"
                " and 0.001"
            )
        if self.half_width < 0:
            raise ValueError(
                f"expansion of {self.material!r}: half-width {float(self.half_width)} is negative"
            )


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature [°C] and how far it may be off either way [°C].

    source: what it was taken with or judged by; temperatures of one source share their error.
    """

    value: Fraction
    half_width: Fraction
    source: str

    def __post_init__(self) -> None:
        if not -50 <= self.value <= 300:
            raise ValueError(
                f"temperature {float(self.value)} °C ({self.source}) is not between -50 and 300 °C"
            )
        if self.half_width < 0:
            raise ValueError(
                f"temperature ({self.source}): half-width {float(self.half_width)} °C is negative"
            )


def at_reference(size: Fraction, expansion: Expansion, temperature: Fraction) -> Fraction:
    """Size at 20 °C of a piece that has a size at another temperature.

    L20 = L/(1 + α·(t − 20)).

    size: size at the temperature [mm].
    expansion: of the piece's material [1/°C].
    temperature: of the piece [°C], one value all through.
    Returns the size at 20 °C [mm], exact for the numbers given.
    Holds for a piece of even temperature and one material, −50 to 300 °C.
    Source: ISO 1:2022 (reference temperature 20 °C); definition of the coefficient.

    >>> aluminium = Expansion("aluminium 6061", Fraction("23.6e-6"))
    >>> round(float(at_reference(Fraction("100.0236"), aluminium, Fraction(30))), 4)
    100.0
    """
    return size / (1 + expansion.coefficient * (temperature - REFERENCE))


def part_at_reference(
    reading: Fraction,
    part: Expansion,
    part_temperature: Fraction,
    gauge: Expansion,
    gauge_temperature: Fraction,
) -> Fraction:
    """Size of a part at 20 °C from the size its gauge shows.

    L20 = R·(1 + α_g·(t_g − 20))/(1 + α_p·(t_p − 20)): the gauge's scale has grown too.

    reading: size the gauge shows, right for a gauge at 20 °C [mm].
    part: expansion of the part's material [1/°C].
    part_temperature: of the part [°C].
    gauge: expansion of the gauge's material, or of the master it was set by [1/°C].
    gauge_temperature: of the gauge, or of the master when it was set [°C].
    Returns the size of the part at 20 °C [mm], exact for the numbers given.
    Holds for pieces of even temperature, −50 to 300 °C.
    Source: ISO 1:2022; JCGM 100:2008 (GUM), H.1.2 (comparison of lengths off 20 °C).

    >>> steel, iron = (Expansion(m, Fraction(a)) for m, a in (("steel", "11.5e-6"),
    ...                                                       ("grey iron", "10.5e-6")))
    >>> warm = Fraction(32)
    >>> round(float(part_at_reference(Fraction(100), iron, warm, steel, warm)), 4)
    100.0012
    """
    return at_reference(
        reading * (1 + gauge.coefficient * (gauge_temperature - REFERENCE)), part, part_temperature
    )


def expansion_components(
    size: Fraction, expansion: Expansion, temperature: Temperature, sign: int = 1
) -> tuple[Component, ...]:
    """What the temperature of a piece and its coefficient leave uncertain in a size.

    α·L·δt for the temperature, L·(t − 20)·δα for the coefficient, both rectangular.

    size: of the piece [mm].
    expansion: of its material, with half-width [1/°C].
    temperature: of the piece, with half-width [°C].
    sign: +1 for a gauge or master (its growth adds to the part's size), −1 for the part [-].
    Returns the components [mm], named by thermometer and material so that shared ones cancel.
    Holds for small expansions (first order).
    Source: JCGM 100:2008 (GUM), H.1.3.4 and H.1.3.5.

    >>> iron = Expansion("grey iron", Fraction("10.5e-6"), Fraction("1e-6"))
    >>> warm = Temperature(Fraction(30), Fraction(1), "thermometer T-1")
    >>> [round(part.u * 1000, 2) for part in expansion_components(Fraction(100), iron, warm, -1)]
    [-0.61, -0.58]
    """
    length, root = float(size) * sign, math.sqrt(3.0)
    by_temperature = length * float(expansion.coefficient) * float(temperature.half_width) / root
    away = float(temperature.value - REFERENCE)
    by_coefficient = length * away * float(expansion.half_width) / root
    return combine(
        (
            Component(temperature.source, by_temperature, Shape.RECTANGULAR),
            Component(f"expansion of {expansion.material}", by_coefficient, Shape.RECTANGULAR),
        )
    )


def corrected(
    estimate: Estimate,
    part: Expansion,
    part_temperature: Temperature,
    gauge: Expansion,
    gauge_temperature: Temperature,
) -> Estimate:
    """A reading brought to 20 °C, with what the temperatures leave uncertain.

    The value as `part_at_reference`, the components as `expansion_components` of part and gauge.

    estimate: the reading with its gauge's components [mm].
    part: expansion of the part's material [1/°C].
    part_temperature: of the part [°C].
    gauge: expansion of the gauge's material, or of the master it was set by [1/°C].
    gauge_temperature: of the gauge, or of the master when it was set [°C].
    Returns the estimate at 20 °C [mm].
    Holds for pieces of even temperature, −50 to 300 °C.
    Source: ISO 1:2022; JCGM 100:2008 (GUM), H.1.2.

    >>> iron = Expansion("grey iron", Fraction("10.5e-6"), Fraction("1e-6"))
    >>> steel = Expansion("steel", Fraction("11.5e-6"), Fraction("1e-6"))
    >>> block = Temperature(Fraction(32), Fraction(1), "thermometer T-1")
    >>> room = Temperature(Fraction(20), Fraction(1), "thermometer T-1")
    >>> cold = corrected(Estimate(Fraction(100)), iron, block, steel, room)
    >>> round(float(cold.value), 4), round(cold.u, 5)
    (99.9874, 0.0007)
    """
    value = part_at_reference(
        estimate.value, part, part_temperature.value, gauge, gauge_temperature.value
    )
    return Estimate(value, estimate.components).with_components(
        *expansion_components(estimate.value, part, part_temperature, -1),
        *expansion_components(estimate.value, gauge, gauge_temperature, 1),
    )
