"""What sheet, shop and supply say of each other, told before anything is planned, word for word."""

from __future__ import annotations

import shutil
from fractions import Fraction as F

import pytest
from shipped_jobs import DEMOS, NAMES, job_of
from small_engine import SmallEngine

from sparkout.load import files_in, load_job
from sparkout.plan.options.context import Context
from sparkout.plan.options.faults import option_faults
from sparkout.sheet.model import Bounds, RepairSpec
from sparkout.sheet.shop import Supply


def said(m: SmallEngine) -> list[str]:
    faults = option_faults(m.context)
    assert not any(fault.stops for fault in faults)
    return [str(fault) for fault in faults]


@pytest.mark.parametrize("name", NAMES)
def test_the_shipped_engines_say_nothing_against_each_other(name):
    job = job_of(name)
    assert option_faults(Context(job.sheet, job.shop, job.state)) == ()


def test_a_sound_little_engine_is_silent():
    m = SmallEngine().part("damper", "damper", 30).work("lap oil pump", "0.5")
    assert said(m) == []


def test_a_part_without_a_price():
    m = SmallEngine().part("damper", "damper", None)
    m.supply["dampper"] = Supply("dampper", F(30), 1, 2)
    assert said(m) == [
        "supply.yaml: supply: found no line for 'damper' of the data sheet; expected its `price`, "
        "and `on hand` or `days`. Did you mean 'dampper'?"
    ]


def test_stock_that_nobody_knows():
    m = SmallEngine().part("damper", "damper", 30, on_hand=None)
    assert said(m) == [
        "supply.yaml: supply: damper: found neither `on hand` nor `days`; expected how many are on "
        "the shelf, or the days to wait. Until then it is taken to be there, as many as are wanted."
    ]


def test_a_price_below_nothing():
    assert said(SmallEngine().part("damper", "damper", -3)) == [
        "supply.yaml: supply: damper: found a price of -3; expected a price of nothing or more."
    ]


def test_a_part_without_the_size_it_is_for():
    m = SmallEngine().part("gasket 1.20", "gasket", 40)
    assert said(m) == [
        "engine.yaml: parts: gasket 1.20: found no `gasket thickness` among its sizes; expected "
        "the `gasket thickness` it is sold with. An option cannot be judged by a size that nobody "
        "gave."
    ]


def test_an_operation_nothing_asks_for():
    assert said(SmallEngine().work("surface decks", "1")) == [
        "shop.yaml: operations: surface decks: found an operation nothing asks for; expected a "
        "name the program knows, or `holds:` with what it makes good. Did you mean 'surface deck'?"
    ]


def test_an_operation_that_costs_nothing():
    assert said(SmallEngine().work("lap oil pump", "0")) == [
        "shop.yaml: operations: lap oil pump: found no hours and no price; expected `each:`, "
        "`set up:` or `outside:`. The plan would take it as free."
    ]


def test_days_outside_without_a_price():
    assert said(SmallEngine().work("lap oil pump", "1", days=3)) == [
        "shop.yaml: operations: lap oil pump: found `outside days` without a price; expected "
        "`outside:` or `outside each:` as well."
    ]


def test_an_operation_that_does_not_say_how_well_it_hits_its_size():
    m = SmallEngine().limit("main journal diameter", "79.98 to 80.00")
    assert said(m.work("grind main journals", "1")) == [
        "shop.yaml: operations: grind main journals: holds: found no `main journal diameter`; "
        "expected how well it is hit, such as `± 0.004 mm`. The plan would take it as hit exactly."
    ]


