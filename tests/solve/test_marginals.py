"""What each option costs at least, against solving again with it forced."""

from __future__ import annotations

from small_models import small_model

from sparkout.solve import NoPlan, OverBudget, brute
from sparkout.solve.again import Again
from sparkout.solve.marginals import cost_with_each
from sparkout.solve.pins import with_fixed


def test_every_option_costs_what_solving_again_with_it_costs() -> None:
    told = 0
    for seed in range(60):
        model = small_model(seed)
        found = cost_with_each(model)
        for choice in model.choices:
            for option in choice.options:
                again = brute(with_fixed(model, {choice.name: option}), at_most=100_000)
                value = None if isinstance(again, NoPlan) else (again.cost, again.preference)
                assert found[choice.name][option] == value, (seed, choice.name, option)
                told += value is not None
    assert told > 150


def test_past_its_budget_it_says_so() -> None:
    said = []
    for seed in range(40):
        try:
            cost_with_each(small_model(seed), cells=1)
        except OverBudget as error:
            said.append(str(error))
    assert len(said) > 10
    assert all("table entries are more than 1" in sentence for sentence in said)


def test_one_option_asked_of_an_open_model_costs_the_same() -> None:
    told = tallied = 0
    for seed in range(60, 120):
        model = small_model(seed)
        opened = Again(model)
        for choice in model.choices:
            for option in choice.options:
                again = brute(with_fixed(model, {choice.name: option}), at_most=100_000)
                value = None if isinstance(again, NoPlan) else (again.cost, again.preference)
                assert opened.with_option(choice.name, option) == value, (seed, choice.name, option)
                cost = None if value is None else value[0]
                assert opened.cost_with_option(choice.name, option) == cost, (seed, choice.name)
                told += value is not None
                tallied += value is not None and bool(model.tallies)
    assert told > 150
    assert tallied > 30
