"""Offers: each the cheapest of its kind, held against trying everything and a second solver."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped_jobs import (
    NAMES,
    bore,
    bore_check,
    every_plan,
    job_of,
    measured,
    plan_of,
    shipped_problem,
)

from sparkout.judge.finding import Verdict, judge_all
from sparkout.measure.estimate import Estimate
from sparkout.plan.compile import compile_problem
from sparkout.plan.forms import Group, Option, SetTo, Together, Work
from sparkout.plan.offers import (
    AS_NEW,
    BEST_VALUE,
    LEAST_COST,
    WITHIN_BUDGET,
    Deadline,
    NoOffer,
    Offers,
    best_value,
    days_of,
    front,
    history_of,
    improvable,
    make_offers,
    most_life,
    ready_on,
    wearing,
)
from sparkout.plan.offers.as_new import as_new, asked_as_new
from sparkout.plan.offers.days import cheapest_within
from sparkout.plan.offers.front import asking_for
from sparkout.plan.offers.scale import WEAR_STEP, Scale, levels_of
from sparkout.plan.offers.wear import RUNS_DOWN
from sparkout.plan.problem import Problem, SharedCost
from sparkout.price.quote import quote
from sparkout.report.text.offers import offers_text
from sparkout.sheet.shop import ValueOfLife
from sparkout.solve import NoPlan, best, highs

SHARES = Scale("wear", WEAR_STEP, 100)


@cache
def offers_of(name: str, days: int | None = None, budget: int | None = None) -> Offers | NoOffer:
    job = job_of(name)
    return make_offers(
        shipped_problem(name),
        job.shop,
        job.findings,
        job.words,
        history=history_of(job.replayed.effective, job.shop),
        days=days,
        budget=budget,
    )


def offer(some: Offers, name: str):
    return next(item for item in some.offers if item.name == name)


# Small problems, solved by trying everything ---------------------------------------------------


def renewing(number: int, size: str, cost: int, tie: tuple[Together, ...] = ()) -> Group:
    made = SetTo(bore(number), Estimate(Fraction(size)), Estimate(Fraction(size)), 50)
    return Group(
        f"group {number}",
        (f"bore {number}",),
        (Option("keep", "keep it"), Option("renew", "renew it", (made,), together=tie, cost=cost)),
    )


@st.composite
def small_problems(draw):
    """Up to four bores, each worn by its own amount, some renewals ruling out others."""
    count = draw(st.integers(1, 4))
    sizes, groups, checks = {}, [], []
    for n in range(1, count + 1):
        worn = draw(st.integers(0, 24))
        sizes[bore(n)] = measured(n, f"100.{worn:02d}0")
        tie = ()
        if n > 1 and draw(st.booleans()):
            tie = (Together(f"group {n - 1}", ("keep",), "only one of the two"),)
        cost = draw(st.integers(1, 90))
        groups.append(renewing(n, draw(st.sampled_from(["100.00", "100.01", "100.03"])), cost, tie))
        checks.append(bore_check(n, "100.02", "100.20"))
    shared = ()
    if draw(st.booleans()):
        when = tuple((group.name, "renew") for group in groups)
        shared = (SharedCost("set-up", draw(st.integers(1, 40)), when),)
    return Problem(sizes, tuple(groups), tuple(checks), shared)


@settings(max_examples=60, deadline=None)
@given(small_problems())
def test_the_front_is_what_trying_everything_finds(problem):
    items = improvable(wearing(problem.checks), problem.groups)
    plans = [(cost, levels_of(problem, items, SHARES, sizes)) for _, cost, sizes in
             every_plan(problem)]  # fmt: skip
    found = front(problem, items, SHARES, lambda compiled: best(compiled.model))
    if not plans:
        assert isinstance(found, NoPlan)
        return
    aside = dict(found.aside)
    counted = [
        (min([lv for name, lv in levels.items() if name not in aside], default=100), cost)
        for cost, levels in plans
        if all(levels[name] >= held for name, held in aside.items())
    ]
    expected = []
    for level in sorted({level for level, _ in counted}):
        cost = min(c for its, c in counted if its >= level)
        expected = [(lv, c) for lv, c in expected if c < cost]
        expected.append((level, cost))
    assert [(point.level, point.cost) for point in found.points] == expected


@settings(max_examples=60, deadline=None)
@given(small_problems())
def test_as_new_leaves_the_fewest_limits_as_used_and_is_the_cheapest_of_those(problem):
    strict = tuple(asked_as_new(check) for check in problem.checks)
    tried = []
    for _, cost, sizes in every_plan(problem):
        found = judge_all(strict, sizes, confidence=problem.confidence, rule=problem.rule)
        tried.append((sum(f.verdict is not Verdict.WITHIN for f in found), cost))
    answer = as_new(problem, lambda compiled: best(compiled.model))
    if not tried:
        assert isinstance(answer, NoPlan)
        return
    assert (len(answer.as_used), answer.optimum.cost) == min(tried)


def test_a_limit_nothing_pushes_out_stands_aside_by_name():
    problem = Problem(
        {bore(1): measured(1, "100.15"), bore(2): measured(2, "100.10")},
        (
            # what is sold for bore 1 is no better than what is in it
            Group("group 1", ("bore 1",), (Option("keep", "keep it"), Option(
                "swap", "swap it", (SetTo(bore(1), Estimate(Fraction("100.16")),
                                          Estimate(Fraction("100.16")), 50, as_new=False),)))),
            renewing(2, "100.00", 30),
        ),
        (bore_check(1, "100.02", "100.20"), bore_check(2, "100.02", "100.20")),
    )  # fmt: skip
    items = improvable(wearing(problem.checks), problem.groups)
    found = front(problem, items, SHARES, lambda compiled: best(compiled.model))
    # (100.20 − 100.15) / (100.20 − 100.02) = 27.8 % and 0.10 / 0.18 = 55.6 %
    assert found.aside == (("bore 1: bore diameter", 27),)
    assert [(p.level, p.cost) for p in found.points] == [(55, 0), (100, 30)]


# Whole engines ---------------------------------------------------------------------------------


def test_what_runs_down_is_named_as_the_program_names_it():
    from sparkout.engine.characteristics import BY_NAME

    assert set(BY_NAME) >= RUNS_DOWN
    assert all(BY_NAME[name].wears for name in RUNS_DOWN)


@pytest.mark.parametrize("name", NAMES)
def test_least_is_the_plan_and_costs_rise_with_life(name):
    some = offers_of(name)
    least, value, new = (offer(some, n) for n in (LEAST_COST, BEST_VALUE, AS_NEW))
    assert least.cost == plan_of(name).cost
    assert dict(least.plan.optimum.picks) == dict(plan_of(name).optimum.picks)
    assert least.cost <= value.cost <= new.cost
    assert least.level <= value.level <= new.level


@pytest.mark.parametrize("name", NAMES)
def test_every_offer_holds_every_limit_by_the_judge(name):
    for item in offers_of(name).offers:
        bad = [f.reason for f in item.plan.after if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]
        assert bad == []


@pytest.mark.parametrize("name", NAMES)
def test_every_offer_is_quoted_to_the_cent_of_its_cost(name):
    shop = job_of(name).shop
    for item in offers_of(name).offers:
        assert quote(item.plan.chosen, shop).firm == item.cost
        assert quote(item.plan.chosen, shop).days == item.days


@pytest.mark.parametrize("name", NAMES)
def test_each_point_of_the_front_is_what_a_second_solver_finds(name):
    some = offers_of(name)
    problem, found = shipped_problem(name), some.front
    for before, point in zip(found.points, found.points[1:], strict=False):
        asked = asking_for(problem, some.items, found.scale, before.level + 1, dict(found.aside))
        assert highs(compile_problem(asked).model).cost == point.cost


def test_bushes_are_renewed_where_the_life_they_buy_is_worth_it():
    """The written decision for this engine renews all bushes while the rods are out; least cost
    renews one, and by the shop's value of life the rest of the wear pays for the next ones too."""
    some = offers_of("workboat_four")
    picks = offer(some, BEST_VALUE).plan.optimum.picks
    assert picks["rod 3 small end"] == picks["rod 4 small end"] == "re-bush"
    assert offer(some, LEAST_COST).plan.optimum.picks["rod 3 small end"] == "leave"
    reasons = {d.group: d.reason for d in offer(some, BEST_VALUE).differences}
    assert "3400 h" in reasons["rod 3 small end"]


