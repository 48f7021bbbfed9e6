"""What was approved of a job, or worked on without it, and what has become of it: the plan that
papers and commands go by."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

from sparkout.assembly.mock_up import mock_up
from sparkout.assembly.records import records
from sparkout.job.bodies import Approval
from sparkout.job.reader import read_log
from sparkout.load import Job
from sparkout.plan.replan import (
    SHORT,
    Approved,
    AsMade,
    Replanned,
    Situation,
    approved_plan,
    as_made,
    late_finds,
    open_work,
    replan,
    situation_at,
    work_so_far,
    worked_plan,
)

__all__ = ["Judged", "approved_of", "followed", "judged", "now_of", "replanned"]


def approved_of(job: Job) -> Approved | None:
    """What was approved last, or else the plan that recorded work belongs to; None where there is
    neither. Its plan is None where it cannot be worked out again."""
    standing = job.replayed.effective
    if any(isinstance(entry.body, Approval) for entry in standing):
        entries, _ = read_log(job.files.log)
        return approved_plan(job.sheet, job.shop, job.frame, entries)
    if not job.located.work:
        return None
    return worked_plan(job.sheet, job.shop, job.frame, standing)


def followed(approved: Approved | None) -> str:
    """Which plan is gone by, to follow a colon; "" where nothing is approved and no work entered.

    >>> followed(None)
    ''
    """
    if approved is None:
        return ""
    if approved.plan is None:
        return "a plan made anew, because what was approved cannot be worked out again."
    if not approved.given:
        return "the plan that the work in the log belongs to; nothing is approved."
    return (
        f"the approved plan {approved.digest[:SHORT]} ({approved.by_whom}, {approved.how}, "
        f"{approved.at[:10]})."
    )


def replanned(job: Job) -> tuple[Approved, Replanned | None, tuple[str, ...]] | None:
    """What was approved last, the plan from here on, and readings whose phase is in doubt.

    Where nothing is approved and work is in the log, the plan that work belongs to stands in its
    place (`given` is False); None where there is neither.
    """
    approved = approved_of(job)
    if approved is None:
        return None
    late = late_finds(job.replayed.effective, job.frame)
    if approved.plan is None:
        return approved, None, late
    return approved, replan(approved.plan, now_of(job, approved), approved.before), late


@dataclass(frozen=True, slots=True)
class Judged:
    """A job with its limits judged by what work was to leave. approved: what that was taken from;
    made: the sizes; both None where nothing is approved or worked on, or it cannot be told."""

    job: Job
    approved: Approved | None = None
    made: AsMade | None = None


def judged(job: Job, known: Approved | None = None) -> Judged:
    """A job, with what was read after work judged by the size the approved plan, or else the
    recorded work, gives it; as it is where nothing was worked or read afterwards.

    known: what was approved, where that was worked out already.
    """
    later = any(spot.phase in ("left", "mock-up") for spot in job.located.spots)
    if not later and not job.located.work:
        return Judged(job)
    approved = approved_of(job) if known is None else known
    if approved is None or approved.plan is None:
        return Judged(job, approved)
    now = now_of(job, approved)
    done, _, _ = work_so_far(approved.plan, now, approved.before.base or None)
    before = tuple(item for stage in approved.before.stages for item in stage)
    made = as_made(approved.plan, (*before, *done), now, job.checks, job.shop.gauges)
    state = replace(job.state, sizes=MappingProxyType(dict(made.sizes)))
    return Judged(replace(job, state=state, findings=made.findings), approved, made)


def now_of(job: Job, approved: Approved) -> Situation:
    """The job as it stands, with the work since it was approved and with what was read while the
    engine went together."""
    standing = job.replayed.effective
    tried = mock_up(records(standing), job.frame, job.shop)
    now = situation_at(
        job.sheet, job.shop, job.frame, standing, job.located, (tried.spots, tried.tests)
    )
    return open_work(approved, now)
