"""A fit taken as read and moved by what changes in it: a new gasket under a gap read over the old.

The gap over piston 1 was read once, 0.90 mm. The old gasket was read at three places. Figures are
worked out by hand beside each check.
"""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.apply import planned_sizes
from sparkout.plan.compile import compile_problem
from sparkout.plan.forms import Group, Option, SetTo
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Bounds, Limit
from sparkout.solve import Optimum, best

GASKET = Key("head gasket", "gasket thickness")
PISTON = Key("piston 1", "compression height")
GAP = Instance("piston to head", "bore 1", ((F(1), GASKET), (F(-1), PISTON)), by_change=True)


def gasket(low, high, how=How.MEASURED):
    gauge = Component("calibration of OM-1", 0.002)
    return Dimension(
        GASKET,
        Estimate(F(low), (gauge,)),
        Estimate(F(high), (gauge,)),
        how,
    )


def fitted(size, new="1.40"):
    """The gap and the choice after a gasket is fitted; the piston was never measured."""
    read = Dimension(GAP.key, Estimate(F("0.90")), Estimate(F("0.90")))
    made = Estimate(F(new))
    group = Group(
        "gasket",
        (GASKET.feature,),
        (
            Option("old", "leave it"),
            Option("new", "fit a new one", effects=(SetTo(GASKET, made, made, 1),)),
        ),
        keep="old",
    )
    check = Check(GAP, Limit("piston to head", "piston to head", "", None, Bounds(F("1.07"), None)))
    sizes = {GASKET: size, GAP.key: read}
    after = planned_sizes(sizes, [group], {"gasket": "new"}, {}, [check])
    return after[GAP.key], Problem(sizes, (group,), (check,))


def test_the_gap_moves_by_the_difference_of_the_gaskets():
    """0.90 + 1.40 − 1.20 = 1.10."""
    after, _ = fitted(gasket("1.20", "1.20"))
    assert (after.low.value, after.high.value) == (F("1.10"), F("1.10"))
    assert after.low.u == pytest.approx(0.002)


def test_a_spread_of_the_old_gasket_is_an_error_and_no_spread_of_the_gap():
    """0.90 + 1.40 − (1.17 + 1.23)/2 = 1.10; u² = 0.002² + (0.03/√3)²."""
    after, _ = fitted(gasket("1.17", "1.23"))
    assert (after.low.value, after.high.value) == (F("1.10"), F("1.10"))
    assert after.low.u == pytest.approx(math.hypot(0.002, 0.03 / math.sqrt(3)))
    assert {part.shape for part in after.low.components} == {Shape.NORMAL, Shape.RECTANGULAR}


def test_what_was_only_assumed_keeps_its_range():
    """0.90 + 1.40 − 1.23 = 1.07 and 0.90 + 1.40 − 1.17 = 1.13."""
    after, _ = fitted(gasket("1.17", "1.23", How.ASSUMED))
    assert (after.low.value, after.high.value) == (F("1.07"), F("1.13"))


@pytest.mark.parametrize(
    ("low", "high", "proven"),
    [
        # ± 0.03 evenly spread about 1.10 and a normal error of 0.002 on top:
        # P(under 1.07) = 0.002·φ(0)/0.06 = 0.013
        ("1.17", "1.23", True),
        # ± 0.04 about 1.10: under 1.07 in one of eight
        ("1.16", "1.24", False),
    ],
)
def test_the_planner_and_the_judge_agree_on_it(low, high, proven):
    _, problem = fitted(gasket(low, high))
    answer = best(compile_problem(problem).model)
    assert isinstance(answer, Optimum) == proven
    if proven:
        assert answer.picks["gasket"] == "new"
