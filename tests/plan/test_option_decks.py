"""Decks, heads, gaskets, ledges and shims; figures made up, arithmetic beside them."""

from __future__ import annotations

from fractions import Fraction as F

from small_engine import SmallEngine

from sparkout.engine.dimension import Key
from sparkout.plan.decide import Stuck
from sparkout.sheet.model import Bounds


def warped(gap: str = "0.08", height: str | None = "327.50", *, step: str = "0.01") -> SmallEngine:
    m = SmallEngine().limit("deck flatness", "at most 0.05")
    m.limit("deck height", "327.55 to 327.65", "at least 327.30")
    m.work("surface deck", "1", {"deck flatness": "at most 0.02", "deck height": "± 0.004"},
           step=step, smallest="0.03")  # fmt: skip
    m.read("deck", "deck flatness", gap)
    return m if height is None else m.read("deck", "deck height", height)


def test_a_deck_is_surfaced_by_the_least_that_cleans():
    m = warped()
    assert m.picks == {"deck": "surface"}
    assert m.cut == {"deck cut": F("0.08")}


def test_a_flat_deck_is_left():
    assert warped("0.03").picks == {}


def test_no_deck_is_cut_below_its_least_height():
    """327.37 was cut before, in an earlier life: 0.07 is left above 327.30 and 0.08 is needed."""
    m = warped(height="327.37")
    outcome = m.outcome
    assert isinstance(outcome, Stuck)
    assert any("warp" in sentence for sentence in outcome.sentences)
    assert any("at least 327.30" in sentence for sentence in outcome.sentences)


def test_the_last_of_the_metal_is_not_cut_into_the_doubt_of_the_reading():
    """0.08 would leave 327.300 ± 0.004 from 327.380: not proven at least 327.30."""
    assert isinstance(warped(height="327.380").outcome, Stuck)
    assert warped(height="327.390").picks == {"deck": "surface"}


def test_a_rule_of_thumb_ends_the_search_and_says_so():
    m = warped("0.70", None)
    spec = m.groups["deck"].amounts[0]
    assert spec.words == "no more than 0.60 mm, a rule of thumb where no deck height was read"
    outcome = m.outcome
    assert isinstance(outcome, Stuck)
    assert any("a rule of thumb where no deck height was read" in s for s in outcome.sentences)
    assert warped("0.60", None).cut == {"deck cut": F("0.60")}


def test_a_shop_that_does_not_surface_says_so():
    m = warped()
    m.rates.clear()
    option = m.option("deck", "surface")
    assert option.impossible == "this shop lists no operation “surface deck”"


def test_surfacing_sent_out_costs_the_outside_price_and_its_days():
    m = warped().work("surface deck", "0", {"deck flatness": "at most 0.02"}, step="0.01",
                      smallest="0.03", outside=95, days=5)  # fmt: skip
    assert m.picks == {"deck": "surface"}
    assert m.plan.cost == 95_00
    assert [o.days for g, o in m.plan.chosen if g.name == "deck"] == [5]
    assert [step.kind for step in m.steps if step.operation == "surface deck"] == ["outside"]


# Gaskets ------------------------------------------------------------------------------------------


def standing(out: str) -> SmallEngine:
    """A piston that stands out by this much, under three grades of gasket."""
    m = SmallEngine().limit("piston to head", "at least 0.80").limit("piston protrusion",
                                                                     "0.30 to 0.60")  # fmt: skip
    for thick, low, price in (("1.20", "0.30", 40), ("1.30", "0.40", 50), ("1.40", "0.50", 60)):
        m.part(f"gasket {thick}", "gasket", price, sizes={"gasket thickness": thick},
               protrusion=Bounds(F(low), F(low) + F("0.10")))  # fmt: skip
    m.read("rod journal 1", "throw", "60.00").read("rod 1", "rod length", "205.00")
    m.read("piston 1", "compression height", "63.00")
    return m.read("deck", "deck height", str(float(F(328) - F(out))))


def test_the_gasket_goes_by_protrusion():
    assert standing("0.35").picks == {"head gasket": "gasket 1.20"}
    assert standing("0.47").picks == {"head gasket": "gasket 1.30"}


def test_a_grade_below_its_protrusion_range_is_not_offered_for_a_higher_piston():
    m = standing("0.47")
    m.parts = [part for part in m.parts if part.name == "gasket 1.20"]
    assert isinstance(m.outcome, Stuck)


# Liner ledges -------------------------------------------------------------------------------------


def ledge(depth: str, spread: str = "0.00", *, shim: bool = True) -> SmallEngine:
    m = SmallEngine(kind="dry flanged liner").limit("liner protrusion", "0.03 to 0.08")
    m.limit("ledge spread", "at most 0.02")
    if shim:
        m.part("shim 0.05", "liner shim", 6, sizes={"liner shim thickness": "0.05"})
    m.work("recut ledge", "0.6", {"ledge depth": "± 0.004", "ledge spread": "at most 0.008"},
           step="0.01")  # fmt: skip
    m.read("liner 1", "liner flange thickness", "10.04")
    return m.read("ledge 1", "ledge depth", depth, str(float(F(depth) + F(spread))))


def test_a_sunk_liner_gets_a_shim():
    """10.04 − 10.03 = 0.01; with 0.05 under it, 0.06."""
    assert ledge("10.03").picks == {"liner 1 shim": "shim 0.05"}


def test_an_uneven_ledge_is_recut_and_then_shimmed():
    """Even after the cut: 10.04 + 0.05 − 10.05 = 0.04."""
    m = ledge("10.01", "0.04")
    assert m.picks == {"ledges": "recut", "liner 1 shim": "shim 0.05"}
    assert m.plan.sizes[Key("ledge 1", "ledge depth")].high.value == F("10.05")


def test_no_shim_is_offered_where_none_is_sold():
    m = ledge("10.03", shim=False)
    assert "liner 1 shim" not in m.groups


def test_a_liner_that_stands_right_is_left():
    assert ledge("9.99").picks == {}
