"""One thick-walled cylinder under pressure inside and outside (Lamé), open ends."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["Cylinder", "Stress", "diameter_change", "stress_at"]


class Cylinder(NamedTuple):
    """A ring, liner, hub or shaft: diameters [mm] (inner 0 for a solid one), E [MPa], ν [-]."""

    inner: float
    outer: float
    youngs_modulus: float
    poisson: float


class Stress(NamedTuple):
    """Stresses at one diameter [MPa], tension positive; equivalent is von Mises without axial."""

    radial: float
    hoop: float

    @property
    def equivalent(self) -> float:
        return math.sqrt(self.hoop**2 - self.hoop * self.radial + self.radial**2)


def check_cylinder(ring: Cylinder, name: str = "cylinder") -> None:
    """Refuse a cylinder that cannot exist."""
    _bounds.at_least(f"inner diameter of {name}", ring.inner, 0.0, "mm")
    if not ring.outer > ring.inner:
        raise ValueError(
            f"outer diameter of {name} is {ring.outer:.6g} mm; it has to be above the inner "
            f"diameter, {ring.inner:.6g} mm"
        )
    _bounds.within(f"Young's modulus of {name}", ring.youngs_modulus, 1e3, 1e6, "MPa")
    _bounds.within(f"Poisson's ratio of {name}", ring.poisson, 0.0, 0.5)


def stress_at(
    ring: Cylinder, diameter: float, inside_pressure: float, outside_pressure: float
) -> Stress:
    """Radial and hoop stress in a thick cylinder at one diameter.

    With radii a, b, r and pressures p inside, q outside:
    σ = (p a² − q b²) ÷ (b² − a²) ∓ a² b² (p − q) ÷ ((b² − a²) r²), − radial, + hoop.

    ring: the cylinder [mm, MPa], inner below outer diameter.
    diameter: where the stress is wanted [mm], from the inner to the outer diameter.
    inside_pressure: pressure on the inner surface [MPa]; 0 for a solid cylinder.
    outside_pressure: pressure on the outer surface [MPa].
    Returns radial and hoop stress [MPa], tension positive, with the von Mises equivalent.
    Holds for elastic metal, open ends, away from the ends of the contact.
    Source: Ugural and Fenster, Advanced Strength and Applied Elasticity, 8.2 (Lamé).
    Raises ValueError for a cylinder that cannot be, or a diameter outside it.

    >>> round(stress_at(Cylinder(400.0, 500.0, 200e3, 0.3), 400.0, 12.3, 0.0).hoop, 1)
    56.0
    """
    check_cylinder(ring)
    _bounds.within("diameter", diameter, ring.inner, ring.outer, "mm")
    a2, b2 = ring.inner**2, ring.outer**2
    if ring.inner == 0.0:
        if inside_pressure != 0.0:
            raise ValueError(
                f"inside_pressure is {inside_pressure:.6g} MPa; it has to be 0 MPa, the cylinder "
                "is solid"
            )
        return Stress(-outside_pressure, -outside_pressure)
    mean = (inside_pressure * a2 - outside_pressure * b2) / (b2 - a2)
    swing = a2 * b2 * (inside_pressure - outside_pressure) / ((b2 - a2) * diameter**2)
    return Stress(mean - swing, mean + swing)


def diameter_change(
    ring: Cylinder, diameter: float, inside_pressure: float, outside_pressure: float
) -> float:
    """Growth of one diameter of a thick cylinder under pressure (negative: it closes).

    Δd = d × (σ_hoop − ν σ_radial) ÷ E.

    ring: the cylinder [mm, MPa], inner below outer diameter.
    diameter: which diameter [mm], from the inner to the outer diameter.
    inside_pressure: pressure on the inner surface [MPa].
    outside_pressure: pressure on the outer surface [MPa].
    Returns the change of that diameter [mm].
    Holds for elastic metal and plane stress (free to change length).
    Source: Ugural and Fenster, Advanced Strength and Applied Elasticity, 8.2 (Lamé).
    Raises ValueError for a cylinder that cannot be, or a diameter outside it.

    >>> round(diameter_change(Cylinder(400.0, 500.0, 200e3, 0.3), 400.0, 12.3, 0.0), 3)
    0.119
    """
    stress = stress_at(ring, diameter, inside_pressure, outside_pressure)
    return diameter * (stress.hoop - ring.poisson * stress.radial) / ring.youngs_modulus
