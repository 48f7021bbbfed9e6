"""Decision rules, their zones, and which action settles a doubt."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.judge.conformity.risks import consumer_risk, global_risks, producer_risk, with_process
from sparkout.judge.conformity.rules import (
    RULES,
    Asked,
    Outcome,
    guarded_by_risk,
    prove_conformity,
    rule_named,
    shared_risk,
    simple_acceptance,
)
from sparkout.judge.conformity.settle import (
    Action,
    best_action,
    prospects,
    repeated,
    replaced,
    without,
)
from sparkout.judge.conformity.zones import (
    ZONES,
    plain_zones,
    proof_zones,
    risk_zones,
    shared_zones,
    zones_named,
)
from sparkout.measure.estimate import Component, Estimate, Shape

LIMITS = Asked(Fraction(10), Fraction("10.05"), largest_u=0.005)
GAUGE = (Component("gauge", 0.004),)


def at(text, parts=GAUGE):
    return Estimate(Fraction(text), parts)


@pytest.mark.parametrize(
    ("value", "simple", "proof", "risk", "shared"),
    [
        ("10.025", "within", "within", "within", "within"),
        ("10.003", "within", "not proven", "not proven", "within"),
        ("9.997", "out", "not proven", "not proven", "out"),
        ("9.990", "out", "out", "out", "out"),
        ("10.060", "out", "out", "out", "out"),
    ],
)
def test_rules_side_by_side(value, simple, proof, risk, shared):
    reading = at(value)
    outcomes = [str(rule(reading, reading, LIMITS).outcome) for _, rule in RULES]
    assert outcomes == [simple, proof, risk, shared]


def test_a_decision_tells_its_rule_its_guard_and_why():
    found = prove_conformity(at("10.003"), at("10.003"), LIMITS)
    assert found.rule == "prove conformity (ISO 14253-1)"
    assert (found.guard_low, found.guard_high) == pytest.approx((0.0066, 0.0066))
    assert found.reason == "the value lies within the guard band about a limit."
    assert found.chance.below == pytest.approx(0.2266, abs=1e-4)
    doubt = guarded_by_risk(at("10.003"), at("10.003"), LIMITS)
    assert doubt.reason == (
        "it conforms with a probability of 77.3 % only; 95.0 % is asked for, either way."
    )


def test_certainty_is_never_rounded_up():
    sure = guarded_by_risk(at("10.02499"), at("10.025"), LIMITS)
    assert sure.reason == "it conforms with a probability of more than 99.9 %."


def test_a_range_is_judged_by_both_ends():
    assert simple_acceptance(at("10.001"), at("10.049"), LIMITS).outcome is Outcome.WITHIN
    assert simple_acceptance(at("10.001"), at("10.051"), LIMITS).outcome is Outcome.OUT
    assert prove_conformity(at("10.02"), at("10.049"), LIMITS).outcome is Outcome.NOT_PROVEN
    assert guarded_by_risk(at("10.02"), at("10.07"), LIMITS).outcome is Outcome.OUT


def test_each_end_has_the_guard_band_of_its_own_uncertainty():
    high = Estimate(Fraction("10.046"), (Component("fine", 0.001),))
    found = prove_conformity(at("10.020"), high, LIMITS)
    assert found.outcome is Outcome.WITHIN
    assert (found.guard_low, found.guard_high) == pytest.approx((0.0066, 0.00165))


def test_shared_risk_holds_only_for_an_agreed_uncertainty():
    coarse = at("10.025", (Component("gauge", 0.006),))
    found = shared_risk(coarse, coarse, LIMITS)
    assert found.outcome is Outcome.NOT_PROVEN
    assert found.reason == "its standard uncertainty 0.006 is larger than the 0.005 agreed."
    with pytest.raises(ValueError, match="shared risk needs the largest standard uncertainty"):
        shared_risk(coarse, coarse, Asked(Fraction(10), None))
    with pytest.raises(ValueError, match="shared risk needs the largest standard uncertainty"):
        shared_zones(GAUGE, Asked(Fraction(10), None))


def test_rules_go_by_name():
    assert rule_named("guarded by risk") is guarded_by_risk
    assert zones_named("guarded by risk") is risk_zones
    assert [name for name, _ in RULES] == [name for name, _ in ZONES]
    expected = (
        "no decision rule 'majority'; there are: simple acceptance, prove conformity,"
        " guarded by risk, shared risk"
    )
    with pytest.raises(ValueError, match=expected):
        rule_named("majority")
    with pytest.raises(ValueError, match=expected):
        zones_named("majority")


def test_wrong_questions_are_named():
    with pytest.raises(ValueError, match=r"upper limit 9\.0 lies below lower limit 10\.0"):
        Asked(Fraction(10), Fraction(9))
    with pytest.raises(ValueError, match=r"confidence 0\.3 is not between"):
        Asked(Fraction(10), None, confidence=0.3)


mixes = st.lists(
    st.tuples(st.floats(0.0005, 0.01), st.sampled_from(list(Shape))), min_size=0, max_size=3
).map(
    lambda rows: tuple(
        Component(f"s{i}", u, shape, 6.0 if shape is Shape.STUDENT else math.inf)
        for i, (u, shape) in enumerate(rows)
    )
)


@settings(max_examples=120, deadline=None)
@given(
    mixes,
    st.floats(9.95, 10.1),
    st.sampled_from([(10.0, 10.05), (10.0, 10.008), (10.0, None), (None, 10.05)]),
    st.sampled_from(range(len(RULES))),
)
def test_zones_say_what_their_rule_says(parts, value, ends, number):
    lower, upper = (None if end is None else Fraction(str(end)) for end in ends)
    asked = Asked(lower, upper, largest_u=0.006)
    zones = ZONES[number][1](parts, asked)
    edges = (zones.out_below, zones.low, zones.high, zones.out_above)
    if any(abs(value - edge) < 1e-8 for edge in edges):
        return  # on an edge, where rounding decides
    reading = Estimate(Fraction(value), parts)
    assert zones.outcome(value) is RULES[number][1](reading, reading, asked).outcome


def test_a_tolerance_too_narrow_for_the_gauge_has_no_zone_within():
    found = risk_zones(GAUGE, Asked(Fraction(10), Fraction("10.004")))
    assert found.low > found.high
    assert found.outcome(10.002) is Outcome.NOT_PROVEN
    assert found.outcome(9.9) is Outcome.OUT


def test_a_tolerance_hopelessly_narrow_is_out_everywhere():
    # 0.0002 wide, u 0.004: at best P = 2·Φ(0.025) − 1 = 2 %, less than the 5 % left for doubt
    asked = Asked(Fraction(10), Fraction("10.0002"))
    assert risk_zones(GAUGE, asked).outcome(10.0001) is Outcome.OUT
    assert guarded_by_risk(at("10.0001"), at("10.0001"), asked).outcome is Outcome.OUT


def test_zones_of_plain_rules():
    assert plain_zones((), LIMITS).outcome(10.05) is Outcome.WITHIN
    assert plain_zones((), LIMITS).outcome(10.0501) is Outcome.OUT
    assert shared_zones((Component("g", 0.006),), LIMITS).outcome(10.2) is Outcome.NOT_PROVEN


NOW = (
    Component("OM-2 calibration", 0.001),
    Component("repeatability", 0.003),
    Component("temperature", 0.002, Shape.RECTANGULAR),
)
DOUBT = Estimate(Fraction("10.004"), NOW)


def simulated(action, asked, rule, seed=3, trials=60_000):
    """The same chances by drawing true values and new readings, and asking the rule's zones."""
    rng = np.random.default_rng(seed)

    def errors(parts, known):
        total = np.zeros(trials)
        for part in parts:
            if part.source not in known:
                shape = part.shape
                known[part.source] = (
                    rng.standard_normal(trials)
                    if shape is Shape.NORMAL
                    else rng.uniform(-(3**0.5), 3**0.5, trials)
                )
            total += part.u * known[part.source]
        return total

    known = {}
    true = 10.004 - errors(NOW, known)
    new = true + errors(action.components, known)
    zones = rule(action.components, asked)
    within = ((new >= zones.low) & (new <= zones.high)).mean()
    out = ((new < zones.out_below) | (new > zones.out_above)).mean()
    return within, out


