"""sparkout draw: the pictures of a job as SVG files in a folder."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Sequence

    from sparkout.load import Job
    from sparkout.plan.decide import Plan, Stuck
    from sparkout.setups.bench import Bench
    from sparkout.setups.record import SetUp

HELP = """\
Draw a job as SVG files: each joint with the next fastener marked, the pistons, the
order of valve lash, seats in section with their cuts, liner and counterbore in
section, the crankshaft with its journals."""

KINDS = ("joints", "piston", "lash", "seats", "liner", "crank")

SCHEMA = envelope(
    "draw",
    {
        "engine": {"type": "string"},
        "written": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    "picture": {"type": "string"},
                    "path": {"type": "string"},
                    "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
                },
                "required": ["picture", "path", "sha256"],
                "additionalProperties": False,
            },
        },
        "left_out": {"type": "array", "items": {"type": "string"}},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--out", type=Path, help="folder to write to (default: out in the job folder)")
    p.add_argument("--only", choices=KINDS, action="append", help="only these; again for each")
    p.add_argument(
        "--know",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="what a seat's section needs: 'valve head diameter E=38.0', "
        "'seat outer diameter E3=37.2'; again for each",
    )
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout draw jobs/1204\n  sparkout draw jobs/1204 --only joints\n"
        "  sparkout draw jobs/1204 --only seats --know 'valve head diameter=40.0' \\\n"
        "      --know 'seat outer diameter=39.0' --know 'top cutter angle=30' \\\n"
        "      --know 'throat cutter angle=60'"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.cli.papers import write_all
    from sparkout.cli.setups import bench_from

    bench, faults = bench_from(args.know, [], [], job.shop.units)
    if faults:
        return show_faults(faults, args.json)
    made, left_out = _pictures(job, set(args.only or KINDS), bench)
    out = args.job / "out" if args.out is None else args.out
    files = {f"{name}.svg": content.encode() for name, content in made.items()}
    digests = write_all(out, files)
    if args.json:
        show_json("draw", {
            "engine": job.sheet.identity.name,
            "written": [
                {"picture": name, "path": str(out / f"{name}.svg"),
                 "sha256": digests[f"{name}.svg"]}
                for name in made
            ],
            "left_out": left_out,
        })  # fmt: skip
        return 0
    for name in made:
        print(out / f"{name}.svg")
    for text in left_out:
        say(f"not drawn: {text}")
    return 0


def _pictures(job: Job, kinds: set[str], bench: Bench) -> tuple[dict[str, str], list[str]]:
    """Pictures by name, and what could not be drawn and why."""
    from sparkout.cautions import shipped_messages
    from sparkout.report.documents.built.assembled import build_for
    from sparkout.report.documents.source import decided_plan
    from sparkout.report.pictures.joints import draw_joint
    from sparkout.report.pictures.lash import draw_lash
    from sparkout.report.pictures.piston import draw_piston

    plan = decided_plan(job)
    build = build_for(job, plan, shipped_messages())
    found: dict[str, str] = {}
    left_out: list[str] = []

    def add(name: str, drawn: str | None, why: str) -> None:
        if drawn is None:
            left_out.append(f"{name}: {why}")
        else:
            found[name] = drawn

    if "joints" in kinds:
        for status in build.progress.steps:
            joint = draw_joint(status)
            if joint is not None:  # one or two fasteners need no map
                found[status.step.id] = joint
    if "piston" in kinds:
        add("piston", draw_piston(job, build.sheet), "no piston is put together in this job")
    if "lash" in kinds:
        table = build.sheet.lash
        drawn = None if table is None else draw_lash(table, build.progress)
        add("lash", drawn, "no order of valve lash for this engine")
    if "seats" in kinds:
        _seats(job, plan, bench, found, left_out)
    _metal(job, plan, kinds, add)
    return found, left_out


def _seats(
    job: Job, plan: Plan | Stuck, bench: Bench, found: dict[str, str], left_out: list[str]
) -> None:
    from sparkout.plan.decide import Plan
    from sparkout.plan.order import order_of_work
    from sparkout.report.pictures.seats import draw_seats
    from sparkout.setups.all_steps import set_ups

    if not isinstance(plan, Plan):
        left_out.append("seats: there is no plan")
        return
    steps = [s for s in order_of_work(plan.chosen, job.shop) if s.operation == "cut seat"]
    if not steps:
        left_out.append("seats: the plan cuts none")
        return
    made = set_ups(job, plan, steps, bench)
    drawn = draw_seats(job, made, bench)
    found.update({name.replace(" ", "-"): svg for name, svg in drawn.items()})
    missing: dict[str, list[str]] = {}
    for name in steps[0].features:
        if name not in drawn:
            missing.setdefault(_why(job, name, bench, made), []).append(name)
    left_out += [f"{', '.join(seats)}: {why}" for why, seats in missing.items()]


def _why(job: Job, seat: str, bench: Bench, made: Sequence[SetUp]) -> str:
    """Why a seat has no section: something not said, not read, or that cannot be."""
    from sparkout.report.pictures.seats import lacking
    from sparkout.setups.seat_cones import KIND

    names = lacking(job, seat, bench)
    if names:
        return f"say {', '.join(names)} with --know"
    for item in made:
        if item.kind == KIND and seat in item.features:
            return "; ".join((*item.refused, *item.read_first))
    return "the data sheet gives no range for a new seat width"


def _metal(
    job: Job, plan: Plan | Stuck, kinds: set[str], add: Callable[[str, str | None, str], None]
) -> None:
    """Liner and crankshaft as they stand, and as the plan leaves them."""
    from sparkout.plan.decide import Plan
    from sparkout.report.pictures.crank import draw_crank
    from sparkout.report.pictures.sections import draw_liner

    now = (job.findings, job.state.sizes)
    later = (plan.after, plan.sizes) if isinstance(plan, Plan) else None
    if "liner" in kinds and job.frame.of_kind("liner"):
        why = "flange, ledge and protrusion are not known together"
        add("liner", draw_liner(job, *now, "as it stands"), why)
        if later is not None:
            add("liner-planned", draw_liner(job, *later, "as planned"), why)
    if "crank" in kinds:
        add("crank", draw_crank(job, *now, "as it stands"), "no journal was read")
        if later is not None:
            add("crank-planned", draw_crank(job, *later, "as planned"), "no journal was read")
