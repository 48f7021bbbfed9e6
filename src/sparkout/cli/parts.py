"""sparkout parts: the bill of parts, and when to order each."""

from __future__ import annotations

from sparkout.cli.decision_shapes import PARTS
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, say, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.load import Job

HELP = """\
The parts of the plan: how many, what they cost, where they are and how long they take;
what to order now, and what to order only when a reading is in. With the parts that
would do instead, and the oils, sealants, seals and stones the work and the assembly
name."""

SCHEMA = envelope("parts", PARTS)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--all", action="store_true", help="sizes, and every alternative")
    add_json(p)
    p.epilog = "example:\n  sparkout parts jobs/1204"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.plan.decide import Stuck, make_plan
    from sparkout.plan.parts import bill_of_parts
    from sparkout.report.documents.standing import replanned

    known = replanned(job)
    plan = None if known is None or known[1] is None else known[1].plan
    if plan is None:
        made = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
        if isinstance(made, Stuck):
            say("sparkout: no plan holds every limit; `sparkout plan` says what stands in the way.")
            if args.json:
                from sparkout.report.objects.parts import parts_data

                show_json("parts", parts_data((), job.sheet.identity.name, job.shop.currency))
            return 1
        plan = made
    from sparkout.report.materials import materials

    lines = bill_of_parts(plan, job.sheet, job.shop, _received(job))
    used = materials(job, plan)
    if args.json:
        from sparkout.report.objects.parts import parts_data

        show_json("parts", parts_data(lines, job.sheet.identity.name, job.shop.currency, used))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.parts import parts_text

        show_lines(parts_text(lines, job.words, job.shop.currency, used, whole=args.all)[1:])
    return 0


def _received(job: Job) -> dict[str, int]:
    """Pieces that have come, by part: as many as were entered, one where no number was."""
    import re

    from sparkout.job.bodies import Part

    found: dict[str, int] = {}
    for entry in job.replayed.effective:
        if isinstance(entry.body, Part):
            many = re.match(r"\d+", entry.body.quantity.strip())
            count = int(many[0]) if many else 1
            found[entry.body.part] = found.get(entry.body.part, 0) + count
    return found
