"""Options of the crankshaft and its housings; figures made up, arithmetic beside them."""

from __future__ import annotations

from fractions import Fraction as F

from small_engine import SmallEngine

from sparkout.engine.dimension import Key
from sparkout.plan.decide import Stuck


def shaft(*, singly: bool = False, **more: object) -> SmallEngine:
    """Two mains of 80 in housings of 85; shells of three sizes; texture fine."""
    m = SmallEngine(**more)  # type: ignore[arg-type]
    m.limit("main journal diameter", "79.98 to 80.00", "at least 79.95")
    m.limit("main journal out-of-round", "at most 0.01", "at most 0.02")
    m.limit("main oil clearance", "0.05 to 0.11", "0.05 to 0.13")
    m.limit("journal texture", "at most 0.0003")
    supplied = "singly" if singly else "finished"
    for under, wall in (("0", "2.470"), ("0.25", "2.595"), ("0.50", "2.720")):
        m.part(f"shells {under}", "main shells", 20, undersize=F(under), supplied=supplied,
               sizes={"main shell wall": f"{wall} to {wall}"})  # fmt: skip
    m.work("polish journals", "0.1", {"journal texture": "at most 0.0002"})
    m.work("grind main journals", "1", {
        "main journal diameter": "± 0.004", "main journal out-of-round": "at most 0.004",
        "journal texture": "at most 0.0002"})  # fmt: skip
    m.work("crack-test crankshaft", "0.2")
    m.read("crankshaft", "journal texture", "0.0002")
    for number in (1, 2):
        m.read(f"main housing {number}", "main housing diameter", "85.01")
    return m


def journal(m: SmallEngine, number: int, low: str, high: str) -> SmallEngine:
    return m.round(f"main journal {number}", "main journal diameter", low, high)


def test_smooth_journals_within_their_limits_are_kept():
    """85.01 − 4.94 − 79.985 = 0.085; smooth enough: not even polished, two shells at 20."""
    m = journal(journal(shaft(), 1, "79.985", "79.990"), 2, "79.985", "79.990")
    assert m.picks == {"main journals": "keep"}
    assert m.plan.cost == 2 * 20_00


def test_rough_journals_are_not_kept():
    m = shaft()
    m.spots = [spot for spot in m.spots if spot.key.characteristic != "journal texture"]
    m.read("crankshaft", "journal texture", "0.0005")
    m = journal(journal(m, 1, "79.985", "79.990"), 2, "79.985", "79.990")
    assert m.picks == {}  # polishing is what is done anyway
    assert {g.name: o.name for g, o in m.plan.chosen}["main journals"] == "polish"
    assert "as rough as" in m.option("main journals", "keep").needs[0].words


def test_keep_is_not_offered_where_nobody_read_the_texture():
    m = shaft()
    m.spots = [spot for spot in m.spots if spot.key.characteristic != "journal texture"]
    m = journal(m, 1, "79.985", "79.990")
    assert "keep" not in m.options("main journals")


def test_one_worn_journal_grinds_them_all_to_the_size_that_cleans_up():
    """79.99 − 2 × 0.06 = 79.87 is clean; −0.25 is 79.74."""
    m = journal(journal(shaft(), 1, "79.93", "79.99"), 2, "79.985", "79.990")
    assert m.picks == {"main journals": "grind −0.25"}
    assert m.ordered() == ["grind main journals", "crack-test crankshaft"]


def test_a_shaft_ground_before_takes_shells_of_the_size_it_stands_at():
    """79.735 is not 0.25 worn: it was ground to −0.25 (79.74) and has lost 0.005."""
    m = journal(journal(shaft(), 1, "79.735", "79.740"), 2, "79.736", "79.740")
    assert m.picks == {"main journals": "keep"}
    assert m.option("main journals", "keep").parts[0].part == "shells 0.25"
    assert m.plan.sizes[Key("main journal 1", "main journal diameter")].size == F("-0.25")
    names = [option.name for option in m.groups["main journals"].options]
    assert names == ["keep", "polish", "grind −0.50"]


