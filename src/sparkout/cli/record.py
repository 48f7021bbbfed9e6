"""sparkout record: put one entry into a job's log, and hear at once what it means."""

from __future__ import annotations

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.logargs import add_writer, written
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.faults import Fault

HELP = """\
Put one entry into the log of a job. A reading is FEATURE CHARACTERISTIC VALUE; a
check of the assembly sheet is STEP/CHECK [FEATURE] RESULT; for anything else name its
kind and its fields. Nothing in a log is ever edited: to mend an entry, record a
correction."""

SCHEMA = envelope(
    "record",
    {
        "id": {"type": "string"},
        "at": {"type": "string"},
        "kind": {"type": "string"},
        "verdicts": {"type": "array", "items": {"type": "string"}},
        "judged_by": {
            "type": "array",
            "items": {"type": "string"},
            "description": "of sizes read after work: as which size they were judged",
        },
        "cautions": {
            "type": "array",
            "items": {"type": "string"},
            "description": "what is odd about an entry that was recorded all the same",
        },
        "question": {"type": ["string", "null"]},
    },
)

_KINDS = ("reading", "observation", "work", "part", "choice", "approval", "check",
          "correction", "intake")  # fmt: skip


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument(
        "reading",
        nargs="*",
        metavar="WORD",
        help="feature, characteristic, value; of a check: step/check, feature, result",
    )
    p.add_argument("--kind", choices=_KINDS, default="reading", help="kind of entry")
    p.add_argument("--level", default="", help="where along the feature: top, middle, front")
    p.add_argument("--direction", default="", help="which way: thrust, axial, vertical")
    p.add_argument("--gauge", default="", help="gauge, by its name in the shop file")
    p.add_argument("--master", default="", help="setting master of a deviation such as +5 tenths")
    p.add_argument("--phase", default="", choices=("", "found", "left", "mock-up", "new part"),
                   help="when in the job (default: found)")  # fmt: skip
    p.add_argument(
        "--size",
        nargs=3,
        action="append",
        default=[],
        metavar=("FEATURE", "WHAT", "VALUE"),
        help="size that work left or that a part has; again for each",
    )
    p.add_argument("--note", default="", help="anything worth keeping with it")
    p.add_argument(
        "--field",
        action="append",
        default=[],
        metavar="NAME=TEXT",
        help="any other field of the entry; repeat a name for a list; body.NAME=TEXT for a field "
        "that a correction replaces",
    )
    add_writer(p)
    add_json(p)
    p.epilog = (
        'examples:\n  sparkout record jobs/1204 "bore 2" "bore diameter" 100.246 '
        "--level top \\\n      --direction thrust --gauge BG-1\n"
        '  sparkout record jobs/1204 --kind work --field "operation=surface deck" \\\n'
        "      --field features=deck --field target=0.13\n"
        '  sparkout record jobs/1204 "check-crankshaft/end play" crankshaft 0.21 \\\n'
        "      --kind check --gauge DI-1"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.faults import Fault, Place
    from sparkout.job.entry import draft

    body, faults = _body(args)
    if faults:
        return show_faults(faults, args.json)
    if args.kind in ("work", "part"):
        from sparkout.cli.checking import size_faults

        wrong = tuple(size_faults(job, body, _size_rows(args)))
        if wrong:
            return show_faults(wrong, args.json)
    made, wrong = draft(args.kind, args.by, body)
    if made is None:
        return show_faults(wrong, args.json)
    cautions: list[str] = []
    if args.kind == "approval":
        from sparkout.cli.entering import approval_checked

        found, cautions = approval_checked(job, body)
        if found:
            return show_faults(found, args.json)
    if args.kind == "reading":
        from sparkout.engine.readings import Typed, read_typed

        words = {name: str(value) for name, value in body.items() if name != "phase"}
        known = {k: v for k, v in words.items() if k in ("feature", "characteristic", "typed",
                 "level", "direction", "unit", "gauge", "master", "polarity", "part_temperature",
                 "gauge_temperature")}  # fmt: skip
        _, wrong = read_typed(Typed(place=Place(key="reading"), **known), job.frame, job.shop)
        if not wrong:
            from sparkout.cli.checking import place_faults

            wrong = tuple(place_faults(job, args.reading[0], args.reading[1]))
        if wrong:
            return show_faults(wrong, args.json)
    if args.kind != "check" and args.gauge and job.shop.gauges.gauge(args.gauge) is None:
        place = Place(key="--gauge")
        names = ", ".join(gauge.id for gauge in job.shop.gauges.gauges)
        fault = Fault(place, f"'{args.gauge}'", f"a gauge of the shop file: {names}")
        return show_faults([fault], args.json)
    if args.kind == "check":
        from sparkout.cli.checking import check_recorded

        return check_recorded(args, job, body)
    entry = written(job.files.log, [made], args.device)[0]
    return _told(args, entry.id, entry.at, cautions)


def _body(args: argparse.Namespace) -> tuple[dict[str, object], list[Fault]]:
    from sparkout.faults import Fault, Place

    body: dict[str, object] = {}
    faults: list[Fault] = []
    if args.kind == "reading":
        if len(args.reading) != 3:
            found = f"{len(args.reading)} words"
            expected = 'three: FEATURE CHARACTERISTIC VALUE, such as "bore 2" "bore diameter" 80.01'
            return body, [Fault(Place(key="reading"), found, expected, "Quote what has spaces.")]
        body = dict(zip(("feature", "characteristic", "typed"), args.reading, strict=True))
        for name in ("level", "direction", "gauge", "master", "phase", "note"):
            if getattr(args, name):
                body[name] = getattr(args, name)
    elif args.kind == "check" and args.reading:
        from sparkout.cli.checking import check_words

        body, faults = check_words(args.reading, args.gauge, args.note)
    elif args.reading:
        expected = f"fields as --field NAME=TEXT for a {args.kind}"
        return body, [Fault(Place(key="words"), " ".join(args.reading), expected)]
    elif args.note:
        body["note"] = args.note
    if args.size:
        faults.extend(_sizes(args, body))
    for text in args.field:
        name, equals, value = text.partition("=")
        if not equals:
            faults.append(Fault(Place(key="--field"), f"'{text}'", "NAME=TEXT"))
            continue
        key = name.strip().replace(" ", "_").replace("-", "_")
        if key.startswith("body."):
            replaced = body.setdefault("body", {})
            assert isinstance(replaced, dict)
            replaced[key.removeprefix("body.")] = value
        elif key in ("features", "declined", "arrived", "missing", "plates", "castings"):
            several = body.setdefault(key, [])
            assert isinstance(several, list)
            several.append(value)
        else:
            body[key] = value
    return body, faults


def _sizes(args: argparse.Namespace, body: dict[str, object]) -> list[Fault]:
    """Sizes beside work or a part; all were read with the gauge named."""
    from sparkout.faults import Fault, Place

    field = {"work": "results", "part": "sizes"}.get(args.kind)
    if field is None:
        return [Fault(Place(key="--size"), f"sizes of a {args.kind}", "them with work or part")]
    body[field] = _size_rows(args)
    return []


def _size_rows(args: argparse.Namespace) -> list[dict[str, str]]:
    names = ("feature", "characteristic", "typed")
    more = {"gauge": args.gauge} if args.gauge else {}
    return [dict(zip(names, row, strict=True)) | more for row in args.size]


def _told(args: argparse.Namespace, id_: str, at: str, cautions: list[str]) -> int:
    """What the entry changed: the verdicts on its feature, or the question it raises. cautions:
    what has to be said of it besides."""
    job = opened(args.job)
    if isinstance(job, int):
        return job
    from sparkout.cli.checking import judged_sizes
    from sparkout.cli.entering import ungauged, work_cautions
    from sparkout.report.documents.standing import Judged, judged
    from sparkout.report.text.layout import wrapped

    feature = args.reading[0] if args.reading else ""
    question = next(
        (str(item.question) for item in job.located.questioned if item.typed.entry == id_), None
    )
    known = judged(job) if args.kind in ("reading", "work") else Judged(job)
    about = [
        finding.reason
        for finding in known.job.findings
        if id_ in finding.entries and finding.verdict.value != "not measured"
    ]
    sizes = judged_sizes(known, id_)
    if args.kind == "work":
        cautions = [*cautions, *work_cautions(known, id_)]
    cautions = [*cautions, *ungauged(args.kind, _size_rows(args))]
    if args.json:
        body = {"id": id_, "at": at, "kind": args.kind, "verdicts": about, "judged_by": sizes,
                "cautions": cautions, "question": question}  # fmt: skip
        show_json("record", body)
        return 0
    head = f"{args.kind} recorded {at}, {id_}" + (f": {feature}" if feature else "")
    print("\n".join(wrapped(head, "", "  ")))
    for text in cautions:
        print("\n".join(wrapped(text, "  ! ")))
    for text in (*about, *sizes):
        print("\n".join(wrapped(text, "  ")))
    if question:
        say(f"  ? {question}")
        start = f"sparkout record {args.job} --kind correction --field of={id_}"
        say("  To confirm it:")
        say(f"    {start} --field action=confirm --field reason=…")
        say("  To correct it:")
        say(f"    {start} --field action=replace --field reason=… --field body.typed=…")
    return 0
