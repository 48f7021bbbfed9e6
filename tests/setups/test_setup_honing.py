"""Honing to the piston in hand, warm and cold; tight spots; the arithmetic beside each number."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.honing import (
    cross_hatch_set_up,
    hone_to_piston,
    tight_spots,
    warm_reading,
)
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_warm_barrel_reads_more() -> None:
    """72.452 + 0.048 = 72.500; × (1 + 11e-6 × 12) = 72.50957, read as 72.510."""
    made = hone_to_piston(72.452, 0.048, temperature=32, expansion=11,
                          least_clearance=0.040, most_clearance=0.055)  # fmt: skip
    assert value(made, "hone to") == F("72.500")
    warm = value(made, "gauge reads, warm")
    assert float(warm) == pytest.approx(72.500 * (1 + 11e-6 * 12), abs=1e-9)
    assert round(float(warm), 3) == 72.510


def test_sized_warm_without_it_the_clearance_is_under_the_minimum() -> None:
    """72.500 ÷ 1.000132 = 72.49043; − 72.452 = 0.038, below 0.040."""
    made = hone_to_piston(72.452, 0.048, temperature=32, expansion=11,
                          least_clearance=0.040, most_clearance=0.055)  # fmt: skip
    assert round(float(value(made, "cold, if sized without that")), 3) == 72.490
    left = made.number("clearance then")
    assert round(float(left.value), 3) == 0.038
    assert left.low is not None
    assert left.value < left.low


def test_a_gauge_as_warm_and_of_the_same_metal_needs_no_correction() -> None:
    reads = warm_reading(100, 32, 11, gauge_temperature=32, gauge_expansion=11)
    assert float(reads.value) == pytest.approx(100.0, abs=1e-9)
    assert "αg" in reads.rule


@given(st.floats(40, 200), st.floats(-20, 80), st.floats(5, 25))
def test_warm_reading_undone_is_the_target(size: float, t: float, alpha: float) -> None:
    reads = float(warm_reading(size, t, alpha).value)
    assert reads / (1 + alpha * 1e-6 * (t - 20)) == pytest.approx(size, rel=1e-9)


def test_without_a_temperature_it_is_asked_for_and_no_warm_number_is_given() -> None:
    made = hone_to_piston(72.452, 0.048, temperature=32)
    assert made.read_first == ("grade of the bore: how much it grows with warmth",)
    assert [n.label for n in made.numbers] == ["hone to"]


def test_tight_spots_get_least_metal_the_tightest_first() -> None:
    # 100.012 is the largest: 100.012 − 100.004 and − 100.011
    made = tight_spots((("top", 100.012), ("middle", 100.004), ("bottom", 100.011)))
    assert [(n.label, n.value) for n in made.numbers] == [
        ("straighten to", F("100.012")),
        ("take off at middle", F("0.008")),
        ("take off at bottom", F("0.001")),
    ]


@given(st.lists(st.integers(0, 40), min_size=2, max_size=8))
def test_no_place_is_left_small_and_none_gets_large(rows: list[int]) -> None:
    readings = [(f"level {i}", F(100) + F(n, 1000)) for i, n in enumerate(rows)]
    made = tight_spots(readings)
    target = made.numbers[0].value
    off = {n.label.removeprefix("take off at "): n.value for n in made.numbers[1:]}
    for place, reading in readings:
        assert reading + off.get(place, F(0)) == target


def test_a_target_under_a_reading_is_refused() -> None:
    with pytest.raises(ValueError, match=r"bottom reads 100\.02 mm"):
        tight_spots((("top", 100.0), ("bottom", 100.02)), 100.01)
    with pytest.raises(ValueError, match="1 readings"):
        tight_spots((("top", 100.0),))


def test_cross_hatch_both_ways_add_up_to_180() -> None:
    """2 × atan(2 × 130 × 60 ÷ (π × 100 × 150)) = 36.6°."""
    made = cross_hatch_set_up(100, 150, 130, 60)
    angle = 2 * math.degrees(math.atan(2 * 130 * 60 / (math.pi * 100 * 150)))
    assert float(made.numbers[0].value) == pytest.approx(angle)
    assert round(angle, 1) == 36.6
    assert float(made.numbers[0].value + made.numbers[1].value) == pytest.approx(180.0)
