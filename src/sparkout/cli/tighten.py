"""sparkout tighten: one joint, one fastener at a time, and the record of each."""

from __future__ import annotations

from sparkout.cli.assembly_shapes import TIGHTEN
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.logargs import add_writer
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.assembly.progress import StepStatus
    from sparkout.report.documents.built.assembled import Build

HELP = """\
Tighten a joint one fastener at a time: the order on a map, the stage, the torque or
angle, which one is next, and with --done the record of it. Every fastener goes through
one stage before any goes on; what was interrupted is loosened and begun again."""

SCHEMA = envelope("tighten", TIGHTEN)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("joint", nargs="?", default="", help="joint or its step: head, rod caps 2")
    act = p.add_mutually_exclusive_group()
    act.add_argument("--done", metavar="VALUE", help="record the next fastener: 40 N·m, 90 deg")
    act.add_argument("--loosened", action="store_true", help="record that all were loosened fully")
    act.add_argument("--interrupted", metavar="WHY", help="record that the sequence was broken off")
    p.add_argument("--tool", default="", help="torque wrench or angle gauge, by its number")
    p.add_argument("--lubricant", default="", help="on the thread; needed at stage 1")
    p.add_argument("--second", default="", metavar="PERSON", help="who looked too")
    p.add_argument("--note", default="", help="anything worth keeping with it")
    add_writer(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout tighten jobs/1204\n  sparkout tighten jobs/1204 head\n"
        '  sparkout tighten jobs/1204 head --done "40 N·m" --tool TW-1 \\\n'
        '      --lubricant "engine oil" --second Otto'
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.cli.buildargs import build_of_job, grown, step_named
    from sparkout.faults import Fault, Place
    from sparkout.report.documents.source import decided_plan

    plan = decided_plan(job)
    build = build_of_job(job, plan)
    steps = [status for status in build.progress.steps if status.next is not None]
    name = job.sheet.identity.name
    if not args.joint:
        if args.done or args.loosened or args.interrupted:
            wrong = Fault(Place(key="joint"), "none", "the joint that was worked on")
            return show_faults([wrong], args.json)
        return _all(name, steps, args.json)
    found = step_named(args.joint, steps, "joint")
    if isinstance(found, Fault):
        return show_faults([found], args.json)
    entry = None
    if args.done or args.loosened or args.interrupted:
        from sparkout.cli.checking import entered

        made = entered(args, job, build, _body(args, found))
        if isinstance(made, int):
            return made
        entry = made
        again = grown(job, args.json)
        if isinstance(again, int):
            return again
        build = build_of_job(again, plan)
        found = build.progress.of(found.step.id)
    return _one(name, build, found, entry, args)


def _body(args: argparse.Namespace, status: StepStatus) -> dict[str, object]:
    """The check entry: the next move of the joint, or that it was loosened or broken off."""
    following, step = status.next, status.step.id
    assert following is not None
    body: dict[str, object] = {"step": f"{step}/stage {following.stage}", "result": args.done}
    if args.loosened:
        body = {"step": f"{step}/loosen", "result": "done"}
    elif args.interrupted:
        body = {"step": f"{step}/interrupted", "result": args.interrupted}
    elif following.fastener:
        body["feature"] = following.fastener
    more = {"tool": args.tool, "lubricant": args.lubricant, "second_person": args.second,
            "note": args.note}  # fmt: skip
    return {**body, **{key: value for key, value in more.items() if value}}


def _all(name: str, steps: list[StepStatus], as_json: bool) -> int:
    if as_json:
        from sparkout.report.assembly_data import step_data

        joints = [step_data(status) for status in steps]
        show_json("tighten", {"engine": name, "joints": joints, "joint": None, "step": None,
                              "recorded": None})  # fmt: skip
        return 0
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.tightening import joints_text

    show_lines(joints_text(name, steps))
    return 0


def _one(
    name: str, build: Build, status: StepStatus, entry: str | None, args: argparse.Namespace
) -> int:
    from sparkout.assembly.fastening import Act

    following, work = status.next, status.step.joint
    assert following is not None
    assert work is not None
    if args.json:
        from sparkout.report.assembly_data import joint_data, step_data

        show_json("tighten", {"engine": name, "joints": [], "joint": joint_data(work),
                              "step": step_data(status), "recorded": entry})  # fmt: skip
    else:
        from sparkout.cautions import messages_for, shipped_messages
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.tightening import joint_text

        messages = messages_for(shipped_messages(), status.step.operations)
        if entry is not None:
            say(f"recorded {entry}")
        show_lines(joint_text(status, build.records, messages))
    return 1 if following.act is Act.RESTART else 0