def test_as_new_says_why_and_what_cannot_be():
    new = offer(offers_of("workboat_four"), AS_NEW)
    reasons = {d.group: d.reason for d in new.differences}
    assert reasons["flywheel"].startswith("flywheel runout is 0.12 mm: outside the new limit")
    # no work puts metal back; the shafts can be ground no further than the shells that are sold
    assert "; deck height; head height; " in new.stated[1]
    assert "main journal diameter of main journal 1, 2, 3, 4, 5; " in new.stated[1]


def test_without_a_rule_there_is_no_best_value_and_that_is_said():
    job = job_of("road_eight")
    shop = replace(job.shop, value_of_life=None)
    some = make_offers(shipped_problem("road_eight"), shop, job.findings, job.words)
    assert [item.name for item in some.offers] == [LEAST_COST, AS_NEW]
    assert "value of life" in some.missing[0]


def test_the_more_life_is_worth_the_more_of_it_is_bought():
    found = offers_of("workboat_four").front
    levels = []
    for money in (1, 20, 40, 1000):
        rule = ValueOfLife(Fraction(money, 1000), Fraction(12000), None, Fraction(1, 5))
        levels.append(best_value(found, rule).level)
    assert levels == sorted(levels)
    assert levels[0] == found.points[0].level
    assert levels[0] < levels[-1]


