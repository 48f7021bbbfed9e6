"""Press and shrink fits against textbook examples. Each source stands beside its numbers."""

from __future__ import annotations

import pytest

from sparkout.mechanics.press_fit.assembly import heat_temperature
from sparkout.mechanics.press_fit.cylinder import Cylinder
from sparkout.mechanics.press_fit.joint import press_fit
from sparkout.mechanics.press_fit.stack import stack

# Ugural and Fenster, Advanced Strength and Applied Elasticity, example 8.3, p. 243 (inputs and
# answer read in a stored copy of a textbook companion): radii 150, 200, 250 mm, both E = 200 GPa,
# radial interference 0.1 mm, so 0.2 mm on the diameter. Poisson's ratio cancels for equal metals.
OUTER = Cylinder(400.0, 500.0, 200e3, 0.3)
INNER = Cylinder(300.0, 400.0, 200e3, 0.3)
DIAMETRAL = 0.2


def test_contact_pressure_of_the_compound_tube() -> None:
    # "12.3 MPa": tolerance of the last digit.
    assert press_fit(OUTER, INNER, DIAMETRAL).pressure == pytest.approx(12.3, abs=0.05)


def test_hoop_stresses_of_the_compound_tube() -> None:
    # Outer 56.0 and 43.7 MPa, inner -56.2 and -43.9 MPa. The book works on with the rounded 12.3.
    fit = press_fit(OUTER, INNER, DIAMETRAL)
    assert fit.outer_at_joint.hoop == pytest.approx(56.0, abs=0.1)
    assert fit.outer_at_outside.hoop == pytest.approx(43.7, abs=0.1)
    assert fit.inner_at_bore.hoop == pytest.approx(-56.2, abs=0.1)
    assert fit.inner_at_joint.hoop == pytest.approx(-43.9, abs=0.1)


def test_the_stack_of_two_gives_the_same_pressure() -> None:
    # Bhavikatti, Strength of Materials, example 8.8.17, has the same sizes and the same 12.3 MPa.
    assert stack((INNER, OUTER), (DIAMETRAL,)).pressures[0] == pytest.approx(12.3, abs=0.05)


def test_heating_of_the_outer_tube() -> None:
    # Bhavikatti, example 8.8.17, alpha 12e-6: 0.2 mm at the 400 mm joint is 41.7 K (the stored copy
    # prints 66.67 because it divides by 250; recomputed: 0.2 / (12e-6 * 400)).
    heated = heat_temperature(400.0, 400.2, 0.0, 12e-6, 20.0, 12e-6)
    assert heated.temperature - 20.0 == pytest.approx(41.7, abs=0.05)
