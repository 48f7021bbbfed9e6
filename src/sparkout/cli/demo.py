"""sparkout demo: the whole main job on a shipped invented engine."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.job_shapes import CHECK, PLAN
from sparkout.cli.jobargs import demo_folder, demo_names, opened
from sparkout.cli.output import add_json, envelope, say, show_json
from sparkout.cli.shapes import TEXT, TEXTS, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.load import Job
    from sparkout.plan.decide import Plan

HELP = """\
Judge, plan and price a worn engine from its raw bench readings and write its
sheets as PDF. The engines are invented and come with Sparkout."""

SCHEMA = envelope(
    "demo",
    {"engine": TEXT, "check": record(CHECK), "plan": record(PLAN), "written": TEXTS},
)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument(
        "--engine",
        choices=demo_names(),
        default="workboat_four",
        metavar="NAME",
        help="which one: " + ", ".join(demo_names()),
    )
    p.add_argument(
        "--out",
        type=Path,
        default=Path("sparkout-demo"),
        help="folder the PDFs are written to (default: sparkout-demo)",
    )
    p.add_argument("--paper", choices=("a4", "letter"), default="a4", help="paper of the PDFs")
    p.add_argument("--no-pdf", action="store_true", help="write no PDFs")
    add_json(p)


def main(args: argparse.Namespace) -> int:
    job = opened(demo_folder(args.engine), args.json)
    if isinstance(job, int):
        return job
    from sparkout.plan.decide import Plan, make_plan

    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    assert isinstance(plan, Plan), "a shipped engine always has a plan"
    if args.json:
        from sparkout.report.data import findings_data, plan_data

        body = {"check": findings_data(job), "plan": plan_data(job, plan)}
        written = [] if args.no_pdf else _print(job, args, plan)
        show_json("demo", {"engine": args.engine, **body, "written": written})
        return 0
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.findings import findings_text
    from sparkout.report.text.plan import plan_text

    show_lines([*findings_text(job), *plan_text(job, plan)])
    if not args.no_pdf:
        say()
        for path in _print(job, args, plan):
            say(f"wrote {path}")
    return 0


def _print(job: Job, args: argparse.Namespace, plan: Plan) -> list[str]:
    """Write the three papers; their paths."""
    from sparkout.cli.papers import FILES, rendered, source_for, write_all

    made = rendered(source_for(job, args.engine, plan), args.paper)
    write_all(args.out, {FILES[name]: content for name, content in made.items()})
    return [str(args.out / FILES[name]) for name in made]
