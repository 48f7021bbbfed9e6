"""Helical springs against Shigley and Bhandari."""

from __future__ import annotations

import math

import pytest

from sparkout.mechanics.springs.coil import (
    Spring,
    bergstraesser_factor,
    shear_stress,
    solid_length,
    spring_rate,
)
from sparkout.mechanics.springs.installed import installed_spring, load_at_height

INCH, POUND = 25.4, 4.4482216152605
KPSI = 6.894757


def test_shigley_example_10_1() -> None:
    # Shigley's Mechanical Engineering Design, example 10-1 (recalled from memory, recomputed):
    # no. 16 music wire d 0.037 in, OD 7/16 in, 12 1/2 turns squared (not ground), G 11.85 Mpsi.
    # D 0.400, C 10.8, KB 1.124, Ssy 146 kpsi (0.45 × 324), F at yield 6.46 lbf, k 4.13 lbf/in,
    # y 1.56 in, Ls 0.4995 in, L0 2.06 in; D unrounded is 0.4005, so half a per cent.
    spring = Spring(0.037 * INCH, 0.400 * INCH, 10.5, 12.5, 11.85e3 * KPSI, ground=False)
    assert spring.coil_index == pytest.approx(10.8, abs=0.05)
    assert bergstraesser_factor(10.8) == pytest.approx(1.124, abs=0.0005)
    strength = 0.45 * 324.0 * KPSI
    force = strength / shear_stress(spring, 1.0)
    assert force / POUND == pytest.approx(6.46, rel=0.005)
    rate = spring_rate(spring)
    assert rate * INCH / POUND == pytest.approx(4.13, rel=0.005)
    assert force / rate / INCH == pytest.approx(1.56, rel=0.005)
    assert solid_length(spring) / INCH == pytest.approx(0.4995, abs=0.00005)
    assert (solid_length(spring) + force / rate) / INCH == pytest.approx(2.06, rel=0.005)


def test_bhandari_example_10_4_valve_spring() -> None:
    # Bhandari, Design of Machine Elements, example 10.4 (read in a stored textbook companion with
    # its printed results): 150 N at 35 mm, 300 N at 30 mm, d 4 mm, D 24 mm, G 81370 MPa: active
    # coils 6.278549. Rounded to 7, nine in all, free length 48.821433 mm: solid, and 1.15 times the
    # deflection at 300 N.
    rate = (300.0 - 150.0) / (35.0 - 30.0)
    coils = 81370.0 * 4.0**4 / (8.0 * 24.0**3 * rate)
    assert coils == pytest.approx(6.278549, abs=5e-7)
    assert spring_rate(Spring(4.0, 24.0, 6.278549, 8.278549, 81370.0)) == pytest.approx(
        rate, rel=1e-6
    )
    assert load_at_height(150.0, 35.0, rate, 30.0) == pytest.approx(300.0)
    rounded = Spring(4.0, 24.0, 7.0, 9.0, 81370.0)
    free = solid_length(rounded) + 1.15 * 300.0 / spring_rate(rounded)
    assert free == pytest.approx(48.821433, abs=5e-7)


def test_bhandari_example_10_1() -> None:
    # Bhandari, Design of Machine Elements, example 10.1 (read in the same companion): 1250 N,
    # C 6, Sut 1090 MPa, stress half of Sut (Wahl): d = 6.625083 mm; with d 7 and D 42, eight coils.
    allowed = 0.5 * 1090.0
    diameter = math.sqrt(
        shear_stress(Spring(1.0, 6.0, 8.0, 10.0, 81370.0), 1250.0, "wahl") / allowed
    )
    assert diameter == pytest.approx(6.625083, abs=5e-7)
    # Its free length 109.3376: solid 10 × 7, nine gaps of 1 mm, and 30.3376 mm of deflection.
    spring = Spring(7.0, 42.0, 8.0, 10.0, 81370.0)
    assert solid_length(spring) + 9.0 + 1250.0 / spring_rate(spring) == pytest.approx(
        109.337611, abs=5e-7
    )


def test_valve_spring_arithmetic() -> None:
    # Arithmetic written out: 35 N/mm, free 52, installed 40: 35 × 12 = 420 N; lift 11: 35 × 23
    # = 805 N at 29 mm; wire 4, 6.5 coils ground: solid 26 mm, margin 29 − 26 = 3 mm.
    solid = solid_length(Spring(4.0, 24.0, 4.5, 6.5, 81370.0))
    assert solid == 26.0
    spring = installed_spring(0.0, 52.0, 35.0, 40.0, 11.0, solid)
    assert (spring.seat_load, spring.open_load, spring.bind_margin) == (420.0, 805.0, 3.0)
