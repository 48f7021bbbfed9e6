"""Many models of one structure against every plan tried, and against the route for one model."""

from __future__ import annotations

from dataclasses import replace
from importlib.util import find_spec

import numpy as np
import pytest
from small_models import small_model
from varied import varied

from sparkout.solve import (
    Amount,
    Choice,
    Model,
    NoPlan,
    Optimum,
    OverBudget,
    Tally,
    brute,
    price,
    violations,
    window,
)
from sparkout.solve.batch import Budget, batch, stacked, structure_of

needs_compiler = pytest.mark.skipif(
    find_spec("numba") is None, reason='the extra "fast" (numba) is not installed'
)
COMPILED = pytest.param(True, marks=needs_compiler, id="compiled")

# Relaxes early, cuts small cores and branches soon, so that small models go all the way.
STEEP = Budget(links=(8.0, 4.0, 2.0), first=20.0, core=8.0, whole=16.0, branches=10_000, last=1e6)
# Never eliminates the rest whole where a variable has a choice left.
BRANCHY = replace(STEEP, core=2.0, whole=1.0)


def agree(model: Model, ours: Optimum | NoPlan, theirs: Optimum | NoPlan) -> None:
    if isinstance(theirs, NoPlan):
        assert isinstance(ours, NoPlan)
        return
    assert isinstance(ours, Optimum)
    assert (ours.cost, ours.preference) == (theirs.cost, theirs.preference)
    assert violations(model, ours.picks, ours.amounts) == ()
    assert price(model, ours.picks, ours.amounts) == (ours.cost, ours.preference)


@pytest.mark.parametrize("budget", [Budget(), STEEP, BRANCHY], ids=["usual", "steep", "branchy"])
@pytest.mark.parametrize("compiled", [COMPILED, pytest.param(False, id="plain")])
def test_equals_trying_every_plan(compiled: bool, budget: Budget) -> None:
    plans = none = compiled_ones = 0
    for seed in range(60):
        models = varied(seed, 8)
        answers = batch(models, budget=budget, compiled=compiled)
        assert answers.solved.all()
        for at, model in enumerate(models):
            tried = brute(model, at_most=100_000)
            agree(model, answers[at], tried)
            plans += isinstance(tried, Optimum)
            none += isinstance(tried, NoPlan)
            compiled_ones += answers.method[at] == "batch"
    assert plans > 100
    assert none > 50
    assert compiled_ones == (480 if compiled else 0)


@needs_compiler
def test_a_small_budget_hands_over_and_the_answers_stay() -> None:
    handed = 0
    tiny = replace(STEEP, first=2.0, core=2.0, whole=2.0, branches=4, last=20.0)
    for seed in range(40):
        models = varied(seed, 5)
        usual, small = batch(models), batch(models, budget=tiny)
        assert np.array_equal(usual.found, small.found)
        assert np.array_equal(usual.cost, small.cost)
        assert np.array_equal(usual.preference, small.preference)
        handed += sum(method != "batch" for method in small.method)
    assert 20 < handed < 200


def test_from_arrays_as_from_models() -> None:
    models = varied(3, 20)
    numbers = stacked(models)
    one, other = batch(models), batch(numbers)
    assert len(numbers) == 20
    assert np.array_equal(one.cost, other.cost)
    assert np.array_equal(one.options, other.options)
    assert np.array_equal(one.amounts, other.amounts)


def test_stacked_models_come_back_the_same() -> None:
    for seed in range(30):
        models = varied(seed, 3)
        numbers = stacked(models)
        for at, model in enumerate(models):
            again = numbers.model(at)
            assert structure_of(again) == structure_of(model)
            assert again.choices == model.choices
            assert again.amounts == model.amounts
            assert again.shared == model.shared
            assert again.tallies == model.tallies
            for mine, theirs in zip(again.windows, model.windows, strict=True):
                for name in ("coef", "lower", "upper", "allowed"):
                    assert np.array_equal(getattr(mine, name), getattr(theirs, name))


