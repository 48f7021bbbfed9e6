"""Cutting a seat to its recession, against the arithmetic beside each number."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.record import SetUp
from sparkout.setups.valve_seats import cut_seat, spindle_depth

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


@pytest.mark.parametrize(
    ("found", "after"),
    # head cut 0.14: recession falls by it
    [("1.02", "0.88"), ("1.05", "0.91"), ("1.04", "0.90"), ("1.12", "0.98"), ("1.22", "1.08")],
)
def test_recession_after_the_head_was_cut(found: str, after: str) -> None:
    made = cut_seat(F(found), 0, head_cut=F("0.14"), least=0.80, most=1.50)
    assert value(made, "recession to reach") == F(after)


def test_seat_of_the_new_guide() -> None:
    # 1.08 − 0.14 + 0.06 = 1.00; tip 38.10 + 0.06; 0.06 × cos 45° = 0.042
    made = cut_seat(1.08, 0.06, head_cut=0.14, seat_angle=45, least=0.80, tip_height=38.10)
    assert value(made, "recession to reach") == F("1.00")
    assert value(made, "stem tip stands at then") == F("38.16")
    square = float(value(made, "off the seat, square to it"))
    assert square == pytest.approx(0.06 * math.cos(math.radians(45)), abs=1e-6)
    assert sum(p.taken for p in made.passes) == F("0.06")


def test_in_the_wrong_order_every_valve_is_too_shallow() -> None:
    # seats at 0.90, then surfaced by 0.14: 0.76 < 0.80
    with pytest.raises(ValueError, match=r"recession comes out at 0\.76 mm"):
        cut_seat(0.90, 0, head_cut=0.14, least=0.80)
    with pytest.raises(ValueError, match="a new insert"):
        cut_seat(1.40, 0.2, most=1.50)


def test_spindle_from_a_trial() -> None:
    # 4.20 + (0.95 − 0.88); where a deeper spindle reads less, 4.20 − 0.07
    assert value(spindle_depth(4.20, 0.88, 0.95), "stop the spindle's read-out at") == F("4.27")
    falls = spindle_depth(4.20, 0.88, 0.95, -1)
    assert value(falls, "stop the spindle's read-out at") == F("4.13")


@given(st.floats(-50, 50), st.floats(0, 2), st.floats(0, 2))
def test_the_way_to_go_is_what_is_missing(at: float, now: float, more: float) -> None:
    made = spindle_depth(at, now, now + more)
    way = float(value(made, "still to go from the trial"))
    assert way == pytest.approx(more, abs=1e-9)
    stop = float(value(made, "stop the spindle's read-out at"))
    assert stop - at == pytest.approx(more, abs=1e-9)


def test_a_trial_that_is_too_deep_cannot_be_taken_back() -> None:
    with pytest.raises(ValueError, match="cannot be cut back"):
        spindle_depth(4.20, 1.00, 0.95)
    with pytest.raises(ValueError, match="deeper_reads is 2"):
        spindle_depth(4.20, 0.88, 0.95, 2)


def test_without_a_trial_the_spindle_is_not_guessed() -> None:
    made = cut_seat(1.08, 0.06)
    assert not any("spindle" in n.label for n in made.numbers)
    assert "trial cut" in made.read_first[0]
