"""Resizing big ends, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.big_end import face_cut_for, resize_big_end
from sparkout.setups.record import SetUp


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_resize() -> None:
    """69.028 − 0.04 = 68.988; 69.010 − 68.988 = 0.022; shorter by 0 to 0.02."""
    made = resize_big_end(69.028, 69.010, 0.02, 0.02, 204.995)
    assert value(made, "stock for the hone, across the faces") == F("0.022")
    length = made.number("centre distance then, least")
    assert (length.low, length.high) == (F("204.975"), F("204.995"))
    assert face_cut_for(69.028, 69.010, 0.02) == F("0.04")


def test_a_housing_too_large_across_is_refused() -> None:
    with pytest.raises(ValueError, match="face cuts do not close it there"):
        resize_big_end(69.028, 69.010, 0.02, 0.02, smallest=69.015)
    with pytest.raises(ValueError, match="more has to come off the faces"):
        resize_big_end(69.028, 69.010, 0.005, 0.005)
