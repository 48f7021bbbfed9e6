"""HiGHS and CP-SAT, each with its own arithmetic, against elimination."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from small_models import small_model

from sparkout.solve import NoPlan, Optimum, eliminate, highs
from sparkout.solve.cpsat import cpsat


@pytest.mark.parametrize("route", [highs, cpsat], ids=["highs", "cpsat"])
def test_general_solvers_agree_on_small_models(route: Callable[..., Optimum | NoPlan]) -> None:
    for seed in range(150):
        model = small_model(seed)
        ours, theirs = eliminate(model), route(model)
        if isinstance(ours, NoPlan):
            assert isinstance(theirs, NoPlan), seed
        else:
            assert isinstance(theirs, Optimum), seed
            assert (theirs.cost, theirs.preference) == (ours.cost, ours.preference), seed
