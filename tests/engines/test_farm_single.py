"""The single with overhead cam: clean-up decides the size, the skims decide squish and timing."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict

NAME = "farm_single"


@pytest.fixture
def plan(plan_of):
    return plan_of(NAME)


def option(plan, group):
    return next(option for owner, option in plan.chosen if owner.name == group)


def after(plan, name):
    return next(f for f in plan.after if f.check.name == name)


def test_the_score_decides_the_size(plan):
    """72.008 + 2 × 0.15 = 72.308: 72.25 does not clean up, 72.50 does."""
    clean = plan.compiled.problem.sizes[Key("bore 1", "bore clean-up diameter")]
    assert clean.high.value == Fraction("72.308")
    assert option(plan, "cylinders").name == "piston +0.50"
    reason = next(reason for reason in plan.reasons if reason.group == "cylinders")
    small = next(item for item in reason.refused if item.option == "piston +0.25")
    assert any("bore 1 cleans up" in rule for rule in small.rules)


def test_the_bore_is_made_to_the_piston_in_hand(plan):
    """72.452 + the middle of 0.040 to 0.055."""
    bore = plan.sizes[Key("bore 1", "bore diameter")]
    assert bore.low.value == Fraction("72.452") + Fraction("0.0475")


def test_barrel_and_base_gasket_bring_the_squish_in(plan):
    """1.35 less the barrel skim less 0.10 of base gasket lies within 1.00 to 1.20."""
    assert option(plan, "base gasket").name == "base gasket 0.4"
    cut = next(item.value for item in plan.amounts if item.name == "deck cut")
    squish = after(plan, "bore 1: squish")
    assert squish.low.value == Fraction("1.35") - cut - Fraction("0.10")
    assert squish.verdict is Verdict.WITHIN


def test_the_cam_is_late_by_what_came_off_and_is_timed_again(plan):
    """(0.09 + 0.10 + 0.15) / 36.4 rad at the cam, twice that at the crank: 1.07°, over 1°."""
    assert option(plan, "camshaft").name == "slot sprocket"
    reason = next(reason for reason in plan.reasons if reason.group == "camshaft")
    assert any("cam timing error" in rule for item in reason.refused for rule in item.rules)


def test_the_sunk_valve_gets_a_thinner_shim(plan):
    """0.13 − 0.22 + (2.60 − 2.40) = 0.11; 2.35 would give 0.16."""
    assert option(plan, "valve I1 lash shim").name == "lash shim 2.40"
    assert after(plan, "valve I1: intake valve lash").low.value == Fraction("0.11")


def test_ratio_comes_back_inside(plan):
    assert after(plan, "bore 1: compression ratio").verdict is Verdict.WITHIN


def test_the_shaft_is_trued_and_the_big_end_stays(plan):
    assert option(plan, "crankshaft").name == "straighten"
    assert after(plan, "rod 1: rod big end radial play").verdict is Verdict.WITHIN


def test_nothing_is_out_as_the_plan_leaves_the_engine(plan):
    bad = [f.reason for f in plan.after if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]
    assert bad == []
