"""The build of a job as commands need it: worked out once, and its steps found by what is typed."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from sparkout.assembly.progress import StepStatus
    from sparkout.cautions import SafetyMessage
    from sparkout.faults import Fault
    from sparkout.load import Job
    from sparkout.plan.decide import Plan, Stuck
    from sparkout.report.documents.built.assembled import Build

__all__ = ["build_of_job", "grown", "step_named"]


def build_of_job(
    job: Job, plan: Plan | Stuck | None = None, messages: Sequence[SafetyMessage] = ()
) -> Build:
    """The assembly sheet for the plan as it was decided, and how far the log says it has come.

    plan: that plan, where it is known already: nothing that is entered at assembly changes it.
    messages: cautions to be named with each step, where they are shown.
    """
    from sparkout.report.documents.built.assembled import build_for
    from sparkout.report.documents.source import decided_plan

    return build_for(job, decided_plan(job) if plan is None else plan, messages)


def grown(job: Job, as_json: bool = False) -> Job | int:
    """The job after something was added to its log, its other files as they were read before."""
    from sparkout.cli.output import show_faults
    from sparkout.job.reader import read_log
    from sparkout.job.verify import verify
    from sparkout.load import job_from

    entries, faults = read_log(job.files.log)
    again, more = job_from(job.files, job.sheet, job.shop, entries)
    status = show_faults((*faults, *verify(entries), *more), as_json)
    return status or 2 if again is None else again


def step_named(name: str, steps: Sequence[StepStatus], key: str = "--step") -> StepStatus | Fault:
    """A step by its id, a tightening step also by its joint (`head left`, `rod caps 2`)."""
    from sparkout.faults import Fault, Place
    from sparkout.sheet.nearest import nearest

    wanted = "-".join(name.casefold().split())
    for status in steps:
        if wanted in (status.step.id, status.step.id.removeprefix("tighten-")):
            return status
    ids = [status.step.id for status in steps]
    near = nearest(wanted, ids) or nearest(f"tighten-{wanted}", ids)
    begins = [one for one in ids if one.startswith((wanted, f"tighten-{wanted}"))]
    remedy = f"Did you mean '{near}'?" if near else "Without it all are listed."
    if len(begins) > 1:
        remedy = f"There are {', '.join(begins)}."
    return Fault(Place(key=key), f"'{name}'", "a step of this engine's assembly", remedy)
