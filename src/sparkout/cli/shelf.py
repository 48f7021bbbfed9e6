"""sparkout shelf: many engines of one kind planned from one shelf."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.decision_shapes import SHELF
from sparkout.cli.jobargs import opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from sparkout.faults import Fault
    from sparkout.forecast.pool import Pool
    from sparkout.load import Job

HELP = """\
Many engines of one kind planned at once, from one shelf. Where together they want more
of a part than there is and it cannot be ordered, which engine goes without is settled at
the least cost of all. With --match: parts of all engines sorted into sets that are alike."""

SCHEMA = envelope("shelf", SHELF)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument(
        "jobs", type=Path, nargs="+", help="job folders: one data sheet, one shop file, one shelf"
    )
    p.add_argument(
        "--match",
        metavar="SIZE",
        help="also sort all parts with this size into sets, such as 'rod weight'",
    )
    p.add_argument("--within", metavar="SPREAD", help="how far a set may differ, such as '2 g'")
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout shelf jobs/1204 jobs/1205 jobs/1206\n"
        "  sparkout shelf jobs/* --match 'rod weight' --within '2 g'"
    )


def main(args: argparse.Namespace) -> int:
    jobs: list[Job] = []
    for folder in args.jobs:
        job = opened(folder, args.json)
        if isinstance(job, int):
            return job
        jobs.append(job)
    from sparkout.faults import Fault, Place

    faults = _unlike(args.jobs, jobs)
    pool: Pool | None = None
    if bool(args.match) != bool(args.within):
        wanted = "both: --match 'rod weight' --within '2 g'"
        faults.append(Fault(Place("command line"), "--match or --within alone", wanted))
    elif args.match and not faults:
        from sparkout.forecast.pool import pool_of

        names = tuple(folder.name for folder in args.jobs)
        made = pool_of(names, [job.state for job in jobs], args.match, args.within)
        if isinstance(made, Fault):
            faults.append(made)
        else:
            pool = made
    if faults:
        return show_faults(faults, args.json)
    return _show(args, jobs, pool)


def _unlike(folders: Sequence[Path], jobs: Sequence[Job]) -> list[Fault]:
    """What does not go together: other data sheets, other shop files, one folder twice."""
    from sparkout.faults import Fault, Place

    faults: list[Fault] = []
    first = jobs[0]
    for at, (folder, job) in enumerate(zip(folders, jobs, strict=True)):
        here = Place(str(folder))
        if folder.resolve() in [other.resolve() for other in folders[:at]]:
            faults.append(Fault(here, "the same folder twice", "each engine once"))
        elif job.sheet != first.sheet:
            wanted = f"the data sheet of {folders[0]}: {first.sheet.identity.name}"
            faults.append(Fault(here, f"another data sheet: {job.sheet.identity.name}", wanted))
        elif job.shop != first.shop:
            wanted = f"the shop file and supply list of {folders[0]}"
            faults.append(Fault(here, "another shop file or supply list", wanted))
    return faults


def _show(args: argparse.Namespace, jobs: Sequence[Job], pool: Pool | None) -> int:
    from sparkout.forecast.family import Unit, plan_family

    first = jobs[0]
    names = _names(args.jobs)
    units = [Unit(name, job.state) for name, job in zip(names, jobs, strict=True)]
    try:
        found = plan_family(first.sheet, first.shop, first.checks, units)
    except OverflowError as error:
        from sparkout.faults import Fault, Place

        return show_faults([Fault(Place("jobs"), str(error), "fewer engines at once")], args.json)
    begun = tuple(name for name, job in zip(names, jobs, strict=True) if _begun(job))
    if args.json:
        from sparkout.report.objects.shelf import shelf_data

        show_json(
            "shelf", shelf_data(found, first.sheet.identity.name, first.shop.currency, begun, pool)
        )
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.shelf import shelf_text

        show_lines(shelf_text(found, first.shop.currency, begun, pool, first.words)[1:])
    return 0 if found.possible and all(plan.cost is not None for plan in found.engines) else 1


def _names(folders: Sequence[Path]) -> tuple[str, ...]:
    """Names of folders; their paths where two have one name."""
    short = [folder.resolve().name for folder in folders]
    return tuple(
        str(folder) if short.count(name) > 1 else name
        for folder, name in zip(folders, short, strict=True)
    )


def _begun(job: Job) -> bool:
    """Whether something of a plan is approved or done, which planning anew does not know."""
    from sparkout.job.bodies import Approval, Work

    return any(isinstance(entry.body, Approval | Work) for entry in job.replayed.effective)
