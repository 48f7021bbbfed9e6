"""What was approved of a job, or worked on without it, and what has become of it, for the commands
that show a plan or judge what work has left."""

from __future__ import annotations

from dataclasses import dataclass

TYPE_CHECKING = False
if TYPE_CHECKING:
    from sparkout.load import Job
    from sparkout.plan.replan import Approved, AsMade, Replanned, Situation

__all__ = ["Judged", "judged", "replanned"]


def replanned(job: Job) -> tuple[Approved, Replanned | None, tuple[str, ...]] | None:
    """What was approved last, the plan from here on, and readings whose phase is in doubt.

    Where nothing is approved and work is in the log, the plan that work belongs to stands in its
    place (`given` is False); None where there is neither.
    """
    from sparkout.plan.replan import late_finds, open_work, replan

    approved = _begun(job)
    if approved is None:
        return None
    late = late_finds(job.replayed.effective, job.frame)
    if approved.plan is None:
        return approved, None, late
    work = open_work(approved, _now(job))
    return approved, replan(approved.plan, work, approved.before), late


@dataclass(frozen=True, slots=True)
class Judged:
    """A job with its limits judged by what work was to leave. approved: what that was taken from;
    made: the sizes; both None where nothing is approved or worked on, or it cannot be told."""

    job: Job
    approved: Approved | None = None
    made: AsMade | None = None


def judged(job: Job) -> Judged:
    """A job, with what was read after work judged by the size the approved plan, or else the
    recorded work, gives it; as it is where nothing was worked or read afterwards."""
    from dataclasses import replace
    from types import MappingProxyType

    from sparkout.plan.replan import as_made, open_work, work_so_far

    later = any(spot.phase in ("left", "mock-up") for spot in job.located.spots)
    if not later and not job.located.work:
        return Judged(job)
    approved = _begun(job)
    if approved is None or approved.plan is None:
        return Judged(job, approved)
    now = open_work(approved, _now(job))
    done, _, _ = work_so_far(approved.plan, now, approved.before.base or None)
    before = tuple(item for stage in approved.before.stages for item in stage)
    made = as_made(approved.plan, (*before, *done), now, job.checks, job.shop.gauges)
    state = replace(job.state, sizes=MappingProxyType(dict(made.sizes)))
    return Judged(replace(job, state=state, findings=made.findings), approved, made)


def _begun(job: Job) -> Approved | None:
    """What was approved last, or else the plan that recorded work belongs to."""
    from sparkout.job.bodies import Approval
    from sparkout.job.reader import read_log
    from sparkout.plan.replan import approved_plan, worked_plan

    standing = job.replayed.effective
    if any(isinstance(entry.body, Approval) for entry in standing):
        entries, _ = read_log(job.files.log)
        return approved_plan(job.sheet, job.shop, job.frame, entries)
    if not job.located.work:
        return None
    return worked_plan(job.sheet, job.shop, job.frame, standing)


def _now(job: Job) -> Situation:
    """The job as it stands, with what was read while the engine went together."""
    from sparkout.assembly.mock_up import mock_up
    from sparkout.assembly.records import records
    from sparkout.plan.replan import situation_at

    standing = job.replayed.effective
    tried = mock_up(records(standing), job.frame, job.shop)
    return situation_at(
        job.sheet, job.shop, job.frame, standing, job.located, (tried.spots, tried.tests)
    )
