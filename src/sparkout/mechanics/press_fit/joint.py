"""Two cylinders with an interference: pressure, stresses, how far bore and outside move."""

from __future__ import annotations

from typing import NamedTuple

from sparkout.mechanics.cautions import Caution
from sparkout.mechanics.press_fit.cylinder import (
    Cylinder,
    Stress,
    check_cylinder,
    diameter_change,
    stress_at,
)

__all__ = ["PressFit", "interference_for_pressure", "press_fit"]

_SAME_SIZE = 0.01
"""Nominal diameters of the two parts may differ by this share: more means the wrong parts."""


class PressFit(NamedTuple):
    """A joint of two cylinders. Sizes are diametral [mm], stresses [MPa], tension positive."""

    pressure: float
    """on the contact [MPa]"""
    outer_at_joint: Stress
    outer_at_outside: Stress
    inner_at_joint: Stress
    inner_at_bore: Stress
    bore_change: float
    """of the inner part's bore [mm]; negative, it closes (0 for a solid shaft)"""
    outside_change: float
    """of the outer part's outside [mm]"""
    cautions: tuple[Caution, ...]


def _check_pair(outer: Cylinder, inner: Cylinder) -> float:
    check_cylinder(outer, "the outer part")
    check_cylinder(inner, "the inner part")
    if not outer.inner > 0.0:
        raise ValueError("inner diameter of the outer part is 0 mm; it has to be above 0 mm")
    if abs(outer.inner - inner.outer) > _SAME_SIZE * outer.inner:
        raise ValueError(
            f"outer diameter of the inner part is {inner.outer:.6g} mm; it has to be within "
            f"{_SAME_SIZE:.0%} of the outer part's bore, {outer.inner:.6g} mm"
        )
    return outer.inner


def _give_per_pressure(outer: Cylinder, inner: Cylinder) -> float:
    """Diametral interference that one MPa of contact pressure takes up [mm/MPa]."""
    opens = diameter_change(outer, outer.inner, 1.0, 0.0)
    closes = diameter_change(inner, inner.outer, 0.0, 1.0)
    return opens - closes


def press_fit(
    outer: Cylinder,
    inner: Cylinder,
    interference: float,
    outer_strength: float | None = None,
    inner_strength: float | None = None,
) -> PressFit:
    """Contact pressure, stresses and size changes of a press or shrink fit.

    p = δ ÷ (d × [((D² + d²) ÷ (D² − d²) + νo) ÷ Eo + ((d² + b²) ÷ (d² − b²) − νi) ÷ Ei]), with
    diametral interference δ, joint d, outside D, bore b; stresses after Lamé.

    outer: hub, block wall or head round the joint [mm, MPa].
    inner: shaft, liner, guide or insert in it [mm, MPa]; inner diameter 0 for a solid one.
    interference: diametral, shaft minus hole, before assembly [mm], above zero.
    outer_strength: yield (or for grey iron tensile) strength of the outer part [MPa], or None.
    inner_strength: yield strength of the inner part [MPa], or None.
    Returns pressure, stresses at both surfaces of both parts, bore and outside change; a caution
    "past_yield" where a stress passes the strength given (von Mises, hoop for the outer part too).
    Holds for elastic metal and round parts; a block wall is a cylinder only roughly, so take its
    thinnest and thickest wall as the two ends.
    Source: Ugural and Fenster, Advanced Strength and Applied Elasticity, example 8.3 (form).
    Raises ValueError when the interference does not hold (zero or less) or a part cannot be.

    >>> fit = press_fit(Cylinder(400.0, 500.0, 200e3, 0.3), Cylinder(300.0, 400.0, 200e3, 0.3), 0.2)
    >>> round(fit.pressure, 1), round(fit.outer_at_joint.hoop, 1)
    (12.3, 56.1)
    """
    _check_pair(outer, inner)
    if not interference > 0.0:
        raise ValueError(
            f"interference is {interference:.6g} mm, which does not hold; it has to be above 0 mm: "
            "a larger inner part or a smaller hole"
        )
    pressure = interference / _give_per_pressure(outer, inner)
    outer_at_joint = stress_at(outer, outer.inner, pressure, 0.0)
    outer_at_outside = stress_at(outer, outer.outer, pressure, 0.0)
    inner_at_joint = stress_at(inner, inner.outer, 0.0, pressure)
    inner_at_bore = stress_at(inner, inner.inner, 0.0, pressure)
    cautions = [
        Caution(
            "past_yield",
            stress.equivalent,
            strength,
            "MPa",
            f"the {name} part passes the strength given for it at the joint's tightest spot; the "
            "elastic answer overstates the grip",
        )
        for name, stress, strength in (
            ("outer", outer_at_joint, outer_strength),
            ("inner", inner_at_bore if inner.inner > 0.0 else inner_at_joint, inner_strength),
        )
        if strength is not None and stress.equivalent > strength
    ]
    return PressFit(
        pressure,
        outer_at_joint,
        outer_at_outside,
        inner_at_joint,
        inner_at_bore,
        diameter_change(inner, inner.inner, 0.0, pressure) if inner.inner > 0.0 else 0.0,
        diameter_change(outer, outer.outer, pressure, 0.0),
        tuple(cautions),
    )


def interference_for_pressure(outer: Cylinder, inner: Cylinder, pressure: float) -> float:
    """Diametral interference that gives a wanted contact pressure.

    δ = p × d × [((D² + d²) ÷ (D² − d²) + νo) ÷ Eo + ((d² + b²) ÷ (d² − b²) − νi) ÷ Ei].

    outer: hub or housing round the joint [mm, MPa].
    inner: shaft, liner or insert in it [mm, MPa].
    pressure: contact pressure wanted [MPa], above zero.
    Returns the diametral interference before assembly [mm].
    Holds as `press_fit`, of which it is the inverse.
    Source: Ugural and Fenster, Advanced Strength and Applied Elasticity, example 8.3 (form).
    Raises ValueError when the pressure is zero or less, or a part cannot be.

    >>> outer, inner = Cylinder(400.0, 500.0, 200e3, 0.3), Cylinder(300.0, 400.0, 200e3, 0.3)
    >>> round(interference_for_pressure(outer, inner, 12.305), 3)
    0.2
    """
    _check_pair(outer, inner)
    if not pressure > 0.0:
        raise ValueError(f"pressure is {pressure:.6g} MPa; it has to be above 0 MPa to hold")
    return pressure * _give_per_pressure(outer, inner)
