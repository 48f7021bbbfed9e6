"""Options of the head: each where it is the right answer, and where it is not offered and why."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from small_engine import SmallEngine

from sparkout.engine.dimension import Key
from sparkout.plan.decide import Stuck


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
    m.work("surface head", "1", {"head flatness": "at most 0.02"}, step="0.05", smallest="0.10")
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


# Guides ------------------------------------------------------------------------------------------


def loose(guide: str = "9.090", stem: str = "8.960") -> SmallEngine:
    """A stem of 8.96 in a guide of 9.09: 0.130, past 0.10. A new guide costs 20 and an hour."""
    m = head().limit("stem clearance", "0.030 to 0.060", "at most 0.10")
    m.part("guide", "guide", 20, fits="intake")
    m.work("replace guide", "1", {"stem clearance": "± 0.004"})
    m.read("seat I1", "valve recession", "0.90").read("guide I1", "guide diameter", guide)
    return m.read("valve I1", "stem diameter", stem)


def test_a_worn_guide_is_replaced_and_its_seat_cut_true():
    assert loose().picks == {"guide I1": "replace", "seat I1": "recut"}


def test_a_guide_is_lined_where_that_is_cheaper():
    m = loose().part("guide liner", "guide liner", 4)
    m.work("line guide", "0.4", {"stem clearance": "± 0.004"})
    assert m.picks == {"guide I1": "line", "seat I1": "recut"}
    assert m.ordered() == ["line guide", "cut seat"]


def test_a_guide_is_not_lined_without_liners():
    m = loose().work("line guide", "0.4", {"stem clearance": "± 0.004"})
    assert m.options("guide I1") == ["leave", "replace"]


def reamed(guide: str, size: str = "9.070") -> SmallEngine:
    m = loose(guide).part("valve, thick stem", "oversize valve", 9, fits="intake",
                          sizes={"stem diameter": f"{size} to {size}"})  # fmt: skip
    return m.work("ream guide", "0.3", {"stem clearance": "± 0.004"})


def test_a_guide_is_reamed_to_a_thicker_stem():
    """9.070 + 0.045 = 9.115 leaves 0.025 to ream out of 9.090."""
    m = reamed("9.090")
    assert m.picks == {"guide I1": "ream, valve, thick stem", "seat I1": "recut"}
    sizes = m.plan.sizes
    assert sizes[Key("valve I1", "stem diameter")].low.value == F("9.070")
    assert sizes[Key("guide I1", "stem clearance")].low.value == F("0.045")
    assert m.ordered() == ["ream guide", "cut seat"]


def test_a_guide_worn_past_the_thicker_stem_is_not_reamed():
    """9.130 is wider than 9.115: nothing to ream."""
    m = reamed("9.130")
    assert m.picks == {"guide I1": "replace", "seat I1": "recut"}
    assert "worn past" in m.option("guide I1", "ream, valve, thick stem").needs[0].words


# Inserts and springs ------------------------------------------------------------------------------


def pocket(fit: str) -> SmallEngine:
    m = head().part("seat insert", "seat insert", 5, fits="intake")
    m.part("seat insert +0.25", "oversize seat insert", 8, fits="intake")
    m.limit("seat insert fit", "0.06 to 0.10", "at least 0.04")
    m.limit("tip height", "36.0 to 38.2", "at most 38.5")
    m.limit("spring installed height", "40.0 to 42.3", "at most 42.5")
    m.read("seat I1", "valve recession", "1.60")
    return m.read("seat I1", "seat insert fit", fit)


def test_a_loose_pocket_takes_an_oversize_insert():
    m = pocket("0.01")
    assert m.picks == {"seat I1": "oversize insert"}
    assert m.plan.sizes[Key("seat I1", "seat insert fit")].low.value == F("0.08")


def test_a_tight_pocket_takes_one_of_its_own_size():
    assert pocket("0.07").picks == {"seat I1": "insert"}


def test_an_oversize_insert_is_not_offered_where_none_is_sold():
    m = pocket("0.01")
    m.parts = [part for part in m.parts if part.kind != "oversize seat insert"]
    assert m.options("seat I1") == ["leave", "recut", "insert"]
    assert [found.check.name for found in m.outcome.left_out] == ["seat I1: seat insert fit"]


def test_a_long_spring_is_shimmed_back():
    """42.9 is 0.4 over 42.5; shims come in 0.25: 0.50 brings it to 42.4."""
    m = head().work("shim spring", "0.1", {"spring installed height": "0.25 to 0.75"}, step="0.25")
    m.spots = [s for s in m.spots if s.key.characteristic != "spring installed height"]
    m.read("spring I1", "spring installed height", "42.9")
    assert m.picks == {"spring I1 shims": "shim"}
    assert m.cut["shims under spring I1"] == F("0.50")


def test_a_spring_too_long_for_the_shims_allowed_is_not_shimmed():
    m = head().work("shim spring", "0.1", {"spring installed height": "0.25 to 0.75"}, step="0.25")
    m.spots = [s for s in m.spots if s.key.characteristic != "spring installed height"]
    m.read("spring I1", "spring installed height", "43.4")
    assert isinstance(m.outcome, Stuck)


def test_springs_are_not_shimmed_where_the_shop_says_nothing_of_shims():
    m = head().work("shim spring", "0.1")
    assert "spring I1 shims" not in m.groups


def test_a_new_valve_stands_up_by_the_margin_the_old_one_lost():
    """Margin 1.0 against 1.8 for new: the new valve stands 0.8 higher: recession 1.60 to 0.80."""
    m = head().part("valve", "valve", 25, fits="intake")
    m.limit("valve margin", "at least 1.8", "at least 1.2")
    m.limit("tip height", "37.0 to 38.2", "at most 38.5")
    m.limit("spring installed height", "41.0 to 42.3", "at most 42.5")
    m.read("seat I1", "valve recession", "1.60").read("valve I1", "valve margin", "1.0")
    assert m.picks == {"valve I1": "replace"}
    sizes = m.plan.sizes
    assert sizes[Key("seat I1", "valve recession")].low.value == F("0.80")
    assert sizes[Key("spring I1", "spring installed height")].low.value == F("41.2")
