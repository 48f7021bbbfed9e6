"""Quotes: to the cent of the solver, tax by category, versions, and how sure each line is."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sparkout
from sparkout.engine.dimension import Dimension, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.judge.finding import judge_all
from sparkout.judge.words import Words
from sparkout.load import Job, files_in, load_job
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import problem_of
from sparkout.plan.forms import Group, Option, SetTo, Use, Work
from sparkout.plan.offers import settled
from sparkout.plan.pricing import priced, set_ups
from sparkout.plan.problem import Problem
from sparkout.price.quote import LIKELY, SURE, OnlyIf, quote
from sparkout.price.sureness import grades_of, only_if
from sparkout.sheet.model import Bounds, Limit
from sparkout.sheet.shop import OperationRate, Shop, Supply
from sparkout.solve import Choice, Model, Shared, best, price


@cache
def job_of(name: str) -> Job:
    job, faults = load_job(files_in(Path(sparkout.__file__).parent / "demos" / name))
    assert faults == ()
    assert job is not None
    return job


def shop_with(
    operations: Mapping[str, OperationRate], supply: Mapping[str, Supply], **more
) -> Shop:
    rates = {"bench": Fraction(80)}
    return Shop("a shop", "EUR", "mm", rates, operations, supply, **more)


def chosen_of(option: Option, shop: Shop) -> tuple[tuple[Group, Option], ...]:
    group = priced([Group("all of it", ("engine",), (option,))], shop)[0]
    return ((group, group.options[0]),)


def written_example() -> tuple[tuple[tuple[Group, Option], ...], Shop]:
    """66.5 h × 80 = 5320; parts 2705; consumables 5 % of labour 266; crank ground outside 260."""
    shop = shop_with(
        {
            "strip to build": OperationRate(
                "strip to build", "bench", Fraction("66.5"), Fraction(0)
            ),
            "grind": OperationRate(
                "grind", "bench", Fraction(0), Fraction(0), outside=Fraction(260), outside_days=3
            ),
        },
        {"parts": Supply("parts", Fraction(2705))},
        consumables=Fraction(5, 100),
        contingency=Fraction(10, 100),
    )
    work = (Work("strip to build", ("engine",)), Work("grind", ("crankshaft",)))
    return chosen_of(Option("do", "do it", (), work, (Use("parts", 1),)), shop), shop


def test_the_written_quote():
    """5320 + 2705 + 266 + 260 = 8551 firm; 10 % = 855.10 only on approval; 9406.10 in all.

    Arithmetic of a worked quote made up for this engine; the sums stand beside it.
    """
    chosen, shop = written_example()
    found = quote(chosen, shop)
    assert found.firm == 855_100
    assert found.contingency == 85_510
    assert found.total == 940_610
    assert found.firm_total == 855_100  # what is paid when no reserve is spent
    assert sum(line.amount for line in found.lines) == found.firm


ODD = st.fractions(0, 200, max_denominator=700)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**9), ODD, ODD, st.fractions(0, 1, max_denominator=37))
def test_any_plan_is_quoted_to_the_cent_of_the_solvers_cost(seed, rate, part, consumables):
    """Any picks of a whole engine, at prices that do not come out even."""
    job = job_of("road_eight")
    shop = replace(
        job.shop,
        rates={name: rate + i for i, name in enumerate(job.shop.rates)},
        supply={
            name: replace(item, price=part + Fraction(i, 7))
            for i, (name, item) in enumerate(job.shop.supply.items())
        },
        consumables=consumables,
    )
    problem = problem_of(job.sheet, shop, job.state, job.checks)
    draw = random.Random(seed)
    picks = {group.name: draw.choice(group.options).name for group in problem.groups}
    model = Model(
        tuple(
            Choice(g.name, tuple(o.name for o in g.options), tuple(o.cost for o in g.options))
            for g in problem.groups
        ),
        shared=tuple(Shared(s.name, s.cost, s.when) for s in problem.shared),
    )
    cost, _ = price(model, picks, {})
    chosen = tuple((group, group.option(picks[group.name])) for group in problem.groups)
    grades = {group.name: draw.choice([(SURE, None), (LIKELY, 0.3)]) for group, _ in chosen}
    for found in (quote(chosen, shop), quote(chosen, shop, grades=grades)):
        assert found.firm == cost == sum(line.amount for line in found.lines)
        assert found.total == found.firm + found.contingency + found.tax
        assert found.tax == sum(row.amount for row in found.taxes)


def test_tax_is_by_category_on_its_sum_and_rounded_once():
    """Three parts of 0.33 at 7.5 %: 0.99 × 0.075 = 0.07425, up to 0.07. Rounded one by one it would
    be 3 × 0.02 = 0.06. Labour 0.20 at 7.5 % is 0.015, and a half goes up: 0.02."""
    shop = shop_with(
        {"turn": OperationRate("turn", "bench", Fraction(1, 400), Fraction(0))},
        {name: Supply(name, Fraction("0.33")) for name in ("a", "b", "c")},
        tax=Fraction(0),
        taxes={"part": Fraction("0.075"), "labour": Fraction("0.075")},
    )
    parts = tuple(Use(name, 1) for name in ("a", "b", "c"))
    found = quote(
        chosen_of(Option("do", "do it", (), (Work("turn", ("shaft",)),), parts), shop), shop
    )
    assert [(row.category, row.base, row.amount) for row in found.taxes] == [
        ("labour", 20, 2),
        ("parts", 99, 7),
    ]


def test_the_reserve_is_taxed_apart_from_what_is_firm():
    chosen, shop = written_example()
    found = quote(chosen, replace(shop, tax=Fraction(20, 100)))
    assert found.firm_total == 855_100 + 171_020
    assert found.tax == 171_020 + 17_102


def test_a_version_stands_for_all_a_quote_says():
    chosen, shop = written_example()
    base = quote(chosen, shop, expires=date(2026, 12, 31))
    assert base.version == quote(chosen, shop, expires=date(2026, 12, 31)).version
    others = [
        quote(chosen, shop, expires=date(2027, 1, 1)),
        quote(chosen, shop, expires=date(2026, 12, 31), state="fixed"),
        quote(chosen, shop, expires=date(2026, 12, 31), plan="another plan"),
        quote(chosen, replace(shop, contingency=Fraction(11, 100)), expires=date(2026, 12, 31)),
        quote(chosen, shop, expires=date(2026, 12, 31), only_if=(OnlyIf("crack", "weld", 100, 1),)),
    ]
    assert len({base.version, *(other.version for other in others)}) == 1 + len(others)


def test_a_state_nobody_knows_is_refused():
    chosen, shop = written_example()
    with pytest.raises(ValueError, match="got 'firm'"):
        quote(chosen, shop, state="firm")


# How sure --------------------------------------------------------------------------------------


def bore(size: str, u: float, *, number: int = 1) -> Dimension:
    doubt = (Component("gauge", u, Shape.NORMAL),)
    value = Estimate(Fraction(size), doubt)
    return Dimension(Key(f"bore {number}", "bore diameter"), value, value)


def worn(size: str, u: float):
    """One bore with a service limit of 100.20, renewed for 50 a piece of work."""
    key = Key("bore 1", "bore diameter")
    bounds = Bounds(Fraction(100), Fraction("100.02")), Bounds(None, Fraction("100.20"))
    limit = Limit("bore diameter", "bore diameter", new=bounds[0], service=bounds[1])
    check = Check(Instance("bore diameter", "bore 1", ((Fraction(1), key),), ()), limit)
    shop = shop_with({"bore": OperationRate("bore", "bench", Fraction(1, 2), Fraction(1, 8))}, {})
    made = SetTo(key, Estimate(Fraction(100)), Estimate(Fraction(100)), 50)
    group = Group("bore", ("bore 1",), (
        Option("keep", "keep it"),
        Option("renew", "renew it", (made,), (Work("bore", ("bore 1",)),)),
    ))  # fmt: skip
    groups = priced([group], shop)
    problem = Problem({key: bore(size, u)}, groups, (check,), set_ups(groups, shop))
    compiled = compile_problem(problem)
    findings = judge_all(problem.checks, problem.sizes)
    by_name = {finding.check.name: finding for finding in findings}
    plan = settled(compiled, best(compiled.model), Words(), by_name)
    return plan, findings, shop


def test_what_a_reading_proves_to_be_out_is_sure():
    plan, findings, shop = worn("100.25", 0.002)
    assert grades_of(plan, findings) == {"bore": (SURE, None)}
    assert [line.grade for line in quote(plan.chosen, shop).lines] == [SURE]


def test_what_is_only_not_proven_is_likely_with_the_probability_that_it_is_out():
    """100.199 ± 0.002 against 100.200: Φ(−0.5) = 0.3085 (normal table) that it is over."""
    plan, findings, shop = worn("100.199", 0.002)
    grade, chance = grades_of(plan, findings)["bore"]
    assert grade == LIKELY
    assert chance == pytest.approx(0.3085, abs=5e-5)
    found = quote(plan.chosen, shop, grades=grades_of(plan, findings))
    # 0.5 h set-up and 0.125 h at 80: both only likely
    assert [(line.grade, line.amount) for line in found.lines] == [(LIKELY, 5_000)]


def test_what_is_left_alone_is_no_line_at_all():
    plan, findings, shop = worn("100.10", 0.002)
    assert grades_of(plan, findings) == {}
    assert quote(plan.chosen, shop).lines == ()


def test_only_if_prices_what_comes_on_top_with_set_ups_that_are_paid_anyway():
    """Seats that nobody crack-tested: insert 19, 0.7 h + 0.25 h at 80 with 5 % consumables = 79.80;
    set-ups of both operations are paid already, for E3. 98.80 each."""
    from sparkout.plan.decide import Plan, make_plan

    job = job_of("workboat_four")
    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    assert isinstance(plan, Plan)
    rows = only_if(plan)
    seat = next(row for row in rows if row.trigger == "seat crack test")
    # an intake insert costs 18, an exhaust one 19
    assert seat.each == 1_900 + 7_980
    assert seat.count == 6
