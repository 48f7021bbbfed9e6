"""A batch over processes, stopped and told of its progress."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import pytest
from small_models import small_model
from varied import small_varied

from sparkout.solve import OverBudget
from sparkout.solve.batch import Answers, Job, Workers, batch, here, spread

KEYS = [(4, at) for at in range(50)]


def same(one: Answers, other: Answers) -> None:
    for name in ("solved", "found", "cost", "preference", "options", "amounts"):
        assert np.array_equal(getattr(one, name), getattr(other, name)), name
    assert one.method == other.method
    assert one.structure == other.structure


def test_two_processes_answer_as_one_in_the_order_of_the_keys() -> None:
    alone = batch([small_varied(key) for key in KEYS])
    told: list[tuple[int, int]] = []
    with Workers(2) as workers:
        for at_a_time in (7, 50):
            told.clear()
            apart = spread(
                small_varied, KEYS, workers, at_a_time=at_a_time,
                progress=lambda done, of: told.append((done, of)),
            )  # fmt: skip
            same(alone, apart)
            assert told[-1] == (50, 50)
            assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_stopping_keeps_what_is_done() -> None:
    seen: list[int] = []
    answers = spread(
        small_varied, KEYS, at_a_time=5,
        progress=lambda done, _: seen.append(done), stop=lambda: seen[-1] >= 20,
    )  # fmt: skip
    assert answers.solved.tolist() == [True] * 20 + [False] * 30
    whole = batch([small_varied(key) for key in KEYS])
    assert np.array_equal(answers.cost[:20], whole.cost[:20])
    with pytest.raises(OverBudget, match="model 20 was not solved"):
        answers[20]


def test_stopping_processes_keeps_what_is_done() -> None:
    whole = batch([small_varied(key) for key in KEYS])
    with Workers(2) as workers:
        answers = spread(small_varied, KEYS, workers, at_a_time=5, stop=lambda: True)
        assert 0 < answers.solved.sum() < 50
        assert np.array_equal(answers.cost[answers.solved], whole.cost[answers.solved])
        same(whole, spread(small_varied, KEYS, workers))


def test_any_carrier_will_do_and_may_answer_in_any_order() -> None:
    def backwards(work: Any, jobs: Sequence[Job[Any]]) -> Iterator[tuple[int, Answers]]:
        for job in reversed(jobs):
            yield job.number, work(job)

    same(
        spread(small_varied, KEYS, backwards, at_a_time=8),
        spread(small_varied, KEYS, here, at_a_time=50),
    )


def test_jobs_of_different_structures_are_refused() -> None:
    with pytest.raises(ValueError, match="job 1 is of another structure than job 0"):
        spread(small_model, [1, 2], at_a_time=1)


@pytest.mark.parametrize(
    ("keys", "at_a_time", "message"),
    [([], 5, "no keys"), ([1], 0, "0 keys at a time")],
)
def test_nothing_to_do_is_refused(keys: list[int], at_a_time: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        spread(small_model, keys, at_a_time=at_a_time)


def test_no_processes_are_refused() -> None:
    with pytest.raises(ValueError, match="0 processes"):
        Workers(0)
