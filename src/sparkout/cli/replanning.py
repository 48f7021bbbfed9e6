"""What was approved of a job and what has become of it, for the commands that show a plan."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from sparkout.load import Job
    from sparkout.plan.replan import Approved, Replanned

__all__ = ["replanned"]


def replanned(job: Job) -> tuple[Approved, Replanned | None, tuple[str, ...]] | None:
    """What was approved last, the plan from here on, and readings whose phase is in doubt; None
    where nothing is approved."""
    from sparkout.assembly.mock_up import mock_up
    from sparkout.assembly.records import records
    from sparkout.job.bodies import Approval
    from sparkout.job.reader import read_log
    from sparkout.plan.replan import approved_plan, late_finds, open_work, replan, situation_at

    standing = job.replayed.effective
    if not any(isinstance(entry.body, Approval) for entry in standing):
        return None
    entries, _ = read_log(job.files.log)
    approved = approved_plan(job.sheet, job.shop, job.frame, entries)
    assert approved is not None
    late = late_finds(standing, job.frame)
    if approved.plan is None:
        return approved, None, late
    tried = mock_up(records(standing), job.frame, job.shop)
    now = situation_at(
        job.sheet, job.shop, job.frame, standing, job.located, (tried.spots, tried.tests)
    )
    return approved, replan(approved.plan, open_work(approved, now), approved.before), late
