"""sparkout demo: the whole main job on a shipped invented engine."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.jobargs import demo_folder, demo_names, opened
from sparkout.cli.output import add_json, envelope, say, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Judge, plan and price a worn engine from its raw bench readings and write its
sheets as PDF. The engines are invented and come with Sparkout."""

SCHEMA = envelope(
    "demo",
    {
        "engine": {"type": "string"},
        "check": {"type": "object"},
        "plan": {"type": "object"},
        "written": {"type": "array", "items": {"type": "string"}},
    },
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
    written: list[str] = []
    if args.json:
        from sparkout.report.data import findings_data, plan_data

        body = {"check": findings_data(job), "plan": plan_data(job, plan)}
        show_json("demo", {"engine": args.engine, **body, "written": written})
        return 0
    from sparkout.report.text.findings import findings_text
    from sparkout.report.text.plan import plan_text

    print("\n".join([*findings_text(job), *plan_text(job, plan)]))
    for path in written:
        say(f"wrote {path}")
    return 0
