"""Where too many combinations would have to be laid out, a conflict is found step by step."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from sparkout.cli.jobargs import demo_folder
from sparkout.load import files_in, load_job
from sparkout.plan import joined
from sparkout.plan.compile import compile_problem
from sparkout.plan.conflict import Questions
from sparkout.plan.decide import problem_of
from sparkout.plan.explain import picked
from sparkout.solve import Model, NoPlan, Optimum, best, table


@pytest.fixture(scope="module")
def questions() -> Questions:
    job, faults = load_job(files_in(demo_folder("workboat_four")))
    assert job is not None, faults
    compiled = compile_problem(problem_of(job.sheet, job.shop, job.state, job.checks))
    found = best(compiled.model)
    assert isinstance(found, Optimum)
    return Questions(compiled, picked(compiled, found))


def holds(questions: Questions, rules: Iterable[str], group: str, at: int) -> bool:
    """Whether rules hold together with an option, by the solver."""
    model = questions.model
    count = len(model.choices[model.choice_at[group]].options)
    pin = table("pin", (group,), [k == at for k in range(count)])
    some = [questions.windows[name] for name in rules]
    return not isinstance(best(Model(model.choices, model.amounts, (pin, *some))), NoPlan)


def test_conflicts_are_minimal_and_as_small(
    questions: Questions, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = 0
    for choice in questions.model.choices:
        for at in range(len(choice.options)):
            usual = questions.against({choice.name: at})
            with monkeypatch.context() as patch:
                patch.setattr(joined, "MOST", 0)
                stepwise = questions.against({choice.name: at})
            assert (usual is None) == (stepwise is None), (choice.name, at)
            if stepwise is None or usual is None:
                continue
            told += 1
            rules = [*stepwise.rules, *stepwise.silent]
            assert len(rules) <= len(usual.rules) + len(usual.silent) + 1
            assert not holds(questions, rules, choice.name, at)
            for gone in rules:
                rest = [name for name in rules if name != gone]
                assert holds(questions, rest, choice.name, at), (choice.name, at, gone)
    assert told > 20
