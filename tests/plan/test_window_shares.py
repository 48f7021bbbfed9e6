"""Windows do not hang on how their errors are laid out or how many are worked out together."""

from __future__ import annotations

import numpy as np
import pytest

from sparkout.cli.jobargs import demo_folder
from sparkout.load import Job, files_in, load_job
from sparkout.plan import errors, windows
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import problem_of
from sparkout.solve import Window


@pytest.fixture(scope="module")
def job() -> Job:
    found, faults = load_job(files_in(demo_folder("workboat_four")))
    assert found is not None, faults
    return found


def made(job: Job) -> tuple[Window, ...]:
    return compile_problem(problem_of(job.sheet, job.shop, job.state, job.checks)).model.windows


@pytest.mark.parametrize("few", [1 << 60, 0])
def test_the_same_windows_however_errors_are_laid_out(
    job: Job, monkeypatch: pytest.MonkeyPatch, few: int
) -> None:
    usual = made(job)
    monkeypatch.setattr(errors, "_FEW", few)
    for one, two in zip(usual, made(job), strict=True):
        assert (one.name, one.scope) == (two.name, two.scope)
        for ends in ("coef", "lower", "upper", "allowed"):
            assert np.array_equal(getattr(one, ends), getattr(two, ends)), (one.name, ends)


def test_the_same_windows_worked_out_one_by_one(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    """But for the last digits: quantiles are worked out to 1e-7 of probability."""
    usual = made(job)
    monkeypatch.setattr(windows, "_SHARE", 1)
    for one, two in zip(usual, made(job), strict=True):
        assert (one.name, one.scope) == (two.name, two.scope)
        assert np.array_equal(one.coef, two.coef), one.name
        assert np.array_equal(one.allowed, two.allowed), one.name
        for ends in ("lower", "upper"):
            first = np.asarray(getattr(one, ends), np.float64)
            assert np.allclose(first, getattr(two, ends), rtol=1e-6, atol=1.0), (one.name, ends)


def test_pieces_that_are_not_shared_need_one_column() -> None:
    from sparkout.measure.estimate import Shape
    from sparkout.plan.sizes import Flat, Size

    count = 20
    kinds = [(f"piece {k}", (Shape.NORMAL, float("inf"))) for k in range(count)]
    rows = [[5.0 if k == at else 0.0 for k in range(count)] + [-1.0] for at in range(count)]
    ring = ("ring", (Shape.NORMAL, float("inf")))
    figures = [(0.0, 0.0, 1.0, 0.0, 0.0, 0.0)] * count
    pieces = Size((), (), Flat(figures, [*kinds, ring], rows, None, {}))
    bore = Size((), (), Flat(figures[:1], [ring], [[1.0]], None, {}))
    first, second = errors.errors_of([pieces, bore])
    assert [name for name, _ in first.shared] == ["ring"]
    assert np.array_equal(np.asarray(first.low_u), [[-1.0, 5.0]] * count)
    assert [name for name, _ in second.shared] == ["ring"]
