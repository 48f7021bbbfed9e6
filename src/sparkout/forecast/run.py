"""Draws worked out block by block: here, or in several processes; stopped, it keeps what is done.

The seam is `work_out(opener, seed, first, count)`: inputs, a seed and the numbers of the draws go
in, plain outcomes come out. `opener` makes the case from its files, so a worker on another machine
needs those files and nothing else.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass
from functools import lru_cache
from multiprocessing import get_context
from multiprocessing.context import BaseContext

from sparkout.forecast.case import Case
from sparkout.forecast.draws import BLOCK, Draws, Plan, prepared
from sparkout.forecast.lanes.together import NotAlike, Template, template_of, together
from sparkout.forecast.outcome import Outcome, outcome_of, parts_at_middle

__all__ = ["Desk", "Opener", "Progress", "desk_of", "opened", "outcomes", "run", "work_out"]

Opener = Callable[[], Case]
Progress = Callable[[int, int], None]
"""Called with the number of draws done and asked for."""


@dataclass(frozen=True, slots=True, eq=False)
class Desk:
    """A case with all that is worked out once for all its draws."""

    case: Case
    plan: Plan
    seed: int
    shared: Template | None

    @property
    def draws(self) -> Draws:
        return Draws(self.plan, self.seed)


def desk_of(case: Case, seed: int, *, alone: bool = False) -> Desk:
    """alone: draws are worked out one by one, whatever they could share."""
    plan = prepared(case)
    if not plan.rows or alone:
        return Desk(case, plan, seed, None)
    try:
        shared = template_of(case, parts_at_middle(case.sheet), Draws(plan, seed))
    except NotAlike:
        shared = None
    return Desk(case, plan, seed, shared)


def outcomes(desk: Desk, first: int, count: int) -> tuple[Outcome, ...]:
    """Draws first, first + 1, … of a desk."""
    case = desk.case
    if not desk.plan.rows:
        only = outcome_of(case, case.sheet, case.state(), first)
        return (only,) if count else ()
    sheet = parts_at_middle(case.sheet)
    draws = desk.draws
    if desk.shared is not None and count:
        try:
            return together(desk.shared, first, count)
        except NotAlike:
            pass
    found = []
    block, drawn = -1, None
    for draw in range(first, first + count):
        if draw // BLOCK != block:
            block = draw // BLOCK
            drawn = draws.block(block)
        assert drawn is not None
        spots, tests = draws.readings(drawn, draw % BLOCK)
        found.append(outcome_of(case, sheet, case.state(spots, tests), draw))
    return tuple(found)


def work_out(opener: Opener, seed: int, first: int, count: int) -> tuple[Outcome, ...]:
    """The seam: what a worker anywhere does. The same inputs give the same outcomes."""
    return outcomes(opened(opener, seed), first, count)


@lru_cache(maxsize=1)
def opened(opener: Opener, seed: int) -> Desk:
    """The desk of the last job worked on, so that a worker reads its files once."""
    return desk_of(opener(), seed)


def _deaf() -> None:
    # Ctrl-C stops the whole run; the parent decides what is kept
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _pieces(count: int) -> Iterator[tuple[int, int]]:
    """Which draws are worked out together: larger pieces for more of them, whoever does it."""
    piece = BLOCK * next(times for times in (4, 2, 1) if times == 1 or count >= 200 * times)
    for first in range(0, count, piece):
        yield first, min(piece, count - first)


def run(
    opener: Opener,
    desk: Desk,
    count: int,
    *,
    processes: int = 1,
    start: str = "spawn",
    progress: Progress = lambda done, asked: None,
) -> tuple[Outcome, ...]:
    """All draws, in order. On KeyboardInterrupt those that are done.

    processes: how many work at once; the answer does not depend on it. start: how they are started;
    `fork`, where there is such a thing, begins with all that is worked out here already, and must
    not be used by a program with threads.
    """
    if not desk.plan.rows:
        return outcomes(desk, 0, 1)
    done: dict[int, tuple[Outcome, ...]] = {}

    def keep(first: int, some: tuple[Outcome, ...]) -> None:
        done[first] = some
        progress(sum(len(part) for part in done.values()), count)

    try:
        if processes <= 1 or count <= BLOCK:
            for first, some in _pieces(count):
                keep(first, outcomes(desk, first, some))
        else:
            _spread(opener, desk, count, get_context(start), processes, keep)
    except KeyboardInterrupt:
        pass
    return tuple(outcome for first in sorted(done) for outcome in done[first])


def _spread(
    opener: Opener,
    desk: Desk,
    count: int,
    context: BaseContext,
    processes: int,
    keep: Callable[[int, tuple[Outcome, ...]], None],
) -> None:
    with ProcessPoolExecutor(processes, context, initializer=_deaf) as pool:
        open_: dict[Future[tuple[Outcome, ...]], int] = {
            pool.submit(work_out, opener, desk.seed, first, some): first
            for first, some in _pieces(count)
        }
        try:
            while open_:
                ready, _ = wait(open_, return_when=FIRST_COMPLETED)
                for future in ready:
                    keep(open_.pop(future), future.result())
        except KeyboardInterrupt:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
