"""The planner against every plan tried: the same cost, whatever the engine.

2,000 invented engines of one or two cylinders: all layouts and cylinder kinds, all decision rules.
"""

from __future__ import annotations

import pytest
from brute_engine import brute, count
from engine_maker import KINDS, LAYOUTS, engine

from sparkout.judge.proof import DECISION_RULES
from sparkout.plan.compile import compile_problem
from sparkout.solve import NoPlan, best

ENGINES = 2000
_CHUNK = 40
_MOST = 3_000_000  # plans; engines with more are drawn again


def _problem(seed: int):
    """One engine of a run through layouts, kinds and rules."""
    layout, kind = LAYOUTS[seed % 4], KINDS[seed // 4 % 4]
    rule = DECISION_RULES[0 if seed % 5 < 3 else seed % 5 - 2]
    for again in range(10):
        problem = engine(seed + again * 10_000, layout=layout, kind=kind, rule=rule).problem
        if count(problem) <= _MOST:
            return problem
    raise AssertionError(f"no engine small enough from seed {seed}")


@pytest.mark.parametrize("first", range(0, ENGINES, _CHUNK))
def test_no_plan_of_all_plans_is_cheaper(first):
    possible = 0
    for seed in range(first, first + _CHUNK):
        problem = _problem(seed)
        found, tried = best(compile_problem(problem).model), brute(problem)
        if tried is None:
            assert isinstance(found, NoPlan), seed
            continue
        possible += 1
        assert not isinstance(found, NoPlan), (seed, tried)
        assert found.cost == tried.cost, (seed, dict(found.picks), dict(tried.picks))
    # an engine that can never be mended, or always, would prove little
    assert _CHUNK // 3 < possible < _CHUNK
