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
    from sparkout.load import Job
    from sparkout.plan.decide import Plan
    from sparkout.plan.whatif import Inputs

HELP = """\
Ask what if, in one line of plain words: the plan is found anew with it, proven the
cheapest, and told by what changes: price, days, work, depths, and the limits that
come nearer. It starts from the approved plan and the work that is done, where there
is either. Nothing is written anywhere."""

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
    from sparkout.plan.whatif import ask

    plan, inputs, follows, spent = _from(job)
    if plan is None:
        from sparkout.faults import Fault, Place

        fault = Fault(
            Place(str(args.job)),
            "no plan that holds every limit",
            "a job with a plan to change",
            "`sparkout plan` says what stands in the way.",
        )
        show_faults([fault], args.json)
        return 1
    answer, wrong = ask(inputs, plan, " ".join(args.question), today)
    if answer is None:
        return show_faults(wrong, args.json)
    if args.json:
        from sparkout.report.objects.answer import answer_data

        show_json("ask", answer_data(answer, job.sheet.identity.name, follows))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.answer import answer_text

        show_lines(answer_text(answer, job.words, job.shop.currency, follows, spent)[1:])
    return 0 if answer.plan is not None else 1


def _from(job: Job) -> tuple[Plan | None, Inputs, str, int]:
    """The plan a question starts from, what it is made from, which it is in a sentence, and cents
    of the work that is done in it."""
    from sparkout.plan.decide import Plan, make_plan
    from sparkout.plan.replan import inputs_from
    from sparkout.plan.whatif import Inputs
    from sparkout.report.documents.standing import followed, now_of, replanned

    known = replanned(job)
    follows = "" if known is None else followed(known[0])
    if known is not None and known[1] is not None:
        approved, again, _ = known
        assert again is not None
        return again.plan, inputs_from(again, now_of(job, approved)), follows, again.spent
    made = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    inputs = Inputs(job.sheet, job.shop, job.state, job.checks)
    return (made if isinstance(made, Plan) else None), inputs, follows, 0
