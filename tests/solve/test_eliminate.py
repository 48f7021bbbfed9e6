"""Elimination against every plan tried."""

from __future__ import annotations

import pytest
from small_models import small_model

from sparkout.solve import NoPlan, Optimum, brute, eliminate, violations


@pytest.mark.parametrize("block", range(5))
def test_elimination_equals_trying_every_plan(block: int) -> None:
    plans = 0
    for seed in range(100 * block, 100 * block + 100):
        model = small_model(seed)
        tried, found = brute(model, at_most=100_000), eliminate(model)
        if isinstance(tried, NoPlan):
            assert isinstance(found, NoPlan), seed
        else:
            assert isinstance(found, Optimum), seed
            assert (found.cost, found.preference) == (tried.cost, tried.preference), seed
            assert violations(model, found.picks, found.amounts) == ()
            plans += 1
    assert plans > 50, "nearly all of these models have no plan, so little was compared"
