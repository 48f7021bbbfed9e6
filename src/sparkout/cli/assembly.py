"""sparkout assembly: the steps from washed parts to a signed engine, and what holds the next."""

from __future__ import annotations

from sparkout.cli.assembly_shapes import ASSEMBLY
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
The steps of assembly from the data sheet and the trade, where each stands, and what
the next one waits for: a step is held until the checks before it are recorded and
within their limits, or let pass by a person with a reason. The parts are those of
the approved plan, where one is."""

SCHEMA = envelope("assembly", ASSEMBLY)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--step", default="", metavar="NAME", help="only this step, in full")
    p.add_argument(
        "--first-start", action="store_true", help="first start and run-in sheet, instead of steps"
    )
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout assembly jobs/1204\n"
        "  sparkout assembly jobs/1204 --step fit-crankshaft\n"
        '  sparkout record jobs/1204 "check-crankshaft/end play" crankshaft 0.21 \\\n'
        "      --kind check --gauge DI-1"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.assembly.progress import StepState
    from sparkout.cautions import messages_for, shipped_messages
    from sparkout.cli.buildargs import build_of_job, step_named
    from sparkout.cli.terminal import show_lines
    from sparkout.faults import Fault
    from sparkout.report.documents.source import decided
    from sparkout.report.documents.standing import approved_of, followed
    from sparkout.report.text.assembly import assembly_text, run_text, step_text

    messages = shipped_messages()
    approved = approved_of(job)
    build = build_of_job(job, decided(job, approved), messages)
    name = job.sheet.identity.name
    chosen = build.progress.steps
    if args.step:
        found = step_named(args.step, chosen)
        if isinstance(found, Fault):
            return show_faults([found], args.json)
        chosen = (found,)
    if args.json:
        from sparkout.report.assembly_data import assembly_data

        show_json("assembly", assembly_data(name, build, chosen, followed(approved)))
    elif args.first_start:
        show_lines(run_text(name, build.sheet.run, messages_for(messages, ("first start",))))
    elif args.step:
        known = {message.name: message for message in messages}
        show_lines(step_text(build, chosen[0], known)[1:])
    else:
        show_lines(assembly_text(name, build, messages, followed(approved)))
    return 1 if any(status.state is StepState.FAILED for status in chosen) else 0
