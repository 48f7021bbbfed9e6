"""Boring small-end bushes, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

from sparkout.setups.record import SetUp
from sparkout.setups.small_end import bore_bush


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_bush_at_its_centre_distance() -> None:
    # 34.996 + 0.028; − 0.01; 205.00 − 204.97
    made = bore_bush(34.996, 0.028, 0.01, 204.97, 205.00)
    assert [n.value for n in made.numbers] == [
        F("35.024"), F("35.014"), F("205"), F("0.03"),
    ]  # fmt: skip
    assert bore_bush(34.996, 0.028, 0.01).read_first[0].startswith("for the centre distance")