ACTIONS = (
    repeated(NOW, "repeatability", 4, "read it four times more", 4.0),
    without(NOW, ["temperature"], "let it stand overnight, read it again", 15.0),
    replaced(
        NOW,
        ["OM-2 calibration", "repeatability"],
        (Component("OM-4 calibration", 0.0005), Component("repeatability OM-4", 0.001)),
        "read it with OM-4",
        8.0,
    ),
)


@pytest.mark.parametrize("zones", [proof_zones, risk_zones])
@pytest.mark.parametrize("number", range(len(ACTIONS)))
def test_the_chance_of_an_action_by_simulation(zones, number):
    found = prospects(DOUBT, LIMITS, zones, ACTIONS)[number]
    within, out = simulated(ACTIONS[number], LIMITS, zones)
    assert found.within == pytest.approx(within, abs=4 * math.sqrt(0.25 / 60_000))
    assert found.out == pytest.approx(out, abs=4 * math.sqrt(0.1 / 60_000))


def test_the_best_action_has_most_chance_for_its_minutes():
    found = prospects(DOUBT, LIMITS, risk_zones, ACTIONS)
    best = best_action(found)
    assert best is not None
    assert best.worth == max(one.worth for one in found)
    assert best.action.name == "read it four times more"
    # were repeating ten times as slow, the other gauge would be the one to take
    slow = Action(ACTIONS[0].name, 40.0, ACTIONS[0].components)
    best = best_action(prospects(DOUBT, LIMITS, risk_zones, (slow, *ACTIONS[1:])))
    assert best is not None
    assert best.action.name == "read it with OM-4"


