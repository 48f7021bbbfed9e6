"""Writing a check of the assembly sheet: tried against the build first, so that a slip of the
fingers changes nothing, and told afterwards with what it means."""

from __future__ import annotations

from sparkout.cli.logargs import written
from sparkout.cli.output import say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping, Sequence

    from sparkout.assembly.records import Record
    from sparkout.faults import Fault
    from sparkout.load import Job
    from sparkout.report.documents.built.assembled import Build
    from sparkout.report.documents.standing import Judged

__all__ = [
    "check_recorded",
    "check_words",
    "entered",
    "judged_sizes",
    "place_faults",
    "size_faults",
    "told",
]


def entered(
    args: argparse.Namespace, job: Job, build: Build, body: Mapping[str, object]
) -> str | int:
    """The id of the entry once it is on the disk, or the exit status after saying why not."""
    from sparkout.assembly.entering import entry_faults, held_by
    from sparkout.assembly.progress import StepState
    from sparkout.job.entry import draft

    made, faults = draft("check", args.by, body)
    if made is None:
        return show_faults(faults, args.json)
    record = _record(body)
    wrong = entry_faults(record, build.progress, build.records, job.frame, job.shop)
    status = show_faults(wrong, args.json)
    if status:
        return status
    held = held_by(record, build.progress)
    if held:
        say(f"sparkout: {record.step} is held; nothing was recorded.")
        for reason in held:
            say(f"    {reason}.")
        open_ = build.progress.in_state(StepState.OPEN)
        if open_:
            say(f"    Can be done now: {', '.join(one.step.id for one in open_)}.")
        say("    Record what is missing, or let it pass with the result 'waived' and a note.")
        if args.json:
            show_json("held", {"step": record.step, "held": list(held)})
        return 1
    return written(job.files.log, [made], args.device)[0].id


def _record(body: Mapping[str, object]) -> Record:
    """The entry as the build would read it back."""
    from sparkout.assembly.records import Record

    words = {key: str(value) for key, value in body.items()}
    parts = [part.strip() for part in words.pop("step", "").split("/", 2)]
    step, check, position = (*parts, "", "")[:3]
    return Record(
        step,
        check,
        position,
        words.get("feature", ""),
        words.get("result", ""),
        words.get("unit", ""),
        words.get("tool", ""),
        words.get("lubricant", ""),
        words.get("second_person", ""),
        words.get("note", ""),
    )


def told(build: Build, step: str, entry: str) -> list[str]:
    """What a check that was just recorded means for its step and those behind it."""
    from sparkout.assembly.progress import StepState

    try:
        status = build.progress.of(step)
    except KeyError:
        return []
    lines = []
    for check in status.checks:
        if entry in check.entries:
            shown = f" ({check.reading})" if check.reading else ""
            lines.append(f"{check.check.label}: {check.state.value}{shown}")
            if check.reason:
                lines.append(check.reason)
    lines.append(f"step {step}: {status.state.value}")
    if status.state is StepState.DONE:
        opened = [
            other.step.id
            for other in build.progress.steps
            if step in other.step.after and other.state is StepState.OPEN
        ]
        if opened:
            lines.append(f"can be done now: {', '.join(opened)}")
    else:
        left = [c.check.label for c in status.checks if c.state.value == "not recorded"]
        if left:
            few = ", ".join(left[:4]) + (f" and {len(left) - 4} more" if len(left) > 4 else "")
            lines.append(f"still to be recorded: {few}")
    return lines


def check_words(
    words: Sequence[str], gauge: str, note: str
) -> tuple[dict[str, object], list[Fault]]:
    """STEP/CHECK RESULT, or STEP/CHECK FEATURE RESULT."""
    from sparkout.faults import Fault, Place

    if len(words) not in (2, 3):
        expected = 'STEP/CHECK [FEATURE] RESULT: "check-crankshaft/end play" crankshaft 0.21'
        fault = Fault(Place(key="check"), f"{len(words)} words", expected, "Quote what has spaces.")
        return {}, [fault]
    body: dict[str, object] = {"step": words[0], "result": words[-1]}
    if len(words) == 3:
        body["feature"] = words[1]
    more = {"tool": gauge, "note": note}
    return body | {name: text for name, text in more.items() if text}, []


def check_recorded(args: argparse.Namespace, job: Job, body: Mapping[str, object]) -> int:
    """Record a check and tell what it means."""
    from sparkout.cli.buildargs import build_of_job, grown
    from sparkout.report.documents.source import decided_plan
    from sparkout.report.text.layout import wrapped

    plan = decided_plan(job)
    entry = entered(args, job, build_of_job(job, plan), body)
    if isinstance(entry, int):
        return entry
    again = grown(job, args.json)
    if isinstance(again, int):
        return again
    step = str(body["step"]).partition("/")[0].strip()
    lines = told(build_of_job(again, plan), step, entry)
    if args.json:
        at = next(one.at for one in again.replayed.effective if one.id == entry)
        show_json("record", {"id": entry, "at": at, "kind": "check", "verdicts": lines,
                             "judged_by": [], "cautions": [], "question": None})  # fmt: skip
        return 0
    print(f"check recorded, {entry}: {body['step']}")
    for line in lines:
        print("\n".join(wrapped(line, "  ")))
    return 0


def size_faults(
    job: Job, body: Mapping[str, object], sizes: Sequence[Mapping[str, str]]
) -> list[Fault]:
    """What is wrong with the features of work and the sizes beside it, before it is written."""
    from sparkout.engine.readings import Typed, read_typed
    from sparkout.faults import Fault, Place
    from sparkout.sheet.nearest import nearest

    faults: list[Fault] = []
    features = body.get("features", [])
    for name in features if isinstance(features, list) else [features]:
        if job.frame.feature(str(name)) is None:
            near = nearest(str(name), [feature.name for feature in job.frame.features])
            remedy = f"Did you mean '{near}'?" if near else ""
            faults.append(
                Fault(Place(key="features"), f"'{name}'", "a feature of this engine", remedy)
            )
    for size in sizes:
        place = Place(key=f"--size {size['feature']}")
        found = {key: str(value) for key, value in size.items()}
        _, wrong = read_typed(Typed(place=place, **found), job.frame, job.shop)
        faults.extend(fault for fault in wrong if fault.stops)
        if not wrong:
            faults.extend(place_faults(job, size["feature"], size["characteristic"]))
    return faults


def place_faults(job: Job, feature: str, characteristic: str) -> list[Fault]:
    """A characteristic named on a feature it is never read on: nothing would judge it."""
    from sparkout.engine.characteristics import BY_NAME
    from sparkout.faults import Fault, Place

    known, place = BY_NAME.get(characteristic), job.frame.feature(feature)
    if known is None or place is None or place.kind == known.feature:
        return []
    names = ", ".join(item.name for item in job.frame.of_kind(known.feature)[:6])
    return [Fault(Place(key="feature"), f"'{feature}'", f"where {characteristic} is read: {names}")]


def judged_sizes(known: Judged, entry: str = "") -> list[str]:
    """As which size each thing that was read after work was judged. entry: of this one alone."""
    from sparkout.report.text.as_made import judged_by

    keys = [
        key
        for key, spots in known.job.state.spots.items()
        if any(s.phase in ("left", "mock-up") and entry in ("", s.entry) for s in spots)
    ]
    return list(judged_by(keys, known.approved, known.made, known.job.words))
