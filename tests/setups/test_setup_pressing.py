"""Pressing: what holds, what it takes, and what a metal does not allow."""

from __future__ import annotations

import math

import pytest

from sparkout.mechanics.materials import material
from sparkout.mechanics.press_fit.cylinder import Cylinder
from sparkout.mechanics.press_fit.joint import press_fit
from sparkout.setups.pressing import FRICTION, press_in

IRON = material("grey iron G3000")
ALUMINIUM = material("aluminium 356.0")
STEEL = material("steel 4140")


def number(made, label):  # type: ignore[no-untyped-def]
    return float(made.number(label).value)


def test_negative_interference_does_not_hold() -> None:
    with pytest.raises(ValueError, match=r"interference is -0\.004 mm, which does not hold"):
        press_in(104.014, 104.018)


def test_the_least_of_all_readings_decides_whether_it_holds() -> None:
    # most 0.010, least 104.000 − 104.004 = −0.004
    with pytest.raises(ValueError, match=r"-0\.004"):
        press_in(104.010, 104.000, part_least=104.000, hole_most=104.004)
    made = press_in(104.010, 104.000, part_least=104.000, hole_most=104.004, holds=False)
    assert number(made, "interference, most") == 0.010
    assert number(made, "interference, least") == -0.004


def test_force_is_a_range_of_friction_and_interference() -> None:
    made = press_in(40.06, 40.0, part_least=40.05, length=20, part_inside=34, wall_outside=60,
                    part_grade=STEEL, wall_grade=IRON)  # fmt: skip
    force = made.number("press force, most")
    stiff = press_fit(Cylinder(40.0, 60.0, IRON.youngs_modulus.high, IRON.poisson.value),
                      Cylinder(34.0, 40.0, STEEL.youngs_modulus.high, STEEL.poisson.value),
                      0.06)  # fmt: skip
    most = float(FRICTION[1]) * stiff.pressure * math.pi * 40.0 * 20.0
    assert float(force.value) == pytest.approx(most, abs=0.5)
    assert force.low is not None
    assert 0 < float(force.low) < float(force.value) / 2
    assert any("rule of thumb" in mark for mark in force.marks)


def test_the_shops_own_friction_is_not_marked() -> None:
    made = press_in(40.06, 40.0, length=20, part_inside=34, wall_outside=60, part_grade=STEEL,
                    wall_grade=IRON, friction=FRICTION)  # fmt: skip
    assert made.number("press force, most").marks == ()


def test_what_is_missing_is_named_and_no_force_is_given() -> None:
    made = press_in(40.06, 40.0)
    assert [n.label for n in made.numbers] == ["interference"]
    assert made.read_first[0].startswith("for the press force: length of the contact")
    assert made.read_first[1].startswith("for heating or chilling: grade of the part")


def test_heat_and_chill_leave_the_gap_asked_for() -> None:
    """In an aluminium head, 0.05 tight: what was heated to t is larger by interference + gap."""
    made = press_in(40.05, 40.0, part_grade=STEEL, wall_grade=ALUMINIUM, gap=0.03)
    heat = number(made, "heat the hole to")
    grown = 40.0 * (1 + ALUMINIUM.expansion.value * (heat - 20))
    # the temperature is given to a tenth of a degree
    assert grown - 40.05 == pytest.approx(0.03, abs=1e-4)
    limit = made.number("heat the hole to")
    assert limit.high == ALUMINIUM.hottest.value
    assert "rule of thumb" in limit.held_by or "common practice" in limit.held_by


def test_a_chill_the_metal_does_not_allow_is_said_and_both_together_offered() -> None:
    made = press_in(40.05, 40.0, part_grade=STEEL, wall_grade=IRON, gap=0.03)
    assert not any(n.label == "chill the part to" for n in made.numbers)
    # 0.08 ÷ (40.05 × 12.3e-6) = 162 K below 20 °C
    assert any("-142 °C" in note and "-80 °C for steel 4140" in note for note in made.notes)
    both = number(made, "with the part at -80 °C, heat the hole to")
    part = 40.05 * (1 + STEEL.expansion.value * -100)
    hole = 40.0 * (1 + IRON.expansion.value * (both - 20))
    assert hole - part == pytest.approx(0.03, abs=1e-4)


def test_nothing_the_metals_allow_is_a_refusal() -> None:
    """0.5 mm tight on 40 mm of iron: 1100 K to heat, past absolute zero to chill."""
    made = press_in(40.5, 40.0, part_grade=IRON, wall_grade=IRON)
    assert made.stopped
    assert len(made.refused) == 3
    assert any("absolute zero" in text for text in made.refused)
    assert not any(n.kind == "temperature" for n in made.numbers)
