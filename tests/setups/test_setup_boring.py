"""Boring to the piston in hand, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.boring import bore_to_piston
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


@pytest.mark.parametrize(
    ("piston", "finish", "bored"),
    # piston + .0020; less .0025 for the hone
    [("4.0178", "4.0198", "4.0173"), ("4.0182", "4.0202", "4.0177")],
)
def test_each_bore_to_its_own_piston(piston: str, finish: str, bored: str) -> None:
    made = bore_to_piston(F(piston) * IN, F(".0020") * IN, F(".0025") * IN, system="inch")
    assert value(made, "finish after honing") == F(finish) * IN
    assert value(made, "bore to") == F(bored) * IN
    assert value(made, "cutter, from the spindle's centre") == F(bored) * IN / 2


def test_what_comes_out_is_bore_less_what_is_there() -> None:
    # 72.440 − 72.008
    made = bore_to_piston(72.452, 0.048, 0.06, present=72.008, clean_up=72.308)
    assert value(made, "metal to bore out") == F("0.432")
    assert sum(cut.taken for cut in made.passes) == F("0.432")
    # 72.500 − 72.308
    assert value(made, "to spare at clean-up") == F("0.192")


def test_a_bore_that_does_not_clean_up_is_refused() -> None:
    # +0.25 piston 72.202 + 0.048 = 72.250 against 72.308
    with pytest.raises(ValueError, match=r"clean_up is 72\.308 mm and finish 72\.25 mm"):
        bore_to_piston(72.202, 0.048, 0.06, clean_up=72.308)


def test_a_witness_left_for_the_hone_is_said() -> None:
    made = bore_to_piston(72.452, 0.048, 0.06, clean_up=72.460)
    assert "witness" in made.notes[0]


def test_nothing_to_bore_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to bore"):
        bore_to_piston(72.452, 0.048, 0.06, present=72.45)