def test_sizes_are_mixed_only_where_shells_are_supplied_singly():
    """Only journal 1 is worn. Mixed: one hour and one test instead of two hours and one test."""
    together = journal(journal(shaft(), 1, "79.93", "79.99"), 2, "79.985", "79.990")
    mixed = journal(journal(shaft(singly=True), 1, "79.93", "79.99"), 2, "79.985", "79.990")
    assert together.picks == {"main journals": "grind −0.25"}
    assert mixed.picks == {"main journal 1": "grind −0.25", "main journal 2": "keep"}
    assert together.plan.cost - mixed.plan.cost == 60_00


def scored() -> SmallEngine:
    """Journal 1 lost 0.4 on one side: 79.99 − 0.8 is below every undersize."""
    return journal(journal(shaft(), 1, "79.59", "79.99"), 2, "79.985", "79.990")


def test_what_no_undersize_cleans_is_built_up_outside():
    """150 for the job outside, two hours of grinding, one test of 0.2 h, two shells."""
    m = scored().work("build up main journals", "0", outside=150, days=10)
    assert m.picks == {"main journals": "build up"}
    assert m.plan.cost == 150_00 + 120_00 + 12_00 + 40_00
    assert m.ordered() == ["build up main journals", "grind main journals", "crack-test crankshaft"]
    assert {o.days for g, o in m.plan.chosen if g.name == "main journals"} == {10}
    assert m.steps[1].kind == "outside"


def test_nothing_is_built_up_where_nobody_does_that():
    m = scored()
    assert "build up" not in m.options("main journals")
    outcome = m.outcome
    assert isinstance(outcome, Stuck)
    assert any("does not clean up" in sentence for sentence in outcome.sentences)


def test_another_crankshaft_brings_its_own_journals_and_shells():
    m = scored().part("reground crankshaft", "crankshaft", 300, undersize=F("0.25"), days=4,
                      sizes={"main journal diameter": "79.735 to 79.745"})  # fmt: skip
    assert m.picks == {"main journals": "reground crankshaft",
                       "another crankshaft": "reground crankshaft"}  # fmt: skip
    assert m.plan.cost == 300_00 + 40_00
    assert m.option("main journals", "reground crankshaft").parts[0].part == "shells 0.25"


def test_another_crankshaft_without_shells_of_its_size_cannot_be_had():
    m = scored().part("reground crankshaft", "crankshaft", 300, undersize=F("0.75"))
    option = m.option("main journals", "reground crankshaft")
    assert option.impossible == "no shells for reground crankshaft"


# Main line ---------------------------------------------------------------------------------------


def line(**more: object) -> SmallEngine:
    m = SmallEngine(gears=("crank-idler",), **more)  # type: ignore[arg-type]
    m.geometry["gear pressure angle"] = F(20)
    m.limit("main housing diameter", "85.000 to 85.020").limit("gear backlash", "0.08 to 0.18",
                                                               "0.08 to 0.25")  # fmt: skip
    m.work("align-hone mains", "1", {"main housing diameter": "± 0.003",
                                     "crank lift": "0.02 to 0.02"})  # fmt: skip
    return m.round("main housing 1", "main housing diameter", "85.005", "85.040")


def test_align_honing_takes_backlash_out_of_the_gears_on_the_crank():
    """2 × 0.020 × tan 20° = 0.01456 off 0.190."""
    m = line().read("gear mesh crank-idler", "gear backlash", "0.190")
    assert m.picks == {"main housings": "align-hone mains"}
    after = m.plan.sizes[Key("gear mesh crank-idler", "gear backlash")]
    assert round(float(after.low.value), 5) == 0.17544


