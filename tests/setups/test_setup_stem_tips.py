"""Grinding stem tips, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.record import SetUp
from sparkout.setups.stem_tips import grind_tip

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_tips_bring_the_preload_back() -> None:
    """.064 − .015 ÷ 1.5 = .054."""
    made = grind_tip(F(".015") * IN, preload=F(".064") * IN, ratio=1.5)
    assert value(made, "preload after") == F(".054") * IN
    with pytest.raises(ValueError, match=r"tip height comes out at 37\.4 mm"):
        grind_tip(0.4, tip_height=37.8, least_height=37.5)
    assert value(grind_tip(0.1, lash=0.2), "lash after, nothing adjusted") == F("0.3")
