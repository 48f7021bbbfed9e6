"""sparkout bring: bring readings in from a file of columns."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.logargs import add_writer, written
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from typing import Any

HELP = """\
Bring readings in from a CSV file, a spreadsheet (.xlsx, .ods, .xls) or text pasted to
standard input (-). Columns are found by their headings, or named once and remembered;
good rows are entered, bad ones are told with row and column, and nothing is entered
while there is a question."""

SCHEMA = envelope(
    "bring",
    {
        "entered": {"type": "integer"},
        "faults": {"type": "array", "items": {"type": "string"}},
        "questions": {"type": "array", "items": {"type": "string"}},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("file", type=Path, help="CSV file or spreadsheet; - reads pasted text")
    p.add_argument("--column", action="append", default=[], metavar="FIELD=HEADING",
                   help="heading of a field, such as 'value=Maß'; remembered")  # fmt: skip
    p.add_argument("--characteristic", default="", help="what was measured, where no column says")
    p.add_argument("--decimal", choices=(".", ","), help="decimal mark of the file")
    p.add_argument("--delimiter", default="", help="what stands between columns of a CSV file")
    p.add_argument("--unit", default="", help="unit of bare numbers, where the file has none")
    p.add_argument("--sheet", default="", help="which sheet of a spreadsheet")
    p.add_argument("--phase", default="found", choices=("found", "left", "mock-up"),
                   help="when in the job these were read")  # fmt: skip
    p.add_argument("--try", dest="dry", action="store_true", help="read and tell, enter nothing")
    add_writer(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout bring jobs/1204 bench.xlsx\n"
        "  sparkout bring jobs/1204 - --characteristic 'bore diameter' < pasted.txt\n"
        "  sparkout bring jobs/1204 old.csv --column feature=Teil --column value='Maß mm'"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    fixed = {"phase": args.phase}
    if args.characteristic:
        fixed["characteristic"] = args.characteristic
    from sparkout.cli.bring_columns import mapping_asked
    from sparkout.cli.measuring import file_bytes, file_name
    from sparkout.engine.characteristics import ALL
    from sparkout.measure.intake.files import read_csv

    kept = _kept(args.job)
    data = file_bytes(args.file)
    name = file_name(args.file)
    mapping, wrong = mapping_asked(args, data, name)
    if wrong:
        return show_faults(wrong, args.json)
    asked: dict[str, Any] = {
        "decimal": args.decimal,
        "mapping": mapping,
        "kept": kept,
        "unit": args.unit,
        "fixed": fixed,
        "kinds": {item.name: item.dimension for item in ALL},
    }
    if str(args.file) == "-":
        from sparkout.measure.intake.files import read_pasted
        from sparkout.measure.intake.text import decoded

        text, told = decoded(data, name)
        if text is None:
            return show_faults(told, args.json)
        got = read_pasted(text, name, delimiter=args.delimiter, **asked)
        got = got._replace(faults=(*told, *got.faults))
    elif args.file.suffix.lower() in (".xlsx", ".ods", ".xls"):
        from sparkout.measure.intake.sheet_file import read_workbook

        got = read_workbook(data, name, sheet=args.sheet, **asked)
    else:
        got = read_csv(data, name, delimiter=args.delimiter, **asked)
    questions = [str(ask.sentence) for ask in got.asks]
    from sparkout.engine.readings import Typed, read_typed
    from sparkout.job.entry import draft

    faults = list(got.faults)
    drafts = []
    for row in got.drafts:
        made, wrong = draft("reading", args.by, dict(row.body), row.place)
        if made is not None:
            fields = {
                name: str(row.body[name])
                for name in ("feature", "characteristic", "typed", "level", "direction", "unit",
                             "gauge", "master", "polarity")
                if row.body.get(name)
            }  # fmt: skip
            _, wrong = read_typed(Typed(place=row.place, **fields), job.frame, job.shop)
        faults.extend(wrong)
        if made is not None and not wrong:
            drafts.append(made)
    entered = 0
    if drafts and not questions and not args.dry:
        entered = len(written(job.files.log, drafts, args.device))
        _remember(args.job, got.mapping)
    if args.json:
        sentences = [str(fault) for fault in faults]
        show_json("bring", {"entered": entered, "faults": sentences, "questions": questions})
    else:
        for line in got.evidence:
            say(line)
        print(f"{entered} readings entered from {name}"
              + (f" ({len(drafts)} could be)" if entered != len(drafts) else ""))  # fmt: skip
    for question in questions:
        say(f"? {question}")
    show_faults(faults)
    return 2 if questions or any(fault.stops for fault in faults) else 0


def _kept(folder: Path):  # type: ignore[no-untyped-def]
    """Column mappings kept beside the job."""
    from sparkout.measure.intake.mapping_file import mapping_from_json

    path = folder / "columns.json"
    if not path.exists():
        return ()
    import json

    from sparkout.faults import Place

    found = []
    for item in json.loads(path.read_text(encoding="utf-8")):
        mapping, _ = mapping_from_json(item, Place(path.name))
        if mapping is not None:
            found.append(mapping)
    return tuple(found)


def _remember(folder: Path, mapping: object) -> None:
    from sparkout.measure.intake.mapping import ColumnMapping, remember

    if not isinstance(mapping, ColumnMapping):
        return
    import json

    every = remember(_kept(folder), mapping)
    text = json.dumps([item.to_json() for item in every], ensure_ascii=False, indent=1)
    (folder / "columns.json").write_text(text + "\n", encoding="utf-8")
