"""Draws worked out together come out as they do one by one, on every shipped engine."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from forecast_case import small_case

import sparkout
from sparkout.forecast.case import Case
from sparkout.forecast.draws import BLOCK, Draws, prepared
from sparkout.forecast.lanes.figures import NotAlike, figures_of
from sparkout.forecast.lanes.sizes import lanes_of
from sparkout.forecast.lanes.together import template_of
from sparkout.forecast.outcome import Outcome, parts_at_middle
from sparkout.forecast.run import Desk, desk_of, outcomes
from sparkout.load import files_in, load_job
from sparkout.plan.decide import problem_of

DEMOS = Path(sparkout.__file__).parent / "demos"


def shipped(name: str) -> Case:
    job, _ = load_job(files_in(DEMOS / name))
    assert job is not None
    return Case(job.sheet, job.shop, job.frame, job.checks, job.located.spots, job.located.tests)


def half(case: Case) -> Case:
    """The engine with its odd features read and the even ones not."""
    odd = tuple(spot for spot in case.spots if spot.key.feature[-1] in "1357")
    return replace(case, spots=odd, tests=())


CASES = {
    "small": small_case,
    "single": lambda: shipped("farm_single").unmeasured(),
    "eight": lambda: shipped("road_eight").unmeasured(),
    "four": lambda: shipped("workboat_four").unmeasured(),
    "four, half read": lambda: half(shipped("workboat_four")),
    "eight, half read": lambda: half(shipped("road_eight")),
}


def plain(outcome: Outcome) -> tuple[object, ...]:
    """Everything but words that hang on a draw's own figures."""
    chosen = sorted((chosen.cost, chosen.count) for chosen in outcome.chosen)
    return outcome.cost, outcome.hours, outcome.days, outcome.hopeless, chosen


@pytest.mark.parametrize("name", CASES)
def test_together_is_as_one_by_one(name: str) -> None:
    case = CASES[name]()
    desk = desk_of(case, 11)
    assert desk.shared is not None, "this engine's draws should be worked out together"
    some = 40 if name == "small" else 6
    alone = outcomes(Desk(case, desk.plan, 11, None), 0, some)
    assert [plain(o) for o in outcomes(desk, 0, some)] == [plain(o) for o in alone]


@pytest.mark.parametrize("name", ["single", "eight", "four, half read"])
def test_sizes_of_all_draws_are_those_of_each(name: str) -> None:
    case = CASES[name]()
    plan = prepared(case)
    draws = Draws(plan, 4)
    block = draws.block(0)
    lanes = lanes_of(plan, [block], case.state(*draws.readings(block, 0)))
    for at in (0, 7, BLOCK - 1):
        state = case.state(*draws.readings(block, at))
        for key, size in state.sizes.items():
            if key in lanes.sizes:
                lane = lanes.sizes[key]
                assert lane.low[at] == pytest.approx(float(size.low.value) * 1e6, abs=1e-3)
                assert lane.high[at] == pytest.approx(float(size.high.value) * 1e6, abs=1e-3)


def test_a_figure_that_is_no_line_is_not_taken_for_one() -> None:
    case = small_case()
    plan = prepared(case)
    draws = Draws(plan, 4)
    block = draws.block(0)
    made = []
    for at in range(12):
        state = case.state(*draws.readings(block, at))
        groups = list(problem_of(parts_at_middle(case.sheet), case.shop, state, case.checks).groups)
        option = groups[0].options[1]
        need = option.needs[0]
        bent = replace(need, margin=replace(need.margin, value=need.margin.value**2))
        option = replace(option, needs=(bent, *option.needs[1:]))
        options = (groups[0].options[0], option, *groups[0].options[2:])
        groups[0] = replace(groups[0], options=options)
        made.append((state, tuple(groups)))
    lanes = lanes_of(plan, [block], made[0][0])
    with pytest.raises(NotAlike, match="need 0"):
        figures_of(made, lanes.sizes, ())


def test_the_same_template_serves_every_seed() -> None:
    case = small_case()
    plan = prepared(case)
    one, two = (template_of(case, parts_at_middle(case.sheet), Draws(plan, s)) for s in (1, 2))
    assert one.figures.forms == two.figures.forms
