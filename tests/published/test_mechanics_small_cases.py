"""Published numbers of the smaller topics: materials, temperature, rings, honing, balance."""

from __future__ import annotations

import math

import pytest

from sparkout.mechanics.balance.shaking import Cylinder, shaking
from sparkout.mechanics.honing import strokes_for_angle, surface_speed
from sparkout.mechanics.materials import material
from sparkout.mechanics.rings import gap_at_bore
from sparkout.mechanics.temperature import size_at

# Callister, Materials Science and Engineering, table B.6, mean linear expansion [1e-6 1/°C] (read
# in a stored copy).
CALLISTER = {
    "grey iron G1800": 11.4,
    "grey iron G3000": 11.4,
    "grey iron G4000": 11.4,
    "ductile iron 60-40-18": 11.2,
    "ductile iron 80-55-06": 10.6,
    "steel 1020": 11.7,
    "steel 1040": 11.3,
    "steel 4140": 12.3,
    "steel 4340": 12.3,
    "aluminium 356.0": 21.5,
    "aluminium 6061": 23.6,
    "aluminium 2024": 22.9,
    "bronze C93200": 18.0,
    "copper beryllium C17200": 16.7,
}


@pytest.mark.parametrize("name", CALLISTER)
def test_expansion(name: str) -> None:
    assert material(name).expansion.value * 1e6 == pytest.approx(CALLISTER[name], abs=0.05)


def test_stiffness_against_a_gear_handbook() -> None:
    # Elements of Metric Gear Technology, table 18-10 (read in a stored copy): grey cast iron E 9 to
    # 23 Mpsi, plain carbon steel 29 to 30 Mpsi, wrought aluminium 10 to 10.6 Mpsi.
    mega_psi = 6894.757
    for grade in ("grey iron G1800", "grey iron G3000", "grey iron G4000"):
        stiffness = material(grade).youngs_modulus
        assert 9.0 <= stiffness.low / mega_psi <= stiffness.high / mega_psi <= 23.0
    assert 29.0 <= material("steel 1020").youngs_modulus.value / mega_psi <= 30.5
    assert 10.0 <= material("aluminium 6061").youngs_modulus.value / mega_psi <= 10.6


def test_aluminium_part_at_30_degrees() -> None:
    # Arithmetic: 100 mm of 6061, 10 °C above 20 °C: 100 × 23.6e-6 × 10 = 0.0236 mm.
    alpha = material("aluminium 6061").expansion.value
    assert size_at(100.0, alpha, 30.0) == pytest.approx(100.0236, abs=5e-5)
    assert size_at(100.0, alpha, 20.0) == 100.0


def test_ring_gap_of_a_larger_bore() -> None:
    # TM 5-3805-261-34 (US Army; read in a stored copy): the gap grows 0.003 in for each 0.001 in of
    # bore; exactly π.
    grown = gap_at_bore(0.010 * 25.4, 4.000 * 25.4, 4.001 * 25.4) / 25.4 - 0.010
    assert grown == pytest.approx(0.003, abs=0.0005)
    assert grown / 0.001 == pytest.approx(math.pi)


def test_honing_speeds() -> None:
    # Honing kinematics worked for bore 86 mm, 200 1/min: surface 54.035 m/min; 60° and 45° between
    # the lines need 31.197 and 22.382 m/min axially (recalled relation tan(angle/2) = axial ÷
    # surface, recomputed).
    assert surface_speed(86.0, 200.0) == pytest.approx(54.035, abs=5e-4)
    for angle, axial in ((60.0, 31.197), (45.0, 22.382)):
        strokes = strokes_for_angle(86.0, 200.0, 100.0, angle)
        assert strokes * 2.0 * 100.0 / 1000.0 == pytest.approx(axial, abs=5e-4)


def test_four_cranks_at_ninety_degrees() -> None:
    # Four-cylinder in-line engine, 1800 1/min, cranks 60 mm, rods 240 mm, 1.5 kg reciprocating,
    # cranks at 90° in the order 1-4-2-3: primary couple 0.019 ω² N·m, secondary 0.054 ω²/n N·m
    # (read in a stored textbook companion, Dynamics of Machinery, illustration 12.8; cylinder
    # spacing 150 mm and the order recalled from memory). No primary or secondary force.
    angles = {1: 0.0, 4: 90.0, 2: 180.0, 3: 270.0}
    engine = [
        Cylinder(angles[number], 150.0 * (number - 2.5), mass=1500.0) for number in (1, 2, 3, 4)
    ]
    result = shaking(engine, 60.0, 240.0, 1800.0)
    speed = 1800.0 * math.pi / 30.0
    assert result.primary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert result.secondary_force.largest == pytest.approx(0.0, abs=1e-9)
    # The couple only shakes in the bores' plane, so its largest value is what the book gives.
    assert result.primary_couple.largest / speed**2 == pytest.approx(0.019, abs=0.0005)
    assert result.secondary_couple.largest / speed**2 * 4.0 == pytest.approx(0.054, abs=0.0005)


def test_right_angle_twin() -> None:
    # A 90° V twin on one pin, 11.5 kg a cylinder, crank 75 mm, rod 300 mm, 500 1/min: the largest
    # secondary force is 836 N, and a revolving mass balances the primary (Khurmi and Gupta, Theory
    # of Machines, chapter on balancing, recalled from memory, recomputed: √2 m a² ω² ÷ l).
    twin = [Cylinder(0.0, 0.0, bank, 11500.0) for bank in (-45.0, 45.0)]
    result = shaking(twin, 75.0, 300.0, 500.0)
    assert result.secondary_force.largest == pytest.approx(836.0, abs=0.5)
    # Balanced by a revolving mass: nothing turns against the crank.
    assert abs(result.primary_force.backward) == pytest.approx(0.0, abs=1e-9)
