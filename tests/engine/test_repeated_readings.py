"""Repeats of one place are averaged; readings of different places are not."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from engine_makers import FRAME, good_shop, read

from sparkout.engine.dimension import Key
from sparkout.engine.state import measured_state

BORE = Key("bore 1", "bore diameter")


def test_the_mean_of_a_place_counts_and_its_repeatability_shrinks(tmp_path):
    """GUM 4.2.3: s/√n; one step of the scale and the certificate stay."""
    shop = good_shop(tmp_path)
    spots = [
        read(shop, typed, level="top", direction="thrust", gauge="BG-1", entry=f"entry{k}")
        for k, typed in enumerate(("100.010", "100.012", "100.011", "100.011"))
    ]
    size = measured_state(FRAME, spots).sizes[BORE]
    assert size.low == size.high
    assert size.low.value == Fraction("100.011")
    assert size.entries == ("entry0", "entry1", "entry2", "entry3")
    zero = 0.0008**2 + 0.001**2 / 12
    fixed = 0.001**2 + 0.0005**2 + zero + 0.001**2 / 12
    assert size.low.u == pytest.approx(math.sqrt(fixed + 0.0008**2 / 4))


def test_different_places_keep_their_extremes(tmp_path):
    shop = good_shop(tmp_path)
    spots = [
        read(shop, typed, level=level, gauge="BG-1", entry=level)
        for level, typed in (("top", "100.030"), ("middle", "100.010"))
    ]
    size = measured_state(FRAME, spots).sizes[BORE]
    assert (size.low.value, size.high.value) == (Fraction("100.010"), Fraction("100.030"))


def test_blades_narrow_one_another(tmp_path):
    shop = good_shop(tmp_path)
    key = Key("deck", "deck flatness")
    gaps = [
        read(shop, typed, "deck flatness", "deck", direction="diagonal", gauge="FG-1", entry=typed)
        for typed in ("0.04 passes, 0.08 does not", "0.06 passes")
    ]
    size = measured_state(FRAME, gaps).sizes[key]
    assert size.high.value == Fraction("0.07")
    assert size.high.u == pytest.approx(math.sqrt((0.01 / math.sqrt(3)) ** 2 + 0.002**2))


def test_blades_that_contradict_leave_the_last_word(tmp_path):
    shop = good_shop(tmp_path)
    gaps = [
        read(shop, typed, "deck flatness", "deck", direction="diagonal", gauge="FG-1", entry=typed)
        for typed in ("0.08 passes, 0.10 does not", "0.04 passes, 0.06 does not")
    ]
    size = measured_state(FRAME, gaps).sizes[Key("deck", "deck flatness")]
    assert size.high.value == Fraction("0.05")


def test_two_equal_readings_leave_their_difference_in_doubt(tmp_path):
    """Certificate, master and zero cancel; step and repeatability of both readings stay."""
    shop = good_shop(tmp_path)
    spots = [
        read(shop, "100.010", level="top", direction=way, gauge="BG-1", entry=way)
        for way in ("thrust", "axial")
    ]
    sizes = measured_state(FRAME, spots).sizes
    swing = sizes[Key("bore 1", "bore out-of-round")].low
    assert swing.value == 0
    one = 0.0008**2 + 0.001**2 / 12
    assert swing.u == pytest.approx(math.sqrt(2 * one))
    clean = sizes[Key("bore 1", "bore clean-up diameter")].low
    # the unworn wall plus twice a depth that is itself a difference: −1 of one reading, 2 of other
    assert clean.u == pytest.approx(math.sqrt(0.001**2 + 0.0005**2 + one + 5 * one))
