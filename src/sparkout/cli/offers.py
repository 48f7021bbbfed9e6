"""sparkout offers: least cost, best value and as new, side by side, with what each buys."""

from __future__ import annotations

from sparkout.cli.dayargs import add_today, cents_of, day_of, today_of
from sparkout.cli.decision_shapes import OFFERS
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.faults import Fault

HELP = """\
The plans a customer can choose from, in columns: least cost within all limits, best
value by the shop's own rule, and as new. Price, days and the wear that is left, what
each does beyond the cheapest, and why. A deadline or a budget narrows them."""

SCHEMA = envelope("offers", OFFERS)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument(
        "--by", default="", metavar="DAY", help="ready that evening: 2027-03-01, 3 weeks"
    )
    p.add_argument("--budget", default="", metavar="MONEY",
                   help="most that may be spent in all, with reserve and tax")  # fmt: skip
    p.add_argument("--all", action="store_true", help="every limit of wear and every difference")
    add_today(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout offers jobs/1204\n"
        "  sparkout offers jobs/1204 --by '4 May' --budget 6000"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    faults: list[Fault] = []
    today = today_of(args, faults)
    by = day_of(args.by, "--by", today, faults) if args.by else None
    budget = cents_of(args.budget, "--budget", faults) if args.budget else None
    if faults:
        return show_faults(faults, args.json)
    from sparkout.plan.decide import make_plan
    from sparkout.plan.offers import Deadline, NoOffer, history_of, make_offers
    from sparkout.price.budget import firm_within, one_rate

    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    made = make_offers(
        plan.compiled.problem,
        job.shop,
        job.findings,
        job.words,
        history=history_of(job.replayed.effective, job.shop),
        days=None if by is None else Deadline(today, by),
        budget=None if budget is None else firm_within(budget, job.shop),
        left_out=plan.left_out,
    )
    if by is not None and args.by != by.isoformat():
        say(f"'{args.by}' is read as {by.isoformat()}.")
    if budget is not None and not one_rate(job.shop):
        say("Tax differs by category: the budget is reckoned at the highest rate.")
    stops = isinstance(made, NoOffer) or bool(made.short) or bool(plan.left_out)
    if args.json:
        from sparkout.report.objects.offers import no_offer_data, offers_data

        if isinstance(made, NoOffer):
            body = no_offer_data(job, made, today)
        else:
            body = offers_data(job, made, today)
        show_json("offers", body)
        return int(stops)
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.offers import no_offer_text, offers_text

    if isinstance(made, NoOffer):
        lines = no_offer_text(job, made)
    else:
        lines = offers_text(job, made, today, budget, whole=args.all)
    show_lines(lines[1:] if lines[:1] == [""] else lines)
    return int(stops)
