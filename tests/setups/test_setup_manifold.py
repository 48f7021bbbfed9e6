"""The manifold of a V engine, against the arithmetic beside each number."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.setups.manifold import cut_manifold
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_faces_and_rails() -> None:
    """c = .008 + .006 = .014; faces .014 × sin 45° ÷ cos 45°; rails .014 ÷ cos 45° = .0198."""
    made = cut_manifold(F(".008") * IN, F(".006") * IN, 0, 90, 45, "inch")
    assert made.numbers[0].value == F(".014") * IN
    face = float(value(made, "off each intake face, square to it")) / 25.4
    rails = float(value(made, "off the end rails, or thicker seals")) / 25.4
    assert face == pytest.approx(0.014, abs=1e-7)
    assert rails == pytest.approx(0.014 * math.sqrt(2), abs=1e-7)
    assert round(rails, 3) == 0.020
    off = value(made, "off each intake face, square to it")
    assert sum(p.taken for p in made.passes) == off


def test_heads_that_rise() -> None:
    with pytest.raises(ValueError, match="the heads rise"):
        cut_manifold(0.1, 0, 0.3, 90, 45)
