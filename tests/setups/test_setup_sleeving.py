"""Sleeving a bore, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.record import SetUp
from sparkout.setups.sleeving import bore_for_sleeve

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_bore_wall_and_sleeve_wall() -> None:
    """4.1895 − .0025 = 4.1870; .165 − (2.0935 − 2.0043) = .0758; (4.1895 − 4.0200) ÷ 2 =
    .08475."""
    made = bore_for_sleeve(F("4.1895") * IN, F(".0025") * IN, wall=F(".165") * IN,
                           wall_radius=F("2.0043") * IN, least_wall=F(".060") * IN,
                           finish=F("4.0200") * IN, present=F("4.0010") * IN)  # fmt: skip
    assert value(made, "bore to") == F("4.1870") * IN
    assert value(made, "wall left behind it") == F(".0758") * IN
    assert value(made, "sleeve wall when finished") == F(".08475") * IN
    assert sum(cut.taken for cut in made.passes) == F(".1860") * IN


def test_too_little_wall_is_refused() -> None:
    # 3.5 − (106.34 ÷ 2 − 51.0)
    with pytest.raises(ValueError, match=r"wall left behind the sleeve is 1\.33 mm"):
        bore_for_sleeve(106.4, 0.06, wall=3.5, wall_radius=51.0, least_wall=1.5)


def test_no_interference_does_not_hold() -> None:
    with pytest.raises(ValueError, match="does not hold"):
        bore_for_sleeve(106.4, 0)


def test_a_sleeve_smaller_than_the_bore() -> None:
    with pytest.raises(ValueError, match="this sleeve is too small"):
        bore_for_sleeve(106.4, 0.06, present=106.5)
