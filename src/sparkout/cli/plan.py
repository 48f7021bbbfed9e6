"""sparkout plan: the cheapest plan that holds every limit, with reasons, order and price."""

from __future__ import annotations

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Decide what is kept, machined and replaced: the cheapest plan under which every
limit holds, proven, with the reason for each step, the order of work and the price."""

SCHEMA = envelope(
    "plan",
    {
        "engine": {"type": "string"},
        "possible": {"type": "boolean"},
        "cost": {"type": ["number", "null"]},
        "chosen": {"type": "array"},
        "amounts": {"type": "array"},
        "steps": {"type": "array"},
        "price": {"type": ["object", "null"]},
        "conflict": {"type": "array", "items": {"type": "string"}},
        "left_out": {"type": "array", "items": {"type": "string"}},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--all", action="store_true", help="every option that was not taken, and why")
    add_json(p)
    p.epilog = "example:\n  sparkout plan jobs/1204"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.plan.decide import Stuck, make_plan

    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    if args.json:
        from sparkout.report.data import plan_data

        show_json("plan", plan_data(job, plan))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.plan import plan_text, stuck_text

        lines = stuck_text(plan) if isinstance(plan, Stuck) else plan_text(
            job, plan, whole=args.all
        )  # fmt: skip
        show_lines(lines[1:] if lines[:1] == [""] else lines)
    return 1 if isinstance(plan, Stuck) or plan.left_out else 0
