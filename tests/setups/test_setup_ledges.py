"""Recutting liner ledges, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.ledges import cut_ledge, ledge_for_protrusion
from sparkout.setups.record import SetUp


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_depth_from_both_decks() -> None:
    # 10.035 + 0 − 0.045 = 9.990 from the final deck; + 0.13 still to come = 10.120
    made = ledge_for_protrusion(10.035, 0, 0.045, 0.13)
    assert value(made, "depth, from the final deck") == F("9.990")
    assert value(made, "depth, from the deck as it is") == F("10.120")


@given(st.integers(9000, 11000), st.integers(0, 300), st.integers(-50, 150),
       st.integers(0, 400))  # fmt: skip
def test_cut_to_it_the_liner_stands_out_as_wanted(
    flange: int, shim: int, out: int, deck: int
) -> None:
    f, s, p, c = (F(n, 1000) for n in (flange, shim, out, deck))
    wanted = ledge_for_protrusion(f, s, p, c)
    made = cut_ledge(value(wanted, "depth, from the final deck"), c, flange=f, shim=s)
    assert value(made, "its liner will stand out") == p
    now = value(made, "depth, from the deck as it is")
    assert now == value(wanted, "depth, from the deck as it is")


def test_a_ledge_that_is_deeper_already_does_not_clean_up() -> None:
    with pytest.raises(ValueError, match=r"deepest is 10\.12 mm and the depth to cut to 10\.11"):
        cut_ledge(9.98, 0.13, deepest=10.120)
