"""What a mistyped word was meant to be."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.sheet.nearest import distance, nearest, nearest_few

KEYS = ("bore diameter", "bore taper", "deck height", "main journal diameter", "firing order")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("bore daimeter", "bore diameter"),
        ("bore dia", "bore diameter"),
        ("diameter bore", "bore diameter"),
        ("Bore-Diametr", "bore diameter"),
        ("deck hight", "deck height"),
        ("frring order", "firing order"),
        ("main jornal diameter", "main journal diameter"),
        ("colour", ""),
        ("", ""),
        ("x" * 500, ""),
    ],
)
def test_nearest(typed: str, meant: str) -> None:
    assert nearest(typed, KEYS) == meant


def test_several_near_ones_nearest_first() -> None:
    assert nearest_few("plan", ("plane", "plans", "check", "plan b")) == ("plane", "plans")


# Values of the optimal string alignment distance, counted by hand.
@pytest.mark.parametrize(
    ("one", "other", "slips"),
    [("", "", 0), ("a", "", 1), ("ab", "ba", 1), ("ca", "abc", 3), ("kitten", "sitting", 3)],
)
def test_distance(one: str, other: str, slips: int) -> None:
    assert distance(one, other) == distance(other, one) == slips


@settings(deadline=None)
@given(st.text(max_size=12), st.text(max_size=12))
def test_distance_is_bounded_and_symmetric(one: str, other: str) -> None:
    far = distance(one, other)
    assert far == distance(other, one)
    assert abs(len(one) - len(other)) <= far <= max(len(one), len(other))
    assert (far == 0) == (one == other)
