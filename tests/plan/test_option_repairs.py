"""What stands alone: rows of the program, of a data sheet, and of the shop's own file."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_engine import SmallEngine

from sparkout.engine.dimension import Key
from sparkout.engine.names import known_names
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Stuck
from sparkout.plan.precedence import AFTER_KIND, PRECEDENCE, STAGES
from sparkout.sheet.assembly_model import Again, Joint, Pattern
from sparkout.sheet.files import open_shop
from sparkout.sheet.model import RepairSpec

OPTIONS = Path(__file__).parents[2] / "src/sparkout/plan/options"


def test_every_rule_of_order_is_about_operations_that_have_a_place():
    named = {name for rule in PRECEDENCE for name in (rule.first, rule.then)}
    assert named | set(AFTER_KIND.values()) <= set(STAGES)
    assert len(STAGES) == len(set(STAGES))


# The shop's own list ------------------------------------------------------------------------------

OWN = """\
sparkout shop: 1
shop:
  name: A shop
  currency: EUR
rates:
  machining: 60
operations:
  - operation: spray the cam journals
    rate: machining
    set up: 0.5 h
    each: 1.5 h
    holds:
      cam clearance: ± 0.006 mm
"""


def worn_cam(shop_text: str, tmp_path: Path) -> SmallEngine:
    """A camshaft loose in its bushes, which nobody sells; the shop read from its file."""
    path = tmp_path / "shop.yaml"
    path.write_text(shop_text, encoding="utf-8")
    shop, faults = open_shop(path, known_names())
    assert faults == ()
    assert shop is not None
    m = SmallEngine(cam_bearings=1)
    m.rates = dict(shop.operations)
    m.rate = shop.rates["machining"]
    m.rates = {
        name: rate.__class__(**{f: getattr(rate, f) for f in rate.__slots__} | {"rate": "labour"})
        for name, rate in m.rates.items()
    }
    m.limit("cam clearance", "0.04 to 0.08", "at most 0.12")
    m.read("cam bush 1", "cam bush diameter", "50.10", u="0.004")
    return m.read("cam journal 1", "cam journal diameter", "49.95", u="0.004")


def test_a_repair_only_the_shop_knows_is_offered_priced_planned_and_ordered(tmp_path):
    """0.15 of clearance is out; sprayed to the middle of new, 0.06. 0.5 + 1.5 h at 60 = 120."""
    m = worn_cam(OWN, tmp_path)
    assert "spray the cam journals" in m.options("cam journal 1")
    assert m.picks == {"cam journal 1": "spray the cam journals"}
    plan = m.plan
    assert plan.cost == 120_00
    after = plan.sizes[Key("cam journal 1", "cam clearance")]
    assert float(after.low.value) == float(after.high.value) == 0.06
    # ± 0.006 is two standard deviations
    assert after.low.u == pytest.approx(0.003)
    assert m.ordered() == ["spray the cam journals"]
    step = next(step for step in m.steps if step.operation)
    assert step.features == ("cam journal 1",)
    assert Key("cam journal 1", "cam clearance") in step.read
    # what it leaves behind is not known: washed before anything is built
    assert "wash" in [step.kind for step in m.steps]
    assert "spray" in " ".join(reason.sentence for reason in plan.reasons).lower()


def test_it_is_not_offered_for_what_it_says_nothing_of(tmp_path):
    other = OWN.replace("cam clearance: ± 0.006 mm", "lobe lift: ± 0.01 mm")
    m = worn_cam(other, tmp_path)
    assert m.options("cam journal 1") == []
    outcome = m.outcome
    assert isinstance(outcome, Stuck) or outcome.left_out


def test_an_own_operation_stands_behind_its_kind_and_sent_out_work_costs_its_price(tmp_path):
    """A deck is cut before a bore is coated; the coating goes out for 90 and 4 days."""
    m = SmallEngine()
    m.limit("deck flatness", "at most 0.05").limit("bore texture", "at most 0.001")
    m.work("surface deck", "1", {"deck flatness": "at most 0.02"}, step="0.01")
    m.work("coat bore", "0", {"bore texture": "at most 0.0005"}, outside=90, days=4)
    m.work("slot sprocket", "1").work("fit thrust washers", "1")
    m.read("deck", "deck flatness", "0.08").read("bore 1", "bore texture", "0.002")
    assert m.picks == {"deck": "surface", "bore 1": "coat bore"}
    assert m.ordered() == ["surface deck", "coat bore"]
    assert m.plan.cost == 60_00 + 90_00
    assert {g.name: o.days for g, o in m.plan.chosen}["bore 1"] == 4
    assert [step.kind for step in m.steps if step.operation == "coat bore"] == ["outside"]


def test_a_repair_of_the_data_sheet_needs_no_code():
    m = SmallEngine()
    m.limit("flywheel step", "20.0 to 20.2", "19.8 to 20.4")
    m.repairs.append(RepairSpec("flywheel", "spacer", "fit a spacer behind the flywheel",
                                ("flywheel step",), part="spacer"))  # fmt: skip
    m.part("spacer", "spacer", 12).read("flywheel", "flywheel step", "19.5")
    assert m.picks == {"flywheel": "spacer"}
    assert m.plan.cost == 12_00


# Rows of the program ----------------------------------------------------------------------------


def test_head_bolts_too_long_go_as_a_set():
    m = SmallEngine().limit("head bolt length", "118.0 to 118.5", "at most 119.0")
    m.part("head bolt set", "head bolt", 80).read("head bolt", "head bolt length", "119.4")
    assert m.picks == {"head bolts": "new set"}


def test_head_bolts_nobody_sells_are_told_as_out():
    m = SmallEngine().limit("head bolt length", "118.0 to 118.5", "at most 119.0")
    m.read("head bolt", "head bolt length", "119.4")
    assert "head bolts" not in m.groups
    assert [f.check.name for f in m.outcome.left_out] == ["head bolt: head bolt length"]


def worn_lobe(**more: int) -> SmallEngine:
    m = SmallEngine().limit("lobe lift", "7.00 to 7.06", "at least 6.85")
    m.limit("follower foot", "passed").read("lobe I1", "lobe lift", "6.70")
    return m.part("follower", "follower", 10, sold_in=1)


def test_a_new_camshaft_takes_new_followers_with_it():
    """Nothing is wrong with the followers; a worn lobe still renews all of them."""
    m = worn_lobe().part("camshaft", "camshaft", 200)
    assert m.picks == {"lobes": "new camshaft", "followers": "new set"}
    assert m.plan.cost == 200_00 + 2 * 10_00


def test_a_reground_camshaft_is_cheaper_and_takes_them_too():
    m = worn_lobe().part("camshaft", "camshaft", 200).work("regrind camshaft", "1")
    assert m.picks == {"lobes": "regrind", "followers": "new set"}
    assert m.ordered() == ["regrind camshaft"]


def test_no_camshaft_without_followers():
    m = worn_lobe().part("camshaft", "camshaft", 200)
    del m.supply["follower"]
    outcome = m.outcome
    assert isinstance(outcome, Stuck)


def test_a_hollow_rocker_pad_is_refaced():
    m = SmallEngine().limit("rocker pad", "passed").work("reface rocker", "0.5")
    assert m.failed("rocker I1", "rocker pad").picks == {"rocker I1": "reface"}


def test_a_rocker_both_hollow_and_loose_is_replaced():
    """Bushing mends the bore and refacing the pad; only a new one mends both."""
    m = SmallEngine().limit("rocker pad", "passed").limit("rocker clearance", "0.02 to 0.06",
                                                          "at most 0.12")  # fmt: skip
    m.work("reface rocker", "0.1").work("bush rocker", "0.1").part("rocker", "rocker", 30)
    m.failed("rocker I1", "rocker pad").read("rocker I1", "rocker clearance", "0.2")
    assert m.picks == {"rocker I1": "replace"}


def test_a_wide_follower_bore_is_reamed_for_an_oversize_follower():
    """22.06 over 21.97 is 0.09, past 0.08; a new standard follower (21.98) would still run 0.08."""
    m = SmallEngine().limit("follower clearance", "0.02 to 0.05", "at most 0.07")
    m.part("follower", "follower", 1, sizes={"follower diameter": "21.97 to 21.98"})
    m.part("follower +0.25", "oversize follower", 9)
    m.work("ream follower bores", "0.5", {"follower clearance": "± 0.004"})
    m.read("follower I1", "follower bore diameter", "22.06")
    m.read("follower I1", "follower diameter", "21.97")
    assert m.option("follower I1", "oversize").parts[0].part == "follower +0.25"
    picks = m.picks
    assert picks["follower I1"] == "oversize"


def test_gears_are_chosen_by_the_backlash_they_bring():
    m = SmallEngine(gears=("crank-idler",)).limit("gear backlash", "0.08 to 0.16", "0.08 to 0.25")
    m.part("gears, standard", "gears", 40, sizes={"gear backlash": "0.14 to 0.22"})
    m.part("gears, tight", "gears", 60, sizes={"gear backlash": "0.09 to 0.15"})
    m.read("gear mesh crank-idler", "gear backlash", "0.31")
    assert m.picks == {"gear mesh crank-idler": "gears, tight"}


def test_intake_and_exhaust_springs_are_sets_of_their_own():
    m = SmallEngine().limit("spring free length", "51.5 to 52.5", "at least 50.5")
    for side in ("intake", "exhaust"):
        m.part(f"spring, {side}", "spring", 7, fits=side)
    m.read("spring I1", "spring free length", "52.0").read(
        "spring E1", "spring free length", "50.0"
    )
    assert m.picks == {"springs exhaust": "new set"}
    assert m.plan.cost == 7_00


def test_a_cracked_head_is_mended_before_its_face_is_cut():
    m = SmallEngine().limit("head crack test", "passed").limit("head flatness", "at most 0.05")
    m.work("mend head", "0", outside=150, days=3)
    m.work("surface head", "1", {"head flatness": "at most 0.02"}, step="0.01")
    m.failed("head", "head crack test").read("head", "head flatness", "0.09")
    assert m.picks == {"head": "surface", "head repair": "mend crack"}
    assert m.ordered() == ["mend head", "surface head"]


def test_a_cracked_head_is_left_to_a_person_where_the_shop_does_not_mend_cracks():
    m = SmallEngine().limit("head crack test", "passed").failed("head", "head crack test")
    outcome = m.outcome
    assert "head" not in m.groups
    assert [f.verdict for f in outcome.left_out] == [Verdict.OUT]


# Fasteners by rule --------------------------------------------------------------------------------


def joint(again: Again, *, name: str = "rod caps", count: int = 2) -> Joint:
    return Joint(name, "bolt", count, "M10 x 1.25", "oiled", (), Pattern.GIVEN, (), each="rod",
                 again=again)  # fmt: skip


def test_bolts_that_never_go_back_are_bought_whatever_their_length():
    """Two rods, two bolts each, in sets of four at 30."""
    m = SmallEngine(cylinders=2, mains=3).part("rod bolt", "rod bolt", 30, sold_in=4)
    m.joints.append(joint(Again.NO))
    assert m.picks == {"rod bolts": "new set"}
    assert m.plan.cost == 30_00


def test_bolts_within_their_length_that_never_go_back_are_bought_all_the_same():
    m = SmallEngine().limit("rod bolt length", "78.5 to 78.7", "at most 78.8")
    m.part("rod bolt", "rod bolt", 8).read("rod bolt 1", "rod bolt length", "78.6")
    assert m.picks == {}
    m.joints.append(joint(Again.NO))
    assert m.picks == {"rod bolts": "new set"}
    assert m.plan.cost == 16_00


def test_bolts_that_go_by_length_are_kept_within_it_and_unsold_ones_are_not_planned():
    m = SmallEngine().part("rod bolt", "rod bolt", 8)
    m.joints += [joint(Again.LENGTH), joint(Again.NO, name="flywheel", count=6)]
    assert m.picks == {}
    assert "flywheel bolts" not in m.groups


# What had no test of its own ----------------------------------------------------------------------


def test_an_oil_pump_is_lapped_where_that_mends_it_and_replaced_where_not():
    m = SmallEngine().limit("oil pump end clearance", "0.03 to 0.08", "at most 0.10")
    m.limit("oil pump radial clearance", "0.10 to 0.20", "at most 0.25")
    m.work("lap oil pump", "0.5").part("oil pump", "oil pump", 120)
    m.read("oil pump", "oil pump end clearance", "0.14")
    m.read("oil pump", "oil pump radial clearance", "0.15")
    assert m.picks == {"oil pump": "lap"}
    m.spots.pop()
    m.read("oil pump", "oil pump radial clearance", "0.30")
    assert m.picks == {"oil pump": "replace"}


def test_a_loose_camshaft_gets_new_bushes_in_line():
    m = SmallEngine(cam_bearings=2).limit("cam clearance", "0.04 to 0.08", "at most 0.12")
    m.work("fit cam bushes", "0.5").part("cam bush", "cam bush", 6)
    m.read("cam bush 1", "cam bush diameter", "50.10")
    m.read("cam journal 1", "cam journal diameter", "49.95")
    assert m.picks == {"cam journals": "new bushes"}
    assert m.plan.cost == 30_00 + 6_00


def test_a_bent_shaft_is_straightened_and_not_where_the_shop_does_not():
    m = SmallEngine().limit("crankshaft runout", "at most 0.03", "at most 0.05")
    m.read("crankshaft", "crankshaft runout", "0.08")
    assert isinstance(m.outcome, Stuck) or m.outcome.left_out
    m.work("straighten crankshaft", "1", {"crankshaft runout": "at most 0.02"})
    assert m.picks == {"crankshaft": "straighten"}
