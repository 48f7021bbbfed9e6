"""sparkout life: how long what is kept should last."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.decision_shapes import LIFE
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
How long what the plan keeps should last: wear so far over the hours run, to the limit
of wear, as a range. With the shop's own history of the engine family beside it where
there is one (wear.csv in the job folder or one above, or --family)."""

SCHEMA = envelope("life", LIFE)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--family", type=Path, metavar="FILE",
                   help="CSV of other engines: characteristic, unit, hours, wear")  # fmt: skip
    p.add_argument("--all", action="store_true", help="also what no rate can be told of")
    add_json(p)
    p.epilog = "example:\n  sparkout life jobs/1204 --family shop/wear.csv"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.plan.decide import Plan, make_plan
    from sparkout.plan.life import kept_lives, read_family
    from sparkout.plan.offers import history_of

    near = (args.job / "wear.csv", args.job.resolve().parent / "wear.csv")
    file = args.family or next((path for path in near if path.exists()), None)
    family = None
    if file is not None:
        unit = "in" if job.shop.units == "inch" else "mm"
        family, faults = read_family(file.read_text(encoding="utf-8-sig"), file.name, unit)
        status = show_faults(faults, args.json)
        if status:
            return status
    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    after = plan.after if isinstance(plan, Plan) else job.findings
    history = history_of(job.replayed.effective, job.shop)
    kept = kept_lives(job.checks, after, history, family)
    if args.json:
        from sparkout.report.objects.life import kept_data

        show_json("life", kept_data(kept, history, job.sheet.identity.name))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.life import life_text

        show_lines(life_text(kept, history, job.words, whole=args.all)[1:])
    return 0
