"""Refacing valves and rockers, against the arithmetic beside each number."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.mechanics.cam import lash_fixed_pivot
from sparkout.setups.record import SetUp
from sparkout.setups.valve_faces import reface_rocker, reface_valve

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_rim_and_lash() -> None:
    # 0.07 ÷ cos 45° = 0.09899; 1.6 − that; 0.30 − that
    made = reface_valve(1.6, 0.07, 45, least_margin=1.2, recession=0.95, lash=0.30)
    sink = 0.07 / math.cos(math.radians(45))
    assert float(value(made, "valve sinks by")) == pytest.approx(sink, abs=1e-6)
    assert float(value(made, "rim left")) == pytest.approx(1.6 - sink, abs=1e-6)
    assert float(value(made, "recession after")) == pytest.approx(0.95 + sink, abs=1e-6)
    after = float(value(made, "lash after, nothing adjusted"))
    assert after == pytest.approx(lash_fixed_pivot(0.30, 1.5, tip_rise=sink), abs=1e-6)


def test_too_thin_a_rim() -> None:
    with pytest.raises(ValueError, match=r"margin comes out at 1\.159 mm"):
        reface_valve(1.3, 0.1, 45, least_margin=1.2)


def test_rocker_pad() -> None:
    # lash + 0.15; adjuster 0.15 ÷ 1.5; travel 12 × sin 10°
    made = reface_rocker(0.15, 1.5, 12, 20, 0.30)
    assert value(made, "lash after, nothing adjusted") == F("0.45")
    assert value(made, "adjuster goes in by, pushrod side") == F("0.1")
    travel = made.number("contact travels over the tip, each way from half lift")
    assert float(travel.value) == pytest.approx(12 * math.sin(math.radians(10)), abs=1e-6)
