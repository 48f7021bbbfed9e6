"""Least conflicts and least giving, against every plan tried."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import pytest
from small_models import small_model

from sparkout.solve import (
    NO_BOUND,
    Amount,
    Choice,
    Model,
    NoPlan,
    Optimum,
    brute,
    smallest_conflict,
    window,
)
from sparkout.solve.pins import relaxed
from sparkout.solve.relax import Give, cheapest_relaxation, least_give, widened

DOOMED = [
    model
    for model in (small_model(seed) for seed in range(500))
    if isinstance(brute(model, at_most=100_000), NoPlan)
]


def possible(model: Model) -> bool:
    return isinstance(brute(model, at_most=100_000), Optimum)


def plans(model: Model) -> Iterator[tuple[dict[str, int], dict[str, int]]]:
    """Places of options, and amounts, of every plan, allowed or not."""
    for options in product(*(range(len(c.options)) for c in model.choices)):
        for steps in product(*(range(a.low, a.high + 1) for a in model.amounts)):
            yield (
                {c.name: k for c, k in zip(model.choices, options, strict=True)},
                {a.name: k for a, k in zip(model.amounts, steps, strict=True)},
            )


def asked(model: Model, options: dict[str, int], amounts: dict[str, int]) -> dict[str, int] | None:
    """By how much each window would have to give for this plan; None: it is forbidden outright."""
    found = {}
    for part in model.windows:
        row = tuple(options[name] for name in part.choices)
        if not part.allowed[row]:
            return None
        coef = part.coef if part.coef.ndim == 1 else part.coef[row]
        total = sum(int(c) * amounts[name] for c, name in zip(coef, part.amounts, strict=True))
        lower, upper = int(part.lower[row]), int(part.upper[row])
        below = 0 if lower == -NO_BOUND else max(0, lower - total)
        above = 0 if upper == NO_BOUND else max(0, total - upper)
        found[part.name] = max(below, above)
    return found


def counts(model: Model, options: dict[str, int]) -> bool:
    """Whether a plan keeps the tallies."""
    picks = {c.name: c.options[options[c.name]] for c in model.choices}
    for tally in model.tallies:
        total = sum(weight for name, option, weight in tally.weights if picks[name] == option)
        if tally.at_least is not None and total < tally.at_least:
            return False
        if tally.at_most is not None and total > tally.at_most:
            return False
    return True


def test_a_conflict_cannot_hold_and_holds_without_any_one_of_it() -> None:
    assert len(DOOMED) > 100
    sizes = set()
    for model in DOOMED:
        found = smallest_conflict(model)
        assert found
        sizes.add(len(found))
        everything = {r.name for r in (*model.windows, *model.tallies)}
        assert not possible(relaxed(model, everything - set(found)))
        for one in found:
            assert possible(relaxed(model, everything - set(found) | {one})), (found, one)
    assert {1, 2} <= sizes


def test_where_there_is_a_plan_there_is_no_conflict() -> None:
    for seed in range(60):
        model = small_model(seed)
        assert (smallest_conflict(model) is None) == possible(model)


def test_a_choice_without_options_is_nobodys_conflict() -> None:
    assert smallest_conflict(Model((Choice("none", (), ()),))) == ()


def test_the_least_one_rule_must_give_is_enough_and_one_less_is_not() -> None:
    given, cannot = 0, 0
    for model in DOOMED[:25]:
        for rule in (*model.windows, *model.tallies):
            least = least_give(model, rule.name)
            if least is None:
                assert not possible(widened(model, rule.name, 200))
                cannot += 1
            else:
                assert least > 0
                assert possible(widened(model, rule.name, least))
                assert not possible(widened(model, rule.name, least - 1))
                given += 1
    assert given > 8
    assert cannot > 15


def test_the_cheapest_relaxation_equals_trying_every_plan() -> None:
    found_some = none = 0
    for at, model in enumerate(DOOMED):
        give = [
            Give(
                part.name,
                step=1 + (at + k) % 3,
                most=(4, 15)[at % 2],
                cost_per_step=1 + (at * k) % 5,
            )
            for k, part in enumerate(model.windows)
            if k % 4 != 3
        ]
        may = {one.window: one for one in give}
        least: int | None = None
        for options, amounts in plans(model):
            need = asked(model, options, amounts)
            if (
                not counts(model, options)
                or need is None
                or any(need[name] for name in need if name not in may)
            ):
                continue
            steps = {name: -(-need[name] // one.step) for name, one in may.items()}
            if all(steps[name] <= one.most for name, one in may.items()):
                cost = sum(steps[name] * one.cost_per_step for name, one in may.items())
                least = cost if least is None else min(least, cost)
        found = cheapest_relaxation(model, give)
        assert (None if found is None else found.cost) == least
        if found is None:
            none += 1
            continue
        wider = model
        for name, by in found.given.items():
            wider = widened(wider, name, by)
        cheapest = brute(wider, at_most=100_000)
        assert isinstance(cheapest, Optimum)
        # Another way to give as little may allow a cheaper plan still, but this one allows its own.
        assert found.plan_cost == cheapest.cost
        found_some += 1
    assert found_some > 15
    assert none > 5


def test_two_windows_that_exclude_each_other() -> None:
    """A cut of at least 7 and one of at most 4 steps: either gives 3, the cheaper one should."""
    model = Model(
        (Choice("work", ("cut",), (500,)),),
        (Amount("cut", 0, 10, 20),),
        (
            window("true", (), ("cut",), (1,), 7, NO_BOUND),
            window("height", (), ("cut",), (1,), -NO_BOUND, 4),
            window("loose", (), ("cut",), (1,), 0, 10),
        ),
    )
    assert smallest_conflict(model) == ("true", "height")
    assert least_give(model, "true") == 3
    assert least_give(model, "height") == 3
    assert least_give(model, "loose") is None
    found = cheapest_relaxation(model, [Give("true", 1, 5, 10), Give("height", 2, 5, 12)])
    assert found is not None
    # Two steps of 2 at 12 cost 24; three of 1 at 10 cost 30; one of each 22 and 4 + 2 ≥ 7 − 1.
    assert (found.cost, dict(found.given)) == (22, {"true": 1, "height": 2})
    assert (found.plan_cost, dict(found.amounts)) == (500 + 6 * 20, {"cut": 6})
    assert cheapest_relaxation(model, [Give("loose", 1, 5, 1)]) is None


@pytest.mark.parametrize(
    ("act", "message"),
    [
        (lambda m: widened(m, "nothing", 1), "no window and no tally is called 'nothing'"),
        (lambda m: widened(m, "w0", -1), "'w0' cannot be widened by -1"),
        (lambda m: least_give(m, "nothing"), "no window and no tally is called 'nothing'"),
        (lambda m: cheapest_relaxation(m, [Give("no", 1, 1, 1)]), "no window is called 'no'"),
        (lambda m: cheapest_relaxation(m, [Give("w0", 1, 1, 1)] * 2), "listed twice"),
        (lambda m: Give("w0", 0, 1, 1), "a step is above zero"),
    ],
)
def test_what_cannot_be_asked_says_so(act, message) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        act(small_model(1))
