"""Grinding journals, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.crank_grind import grind_journal
from sparkout.setups.record import SetUp


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_pin_worn_on_one_side() -> None:
    """Clean-up 64.988 − 2 × 0.043 = 64.902; −0.25 gives 64.740, 0.162 to spare; without polish
    stock (64.988 − 64.740) ÷ 2 = 0.124 a side; 69.010 − 2 × 2.100 − 64.740 = 0.070."""
    made = grind_journal(64.988, 64.740, clean_up=64.902, stroke=120, fillet_least=3.5,
                         fillet_most=4.0, width=38.0, housing=69.010, shell_wall=2.100,
                         least_clearance=0.045, most_clearance=0.090)  # fmt: skip
    assert value(made, "to spare") == F("0.162")
    assert value(made, "stock per side, least-worn part") == F("0.124")
    assert value(made, "throw") == 60
    assert value(made, "oil clearance with the shells in hand") == F("0.070")
    assert value(made, "dress the wheel's corner to") == F("3.75")
    assert value(made, "widest wheel, below") == 38
    assert sum(p.taken for p in made.passes) == F("0.124")
    assert made.passes[-1].note.startswith("spark out")


def test_as_found_pin_3_ran_at() -> None:
    # 69.012 − 2 × 1.968 − 64.945
    assert F("69.012") - 2 * F("1.968") - F("64.945") == F("0.131")
    made = grind_journal(64.988, 64.945, housing=69.012, shell_wall=1.968)
    assert value(made, "oil clearance with the shells in hand") == F("0.131")


def test_what_does_not_clean_up_is_refused() -> None:
    with pytest.raises(ValueError, match=r"clean_up is 64\.7 mm, below the target of 64\.74"):
        grind_journal(64.988, 64.740, clean_up=64.700)
    with pytest.raises(ValueError, match="nothing to grind"):
        grind_journal(64.740, 64.740)


def test_polish_stock_stays_on() -> None:
    made = grind_journal(64.988, 64.740, polish_stock=0.008)
    assert value(made, "grind to") == F("64.748")
    assert value(made, "stock per side, least-worn part") == F("0.120")
    assert "fillet radius" in made.read_first[0]
