"""Press fits against an independent elastic solution, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import solve_banded

from sparkout.mechanics.press_fit.assembly import (
    chill_temperature,
    heat_temperature,
    interference_at,
    loosening_temperature,
)
from sparkout.mechanics.press_fit.cylinder import Cylinder, diameter_change, stress_at
from sparkout.mechanics.press_fit.grip import press_force, pressure_for_torque, torque_capacity
from sparkout.mechanics.press_fit.joint import interference_for_pressure, press_fit
from sparkout.mechanics.press_fit.stack import stack
from sparkout.mechanics.temperature import size_at


def elastic_tube(
    layers: list[Cylinder], interferences: list[float], bore_pressure: float = 0.0, cells: int = 600
) -> tuple[float, float]:
    """Bore and outside growth by finite elements in the radius (no Lamé), plane stress.

    Interference enters as an eigenstrain-free jump: the outer layer's radius is smaller by half of
    it, so its nodes need that much more displacement; all nodes share one displacement field of the
    inner side, and the jump is put on the right-hand side.
    """
    radii: list[float] = [layers[0].inner / 2.0]
    owner: list[Cylinder] = []
    jump: list[float] = []
    total = 0.0
    for number, layer in enumerate(layers):
        if number:
            total += interferences[number - 1] / 2.0
        edge = np.linspace(radii[-1], layer.outer / 2.0, cells + 1)[1:]
        radii.extend(edge)
        owner.extend([layer] * cells)
        jump.extend([total] * cells)
    count = len(radii)
    band = np.zeros((3, count))
    right = np.zeros(count)
    right[0] = bore_pressure * radii[0]
    for e, layer in enumerate(owner):
        r0, r1 = radii[e], radii[e + 1]
        length, middle = r1 - r0, (r0 + r1) / 2.0
        scale = layer.youngs_modulus / (1.0 - layer.poisson**2)
        stiff = scale * np.array([[1.0, layer.poisson], [layer.poisson, 1.0]])
        strain = np.array([[-1.0 / length, 1.0 / length], [0.5 / middle, 0.5 / middle]])
        local = strain.T @ stiff @ strain * middle * length
        # Displacement of the outer layers is u + jump: move its force to the right-hand side.
        right[e : e + 2] -= local @ np.full(2, jump[e])
        band[1, e] += local[0, 0]
        band[1, e + 1] += local[1, 1]
        band[0, e + 1] += local[0, 1]
        band[2, e] += local[1, 0]
    moved = solve_banded((1, 1), band, right)
    return 2.0 * moved[0], 2.0 * (moved[-1] + jump[-1])


IRON = (105e3, 0.26)
STEEL = (207e3, 0.30)
ALUMINIUM = (72.4e3, 0.33)


def test_two_metals_against_finite_elements() -> None:
    inner, outer = Cylinder(100.0, 104.0, *IRON), Cylinder(104.0, 124.0, *ALUMINIUM)
    fit = press_fit(outer, inner, 0.06)
    bore, outside = elastic_tube([inner, outer], [0.06])
    assert fit.bore_change == pytest.approx(bore, rel=1e-4)
    assert fit.outside_change == pytest.approx(outside, rel=1e-4)


def test_three_layers_against_finite_elements() -> None:
    layers = [
        Cylinder(96.0, 100.0, *IRON),
        Cylinder(100.0, 106.0, *STEEL),
        Cylinder(106.0, 126.0, *ALUMINIUM),
    ]
    result = stack(layers, (0.03, 0.07), bore_pressure=5.0)
    bore, outside = elastic_tube(layers, [0.03, 0.07], 5.0)
    assert result.bore_change == pytest.approx(bore, rel=1e-4)
    assert result.outside_change == pytest.approx(outside, rel=1e-4)


def test_dry_liner_closes_by_about_four_fifths() -> None:
    # Common practice: a 2 mm iron liner pressed into iron closes by about 0.8 of the interference.
    liner, wall = Cylinder(100.0, 104.0, *IRON), Cylinder(104.0, 124.0, *IRON)
    fit = press_fit(wall, liner, 0.05)
    assert -fit.bore_change / 0.05 == pytest.approx(0.8, abs=0.05)


def test_solid_shaft() -> None:
    # Arithmetic: solid and hub of one metal: p = δ E (D² − d²) ÷ (2 d D²).
    fit = press_fit(Cylinder(30.0, 60.0, *STEEL), Cylinder(0.0, 30.0, *STEEL), 0.03)
    assert fit.pressure == pytest.approx(0.03 * 207e3 * (60**2 - 30**2) / (2 * 30 * 60**2))
    assert fit.bore_change == 0.0
    assert fit.inner_at_bore.hoop == pytest.approx(-fit.pressure)


@settings(max_examples=60, deadline=None)
@given(
    wall=st.floats(1.0, 20.0),
    cover=st.floats(2.0, 60.0),
    interference=st.floats(0.001, 0.2),
    moduli=st.tuples(st.floats(6e4, 2.1e5), st.floats(6e4, 2.1e5)),
)
def test_closing_and_opening_add_up_to_the_interference(
    wall: float, cover: float, interference: float, moduli: tuple[float, float]
) -> None:
    inner = Cylinder(80.0, 80.0 + 2.0 * wall, moduli[0], 0.27)
    outer = Cylinder(inner.outer, inner.outer + 2.0 * cover, moduli[1], 0.30)
    fit = press_fit(outer, inner, interference)
    opens = diameter_change(outer, outer.inner, fit.pressure, 0.0)
    closes = diameter_change(inner, inner.outer, 0.0, fit.pressure)
    assert opens - closes == pytest.approx(interference)
    assert interference_for_pressure(outer, inner, fit.pressure) == pytest.approx(interference)
    assert stack((inner, outer), (interference,)).pressures[0] == pytest.approx(fit.pressure)
    # Equilibrium: mean hoop stress times wall carries the pressure.
    grid = np.linspace(outer.inner, outer.outer, 2001)
    hoop = [stress_at(outer, d, fit.pressure, 0.0).hoop for d in grid]
    assert np.trapezoid(hoop, grid) == pytest.approx(fit.pressure * outer.inner, rel=1e-4)


def test_yield_is_a_named_caution() -> None:
    outer, inner = Cylinder(32.0, 40.0, *ALUMINIUM), Cylinder(26.0, 32.0, *STEEL)
    cautions = press_fit(outer, inner, 0.15, outer_strength=164.0).cautions
    assert [c.name for c in cautions] == ["past_yield"]
    assert cautions[0].value > cautions[0].bound == 164.0
    assert "164" in str(cautions[0])
    assert press_fit(outer, inner, 0.02, outer_strength=164.0).cautions == ()


def test_force_torque_and_pressure_agree() -> None:
    force = press_force(12.0, 50.0, 40.0, 0.1, 0.2)
    torque = torque_capacity(12.0, 50.0, 40.0, 0.1, 0.2)
    assert force.low == pytest.approx(0.1 * 12.0 * math.pi * 50.0 * 40.0)
    assert torque.high == pytest.approx(force.high * 0.025)
    assert pressure_for_torque(torque.low, 50.0, 40.0, 0.1) == pytest.approx(12.0)


def test_heating_and_chilling_leave_the_gap() -> None:
    hot = heat_temperature(32.0, 32.08, 0.03, 21.5e-6, -80.0, 11.7e-6)
    gap = size_at(32.0, 21.5e-6, hot.temperature) - size_at(32.08, 11.7e-6, -80.0)
    assert gap == pytest.approx(0.03)
    cold = chill_temperature(32.0, 32.08, 0.03, 11.7e-6, 150.0, 21.5e-6)
    gap = size_at(32.0, 21.5e-6, 150.0) - size_at(32.08, 11.7e-6, cold.temperature)
    assert gap == pytest.approx(0.03)


def test_limits_of_heat_and_cold_are_cautions() -> None:
    hot = heat_temperature(32.0, 32.10, 0.05, 11.4e-6, 20.0, 11.4e-6, hottest=200.0)
    assert [c.name for c in hot.cautions] == ["too_hot"]
    assert hot.cautions[0].bound == 200.0
    cold = chill_temperature(32.0, 32.08, 0.03, 11.7e-6, 80.0, 11.4e-6, coldest=-196.0)
    assert [c.name for c in cold.cautions] == ["too_cold"]


def test_loosening_temperature_is_where_the_interference_ends() -> None:
    t = loosening_temperature(32.0, 32.08, 21.5e-6, 11.7e-6)
    assert interference_at(32.0, 32.08, 21.5e-6, 11.7e-6, t, t) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: press_fit(Cylinder(30, 60, *STEEL), Cylinder(0, 30, *STEEL), -0.01),
         "interference is -0.01 mm, which does not hold; it has to be above 0 mm"),
        (lambda: press_fit(Cylinder(30, 60, *STEEL), Cylinder(0, 32, *STEEL), 0.01),
         "outer diameter of the inner part is 32 mm; it has to be within 1%"),
        (lambda: press_fit(Cylinder(60, 30, *STEEL), Cylinder(0, 30, *STEEL), 0.01),
         "outer diameter of the outer part is 30 mm; it has to be above the inner diameter, 60 mm"),
        (lambda: press_fit(Cylinder(30, 60, 207.0, 0.3), Cylinder(0, 30, *STEEL), 0.01),
         "Young's modulus of the outer part is 207 MPa; it has to lie from 1000 to 1e+06 MPa"),
        (lambda: stack((Cylinder(96, 100, *IRON), Cylinder(100, 106, *STEEL),
                        Cylinder(106, 126, *ALUMINIUM)), (0.1, -0.09)),
         "joint 2 comes out at"),
        (lambda: stack((Cylinder(96, 100, *IRON),), ()), "1 layers and 0 interferences"),
        (lambda: chill_temperature(32.0, 32.3, 0.1, 11.7e-6, 20.0, 11.4e-6),
         "below absolute zero; heat the hole to more than 20 °C"),
        (lambda: heat_temperature(32.0, 31.9, 0.0, 11.7e-6, 20.0, 11.4e-6),
         "nothing has to be heated or chilled; the shaft has to be above the hole"),
        (lambda: loosening_temperature(32.0, 32.08, 11.7e-6, 21.5e-6),
         "warming tightens this joint"),
        (lambda: press_force(10.0, 40.0, 20.0, 0.2, 0.1),
         "friction_low is 0.2 and friction_high 0.1; friction_low has to be the smaller"),
        (lambda: stress_at(Cylinder(0, 30, *STEEL), 10.0, 5.0, 0.0),
         "inside_pressure is 5 MPa; it has to be 0 MPa, the cylinder is solid"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