def test_best_value_is_the_best_of_all_points_by_the_sum_written_out():
    """cost − 40 per 1000 h × life, of every point; the least of these sums."""
    some = offers_of("workboat_four")
    sums = {p.cost: p.cost / 100 - 40 * p.level * 100 / 1000 for p in some.front.points}
    assert offer(some, BEST_VALUE).cost == min(sums, key=sums.get)


# Deadline and budget ---------------------------------------------------------------------------


def test_a_later_deadline_never_costs_more():
    compiled, shop = compile_problem(shipped_problem("road_eight")), job_of("road_eight").shop
    answers = [cheapest_within(compiled, shop, days) for days in range(12)]
    costs = [None if isinstance(a, NoPlan) else a.cost for a in answers]
    known = [cost for cost in costs if cost is not None]
    assert known == sorted(known, reverse=True)
    assert costs[: len(costs) - len(known)] == [None] * (len(costs) - len(known))
    assert known[-1] == best(compiled.model).cost
    for days, answer in enumerate(answers):
        if not isinstance(answer, NoPlan):
            chosen = [(g, g.option(answer.picks[g.name])) for g in compiled.problem.groups]
            assert days_of(chosen, shop) <= days


def test_a_deadline_is_met_by_another_plan_where_that_costs_more():
    """Two ways to renew a bore: cheap in 9 hours, dear in 6; the day has 8 hours."""
    job = job_of("road_eight")
    operations = job.shop.operations
    slow = replace(operations["bore cylinder"], set_up=Fraction(4), each=Fraction(5))
    quick = replace(operations["hone cylinder"], set_up=Fraction(4), each=Fraction(2))
    shop = replace(
        job.shop,
        operations={"bore cylinder": slow, "hone cylinder": quick},
        day_hours=Fraction(8),
    )
    made = (SetTo(bore(1), Estimate(Fraction(100)), Estimate(Fraction(100)), 50),)
    group = Group("group 1", ("bore 1",), (
        Option("keep", "keep it"),
        Option("cheap", "bore it", made, (Work("bore cylinder", ("bore 1",)),), cost=10),
        Option("dear", "hone it", made, (Work("hone cylinder", ("bore 1",)),), cost=25),
        Option("bought", "buy one", made, days=3, cost=5),
    ))  # fmt: skip
    problem = Problem(
        {bore(1): measured(1, "100.30")}, (group,), (bore_check(1, "100.02", "100.20"),)
    )
    compiled = compile_problem(problem)
    picked = {d: cheapest_within(compiled, shop, d) for d in (0, 1, 2, 3, None)}
    assert isinstance(picked[0], NoPlan)
    assert picked[1].picks["group 1"] == "dear"
    assert picked[2].picks["group 1"] == "cheap"
    assert picked[3].picks["group 1"] == picked[None].picks["group 1"] == "bought"


def test_a_deadline_nobody_can_meet_says_what_it_takes():
    none = offers_of("workboat_four", days=1)
    assert isinstance(none, NoOffer)
    # 3 days of outside grinding and 21.5 h of 8 h days
    assert none.needs == 6
    assert none.quickest is not None


