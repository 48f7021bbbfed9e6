"""Options of the head: each where it is the right answer, and where it is not offered and why."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from small_engine import SmallEngine

from sparkout.engine.dimension import Key


def head(**more: object) -> SmallEngine:
    """One intake valve in a head; tip, spring and recession read."""
    m = SmallEngine(without=("injector",), **more)  # type: ignore[arg-type]
    m.limit("valve recession", "0.80 to 1.10", "0.80 to 1.50")
    m.limit("tip height", "37.8 to 38.2", "at most 38.5")
    m.limit("spring installed height", "41.7 to 42.3", "at most 42.5")
    m.work("cut seat", "1", {"valve recession": "0.06 to 0.10", "seat runout": "at most 0.03"},
           step="0.02")  # fmt: skip
    m.work("fit seat insert", "1")
    m.read("valve I1", "tip height", "38.10").read("spring I1", "spring installed height", "42.0")
    return m


def test_an_insert_set_from_a_cut_face_brings_the_stem_up_by_the_cut():
    """Recession 2.60 is cut to 0.95 from a face that lost 0.10: the valve goes down 1.55.

    Tip 38.10 + (0.95 − 2.60 + 0.10) = 36.55; spring 42.0 − 1.55 = 40.45.
    """
    m = head().part("seat insert", "seat insert", fits="intake")
    m.limit("tip height", "36.4 to 38.2", "at most 38.5")
    m.limit("spring installed height", "40.3 to 42.3", "at most 42.5")
    m.limit("head flatness", "at most 0.05")
    m.work("surface head", "1", {"head flatness": "at most 0.02"}, step="0.01", smallest="0.10")
    m.read("seat I1", "valve recession", "2.60").read("head", "head flatness", "0.08")
    assert m.picks == {"seat I1": "insert", "head": "surface"}
    assert m.cut["head cut"] == F("0.10")
    sizes = m.plan.sizes
    assert sizes[Key("seat I1", "valve recession")].high.value == F("0.95")
    assert sizes[Key("valve I1", "tip height")].high.value == F("36.55")
    assert sizes[Key("spring I1", "spring installed height")].high.value == F("40.45")


def test_an_insert_in_an_uncut_head_moves_the_stem_by_the_recession_alone():
    m = head().part("seat insert", "seat insert", fits="intake")
    m.limit("tip height", "37.4 to 38.2", "at most 38.5")
    m.limit("spring installed height", "41.2 to 42.3", "at most 42.5")
    m.read("seat I1", "valve recession", "1.60")
    assert m.picks == {"seat I1": "insert"}
    assert m.plan.sizes[Key("valve I1", "tip height")].high.value == F("37.45")


def test_refacing_sinks_the_valve_and_raises_tip_and_spring():
    """The face loses 0.10 along the stem: recession, tip and spring height all grow by it."""
    m = head().work("reface valve", "1", {"valve face runout": "at most 0.02",
                                          "valve margin": "0.05 to 0.10"})  # fmt: skip
    m.limit("valve margin", "at least 1.8", "at least 1.2")
    m.limit("valve face runout", "at most 0.03", "at most 0.05")
    m.read("seat I1", "valve recession", "1.00").read("valve I1", "valve margin", "1.5")
    m.read("valve I1", "valve face runout", "0.08")
    assert m.picks == {"valve I1": "reface"}
    sizes = m.plan.sizes
    assert sizes[Key("seat I1", "valve recession")].high.value == F("1.10")
    assert sizes[Key("valve I1", "tip height")].high.value == F("38.20")
    assert sizes[Key("spring I1", "spring installed height")].high.value == F("42.1")


@pytest.mark.parametrize(("lift", "preload"), [("0.004 to 0.006", "0.5"), ("0.05 to 0.05", "0.5")])
def test_honing_the_mains_leaves_hydraulic_preload_alone(lift, preload):
    """The crank comes nearer to the cam and to the deck alike; the cam stays in its block."""
    m = SmallEngine()
    m.geometry["rocker ratio"] = F(3, 2)
    m.limit("main housing diameter", "80.000 to 80.018").limit("hydraulic preload", "0.4 to 0.6")
    m.work("align-hone mains", "1", {"main housing diameter": "± 0.002", "crank lift": lift})
    m.round("main housing 1", "main housing diameter", "80.005", "80.030")
    m.read("follower I1", "hydraulic preload", preload)
    assert m.picks == {"main housings": "align-hone mains"}
    key = Key("follower I1", "hydraulic preload")
    after = m.plan.sizes[key]
    assert (after.low.value, after.high.value, after.low.u) == (F(preload), F(preload), 0)
