"""One helical compression spring of round wire."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = [
    "Spring",
    "bergstraesser_factor",
    "shear_stress",
    "solid_length",
    "spring_rate",
    "surge_frequency",
    "wahl_factor",
]


class Spring(NamedTuple):
    """Round wire, diameters in mm, shear modulus in MPa, coils as counts."""

    wire: float
    mean_diameter: float
    active_coils: float
    total_coils: float
    shear_modulus: float
    ground: bool = True
    """whether the ends are ground flat"""

    @property
    def coil_index(self) -> float:
        """Mean diameter over wire diameter [-]."""
        return self.mean_diameter / self.wire


def _check(spring: Spring) -> None:
    _bounds.above("wire", spring.wire, 0.0, "mm")
    _bounds.within("spring index (mean diameter ÷ wire)", spring.coil_index, 2.0, 30.0)
    _bounds.above("active_coils", spring.active_coils, 0.0)
    _bounds.at_least("total_coils", spring.total_coils, spring.active_coils)
    _bounds.above("shear_modulus", spring.shear_modulus, 0.0, "MPa")


def spring_rate(spring: Spring) -> float:
    """Rate of a helical compression spring.

    k = G d⁴ ÷ (8 D³ N).

    spring: wire and coils [mm, MPa].
    Returns the rate [N/mm].
    Holds for even pitch, small deflection, index 2 to 30; a progressive spring has no one rate.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 10-9.
    Raises ValueError naming the number when one is out of range.

    >>> round(spring_rate(Spring(4.0, 24.0, 6.278549, 8.278549, 81370.0)), 2)
    30.0
    """
    _check(spring)
    return (
        spring.shear_modulus
        * spring.wire**4
        / (8.0 * spring.mean_diameter**3 * spring.active_coils)
    )


def solid_length(spring: Spring) -> float:
    """Length at which all coils touch.

    Ls = d × Nt with ground ends, d × (Nt + 1) without.

    spring: wire and coils [mm, MPa].
    Returns the solid length [mm].
    Holds for round wire; coating adds its thickness twice a coil.
    Source: Shigley's Mechanical Engineering Design, 10th edition, table 10-1.
    Raises ValueError naming the number when one is out of range.

    >>> solid_length(Spring(4.0, 24.0, 4.5, 6.5, 81370.0))
    26.0
    """
    _check(spring)
    return spring.wire * (spring.total_coils + (0.0 if spring.ground else 1.0))


def bergstraesser_factor(index: float) -> float:
    """Curvature and direct-shear factor after Bergsträsser.

    KB = (4 C + 2) ÷ (4 C − 3).

    index: mean diameter over wire diameter [-], above 1.
    Returns the factor on the shear stress [-].
    Holds for index 3 to 20 or so; within 1 % of Wahl's factor there.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 10-5.
    Raises ValueError when the index is 1 or less.

    >>> round(bergstraesser_factor(10.8), 3)
    1.124
    """
    _bounds.above("index", index, 1.0)
    return (4.0 * index + 2.0) / (4.0 * index - 3.0)


def wahl_factor(index: float) -> float:
    """Curvature and direct-shear factor after Wahl.

    KW = (4 C − 1) ÷ (4 C − 4) + 0.615 ÷ C.

    index: mean diameter over wire diameter [-], above 1.
    Returns the factor on the shear stress [-].
    Holds for index 3 to 20 or so.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 10-4.
    Raises ValueError when the index is 1 or less.

    >>> round(wahl_factor(8.0), 3)
    1.184
    """
    _bounds.above("index", index, 1.0)
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def shear_stress(spring: Spring, load: float, factor: str = "bergstraesser") -> float:
    """Largest shear stress in the wire, at the inside of the coil.

    τ = K × 8 F D ÷ (π d³).

    spring: wire and coils [mm, MPa].
    load: on the spring [N], zero or more.
    factor: "bergstraesser", "wahl" or "none" [-]; "none" is the plain torsion stress.
    Returns the stress [MPa].
    Holds below yield and not solid.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 10-7.
    Raises ValueError naming the number or word when one is out of range.

    >>> round(shear_stress(Spring(4.0, 32.0, 8.0, 10.0, 81370.0), 200.0, "wahl"), 0)
    302.0
    """
    _check(spring)
    _bounds.at_least("load", load, 0.0, "N")
    factors = {
        "bergstraesser": bergstraesser_factor(spring.coil_index),
        "wahl": wahl_factor(spring.coil_index),
        "none": 1.0,
    }
    if factor not in factors:
        raise ValueError(f"factor is {factor!r}; it has to be one of: {', '.join(factors)}")
    return factors[factor] * 8.0 * load * spring.mean_diameter / (math.pi * spring.wire**3)


def surge_frequency(spring: Spring, density_g_cm3: float = 7.85) -> float:
    """Lowest frequency at which the coils surge between fixed ends.

    f = ½ √(k ÷ m), m = density × π² d² D N ÷ 4 (active coils).

    spring: wire and coils [mm, MPa].
    density_g_cm3: of the wire [g/cm³], above zero; 7.85 for steel.
    Returns the frequency [Hz].
    Holds for both ends held, as a valve spring is. Keeping it at 13 times the cam's speed or more
    is a rule of thumb for plain springs (recalled from memory).
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 10-25.
    Raises ValueError naming the number when one is out of range.

    >>> round(surge_frequency(Spring(4.0, 24.0, 6.0, 8.0, 81370.0)))
    419
    """
    rate = spring_rate(spring)
    _bounds.above("density_g_cm3", density_g_cm3, 0.0, "g/cm³")
    volume = math.pi**2 / 4.0 * spring.wire**2 * spring.mean_diameter * spring.active_coils
    mass_kg = density_g_cm3 * 1e-6 * volume
    return 0.5 * math.sqrt(rate * 1000.0 / mass_kg)
