"""Overhead cam timing, against the arithmetic beside each number."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.setups.cam_timing import slot_sprocket
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_shift_and_slot() -> None:
    """0.10 + 0.10 + 0.15 = 0.35 over 36.4: 0.551° at the cam, 1.1° at the crank."""
    made = slot_sprocket(-0.35, 36.4, most_error=1, bolt_radius=25)
    cam = float(value(made, "cam is late by, cam degrees"))
    assert cam == pytest.approx(math.degrees(0.35 / 36.4), abs=1e-5)
    assert round(float(value(made, "cam is late by, crank degrees")), 1) == 1.1
    error = made.number("error then, + early")
    assert error.low is not None
    assert error.value < error.low  # outside ±1°
    assert float(value(made, "turn the cam on its sprocket, + early")) == pytest.approx(cam)
    slot = float(value(made, "slots longer than their bolts by"))
    assert slot == pytest.approx(25 * 0.35 / 36.4, abs=1e-5)


def test_no_bolt_circle_no_slot() -> None:
    assert "bolts stand on" in slot_sprocket(-0.35, 36.4).read_first[0]
