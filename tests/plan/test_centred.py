"""Depths that cost nothing to choose: off the ends of their window, at the same proven cost."""

from __future__ import annotations

from fractions import Fraction

import pytest
from shipped_jobs import NAMES, plan_of

from sparkout.judge.finding import Verdict
from sparkout.plan.outcome import amount_ranges, centred
from sparkout.solve import best, price
from sparkout.solve.check import violations

INCH = Fraction(254, 10)


@pytest.mark.parametrize("name", NAMES)
class TestEveryEngine:
    def test_the_cost_is_the_proven_least(self, name):
        plan = plan_of(name)
        found = best(plan.compiled.model)
        assert plan.cost == found.cost
        assert price(plan.compiled.model, plan.optimum.picks, plan.optimum.amounts)[0] == found.cost
        assert plan.optimum.picks == found.picks

    def test_every_rule_holds_as_before(self, name):
        plan = plan_of(name)
        model = plan.compiled.model
        assert violations(model, plan.optimum.picks, plan.optimum.amounts) == ()
        assert not [f for f in plan.after if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]

    def test_nothing_moves_twice(self, name):
        """What is in the middle is left there, so that an approved plan stays what it was."""
        plan = plan_of(name)
        again, _ = centred(plan.compiled, plan.optimum.picks, plan.optimum.amounts)
        assert again == dict(plan.optimum.amounts)

    def test_what_is_cut_until_it_is_clean_stays_the_least(self, name):
        plan = plan_of(name)
        before = best(plan.compiled.model).amounts
        cleaned = [item for item in plan.amounts if item.needs and " clean" in item.needs[0].rule]
        assert cleaned
        for item in cleaned:
            assert plan.optimum.amounts[item.name] == before[item.name]


class TestStemTips:
    """Preload must be .020 to .060: the solver's least dressing left it at .059, just
    inside."""

    def test_they_are_dressed_to_the_middle_of_what_would_do(self):
        plan = plan_of("road_eight")
        (tips,) = [item for item in plan.amounts if item.name == "taken off every stem tip"]
        first, final = Fraction(".008") * INCH, Fraction(".019") * INCH  # as printed
        assert tips.value == Fraction(".013") * INCH  # (8 + 19) // 2 = 13
        assert first < tips.value < final

    def test_that_leaves_room_to_the_cuts_beside_them(self):
        """With the least off the tips, heads could not go deeper than .0065 without preload
        running out; now they can."""
        plan = plan_of("road_eight")
        least = best(plan.compiled.model)
        tight = amount_ranges(plan.compiled, least.picks, least.amounts)
        for name in ("head left cut", "head right cut", "sink of seat I1"):
            before = next(item for item in tight if item.name == name)
            after = next(item for item in plan.amounts if item.name == name)
            assert after.most > before.most + Fraction(".0004") * INCH