def test_more_budget_never_buys_less_life():
    found = offers_of("workboat_four").front
    least = found.points[0].cost
    assert most_life(found, least - 1) is None
    levels = []
    for more in range(0, 80_000, 1_000):
        most = most_life(found, least + more)
        assert most.cost <= least + more
        levels.append(most.level)
    assert levels == sorted(levels)
    assert levels[0] < levels[-1]


def test_most_life_within_a_budget_is_proven_by_what_the_next_step_costs():
    some = offers_of("road_eight", budget=offer(offers_of("road_eight"), LEAST_COST).cost + 1)
    most = offer(some, WITHIN_BUDGET)
    problem, found = shipped_problem("road_eight"), some.front
    asked = asking_for(problem, some.items, found.scale, most.level + 1, dict(found.aside))
    more = highs(compile_problem(asked).model).cost
    assert more > most.cost + 1
    assert f"{(more - most.cost) / 100:.2f} more" in most.stated[0]


def test_a_budget_that_is_too_small_says_by_how_much():
    least = offer(offers_of("farm_single"), LEAST_COST).cost
    some = offers_of("farm_single", budget=least - 12_345)
    assert some.short == 12_345
    assert WITHIN_BUDGET not in [item.name for item in some.offers]


@pytest.mark.parametrize(
    ("today", "by", "wait", "days"),
    [
        ("2026-11-23", "2026-11-27", 0, 4),  # Monday to Friday: Tuesday is the first
        ("2026-11-27", "2026-11-30", 0, 1),  # Friday to Monday
        ("2026-11-23", "2026-12-07", 0, 10),
        ("2026-11-23", "2026-12-07", 5, 6),  # a part that comes on Saturday 28
        ("2026-11-23", "2026-11-25", 3, -1),
        ("2026-11-23", "2026-11-26", 3, 0),
    ],
)
def test_working_days_up_to_a_deadline(today, by, wait, days):
    """Counted on a calendar of November and December 2026."""
    assert Deadline(date.fromisoformat(today), date.fromisoformat(by)).room(wait) == days


@settings(max_examples=200)
@given(st.dates(date(2026, 1, 1), date(2030, 1, 1)), st.integers(0, 90), st.integers(0, 400))
def test_a_plan_is_in_time_on_the_day_it_is_ready_and_not_before(today, wait, hours):
    shop = job_of("farm_single").shop
    name = "hone cylinder"
    rate = replace(shop.operations[name], set_up=Fraction(0), each=Fraction(hours, 4))
    shop = replace(shop, operations={name: rate})
    option = Option("hone", "hone it", work=(Work(name, ("bore 1",)),), days=wait)
    chosen = [(Group("group 1", ("bore 1",), (option,)), option)]
    ready = ready_on(chosen, shop, today)
    need = -(-Fraction(hours, 4) // shop.day_hours)
    assert Deadline(today, ready).room(wait) == need
    if need:
        assert Deadline(today, ready - timedelta(1)).room(wait) < need


@pytest.mark.parametrize("name", NAMES)
def test_offers_are_called_proven_only_as_far_as_was_read(name):
    """What any of them takes to be in order unread is named; nothing else stands under it."""
    text = " ".join(
        " ".join(offers_text(job_of(name), offers_of(name), date(2026, 11, 25))).split()
    )
    unread = {
        finding.check.limit.name
        for item in offers_of(name).offers
        for finding in item.plan.after
        if finding.check.limit.must and finding.verdict in (Verdict.NOT_MEASURED, Verdict.STALE)
    }
    assert ("PROVEN FOR WHAT WAS READ" in text) == bool(unread)
    said = text.partition("taken to be in order: ")[2].partition(". What is not")[0]
    assert {one.partition(" of ")[0] for one in said.split("; ") if one} == unread


def test_a_refusal_that_rests_on_the_data_sheet_says_so():
    """The set of +.030 is not here to be measured: its height is the data sheet's."""
    (reason,) = [r for r in plan_of("road_eight").reasons if r.group == "cylinders"]
    (item,) = [r for r in reason.refused if r.option == "piston set +.030"]
    assert "piston 1 compression height is not measured but taken from the data sheet" in (
        item.sentence
    )
