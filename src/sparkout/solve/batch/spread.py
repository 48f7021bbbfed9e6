"""A batch over several processes, or anything else that can carry jobs.

A job is a few keys; whoever works on it makes the models from the keys, so that what travels is
small. A carrier takes the work and the jobs and gives answers back in whatever order they come: the
processes here, or a queue that many machines draw from. Answers stand in the order of the keys.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, replace
from functools import partial
from types import TracebackType
from typing import Any, Generic, Protocol, Self, TypeVar

from sparkout.solve.batch.answers import Answers, joined, unsolved
from sparkout.solve.batch.many import Budget, batch
from sparkout.solve.model import Model

__all__ = ["Carrier", "Job", "Workers", "here", "spread"]

K = TypeVar("K")


@dataclass(frozen=True, slots=True)
class Job(Generic[K]):
    """Some of the keys. number: which job it is, from 0."""

    number: int
    keys: tuple[K, ...]


Work = Callable[[Job[Any]], Answers]


class Carrier(Protocol):
    """Whatever does jobs and gives back answers by job number, in any order.

    Closing the iterator means that no more answers are wanted.
    """

    def __call__(self, work: Work, jobs: Sequence[Job[Any]]) -> Iterator[tuple[int, Answers]]: ...


def here(work: Work, jobs: Sequence[Job[Any]]) -> Iterator[tuple[int, Answers]]:
    """One job after the other in this process."""
    for job in jobs:
        yield job.number, work(job)


class Workers:
    """Processes that stay for several batches, started fresh (spawn) so that nothing is inherited.

    The script that makes them needs the usual `if __name__ == "__main__":`.
    """

    def __init__(self, processes: int) -> None:
        from multiprocessing import get_context

        if processes < 1:
            raise ValueError(f"{processes} processes; at least one is needed")
        self.processes = processes
        self._pool = ProcessPoolExecutor(processes, mp_context=get_context("spawn"))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the processes; jobs not begun are dropped."""
        self._pool.shutdown(cancel_futures=True)

    def __call__(self, work: Work, jobs: Sequence[Job[Any]]) -> Iterator[tuple[int, Answers]]:
        waiting = iter(jobs)
        running: dict[Future[Answers], int] = {}
        try:
            while True:
                # Two jobs per process are enough to keep it busy, and few to wait for at a stop.
                while len(running) < 2 * self.processes:
                    job = next(waiting, None)
                    if job is None:
                        break
                    running[self._pool.submit(work, job)] = job.number
                if not running:
                    return
                done, _ = wait(running, return_when=FIRST_COMPLETED)
                for future in sorted(done, key=running.__getitem__):
                    yield running.pop(future), future.result()
        finally:
            for future in running:
                future.cancel()


def spread(
    make: Callable[[K], Model],
    keys: Sequence[K],
    carrier: Carrier = here,
    *,
    at_a_time: int = 32,
    budget: Budget | None = None,
    compiled: bool | None = None,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Answers:
    """The optimum of make(key) for every key, in the order of the keys.

    make: a function that another process can import by name. at_a_time: keys in a job. progress: is
    told how many keys are done, of how many. stop: asked after every job; True ends the batch, and
    what is done is kept: the rest is not `solved`. Raises ValueError where the models differ in
    structure or there are no keys.
    """
    if not keys:
        raise ValueError("no keys: there is no model to read the structure from")
    if at_a_time < 1:
        raise ValueError(f"{at_a_time} keys at a time; at least one is needed")
    jobs = [
        Job(number, tuple(keys[first : first + at_a_time]))
        for number, first in enumerate(range(0, len(keys), at_a_time))
    ]
    work = partial(_work, make, budget, compiled)
    parts: dict[int, Answers] = {}
    done = 0
    answers = carrier(work, jobs)
    try:
        for number, part in answers:
            parts[number] = part
            done += len(part)
            if progress is not None:
                progress(done, len(keys))
            if stop is not None and stop():
                break
    finally:
        close = getattr(answers, "close", None)
        if close is not None:
            close()
    structure = parts[min(parts)].structure
    for number, part in parts.items():
        if part.structure != structure:
            raise ValueError(f"job {number} is of another structure than job {min(parts)}")
    return joined(
        [
            # One structure for all, though every process read its own.
            replace(parts[job.number], structure=structure)
            if job.number in parts
            else unsolved(structure, len(job.keys))
            for job in jobs
        ]
    )


def _work(
    make: Callable[[K], Model], budget: Budget | None, compiled: bool | None, job: Job[K]
) -> Answers:
    return batch([make(key) for key in job.keys], budget=budget, compiled=compiled)
