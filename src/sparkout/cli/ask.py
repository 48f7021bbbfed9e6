"""sparkout ask: what if, in one line."""

from __future__ import annotations

from sparkout.cli.dayargs import add_today, today_of
from sparkout.cli.decision_shapes import ASK
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.faults import Fault

HELP = """\
Ask what if, in one line of plain words: the plan is found anew with it, proven the
cheapest, and told by what changes: price, days, work, depths, and the limits that
come nearer. Nothing is written anywhere."""

SCHEMA = envelope("ask", ASK)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("question", nargs="+", metavar="WORD", help="the question, quoted or not")
    add_today(p)
    add_json(p)
    p.epilog = (
        "examples:\n"
        "  sparkout ask jobs/1204 deck 0.05 more\n"
        "  sparkout ask jobs/1204 'no piston kit +0.50 until March'\n"
        "  sparkout ask jobs/1204 'customer brings his own crank'\n"
        "  sparkout ask jobs/1204 'grind mains too; rod bolt costs 90'\n"
        "also: head cut 0.10, without sleeving, keep the followers, main shells 20 days,\n"
        "  ignore flywheel runout"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    faults: list[Fault] = []
    today = today_of(args, faults)
    if faults:
        return show_faults(faults, args.json)
    from sparkout.plan.decide import Stuck, make_plan
    from sparkout.plan.whatif import Inputs, ask

    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    if isinstance(plan, Stuck):
        from sparkout.faults import Fault, Place

        fault = Fault(
            Place(str(args.job)),
            "no plan that holds every limit",
            "a job with a plan to change",
            "`sparkout plan` says what stands in the way.",
        )
        show_faults([fault], args.json)
        return 1
    inputs = Inputs(job.sheet, job.shop, job.state, job.checks)
    answer, wrong = ask(inputs, plan, " ".join(args.question), today)
    if answer is None:
        return show_faults(wrong, args.json)
    if args.json:
        from sparkout.report.objects.answer import answer_data

        show_json("ask", answer_data(answer, job.sheet.identity.name))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.answer import answer_text

        show_lines(answer_text(answer, job.words, job.shop.currency)[1:])
    return 0 if answer.plan is not None else 1
