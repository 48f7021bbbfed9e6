"""Combinations that no plan has are not worked out, and no rule is lost or made by that."""

from __future__ import annotations

import random

import pytest

from sparkout.cli.jobargs import demo_folder
from sparkout.load import files_in, load_job
from sparkout.plan import compile as compiling
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import problem_of
from sparkout.plan.problem import Problem
from sparkout.solve import best
from sparkout.solve.check import violations


@pytest.fixture(scope="module")
def problem() -> Problem:
    found, faults = load_job(files_in(demo_folder("workboat_four")))
    assert found is not None, faults
    return problem_of(found.sheet, found.shop, found.state, found.checks)


@pytest.fixture(scope="module")
def both(problem: Problem) -> tuple[Compiled, Compiled]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(compiling, "ties_of", lambda groups: {})
        full = compile_problem(problem)
    return compile_problem(problem), full


def _broken(made: Compiled, names: dict[str, str], amounts: dict[str, int]) -> set[str]:
    said = violations(made.model, names, amounts)
    rules = [item.name for item in made.model.windows]
    return {name for name in rules if any(text.startswith(f"{name}: ") for text in said)}


def test_tables_get_smaller(both: tuple[Compiled, Compiled]) -> None:
    cells = [sum(item.allowed.size for item in made.model.windows) for made in both]
    assert cells[0] < cells[1]


def test_the_same_plan(both: tuple[Compiled, Compiled]) -> None:
    mine, full = (best(made.model) for made in both)
    assert (mine.cost, mine.preference) == (full.cost, full.preference)


def test_the_same_rules_break_wherever_pieces_go_with_their_set(
    problem: Problem, both: tuple[Compiled, Compiled]
) -> None:
    draw = random.Random(20)
    apart = 0
    for _ in range(400):
        picks = {group.name: draw.choice(group.options) for group in problem.groups}
        bound = True
        while bound:  # what is tied to something that is not picked goes as it is
            bound = False
            for group in problem.groups:
                ties = picks[group.name].together
                if any(t.group in picks and picks[t.group].name not in t.options for t in ties):
                    free = [option for option in group.options if not option.together]
                    if not free:
                        continue
                    picks[group.name] = draw.choice(free)
                    bound = True
        names = {group: option.name for group, option in picks.items()}
        amounts = {
            amount.name: draw.randint(amount.low, amount.high) for amount in both[0].model.amounts
        }
        mine, full = (_broken(made, names, amounts) for made in both)
        assert mine == full
        apart += "piece" in names["piston in bore 1"]
    assert apart > 20
