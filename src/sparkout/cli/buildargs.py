"""The build of a job as commands need it: worked out once, and its steps found by what is typed."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from sparkout.assembly.progress import StepStatus
    from sparkout.faults import Fault
    from sparkout.load import Job
    from sparkout.report.documents.built.assembled import Build

__all__ = ["build_of_job", "step_named"]


def build_of_job(job: Job) -> Build:
    """The assembly sheet for the plan as it was decided, and how far the log says it has come."""
    from sparkout.cautions import shipped_messages
    from sparkout.report.documents.built.assembled import build_for
    from sparkout.report.documents.source import decided_plan

    return build_for(job, decided_plan(job), shipped_messages())


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