def test_one_model_and_one_without_a_plan() -> None:
    choice = Choice("kit", ("keep", "new"), (0, 900))
    cut = Amount("cut", 0, 5, 10)
    for reach, cost in ((3, 30), (9, None)):
        model = Model((choice,), (cut,), (window("deck", (), ("cut",), (1,), reach, 9),))
        answers = batch([model])
        assert len(answers) == 1
        assert bool(answers.found[0]) is (cost is not None)
        if cost is not None:
            assert int(answers.cost[0]) == cost
            assert answers[0].picks == {"kit": "keep"}  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            lambda m: replace(m, choices=(*m.choices, Choice("more", ("a",), (0,)))),
            "model 1 is of another structure than the first: it has {n1} choices where that "
            "has {n0}",
        ),
        (
            lambda m: replace(
                m, choices=(replace(m.choices[0], name="other"), *m.choices[1:]), windows=(),
                shared=(), tallies=(),
            ),
            "model 1 is of another structure than the first: number 1 of its choices is 'other' "
            "where that has 'c0'",
        ),
        (
            lambda m: replace(m, windows=m.windows[:-1]),
            "model 1 is of another structure than the first: it has {w1} windows where that "
            "has {w0}",
        ),
    ],
)  # fmt: skip
def test_mixed_structures_are_refused_by_name(change, message) -> None:  # type: ignore[no-untyped-def]
    one = small_model(1)
    other = change(one)
    said = message.format(
        n0=len(one.choices), n1=len(other.choices), w0=len(one.windows), w1=len(other.windows)
    )
    with pytest.raises(ValueError) as error:
        batch([one, other])
    assert str(error.value) == said


def test_no_models_are_refused() -> None:
    with pytest.raises(ValueError, match="no structure to read"):
        batch([])


def test_arrays_of_the_wrong_width_are_refused() -> None:
    numbers = stacked(varied(1, 2))
    with pytest.raises(ValueError, match="cost has shape"):
        replace(numbers, cost=numbers.cost[:, 1:])


def test_what_gave_up_says_so() -> None:
    model = small_model(2)
    answers = batch([model], budget=replace(STEEP, last=0.0, cells=0, seconds=0.0), compiled=False)
    if not answers.solved[0]:
        with pytest.raises(OverBudget, match="model 0 was not solved"):
            answers[0]


@needs_compiler
def test_a_tally_with_too_many_sums_to_count_goes_to_the_route_for_one_model() -> None:
    """Two of three must be new: weights of some thousand each make too many different sums."""
    choices = tuple(Choice(f"part {k}", ("old", "new"), (0, 100 + k)) for k in range(3))
    weights = tuple((c.name, "new", 5000 + k) for k, c in enumerate(choices))
    model = Model(choices, tallies=(Tally("new ones", weights, at_least=9000),))
    free = Model(choices, tallies=(Tally("new ones", weights, at_least=-5),))
    answers = batch([model, free])
    assert answers.cost.tolist() == [100 + 101, 0]
    assert answers.method[1] == "batch"
    assert answers.method[0] != "batch"


@needs_compiler
def test_costs_that_do_not_fit_one_integer_say_so_as_the_route_for_one_model_does() -> None:
    choice = Choice("dear", ("a", "b"), (0, 1 << 50), (0, 1 << 20))
    with pytest.raises(OverflowError, match="do not fit one 64-bit integer"):
        batch([Model((choice,))])


@needs_compiler
def test_a_window_over_more_amounts_than_the_loops_count_goes_to_the_route_for_one_model() -> None:
    """Seventy cuts of one step or none, at 1, 2, … each: the five cheapest make five steps."""
    cuts = tuple(Amount(f"cut {k}", 0, 1, k + 1) for k in range(70))
    total = window("sum", (), [cut.name for cut in cuts], [1] * 70, 5, 5)
    answers = batch([Model((Choice("work", ("on",), (0,)),), cuts, (total,))])
    assert answers.method[0] != "batch"
    assert answers.cost.tolist() == [1 + 2 + 3 + 4 + 5]