def test_repairs_that_cannot_be_applied():
    m = SmallEngine().work("lap oil pump", "1")
    m.repairs += [
        RepairSpec("fly wheel", "spacer", "", ("flywheel step",), operation="lap oil pump"),
        RepairSpec("rocker", "polish", "", ("lobe lift",), operation="polish rockers"),
        RepairSpec("damper", "bush", "", ("damper runout",), part="damper bush"),
    ]
    assert said(m) == [
        "engine.yaml: repairs: spacer: of: found 'fly wheel'; expected a kind of feature this "
        "engine has. Did you mean 'flywheel'?",
        "engine.yaml: repairs: polish: makes new: found 'lobe lift', which is of a lobe; expected "
        "characteristics of a rocker.",
        "shop.yaml: operations: found no 'polish rockers', which the data sheet's repair 'polish' "
        "asks for; expected a line for it.",
        "engine.yaml: repairs: bush: part: found no part of the kind 'damper bush'; expected a "
        "part of that kind on the data sheet.",
    ]


def test_a_part_for_a_place_this_engine_does_not_have():
    assert said(SmallEngine().part("spring", "spring", 5, fits="inlet")) == [
        "engine.yaml: parts: spring: fits: found 'inlet'; expected a side (intake, exhaust) or a "
        "feature of this engine."
    ]


def test_gasket_grades_with_a_gap_between_them():
    m = SmallEngine()
    for thick, low, high in (("1.20", "0.30", "0.40"), ("1.30", "0.45", "0.50")):
        m.part(f"gasket {thick}", "gasket", 40, sizes={"gasket thickness": thick},
               protrusion=Bounds(F(low), F(high)))  # fmt: skip
    assert said(m) == [
        "engine.yaml: parts: gasket 1.30: for largest protrusion: found nothing between 0.4 mm, "
        "where 'gasket 1.20' ends, and 0.45 mm; expected grades that follow on one another."
    ]


def running(clearance: str) -> SmallEngine:
    m = SmallEngine().limit("main housing diameter", "85.00 to 85.02")
    m.limit("main journal diameter", "79.98 to 80.00").limit("main oil clearance", clearance)
    for under, wall in (("0", "2.47 to 2.48"), ("0.25", "2.595 to 2.605")):
        m.part(f"shells {under}", "main shells", 20, undersize=F(under),
               sizes={"main shell wall": wall})  # fmt: skip
    return m


def test_limits_that_contradict_each_other():
    """85.00 − 4.96 − 80.00 = 0.04 to 85.02 − 4.94 − 79.98 = 0.10, whatever the undersize."""
    assert said(running("0.04 to 0.10")) == []
    assert said(running("0.12 to 0.15"))[0] == (
        "engine.yaml: limits: main oil clearance: new: found '0.12 to 0.15', while new sizes with "
        "'shells 0' make it 0.04 to 0.1 mm; expected limits and part sizes that can all be kept. "
        "Check the figures of both against the book."
    ).replace("0.04 to 0.1 mm", "0.04 mm to 0.1 mm")


def test_an_oversize_piston_sized_for_another_bore():
    m = SmallEngine().limit("bore diameter", "100.00 to 100.02")
    m.geometry["bore"] = F(100)
    m.limit("piston clearance", "0.05 to 0.09")
    m.part("pistons +0.50", "piston", 60, for_bore=F("100.5"),
           sizes={"piston skirt diameter": "100.93 to 100.94"})  # fmt: skip
    assert len(said(m)) == 1
    assert "-0.44 mm to -0.41 mm" in said(m)[0]


def test_a_job_that_is_loaded_tells_them(tmp_path):
    """A supply list that lost its damper, and nothing else: one warning, and the job goes on."""
    for name in ("engine.yaml", "log.jsonl", "supply.yaml"):
        shutil.copy(DEMOS / "workboat_four" / name, tmp_path / name)
    shutil.copy(DEMOS / "shop.yaml", tmp_path / "shop.yaml")
    supply = (tmp_path / "supply.yaml").read_text(encoding="utf-8")
    assert "part: damper\n" in supply
    (tmp_path / "supply.yaml").write_text(supply.replace("part: damper\n", "part: dampr\n"))
    job, faults = load_job(files_in(tmp_path))
    assert job is not None
    assert [str(fault) for fault in faults] == [
        "supply.yaml: supply: found no line for 'damper' of the data sheet; expected its `price`, "
        "and `on hand` or `days`. Did you mean 'dampr'?"
    ]