def test_a_line_is_bored_where_honing_would_lift_the_crank_too_far():
    """0.085 − 0.0146 is below 0.08; a bar set from the end bores holds the centre line."""
    m = line().read("gear mesh crank-idler", "gear backlash", "0.085")
    assert isinstance(m.outcome, Stuck)
    m.work("line-bore mains", "3", {"main housing diameter": "± 0.004", "crank lift": "0 to 0"})
    assert m.picks == {"main housings": "line-bore mains"}
    assert m.plan.sizes[Key("gear mesh crank-idler", "gear backlash")].low.value == F("0.085")


def test_a_line_is_honed_where_that_is_enough():
    m = line().read("gear mesh crank-idler", "gear backlash", "0.190")
    m.work("line-bore mains", "3", {"main housing diameter": "± 0.004", "crank lift": "0 to 0"})
    assert m.picks == {"main housings": "align-hone mains"}


# Thrust -------------------------------------------------------------------------------------------


def thrust(play: str) -> SmallEngine:
    m = SmallEngine().limit("end play", "0.10 to 0.30", "at most 0.40")
    for name, size in (("standard", "2.50"), ("0.10 thick", "2.60")):
        m.part(f"washers, {name}", "thrust washers", 10,
               sizes={"thrust washer thickness": f"{size} to {size}"})  # fmt: skip
    m.work("fit thrust washers", "0.5")
    m.read("crankshaft", "end play", play).read("crankshaft", "thrust washer thickness", "2.45",
                                                "2.45")  # fmt: skip
    return m


def test_worn_washers_are_renewed_at_standard_size():
    """0.34 + 4.90 − 5.00 = 0.24."""
    m = thrust("0.34")
    m.limit("end play", "0.10 to 0.30", "at most 0.30")
    assert m.picks == {"thrust washers": "washers, standard"}
    assert m.plan.sizes[Key("crankshaft", "thrust washer thickness")].low.value == F("2.50")


def test_thick_washers_take_up_a_wide_gap():
    """0.56 + 4.90 = 5.46: standard leaves 0.46, over 0.40; thick ones 0.26, and no grinding."""
    m = thrust("0.56").work("grind thrust faces", "1", {"end play": "± 0.02"})
    assert m.picks == {"thrust washers": "washers, 0.10 thick"}


def test_thick_washers_that_would_bind_have_the_faces_ground_to_them():
    """0.25 + 4.90 = 5.15: only thick washers are to be had, 5.20 do not go in; ground to 0.20."""
    m = thrust("0.25")
    m.limit("end play", "0.10 to 0.30", "0.10 to 0.24")
    del m.supply["washers, standard"]
    m.work("grind thrust faces", "1", {"end play": "± 0.02"})
    assert m.picks == {"thrust washers": "grind, washers, 0.10 thick"}
    assert m.ordered() == ["grind thrust faces", "fit thrust washers"]


def test_faces_are_not_ground_where_no_metal_is_left_or_nobody_grinds_them():
    """5.50 of gap: even thick washers leave 0.30, nothing to take off for 0.20."""
    m = thrust("0.60").work("grind thrust faces", "1", {"end play": "± 0.02"})
    need = m.option("thrust washers", "grind, washers, 0.10 thick").needs[0]
    assert need.margin.value == F("-0.10")
    assert "grind, washers, 0.10 thick" not in thrust("0.60").options("thrust washers")


def test_two_rods_on_one_pin_take_two_shells():
    """A V of two: one pin, two rods, two shells at 20."""
    m = SmallEngine(layout="V", cylinders=2)
    m.limit("rod journal diameter", "49.98 to 50.00", "at least 49.95")
    m.limit("rod journal taper", "at most 0.01")
    m.part("rod shells", "rod shells", 20, undersize=F(0), sizes={"rod shell wall": "1.5"})
    m.work("polish journals", "0").read("rod journal 1", "rod journal diameter", "49.985")
    assert len(m.groups["rod journals"].features) == 1
    assert m.plan.cost == 40_00
