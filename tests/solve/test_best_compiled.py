"""One plan by the compiled loops: the same optimum, only where it is asked for."""

from __future__ import annotations

from importlib.util import find_spec

import pytest
from small_models import small_model

from sparkout.solve import Amount, Choice, Model, NoPlan, Optimum, best, brute, violations, window
from sparkout.solve.batch import many

needs_compiler = pytest.mark.skipif(
    find_spec("numba") is None, reason='the extra "fast" (numba) is not installed'
)


@needs_compiler
def test_one_plan_compiled_equals_trying_every_plan() -> None:
    plans = 0
    for seed in range(120):
        model = small_model(seed)
        tried, found = brute(model, at_most=100_000), best(model, compiled=True)
        assert found.method == "batch", seed
        if isinstance(tried, NoPlan):
            assert isinstance(found, NoPlan), seed
        else:
            assert isinstance(found, Optimum), seed
            assert (found.cost, found.preference) == (tried.cost, tried.preference), seed
            assert violations(model, found.picks, found.amounts) == ()
            plans += 1
    assert plans > 40


@needs_compiler
def test_only_where_asked_for_or_loaded_before() -> None:
    model = next(m for m in map(small_model, range(100)) if isinstance(brute(m), Optimum))
    steep = many.Budget(links=(8.0, 4.0, 2.0), first=20.0, core=8.0, whole=16.0)
    # Models that leave a gap at first use every loop there is.
    for seed in range(60):
        many.alone(small_model(seed), budget=steep)
    assert best(model, compiled=None).method == "batch"
    assert best(model).method == "eliminate"


@needs_compiler
def test_what_they_leave_open_goes_the_usual_way() -> None:
    """Seventy cuts of one step or none are more than the loops count along."""
    cuts = tuple(Amount(f"cut {k}", 0, 1, k + 1) for k in range(70))
    total = window("sum", (), [cut.name for cut in cuts], [1] * 70, 5, 5)
    model = Model((Choice("work", ("on",), (0,)),), cuts, (total,))
    answer = best(model, compiled=True)
    assert isinstance(answer, Optimum)
    assert answer.cost == 1 + 2 + 3 + 4 + 5
    assert answer.method == "highs"


def test_without_a_compiler_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(many, "compiles", lambda: False)
    with pytest.raises(ValueError, match='install sparkout with the extra "fast"'):
        best(small_model(1), compiled=True)
