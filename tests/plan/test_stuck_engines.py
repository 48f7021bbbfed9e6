"""Engines that no plan mends: the rules said to clash do, none of them is needless, and what would
have to give is the least that would do.

Held against HiGHS on the same model, which shares no code with the tables that the clash is found
from. Engines are drawn from seeds; about one in four of them cannot be mended.
"""

from __future__ import annotations

from itertools import chain, combinations

import pytest
from engine_maker import engine

from sparkout.judge.checks import Check
from sparkout.plan.compile import compile_problem
from sparkout.plan.conflict import Questions
from sparkout.plan.decide import Stuck, make_plan
from sparkout.plan.forms import HoldsTo
from sparkout.plan.relief import standing_still
from sparkout.report.text.plan import stuck_text
from sparkout.solve import Model, NoPlan, Optimum, best, highs, table

_CHUNK = 30


def _stuck(first):
    """Engines of a chunk of seeds that have no plan."""
    found = []
    for seed in range(first, first + _CHUNK):
        made = engine(seed)
        compiled = compile_problem(made.problem)
        if isinstance(best(compiled.model), NoPlan):
            found.append((seed, made, compiled))
    assert found, "a chunk without a stuck engine would prove nothing"
    return found


def _only(model: Model, names) -> Model:
    windows = tuple(item for item in model.windows if item.name in names)
    return Model(model.choices, model.amounts, windows, (), model.tallies)


def _given_way(compiled, rules=(), parts=()) -> Model:
    """The model without some rules, and with some options that are not to be had got after all."""
    model, windows = compiled.model, []
    for item in model.windows:
        if item.name in rules:
            continue
        got = [option for group, option in parts if item.name == f"{group}: cannot be had"]
        if got:
            (name,) = item.choices
            options = model.choices[model.choice_at[name]].options
            keep = [bool(k) or o in got for k, o in zip(item.allowed, options, strict=True)]
            windows.append(table(item.name, (name,), keep))
        else:
            windows.append(item)
    return Model(model.choices, model.amounts, tuple(windows), model.shared, model.tallies)


@pytest.mark.parametrize("first", range(0, 240, _CHUNK))
def test_rules_that_clash_do_and_none_is_needless(first):
    for seed, _, compiled in _stuck(first):
        clash = Questions(compiled, standing_still(compiled)).against({})
        assert clash is not None, seed
        names = {*clash.rules, *clash.silent}
        assert isinstance(highs(_only(compiled.model, names)), NoPlan), (seed, names)
        for name in names:
            rest = highs(_only(compiled.model, names - {name}))
            assert isinstance(rest, Optimum), (seed, names, name)


@pytest.mark.parametrize("first", range(0, 240, _CHUNK))
def test_what_gives_makes_a_plan_and_less_does_not(first):
    told = 0
    for seed, made, compiled in _stuck(first):
        plan = make_plan(made.sheet, made.shop, made.state, made.checks, made.findings)
        assert isinstance(plan, Stuck), seed
        assert plan.sentences, seed
        assert all(plan.sentences), seed
        costs = [relief.cost for relief in plan.reliefs]
        assert costs == sorted(costs), seed
        for relief in plan.reliefs:
            told += 1
            answer = highs(_given_way(compiled, relief.rules, relief.parts))
            assert isinstance(answer, Optimum), (seed, relief)
            assert answer.cost == relief.cost, (seed, relief)
            lifted = [*relief.rules, *relief.parts]
            smaller = chain.from_iterable(combinations(lifted, k) for k in range(len(lifted)))
            for some in smaller:
                rules = [one for one in some if isinstance(one, str)]
                parts = [one for one in some if not isinstance(one, str)]
                less = highs(_given_way(compiled, rules, parts))
                assert isinstance(less, NoPlan), (seed, relief, some)
    assert told


@pytest.mark.parametrize("first", range(0, 120, _CHUNK))
def test_no_single_limit_that_would_do_is_left_out(first):
    """Every limit of the whole engine given way on, one at a time."""
    for seed, made, compiled in _stuck(first):
        plan = make_plan(made.sheet, made.shop, made.state, made.checks, made.findings)
        assert isinstance(plan, Stuck), seed
        offered = {relief.rules for relief in plan.reliefs if not relief.parts}
        for name, rule in compiled.rules.items():
            if isinstance(rule, Check | HoldsTo):
                enough = isinstance(highs(_given_way(compiled, (name,))), Optimum)
                assert enough == ((name,) in offered), (seed, name)


def test_the_terminal_tells_what_would_do():
    (_, made, _), *_ = _stuck(0)
    plan = make_plan(made.sheet, made.shop, made.state, made.checks, made.findings)
    text = " ".join(" ".join(stuck_text(plan)).split())
    assert plan.reliefs
    for relief in plan.reliefs:
        # signs are printed as a typesetter has them; the rest word for word
        assert relief.sentence.split(" (")[0].replace("-", "−") in text.replace("-", "−")
