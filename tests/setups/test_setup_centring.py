"""Where the centre of a bore is taken from, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.measure.form.bore_clean_up import Score, bore_clean_up_scored
from sparkout.setups.centring import bore_centre, centre_from_readings
from sparkout.setups.number import Given
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


@pytest.mark.parametrize(
    ("limit", "clean_up"),
    # 2 × max(2.0005 + .0258 − e, 2.0005 + e): e = .010 and the shop's .004
    [("0.010", "4.0326"), ("0.004", "4.0446"), ("0", "4.0526")],
)
def test_moved_towards_a_score(limit: str, clean_up: str) -> None:
    made = bore_centre(F("4.0010") * IN, F(".0258") * IN, F(limit) * IN)
    assert value(made, "cleans up at, moved towards the wear") == F(clean_up) * IN


@given(st.floats(50, 150), st.floats(0.001, 0.5), st.floats(0, 1))
def test_agrees_with_the_general_search(bore: float, wear: float, limit: float) -> None:
    made = bore_centre(bore, wear, limit)
    found = bore_clean_up_scored(bore, [Score(0.0, wear)], limit)
    own = float(value(made, "cleans up at, moved towards the wear"))
    assert own == pytest.approx(found.diameter, abs=1e-9)
    assert float(value(made, "move the centre towards the wear")) <= limit


def test_dowels_off_the_unworn_end_cost_twice_their_offset() -> None:
    # 72.008 + 2 × 0.15 + 2 × 0.04
    made = bore_centre(72.008, 0.15, 0, true_centre_off=0.04)
    assert value(made, "cleans up at, on the dowels") == F("72.388")


def test_a_bore_that_cleans_up_keeps_its_centre() -> None:
    # 72.008 + 2 × 0.15 = 72.308; 72.500 − 72.308 = 0.192
    made = bore_centre(72.008, 0.15, 0.1, finish=72.5)
    assert value(made, "to spare there") == F("0.192")
    assert not any("move" in number.label for number in made.numbers)
    assert made.notes == ("It cleans up on its own centre: leave the centre where it is.",)
    just = bore_centre(72.008, 0.15, 0.1, finish=72.308)
    assert value(just, "to spare there") == 0


def test_a_centre_moves_no_farther_than_it_has_to() -> None:
    # own 72.308; (72.308 − 72.250) ÷ 2 = 0.029, half the wear 0.075 at most
    made = bore_centre(72.008, 0.15, 0.1, finish=72.25)
    moved = made.number("move the centre towards the wear, at least")
    assert (moved.value, moved.high, moved.held_by) == (F("0.029"), F("0.075"), "half the wear")
    free = made.number("cleans up at, moved towards the wear")
    assert free.value == F("72.158") < free.high == F("72.25")  # 72.008 + 0.15


def test_where_moving_does_not_save_it_the_numbers_say_so() -> None:
    # own 72.308, moved by the limit of 0.02 still 72.268; 72.250 asks for 0.029
    limit = Given(F("0.02"), "farthest off the true centre", marks=("a rule of thumb",))
    made = bore_centre(72.008, 0.15, limit, finish=72.25)
    moved = made.number("move the centre towards the wear, at least")
    assert moved.value > moved.high == F("0.02")
    assert moved.marks == ("a rule of thumb",)
    free = made.number("cleans up at, moved towards the wear")
    assert free.value == F("72.268") > free.high == F("72.25")
    assert free.marks == ("a rule of thumb",)


def test_dowels_are_held_against_the_finish() -> None:
    # 72.308 + 2 × 0.04 = 72.388, above 72.35: the own centre cleans up, the dowels do not
    made = bore_centre(72.008, 0.15, 0, true_centre_off=0.04, finish=72.35)
    dowels = made.number("cleans up at, on the dowels")
    assert dowels.value > dowels.high == F("72.35")
    with pytest.raises(ValueError, match="finish is 0 mm"):
        bore_centre(72, 0.1, 0, finish=0)


def test_centre_from_four_readings() -> None:
    made = centre_from_readings(0.08, 0.02, 0.01, 0.03)
    assert [n.value for n in made.numbers] == [F("0.03"), F("-0.01")]


def test_bad_numbers_are_named() -> None:
    with pytest.raises(ValueError, match=r"wear is -0\.1 mm"):
        bore_centre(72, -0.1, 0)
