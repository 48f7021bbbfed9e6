"""sparkout plan: the cheapest plan that holds every limit, with reasons, order and price."""

from __future__ import annotations

from sparkout.cli.decision_shapes import APPROVED
from sparkout.cli.job_shapes import PLAN
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_json
from sparkout.cli.shapes import MAYBE_TEXT, maybe

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from typing import Any

    from sparkout.load import Job
    from sparkout.plan.replan import Approved, Replanned

HELP = """\
Decide what is kept, machined and replaced: the cheapest plan under which every
limit holds, proven, with the reason for each step, the order of work and the price.
Once a plan is approved it is kept to as far as it holds from what was really cut and
read: what changes, and what that costs, is said and has to be approved (status 1).
Work entered without an approval stands, too: the plan goes on from it."""

SCHEMA = envelope(
    "plan",
    {**PLAN, "plan": MAYBE_TEXT, "approved": maybe(APPROVED), "not_approved": maybe(APPROVED)},
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--all", action="store_true", help="every option that was not taken, and why")
    p.add_argument("--anew", action="store_true", help="without regard to what was approved")
    add_json(p)
    p.epilog = "example:\n  sparkout plan jobs/1204"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    if not args.anew:
        from sparkout.report.documents.standing import replanned

        known = replanned(job)
        if known is not None:
            return _kept(job, args, *known)
    return _anew(job, args, [], None)


def _anew(
    job: Job, args: argparse.Namespace, before: list[str], approved: dict[str, Any] | None
) -> int:
    """The plan from the engine as it stands. before: lines to stand above it."""
    from sparkout.plan.decide import Stuck, make_plan
    from sparkout.plan.replan import SHORT, plan_digest
    from sparkout.report.open_points import anything_measured

    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    unread = not anything_measured(job.findings)  # then there is nothing to approve
    digest = None if isinstance(plan, Stuck) or unread else plan_digest(plan)
    if args.json:
        from sparkout.report.data import plan_data

        body = {"plan": digest, "approved": approved, "not_approved": None}
        show_json("plan", {**plan_data(job, plan), **body})
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.plan import approval_text, plan_text, stuck_text

        lines = stuck_text(plan) if isinstance(plan, Stuck) else plan_text(
            job, plan, whole=args.all
        )  # fmt: skip
        if digest is not None:
            assert not isinstance(plan, Stuck)
            lines += approval_text(job, plan, digest[:SHORT])
        lines = [*before, *lines]
        show_lines(lines[1:] if lines[:1] == [""] else lines)
    if approved is not None or unread or isinstance(plan, Stuck):
        return 1
    return 1 if plan.left_out else 0


def _kept(
    job: Job,
    args: argparse.Namespace,
    approved: Approved,
    again: Replanned | None,
    late: tuple[str, ...],
) -> int:
    """The approved plan, or that of work nobody approved, kept to as far as it holds."""
    from sparkout.report.objects.replanned import approved_data

    data = approved_data(approved, again, late) if args.json else {}
    if again is None:
        from sparkout.report.text.replanned import unknown_text

        return _anew(job, args, unknown_text(approved), data)
    if args.json:
        from sparkout.plan.replan import plan_digest
        from sparkout.report.data import plan_data

        empty = {"engine": job.sheet.identity.name, "possible": False, "cost": None, "chosen": [],
                 "amounts": [], "steps": [], "price": None, "conflict": list(again.why_not),
                 "left_out": [f.reason for f in again.left_out]}  # fmt: skip
        body = empty if again.plan is None else plan_data(job, again.plan)
        digest = None if again.plan is None else plan_digest(again.plan)
        begun = {"approved": data if approved.given else None,
                 "not_approved": None if approved.given else data}  # fmt: skip
        show_json("plan", {**body, "plan": digest, **begun})
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.replanned import replanned_text

        show_lines(replanned_text(job, approved, again, late, whole=args.all)[1:])
    if not approved.given:
        return 1 if again.plan is None or again.left_out or late else 0
    return 1 if again.needs_approval or late else 0