def test_nothing_is_best_where_nothing_helps():
    # right on the limit with the calibration alone to blame: repeating cannot settle it
    stuck = Estimate(Fraction(10), (Component("OM-2 calibration", 0.004),))
    same = Action("read it again", 1.0, stuck.components)
    found = prospects(stuck, LIMITS, proof_zones, (same,))
    assert found[0].settles == 0.0
    assert best_action(found) is None


def test_an_action_that_changes_nothing_keeps_the_verdict():
    sure = Estimate(Fraction("10.02"), (Component("OM-2 calibration", 0.004),))
    found = prospects(sure, LIMITS, proof_zones, (Action("look again", 1.0, sure.components),))
    assert (found[0].within, found[0].out) == (1.0, 0.0)


def test_repeating_lowers_repeatability_only():
    # by hand: 0.003/√5, others as they were
    u = math.sqrt(0.001**2 + 0.003**2 / 5 + 0.002**2)
    assert Estimate(Fraction(0), ACTIONS[0].components).u == pytest.approx(u, rel=1e-12)


def test_wrong_actions_are_named():
    with pytest.raises(ValueError, match="no source 'master' among: OM-2 calibration"):
        without(NOW, ["master"], "check the master", 5.0)
    with pytest.raises(ValueError, match="0 readings more are fewer than 1"):
        repeated(NOW, "repeatability", 0, "read it", 1.0)
    with pytest.raises(ValueError, match=r"effort 0\.0 min is not above zero"):
        Action("wish", 0.0, NOW)


def test_specific_risks_of_accepting_and_rejecting():
    assert consumer_risk(at("10.004"), Fraction(10), None) == pytest.approx(0.15866, abs=1e-5)
    assert producer_risk(at("9.996"), Fraction(10), None) == pytest.approx(0.15866, abs=1e-5)


def test_a_guard_band_trades_consumers_for_producers_risk():
    process = Estimate(Fraction(0), (Component("process", 1.0),))
    meter = (Component("meter", 0.3),)
    plain = global_risks(process, meter, None, 1.0, None, 1.0)
    guarded = global_risks(process, meter, None, 1.0, None, 0.6)
    assert guarded.consumer < plain.consumer
    assert guarded.producer > plain.producer
    assert plain.accepted - plain.consumer == pytest.approx(plain.conforming - plain.producer)


def test_global_risks_of_shapes_that_are_not_normal_by_simulation():
    process = Estimate(Fraction(0), (Component("process", 1.0, Shape.TRIANGULAR),))
    meter = (Component("step", 0.2, Shape.RECTANGULAR), Component("repeat", 0.1, Shape.STUDENT, 5))
    found = global_risks(process, meter, -1.0, 1.5, -0.9, 1.4)
    rng = np.random.default_rng(8)
    n = 1_000_000
    true = rng.triangular(-(6**0.5), 0, 6**0.5, n)
    read = true + rng.uniform(-0.2 * 3**0.5, 0.2 * 3**0.5, n) + 0.1 * rng.standard_t(5, n)
    good, taken = (true >= -1.0) & (true <= 1.5), (read >= -0.9) & (read <= 1.4)
    assert found.consumer == pytest.approx((taken & ~good).mean(), abs=4 * math.sqrt(0.02 / n))
    assert found.producer == pytest.approx((good & ~taken).mean(), abs=4 * math.sqrt(0.1 / n))
    assert found.conforming == pytest.approx(good.mean(), abs=4 * math.sqrt(0.2 / n))


def test_wrong_risks_are_named():
    process = Estimate(Fraction(0), (Component("process", 1.0),))
    with pytest.raises(ValueError, match="the process has no spread"):
        global_risks(Estimate(Fraction(0)), GAUGE, None, 1.0, None, 1.0)
    with pytest.raises(ValueError, match=r"upper acceptance limit 0\.0 lies below lower"):
        global_risks(process, GAUGE, None, 1.0, 1.0, 0.0)
    with pytest.raises(ValueError, match=r"spreads 0\.0 and 1\.0 must both be above zero"):
        with_process(Estimate(Fraction(0)), process)
