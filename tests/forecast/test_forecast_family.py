"""A family from one shelf: the least total there is, against one model of all engines together."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from types import MappingProxyType

import pytest
from forecast_case import small_case
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.forecast.draws import Draws, prepared
from sparkout.forecast.family import Unit, plan_family
from sparkout.forecast.matched import matched_sets
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import problem_of
from sparkout.sheet.shop import Shop
from sparkout.solve import Model, Optimum, Shared, Tally, highs


def shelf(**on_hand: int | None) -> Shop:
    """The shop with so many of the pistons on the shelf and none to be ordered (None: any)."""
    shop = small_case().shop
    supply = dict(shop.supply)
    for name, count in (("piston +0.25", on_hand["small"]), ("piston +0.50", on_hand["large"])):
        days = 3 if count is None else 0
        supply[name] = replace(supply[name], on_hand=count or 0, lead_days=days)
    return replace(shop, supply=MappingProxyType(supply))


def units(count: int) -> list[Unit]:
    """Worn engines that all have a plan of their own."""
    case = small_case()
    draws = Draws(prepared(case), 21)
    block = draws.block(0)
    found = []
    for at in range(50):
        state = case.state(*draws.readings(block, at))
        model = compile_problem(problem_of(case.sheet, case.shop, state, case.checks)).model
        if isinstance(highs(model), Optimum):
            found.append(Unit(f"engine {at}", state))
        if len(found) == count:
            break
    return found


def joined(shop: Shop, some: list[Unit], parts: dict[str, int]) -> Model:
    """All engines as one model with one tally for each part."""
    case = small_case()
    choices, amounts, windows, shared, weights = [], [], [], [], {part: [] for part in parts}
    for unit in some:
        problem = problem_of(case.sheet, shop, unit.state, case.checks)
        model = compile_problem(problem).model
        tag = f"{unit.name}: "
        choices += [replace(c, name=tag + c.name) for c in model.choices]
        amounts += [replace(a, name=tag + a.name) for a in model.amounts]
        windows += [
            replace(
                w,
                name=tag + w.name,
                choices=tuple(tag + c for c in w.choices),
                amounts=tuple(tag + a for a in w.amounts),
            )
            for w in model.windows
        ]
        shared += [
            Shared(tag + s.name, s.cost, tuple((tag + c, o) for c, o in s.when), s.prefer)
            for s in model.shared
        ]
        for group in problem.groups:
            for option in group.options:
                for use in option.parts:
                    if use.part in parts:
                        weights[use.part].append((tag + group.name, option.name, use.count))
    tallies = [Tally(part, tuple(weights[part]), None, n) for part, n in parts.items()]
    return Model(tuple(choices), tuple(amounts), tuple(windows), tuple(shared), tuple(tallies))


@pytest.mark.parametrize(("small", "large"), [(3, None), (6, 12), (3, 9), (None, None)])
def test_the_shelf_is_shared_out_at_least_cost(small: int | None, large: int | None) -> None:
    some = units(5)
    shop = shelf(small=small, large=large)
    case = small_case()
    found = plan_family(case.sheet, shop, case.checks, some)
    limits = {"piston +0.25": small, "piston +0.50": large}
    whole = highs(joined(shop, some, {k: v for k, v in limits.items() if v is not None}))
    if not isinstance(whole, Optimum):
        assert not found.possible
        return
    assert found.possible
    assert found.total == whole.cost
    assert sum(plan.cost or 0 for plan in found.engines) == found.total
    for part, pieces in found.scarce.items():
        assert sum(plan.uses.get(part, 0) for plan in found.engines) <= pieces
    assert all(plan.extra >= 0 for plan in found.engines)


def test_a_shelf_that_cannot_do_says_so() -> None:
    case = small_case()
    found = plan_family(case.sheet, shelf(small=0, large=3), case.checks, units(5))
    assert not found.possible
    assert found.scarce


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(0, 30), max_size=8),
    st.integers(1, 3),
    st.integers(0, 6),
)
def test_no_other_way_makes_more_sets(values: list[int], size: int, spread: int) -> None:
    pool = {f"rod {k}": Fraction(value) for k, value in enumerate(values)}
    found = matched_sets(pool, size, Fraction(spread))
    for some in found:
        assert max(pool[n] for n in some) - min(pool[n] for n in some) <= spread
    assert len({name for some in found for name in some}) == size * len(found)
    assert len(found) == _most(tuple(sorted(pool.values())), size, spread)


def _most(values: tuple[Fraction, ...], size: int, spread: int) -> int:
    """The most sets there are, by trying all."""
    if len(values) < size:
        return 0
    best = _most(values[1:], size, spread)
    for rest in combinations(range(1, len(values)), size - 1):
        mine = [values[0], *(values[k] for k in rest)]
        if max(mine) - min(mine) <= spread:
            left = tuple(v for k, v in enumerate(values) if k and k not in rest)
            best = max(best, 1 + _most(left, size, spread))
    return best
