"""Cutting caps and honing the main line, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.line_hone import cap_cut_for, hone_housing
from sparkout.setups.record import SetUp


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_cap_3() -> None:
    """80.026 − 0.03 = 79.996; 80.010 − 79.996 = 0.014 for the hone; 80.010 − 2 × 2.478 − 74.962
    = 0.092, inside 0.055 to 0.100."""
    made = hone_housing(80.026, 80.010, 0.03, 0.003, 0.007, 2.478, 74.962, 0.055, 0.100)
    assert value(made, "across the faces after the cut") == F("79.996")
    assert value(made, "stock for the hone, across the faces") == F("0.014")
    assert value(made, "oil clearance it leaves") == F("0.092")
    lift = made.number("centre line goes up, most")
    assert (lift.low, lift.high) == (F("0.003"), F("0.007"))


@given(st.integers(-30, 60), st.integers(0, 30), st.integers(1, 20))
def test_the_cap_cut_leaves_at_least_the_stock(over: int, stock: int, dial: int) -> None:
    largest, target = F(80) + F(over, 1000), F(80)
    cut = cap_cut_for(largest, target, F(stock, 1000), F(dial, 1000))
    assert cut >= 0
    assert target - (largest - cut) >= F(stock, 1000)
    assert cut == 0 or target - (largest - cut) < F(stock + dial, 1000)


def test_too_little_off_the_cap() -> None:
    with pytest.raises(ValueError, match="more has to come off it"):
        hone_housing(80.026, 80.006, 0.01)
