"""Set-ups for pressing against published worked examples.

Ugural and Fenster, Advanced Strength and Applied Elasticity, example 8.3 (read in a stored copy,
recomputed): radii 150, 200, 250 mm, E 200 GPa both, radial interference 0.1 mm: 12.3 MPa.
Bhavikatti, Strength of Materials, example 8.8.17 (read in a stored copy): same joint, α 12e-6: the
outer part has to be 41.7 K warmer to slip over (recomputed at the 400 mm joint; the stored copy
divides by the 500 mm outside and prints 66.67).
"""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.mechanics.materials import Constant, Material
from sparkout.setups.pressing import press_in


def one(value: float) -> Constant:
    return Constant(value, value, "the example")


STEEL = Material(
    "steel of the example", one(12e-6), one(200e3), one(0.3), one(7.85), one(50.0), None, None,
    one(-80.0), one(300.0),
)  # fmt: skip


def joint():  # type: ignore[no-untyped-def]
    """Diametral throughout: 400 mm joint, 300 mm inside, 500 mm outside, 0.2 mm tight."""
    return press_in(400.2, 400.0, length=100, part_inside=300, wall_outside=500,
                    part_grade=STEEL, wall_grade=STEEL, friction=(F("0.1"), F("0.2")),
                    gap=0)  # fmt: skip


def test_contact_pressure() -> None:
    assert float(joint().number("contact pressure, most").value) == pytest.approx(12.3, abs=0.05)


def test_force_follows_from_that_pressure() -> None:
    """F = μ × p × π × d × l, at 12.305 MPa over 400 × 100 mm."""
    force = joint().number("press force, most")
    assert float(force.value) == pytest.approx(0.2 * 12.305 * math.pi * 400 * 100, rel=1e-3)
    assert force.low is not None
    assert float(force.low) == pytest.approx(0.1 * 12.305 * math.pi * 400 * 100, rel=1e-3)


def test_heating_of_the_outer_part() -> None:
    heat = joint().number("heat the hole to")
    assert float(heat.value) - 20.0 == pytest.approx(41.7, abs=0.05)
    assert heat.marks == ()


def test_inner_bore_closes_as_the_stresses_say() -> None:
    """Hoop stress at the inner bore is −2 p d² ÷ (d² − b²) = −56.2 MPa (the example); the bore
    closes by 56.2 ÷ 200 000 × 300 mm."""
    closing = float(joint().number("bore of the part closes by, most").value)
    assert closing == pytest.approx(56.2 / 200e3 * 300.0, abs=1e-4)
