"""Why not: told at the plan's own depths, with figures that agree with each other."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from shipped_jobs import NAMES, job_of, plan_of

from sparkout.judge.words import Words
from sparkout.plan.ask import with_pick
from sparkout.solve import Optimum, best


def refusal(name, group, option):
    (reason,) = [reason for reason in plan_of(name).reasons if reason.group == group]
    (found,) = [item for item in reason.refused if item.option == option]
    return found


def after(name, limit, feature):
    (found,) = [
        item
        for item in plan_of(name).after
        if (item.check.limit.name, item.check.instance.feature) == (limit, feature)
    ]
    return found


@pytest.mark.parametrize("name", NAMES)
class TestEveryEngine:
    def test_depths_called_planned_are_the_plans(self, name):
        words = Words(job_of(name).shop.units)
        planned = {words.value(item.value, "deck height") for item in plan_of(name).amounts}
        told = 0
        for reason in plan_of(name).reasons:
            for item in reason.refused:
                part = re.search(r"once (.*?)(?: with [^;]*)?, as planned", item.sentence)
                if part:
                    depths = re.findall(r"(?:cut|sunk) (\d[\d.]* (?:mm|in))", part[1])
                    assert depths
                    assert set(depths) <= planned, item.sentence
                    told += 1
        assert told

    def test_what_a_piston_and_its_gasket_come_to_has_the_same_digits(self, name):
        for reason in plan_of(name).reasons:
            for item in reason.refused:
                some = re.search(r"would stand (\S+) (?:mm|in) .* leaves (\S+) ", item.sentence)
                if some:
                    digits = [Decimal(one).as_tuple().exponent for one in some.groups()]
                    assert digits[0] == digits[1], item.sentence

    def test_a_value_that_breaks_a_limit_does_not_read_like_it(self, name):
        for reason in plan_of(name).reasons:
            for item in reason.refused:
                some = re.search(r"leaves (\S+) \S+ at least (\S+) (?:mm|in) is", item.sentence)
                if some:
                    assert Decimal(some[1]) < Decimal(some[2]), item.sentence


class TestAtThePlansOwnDepth:
    def test_a_thinner_gasket_takes_its_tenth_from_the_gap_of_the_plan(self):
        """The plan's gasket is 1.30, so 1.20 leaves 0.10 mm less than the plan does, and the
        piston stands out by what of 1.20 is then missing."""
        low = after("workboat_four", "piston to head", "bore 1").low
        said = refusal("workboat_four", "head gasket", "head gasket 1.20").sentence
        some = re.search(r"stand (\S+) mm above .*; head gasket 1.20 leaves (\S+) mm", said)
        assert some
        stands, leaves = map(Decimal, some.groups())
        assert float(leaves) == pytest.approx(float(low.value) - 0.10, abs=0.0006)
        assert stands + leaves == Decimal("1.20")

    def test_a_shim_a_tenth_thicker_takes_a_tenth_of_the_lash(self):
        low = after("farm_single", "intake valve lash", "valve I1").low
        said = refusal("farm_single", "valve I1 lash shim", "lash shim 2.50").sentence
        some = re.search(r"would be (\S+) mm once valve I1 is sunk 0.22 mm, as planned", said)
        assert some, said
        assert float(some[1]) == pytest.approx(float(low.value) - 0.10, abs=0.006)


class TestWhatElseWouldHaveToBe:
    def test_a_choice_with_a_dearer_plan_names_that_plan_and_its_cost(self):
        plan = plan_of("road_eight")
        item = refusal("road_eight", "bore 6 sleeve", "none")
        other = best(with_pick(plan.compiled.model, "bore 6 sleeve", "none"))
        assert isinstance(other, Optimum)
        group = next(g for g in plan.compiled.problem.groups if g.name == "cylinders")
        assert group.option(other.picks["cylinders"]).words in item.sentence
        assert f"{(other.cost - plan.cost) / 100:.2f} USD more" in item.sentence

    def test_a_choice_that_only_costs_more_says_so_in_the_shops_money(self):
        item = refusal("workboat_four", "seat I3", "insert")
        assert item.sentence == f"costs {item.extra / 100:.2f} EUR more."


class TestWhichLimit:
    def test_a_new_pin_in_a_bush_that_runs_on_is_held_to_the_limit_of_use(self):
        """New and service are different questions: the bush is used again."""
        said = refusal("workboat_four", "rod 2 small end", "leave").sentence
        assert said.endswith(
            "at most 0.060 mm is needed (the service limit, for only one side of the fit is new)."
        )

    def test_where_both_sides_are_new_nothing_of_the_kind_is_said(self):
        said = refusal("workboat_four", "thrust washers", "thrust washers, 0.10 thick").sentence
        assert "service limit" not in said


class TestAtBest:
    def test_no_piece_of_another_set_is_told_of(self):
        """Set +.030 in every bore, and all else free: .0355, half a thou more than as planned."""
        said = refusal("road_eight", "cylinders", "piston set +.030").sentence
        assert "leaves 0.0350 in" in said
        assert "it comes no nearer than 0.0355 in, still not proven" in said
