"""Engines of several layouts: every route agrees, and force is never cheaper than freedom.

The bulk, some hundreds of engines, is compared in benchmarks/solve.py, where any difference ends
the run; here are enough of them to catch a fault in seconds.
"""

from __future__ import annotations

import sys
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.solve import (
    Model,
    NoPlan,
    Optimum,
    best,
    brute,
    eliminate,
    highs,
    price,
    table,
    violations,
)
from sparkout.solve.batch import batch
from sparkout.solve.cpsat import cpsat
from sparkout.solve.pins import relaxed, with_fixed

ROOT = Path(__file__).parents[2]

LAYOUTS = [
    ("inline", 1, 4, False, True),
    ("inline", 3, 2, False, True),
    ("inline", 4, 4, False, False),
    ("inline", 6, 4, False, True),
    ("V", 2, 2, True, False),
    ("V", 6, 4, True, True),
    ("V", 8, 2, False, True),
    ("flat", 4, 2, True, False),
    ("flat", 6, 2, True, True),
]
"""Layout, cylinders, valves of each, a gasket per bank, wet liners."""


@cache
def engines() -> Any:
    if str(ROOT) not in sys.path:
        sys.path.append(str(ROOT))
    return import_module("benchmarks.solve_engines")


def shape(layout: tuple[str, int, int, bool, bool]) -> Any:
    return engines().Shape(*layout)


def engine(layout: tuple[str, int, int, bool, bool], seed: int, tight: float) -> Model:
    made: Model = engines().engine(shape(layout), seed, tight)
    return made


def value(answer: Optimum | NoPlan) -> tuple[int, int] | None:
    return None if isinstance(answer, NoPlan) else (answer.cost, answer.preference)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda x: f"{x[0]}{x[1]}x{x[2]}")
def test_all_routes_agree_on_engines(layout: tuple[str, int, int, bool, bool]) -> None:
    models = [engine(layout, seed, tight) for seed, tight in ((0, 0.3), (1, 0.7), (2, 1.0))]
    together = batch(models)
    for at, model in enumerate(models):
        ours = best(model)
        assert value(highs(model)) == value(ours), at
        assert value(cpsat(model)) == value(ours), at
        assert value(together[at]) == value(ours), at
        for answer in (ours, together[at]):
            if isinstance(answer, Optimum):
                assert violations(model, answer.picks, answer.amounts) == ()
                assert price(model, answer.picks, answer.amounts) == value(answer)


SMALL = [
    *[("inline", 1, valves, False, wet) for valves in (1, 2) for wet in (True, False)],
    *[(layout, 1, 1, True, True) for layout in ("V", "flat")],
    *[(layout, 2, 1, True, True) for layout in ("V", "flat")],
]


@pytest.mark.parametrize("layout", SMALL, ids=lambda x: f"{x[0]}{x[1]}x{x[2]}{'w' * x[4]}")
def test_engines_cut_to_size_equal_trying_every_plan(
    layout: tuple[str, int, int, bool, bool],
) -> None:
    """Most options struck out at random until all plans can be tried."""
    plans = 0
    for seed in range(6):
        model = _cut_down(engine(layout, seed, 0.2), seed)
        tried = brute(model, at_most=3_000)
        for route in (eliminate, highs):
            assert value(route(model)) == value(tried), seed
        assert value(batch([model])[0]) == value(tried), seed
        plans += isinstance(tried, Optimum)
    assert plans >= 2


def _cut_down(model: Model, seed: int) -> Model:
    """Only so many options and steps that about a thousand plans are left, a known one among them.

    The optimum of the whole stays in with some dearer neighbours, or a random corner where there is
    none; the order of options is kept.
    """
    draw = np.random.default_rng(seed)
    known = best(model)
    size = 1
    room = {}
    for k in draw.permutation(len(model.choices)).tolist():
        choice = model.choices[k]
        most = min(len(choice.options), int(draw.integers(1, 4)), 1500 // size)
        mine = 0 if isinstance(known, NoPlan) else choice.options.index(known.picks[choice.name])
        others = [at for at in draw.permutation(len(choice.options)).tolist() if at != mine]
        room[choice.name] = sorted([mine, *others[: max(0, most - 1)]])
        size *= len(room[choice.name])
    choices = tuple(
        type(c)(
            c.name,
            tuple(c.options[at] for at in room[c.name]),
            tuple(c.cost[at] for at in room[c.name]),
            tuple(c.prefer[at] for at in room[c.name]),
        )
        for c in model.choices
    )
    amounts = []
    for one in model.amounts:
        middle = one.low if isinstance(known, NoPlan) else known.amounts[one.name]
        more = 1 if size <= 1500 else 0
        size *= 1 + more
        low = max(one.low, middle - more * int(draw.integers(0, 2)))
        high = min(one.high, low + more)
        amounts.append(
            type(one)(one.name, min(low, high), high, one.cost_per_step, one.prefer_per_step)
        )
    windows = []
    for part in model.windows:
        cell = np.ix_(*[room[name] for name in part.choices])
        coef = part.coef if part.coef.ndim == 1 else part.coef[cell]
        windows.append(
            type(part)(
                part.name, part.choices, part.amounts, coef,
                part.lower[cell], part.upper[cell], part.allowed[cell],
            )
        )  # fmt: skip
    left = {(c.name, option) for c in choices for option in c.options}
    return Model(
        choices,
        tuple(amounts),
        tuple(windows),
        tuple(
            type(s)(s.name, s.cost, tuple(pick for pick in s.when if pick in left), s.prefer)
            for s in model.shared
        ),
        tuple(
            type(t)(t.name, tuple(w for w in t.weights if w[:2] in left), t.at_least, t.at_most)
            for t in model.tallies
        ),
    )


@cache
def _free(layout: tuple[str, int, int, bool, bool], seed: int) -> tuple[Model, tuple[int, int]]:
    model = engine(layout, seed, 0.4)
    answer = value(best(model))
    assert answer is not None
    return model, answer


@settings(max_examples=15, deadline=None, derandomize=True)
@given(data=st.data())
def test_a_forced_option_is_never_cheaper_and_a_dropped_rule_never_dearer(
    data: st.DataObject,
) -> None:
    layout = data.draw(st.sampled_from([LAYOUTS[0], LAYOUTS[1], LAYOUTS[7]]))
    model, free = _free(layout, data.draw(st.sampled_from([1, 2])))
    choice = data.draw(st.sampled_from(model.choices))
    option = data.draw(st.sampled_from(choice.options))
    forced = best(with_fixed(model, {choice.name: option}))
    if isinstance(forced, Optimum):
        assert (forced.cost, forced.preference) >= free
        assert forced.picks[choice.name] == option
    kept = [at for at, name in enumerate(choice.options) if name != option]
    if kept:
        # Either the option is picked or it is not: one of both is the free optimum.
        rest = best(_without(model, choice.name, option))
        assert min(v for v in (value(forced), value(rest)) if v is not None) == free
    rule = data.draw(st.sampled_from([w.name for w in model.windows]))
    looser = value(best(relaxed(model, [rule])))
    assert looser is not None
    assert looser <= free


def _without(model: Model, name: str, option: str) -> Model:
    choice = model.choices[model.choice_at[name]]
    ban = table("ban", (name,), [each != option for each in choice.options])
    return Model(model.choices, model.amounts, (*model.windows, ban), model.shared, model.tallies)
