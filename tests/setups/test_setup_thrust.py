"""Thrust washers, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.record import SetUp
from sparkout.setups.thrust import fit_washers


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_end_play() -> None:
    # gap 0.34 + 2.44 + 2.46 = 5.24; − 2 × 2.50
    made = fit_washers(F("0.34") + F("2.44") + F("2.46"), 2.50, least=0.10, most=0.30)
    assert value(made, "end play") == F("0.24")


def test_a_shaft_that_binds() -> None:
    with pytest.raises(ValueError, match="the shaft binds"):
        fit_washers(5.0, 2.5)


def test_ground_faces_give_room() -> None:
    made = fit_washers(5.0, 2.55, grind=0.3)
    assert value(made, "end play") == F("0.2")
    assert sum(p.taken for p in made.passes) == F("0.3")
