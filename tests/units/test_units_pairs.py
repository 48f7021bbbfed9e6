"""Inch and millimetre columns that contradict each other are seen.

The slips are printed in US Army technical manuals, as quoted in a list of such slips:
TM 10-4320-307-24 (lash), TM 5-3820-256-24-5 (flatness), TM 9-2815-254-24 (journal).
"""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.units import show, unit_pair_agrees

INCH = F(254, 10)


@pytest.mark.parametrize(
    ("inch", "mm", "right"),
    [
        ("0.011-inch", "0.028 mm", "0.279 mm for 0.011 in"),
        ("0.004 in.", "0.01 mm", "0.10 mm for 0.004 in"),
        ("2.7548 to 2.7533 in", "69.920 to 69.632 mm", "69.972 mm for 2.7548 in"),
    ],
)
def test_printed_slips_are_found(inch: str, mm: str, right: str) -> None:
    check = unit_pair_agrees(inch, mm)
    assert not check
    assert check.expected == right
    assert inch in check.found
    assert mm in check.found


def test_a_slipped_decimal_point_is_named() -> None:
    assert "1 place out" in unit_pair_agrees("0.011 in", "0.028 mm").remedy
    assert "2 places out" in unit_pair_agrees("0.011 in", "0.0028 mm").remedy


@pytest.mark.parametrize(
    ("inch", "mm"),
    [
        ("0.011 in", "0.279 mm"),
        ("0.011 in", "0.28 mm"),
        ("4.0000 to 4.0010 in", "101.600 to 101.625 mm"),
        ("2.7548 to 2.7533 in", "69.972 to 69.934 mm"),
        ("at most .002 in", "at most 0.05 mm"),
        ("at least .002 in", "at least 0.051 mm"),
        (".011", "0.279"),
    ],
)
def test_columns_that_agree(inch: str, mm: str) -> None:
    assert unit_pair_agrees(inch, mm)


@pytest.mark.parametrize(
    ("inch", "mm", "says"),
    [
        ("at most .002 in", "0.05 mm", "the same kind of limit"),
        ("at most .002 in", "at least 0.05 mm", "the same kind of limit"),
        (".002 to .004 in", "0.05 mm", "the same kind of limit"),
        ("none", "0.05 mm", "a length such as"),
        (".0200 in", "0.500 mm", "0.508 mm for 0.0200 in"),
    ],
)
def test_columns_that_cannot_be_compared_or_differ(inch: str, mm: str, says: str) -> None:
    check = unit_pair_agrees(inch, mm)
    assert not check
    assert says in check.expected


@settings(deadline=None)
@given(st.integers(1, 10**6), st.integers(0, 4), st.integers(0, 4))
def test_a_pair_rounded_from_one_size_always_agrees(
    tenths: int, inch_places: int, mm_places: int
) -> None:
    size = tenths * INCH / 10000
    inch = show(size, "inch", INCH / 10**inch_places)
    mm = show(size, "mm", F(1, 10**mm_places))
    assert unit_pair_agrees(inch, mm)


def test_one_step_of_the_coarser_column_is_the_border() -> None:
    # 0.011 in = 0.2794 mm, one step of it 0.0254 mm: up to 0.3048 mm a limit rounded inwards.
    assert unit_pair_agrees("0.011 in", "0.304 mm")
    assert not unit_pair_agrees("0.011 in", "0.305 mm")
    assert not unit_pair_agrees("1 in", "50.8 mm")
