"""Surfacing a face, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.record import SetUp
from sparkout.setups.surfacing import level_and_cut, surface


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_one_cut_for_everybody() -> None:
    """Flatness asks 0.08, protrusion of 10.035 − (10.120 − cut) ≥ 0.030 asks 0.115; the least
    height 327.445 − cut − 0.005 ≥ 327.300 allows 0.140; on a dial of 0.01 that is 0.12."""
    made = surface((("warp", 0.08), ("protrusion of liner 2", 0.115)),
                   (("least deck height", 0.140),), heights=(("rear", 327.445),))  # fmt: skip
    cut = made.number("total cut")
    assert cut.value == F("0.12")
    assert (cut.low, cut.high) == (F("0.115"), F("0.140"))
    assert value(made, "height left, rear") == F("327.325")
    assert sum(p.taken for p in made.passes) == F("0.12")
    assert made.passes[0].name == "skim and look"


@given(st.lists(st.integers(0, 300), min_size=1, max_size=5), st.integers(1, 50))
def test_enough_for_all_and_never_a_division_more(asked: list[int], dial: int) -> None:
    rows = [(f"need {i}", F(n, 1000)) for i, n in enumerate(asked)]
    made = surface(rows, dial=F(dial, 1000))
    depth = value(made, "total cut")
    assert depth >= max(v for _, v in rows)
    assert depth - F(dial, 1000) < max(v for _, v in rows) or depth == 0
    assert sum((p.taken for p in made.passes), F(0)) == depth


def test_no_depth_serves_everybody() -> None:
    with pytest.raises(ValueError, match=r"cut is 0\.16 mm and least height allows 0\.134 mm"):
        surface((("warp", 0.155),), (("least height", 0.134),))
    with pytest.raises(ValueError, match=r"warp asks for 0\.155 mm"):
        surface((("warp", 0.155),), cut=0.10)


def test_a_face_that_leans_says_so() -> None:
    made = surface((("warp", 0.08),), heights=(("front", 327.455), ("rear", 327.445)))
    assert value(made, "one end stands higher by") == F("0.010")
    assert "plan again" in made.notes[0]


def test_least_cut_from_heights_is_the_flatness_and_level_costs_the_lean() -> None:
    """A face that rises 0.08 over 400 mm with a hollow of 0.03: levelled it loses 0.08."""
    face = [(0, 0, 0.02), (400, 0, 0.10), (0, 150, 0.02), (400, 150, 0.10), (200, 75, 0.03)]
    made = level_and_cut(face, [(0, 0), (0, 150), (400, 75)], tilt=None)
    assert float(value(made, "least cut")) == pytest.approx(0.03, abs=1e-6)
    assert float(value(made, "cut if held level")) == pytest.approx(0.08, abs=1e-6)
    # lifted by 0.08 at the low end, the face lies level
    assert float(value(made, "shim under support 1")) == pytest.approx(0.08, abs=1e-6)
    assert float(value(made, "shim under support 3")) == pytest.approx(0.0, abs=1e-6)
