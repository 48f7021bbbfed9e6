"""The four-cylinder diesel: decided from its raw readings as a machinist decided it on paper.

Expected decisions and figures are those of the worked scenario this engine was invented for; the
arithmetic stands beside each number.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict

NAME = "workboat_four"


@pytest.fixture
def job(job_of):
    return job_of(NAME)


@pytest.fixture
def plan(plan_of):
    return plan_of(NAME)


def finding(job, name):
    return next(item for item in job.findings if item.check.name == name)


def option(plan, group):
    return next(option for owner, option in plan.chosen if owner.name == group)


def amount(plan, name):
    return next(item for item in plan.amounts if item.name == name)


def refused(plan, group, name):
    reason = next(item for item in plan.reasons if item.group == group)
    return next(item for item in reason.refused if item.option == name)


@pytest.mark.parametrize(
    ("name", "low", "high", "verdict"),
    [
        # largest less smallest within one level: .246 − .172
        ("bore 2: bore out-of-round", "0.074", "0.074", Verdict.OUT),
        ("bore 1: bore out-of-round", "0.042", "0.042", Verdict.WITHIN),
        ("bore 3: bore out-of-round", "0.061", "0.061", Verdict.OUT),
        # largest less smallest along the thrust direction: .246 − .040
        ("bore 2: bore taper", "0.206", "0.206", Verdict.OUT),
        ("bore 1: bore taper", "0.147", "0.147", Verdict.WITHIN),
        # .985 − .945
        ("rod journal 3: rod journal out-of-round", "0.040", "0.040", Verdict.OUT),
        # .026 − .003
        ("main housing 3: main housing out-of-round", "0.023", "0.023", Verdict.OUT),
        # 35.058 − 34.992
        ("rod 2: small end clearance", "0.066", "0.066", Verdict.OUT),
        ("rod 1: small end clearance", "0.048", "0.048", Verdict.WITHIN),
        # 9.082 − 8.961
        ("guide I3: intake stem clearance", "0.121", "0.121", Verdict.OUT),
        # .120 − .095
        ("ledge 2: ledge spread", "0.025", "0.025", Verdict.OUT),
        # 50.031 − 49.944
        ("cam journal 3: cam clearance", "0.087", "0.087", Verdict.WITHIN),
    ],
)
def test_findings_come_out_of_the_raw_readings(job, name, low, high, verdict):
    found = finding(job, name)
    assert found.low.value == Fraction(low)
    assert found.high.value == Fraction(high)
    assert found.verdict is verdict


def test_an_average_would_have_passed_every_bore(job):
    """Mean of six readings 100.090 100.115 100.105 100.085, all below 100.20: extremes decide."""
    for number in (1, 2, 3, 4):
        spots = job.state.spots[Key(f"bore {number}", "bore diameter")]
        mean = sum((spot.estimate.value for spot in spots), Fraction(0)) / len(spots)
        assert mean < Fraction("100.20")
    assert finding(job, "bore 2: bore diameter").verdict is Verdict.OUT


def test_a_pin_worn_on_one_side_is_ground_with_all_its_family(plan):
    """Clean-up on centre 64.988 − 2 × 0.043 = 64.902; −0.25 (64.740) leaves 0.162."""
    assert option(plan, "rod journals").name == "grind −0.25"
    clean = plan.compiled.problem.sizes[Key("rod journal 3", "rod journal clean-up diameter")]
    assert clean.low.value == Fraction("64.902")
    ground = plan.sizes[Key("rod journal 3", "rod journal diameter")]
    assert ground.low.value == Fraction("64.740")
    # 69.010 − 2 × 2.100 − 64.740 for the largest housing reading of rod 1
    clearance = next(f for f in plan.after if f.check.name == "rod 1: rod oil clearance")
    assert clearance.high.value == Fraction("0.070")


def test_one_deck_cut_serves_flatness_and_liner_protrusion(plan):
    """0.13 mm in a window that starts where the thinnest flange stands out enough.

    flange 10.035 − (10.120 − cut) ≥ 0.030 asks for 0.115 and its guard band; flatness alone asks
    for 0.08; the block's least height ends it: 327.445 − 0.005 − 327.300 less its guard band.
    """
    cut = amount(plan, "deck cut")
    assert cut.value == Fraction("0.13")
    assert Fraction("0.115") < cut.least < Fraction("0.125")
    assert Fraction("0.130") < cut.most < Fraction("0.140")
    assert cut.needs[0].rule == "liner 2: liner protrusion"
    assert cut.limits[0].rule == "deck: deck height"
    asked = {bound.rule: bound.at for bound in cut.needs}
    warp = next(at for rule, at in asked.items() if rule.endswith("cleans up the warp"))
    assert Fraction("0.07") < warp <= Fraction("0.085")


def test_protrusion_after_the_cut(plan):
    """flange − (10.120 − 0.13): 0.050 0.045 0.055 0.050."""
    for number, expected in ((1, "0.050"), (2, "0.045"), (3, "0.055"), (4, "0.050")):
        found = next(f for f in plan.after if f.check.name == f"liner {number}: liner protrusion")
        assert found.low.value == Fraction(expected)
        assert found.verdict is Verdict.WITHIN


def test_the_rebore_is_impossible_because_of_the_deck_and_the_heights_that_exist(plan):
    """Bores would clean up at +0.50 (100.036 + 2 × 0.210 = 100.456), but std-height pistons stand
    too high once the deck is cut: the rules that stand against it say just that."""
    sizes = plan.compiled.problem.sizes
    clean = sizes[Key("bore 2", "bore clean-up diameter")]
    assert clean.high.value == Fraction("100.456")
    against = refused(plan, "cylinders", "piston kit +0.50, height A")
    assert against.extra is None
    assert any("piston to head" in rule for rule in against.rules)
    assert any(rule.startswith("deck") or "deck" in rule for rule in against.rules)
    assert not any("cleans up" in rule and "bore" in rule for rule in against.rules)


def test_pistons_and_gasket_follow(plan):
    assert option(plan, "cylinders").name == "piston kit, standard, height B"
    assert option(plan, "head gasket").name == "head gasket 1.30"
    for number in (1, 2, 3, 4):
        bump = next(f for f in plan.after if f.check.name == f"bore {number}: piston to head")
        assert bump.low.value >= Fraction("0.80")
        ratio = next(f for f in plan.after if f.check.name == f"bore {number}: compression ratio")
        assert ratio.verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("group", "name"),
    [
        ("main housings", "align-hone mains"),
        ("main journals", "polish"),
        ("thrust washers", "thrust washers, standard"),
        ("rod 2 big end", "resize"),
        ("rod 1 big end", "leave"),
        ("rod 3 straightness", "straighten"),
        ("rod 2 small end", "re-bush"),
        ("ledges", "recut"),
        ("injector washers", "injector washer 2.0"),
        ("guide I3", "replace"),
        ("guide I1", "leave"),
        ("seat I3", "recut"),
        ("seat E3", "insert"),
        ("springs", "new set"),
        ("followers", "new set"),
        ("pushrod I2", "replace"),
        ("pushrod I1", "leave"),
        ("rod bolts", "new set"),
        ("damper", "replace"),
        ("oil pump", "lap"),
        ("flywheel", "leave"),
    ],
)
def test_everything_else_is_decided_as_on_paper(plan, group, name):
    assert option(plan, group).name == name


def test_only_rod_2_gets_a_bush_where_paper_renews_all_four(plan):
    """The written decision re-bushes all rods to new pins. With new 34.996 pins the bushes of rods
    1, 3 and 4 run at 0.046, 0.051 and 0.048, inside the service limit of 0.060 with its guard band:
    keeping them is sound and cheaper; that all bushes go together is a preference, not a limit."""
    for number, expected in ((1, "0.046"), (3, "0.051"), (4, "0.048")):
        assert option(plan, f"rod {number} small end").name == "leave"
        found = next(f for f in plan.after if f.check.name == f"rod {number}: small end clearance")
        assert found.high.value == Fraction(expected)
        assert found.verdict is Verdict.WITHIN


def test_nothing_is_out_as_the_plan_leaves_the_engine(plan):
    bad = [f.reason for f in plan.after if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]
    assert bad == []
    assert plan.left_out == ()
