"""What has to be said of an approval or of work when it is entered: what cannot stand is refused
before anything is written, what can is recorded and said loudly."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sparkout.faults import Fault
    from sparkout.load import Job
    from sparkout.report.documents.standing import Judged

__all__ = ["approval_checked", "ungauged", "work_cautions"]


def approval_checked(job: Job, body: Mapping[str, object]) -> tuple[list[Fault], list[str]]:
    """Why an approval cannot be of this job; or what to say of it once it is recorded."""
    from sparkout.faults import Fault, Place
    from sparkout.job.reader import read_log
    from sparkout.plan.replan import SHORT, amount_said, plan_meant
    from sparkout.report.text.replanned import amount_odd

    faults: list[Fault] = []
    typed, currency = str(body.get("amount", "")), str(body.get("currency", ""))
    if typed.strip() and amount_said(typed) is None:
        expected = "an amount of money above zero, such as 3991.60; words belong in the note"
        faults.append(Fault(Place(key="amount"), f"'{typed}'", expected, "Nothing was recorded."))
    what = str(body.get("what", ""))
    entries, _ = read_log(job.files.log) if job.files.log.exists() else ((), ())
    meant = plan_meant(job.sheet, job.shop, job.frame, entries, what)
    if meant.plan is None and meant.named:
        expected = "a plan of this job as its log stands"
        if meant.instead:
            expected += f"; it now is plan {meant.instead[:SHORT]}"
        remedy = (
            f"`sparkout plan {job.files.log.parent}` shows it. A plan from before the last entries "
            "has to be approved as it now is. Nothing was recorded."
        )
        faults.append(Fault(Place(key="what"), f"plan {meant.digest}", expected, remedy))
    if faults:
        return faults, []
    said = []
    if meant.plan is None:
        said.append("No plan holds every limit now, so this approves none; `plan` says why.")
    elif not meant.named:
        offer = next((name for name in ("best value", "as new") if name in what.casefold()), "")
        which = f"the offer “{offer}” as it is now" if offer else "the plan of this moment"
        said.append(f"It names no plan by its digest; taken to be {which}, {meant.digest[:SHORT]}.")
    if meant.plan is not None and not meant.before.stages:
        odd = amount_odd(job, meant.plan, typed, currency)
        if odd:
            said.append(odd)
    return [], said


def work_cautions(known: Judged, entry: str) -> list[str]:
    """Work out of its turn, and work that the approved plan does not have. entry: its id."""
    from sparkout.plan.replan import out_of_turn

    approved, job = known.approved, known.job
    at = next((i for i, (s, _) in enumerate(job.located.work) if s.id == entry), None)
    if at is None:
        return []
    work = job.located.work[at][1]
    plan = None if approved is None else approved.plan
    planned = [step for _, option in plan.chosen for step in option.work] if plan else []
    before = [body for _, body in job.located.work[:at]]
    said = [f"Out of turn: {text}" for text in out_of_turn(work, before, planned, job.frame)]
    if said:
        said.append("It is recorded as it was done; see what it spoiled before going on.")
    if approved is not None and approved.given and plan is not None:
        name = " ".join(work.operation.split()).casefold()
        own = {on for step in planned if step.operation == name for on in step.features}
        done = {on for body in before if body.operation == work.operation for on in body.features}
        extra = [on for on in work.features if on not in own | done]
        if extra:
            said.append(
                f"Not in what was approved: {work.operation} on {', '.join(extra)}. It is recorded "
                "as it was done; have it approved."
            )
    return said


def ungauged(kind: str, sizes: Sequence[Mapping[str, str]]) -> list[str]:
    """Sizes beside work or a part that no gauge was named for."""
    from sparkout.plan.replan.naming import together

    found: dict[str, list[str]] = {}
    for row in sizes:
        if not row.get("gauge"):
            found.setdefault(row["characteristic"], []).append(row["feature"])
    how = (
        "read it again with a named gauge and enter it with --phase left"
        if kind == "work"
        else "enter the part's size again with --gauge"
    )
    return [
        f"No gauge is named for the {name} of {together(features)}: it counts as good to a rule of "
        f"thumb only, and so proves nothing near a limit; {how}."
        for name, features in found.items()
    ]
