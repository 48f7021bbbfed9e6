"""Cam bushes and follower bores, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.cam_bores import size_bore
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_cam_bush() -> None:
    made = size_bore(49.944, 0.062, 0.01, present=49.9)
    # 49.944 + 0.062; − 0.01; 50.006 − 49.9
    assert [n.value for n in made.numbers] == [
        F("50.006"), F("49.996"), F("0.062"), F("0.106"),
    ]  # fmt: skip
    with pytest.raises(ValueError, match="too large already"):
        size_bore(49.944, 0.062, present=50.1)
