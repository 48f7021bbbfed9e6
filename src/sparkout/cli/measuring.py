"""What the measuring commands share: a file of columns in, answers about it remembered, and a
picture out as SVG or PDF."""

from __future__ import annotations

import sys
from pathlib import Path

from sparkout.cli.output import say

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from sparkout.cli.columns import Answers, Columns, Role
    from sparkout.faults import Fault

__all__ = [
    "REMEMBERED",
    "add_file",
    "add_picture",
    "add_show",
    "file_bytes",
    "file_name",
    "file_text",
    "in_unit",
    "length_scale",
    "picture_fault",
    "read_file",
    "write_picture",
]

REMEMBERED = "measured-columns.json"
"""Answers about files of columns, kept in the folder of the file."""

_SHEETS = (".xlsx", ".ods", ".xls")


def add_file(p: argparse.ArgumentParser, what: str) -> None:
    """The file and what can be said about it; '-' is text pasted to standard input."""
    p.add_argument("file", type=Path, help=f"{what}; - reads text pasted to standard input")
    p.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="NAME=HEADING",
        help="which heading is meant by a name; again for each; remembered beside the file",
    )
    p.add_argument("--unit", default="", help="unit of bare numbers, where the file has none")
    p.add_argument("--decimal", choices=(".", ","), default="", help="decimal mark of the file")
    p.add_argument("--delimiter", default="", help="what stands between columns of a text file")
    p.add_argument("--sheet", default="", help="which sheet of a spreadsheet")


def add_picture(p: argparse.ArgumentParser) -> None:
    p.add_argument(
        "--picture", type=Path, metavar="FILE", help="write the picture: FILE.svg or FILE.pdf"
    )


def add_show(p: argparse.ArgumentParser) -> None:
    p.add_argument("--show", choices=("mm", "in"), default="", help="unit to answer in")


def file_name(path: Path) -> str:
    return "pasted text" if str(path) == "-" else path.name


def file_bytes(path: Path) -> bytes:
    if str(path) == "-":
        return sys.stdin.buffer.read()
    return path.read_bytes()


def file_text(path: Path) -> tuple[str | None, tuple[Fault, ...]]:
    """The whole text of a file or of what was pasted, or why it is none."""
    from sparkout.measure.intake.text import decoded

    return decoded(file_bytes(path), file_name(path))


def answers_of(args: argparse.Namespace, roles: Sequence[Role]) -> tuple[Answers, list[Fault]]:
    """What was said on the command line, or every fault in it."""
    from sparkout.cli.columns import Answers
    from sparkout.faults import Fault, Place
    from sparkout.sheet.nearest import nearest
    from sparkout.units.table import dimension_of

    faults: list[Fault] = []
    names = [role.name for role in roles]
    columns = []
    for typed in args.column:
        name, sign, heading = (part.strip() for part in typed.partition("="))
        if not sign or name not in names or not heading:
            hint = nearest(name, names)
            remedy = f"Did you mean '{hint}'?" if hint and hint != name else ""
            expected = f"NAME=HEADING with a name out of {', '.join(names)}"
            faults.append(Fault(Place(key="--column"), f"'{typed}'", expected, remedy))
        else:
            columns.append((name, heading))
    delimiter = {"tab": "\t", "\\t": "\t", "space": " "}.get(args.delimiter, args.delimiter)
    if len(delimiter) > 1 and delimiter != "  ":
        expected = "one mark such as ; or the word tab or space"
        faults.append(Fault(Place(key="--delimiter"), f"'{args.delimiter}'", expected))
    if args.unit and dimension_of(args.unit) is None:
        expected = "a unit such as mm, in, thou, µm or kPa"
        faults.append(Fault(Place(key="--unit"), f"'{args.unit}'", expected))
    return Answers(tuple(columns), delimiter, args.decimal, args.unit), faults


def read_file(
    args: argparse.Namespace, roles: Sequence[Role], command: str, *others: Sequence[Role]
) -> tuple[Columns | None, tuple[Fault, ...]]:
    """The columns a command needs, by what was said now, else by what was said of the last file
    with the same headings, else by their headings.

    others: other sets of columns that would do as well; the faults told are those of `roles`.
    """
    every = {role.name: role for some in (roles, *others) for role in some}
    answers, wrong = answers_of(args, tuple(every.values()))
    if wrong:
        return None, tuple(wrong)
    if not args.file.exists() and str(args.file) != "-":
        from sparkout.faults import Fault, Place

        return None, (Fault(Place(str(args.file)), "no such file", "a file of columns"),)
    data = file_bytes(args.file)
    first: tuple[Fault, ...] = ()
    for some in (roles, *others):
        columns, faults = _columns(args, data, some, command, answers)
        if columns is not None:
            return columns, ()
        first = first or faults
    return None, first


def _columns(
    args: argparse.Namespace, data: bytes, roles: Sequence[Role], command: str, answers: Answers
) -> tuple[Columns | None, tuple[Fault, ...]]:
    from sparkout.cli.columns import columns_of, rows_of_text

    path = args.file
    name = file_name(path)
    kept = [] if str(path) == "-" else _kept(path.parent / REMEMBERED, command)
    tries = [answers] if answers.said else [*(item for _, item in reversed(kept)), answers]
    warnings: tuple[Fault, ...] = ()
    if path.suffix.lower() in _SHEETS:
        from sparkout.faults import Fault, Place
        from sparkout.measure.intake.sheet_file import workbook_table

        table, faults, ask = workbook_table(data, name, args.sheet)
        if ask is not None:
            listed = ", ".join(choice.answer for choice in ask.choices)
            fault = Fault(Place(name), f"several sheets: {listed}", "one of them by --sheet")
            return None, (fault,)
        if table is None:
            empty = Fault(Place(name), "nothing in it", "a sheet with columns")
            return None, faults or (empty,)
        tables = [(table, "", ()) for _ in tries]
    else:
        from sparkout.measure.intake.text import decoded

        text, warnings = decoded(data, name)
        if text is None:
            return None, warnings
        tables = [rows_of_text(text, name, roles, said) for said in tries]  # type: ignore[misc]
    got: tuple[Columns | None, tuple[Fault, ...]] = (None, ())
    for said, (found, mark, faults) in zip(tries, tables, strict=True):
        got = (None, faults) if found is None else columns_of(found, roles, said, mark, name)
        columns = got[0]
        if columns is None or not _fits(said, columns, kept):
            continue
        for fault in warnings:
            say(str(fault))
        for note in columns.notes:
            say(f"{name}: {note}.")
        if said is not answers:
            say(f"{name}: columns as remembered in {REMEMBERED}.")
        elif answers.said and str(path) != "-":
            _remember(path.parent / REMEMBERED, command, columns.headers, answers)
        return columns, ()
    return got


def _fits(said: Answers, columns: Columns, kept: Sequence[tuple[tuple[str, ...], Answers]]) -> bool:
    """Remembered answers count only for a file with the very headings they were given for."""
    for headers, known in kept:
        if known is said:
            return tuple(map(_plain, headers)) == tuple(map(_plain, columns.headers))
    return True


def _plain(header: str) -> str:
    return " ".join(header.casefold().split())


def _kept(path: Path, command: str) -> list[tuple[tuple[str, ...], Answers]]:
    """Answers kept for a command, with the headings they belong to; what is broken is left out."""
    import json

    from sparkout.cli.columns import Answers

    try:
        items = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    found = []
    for item in items if isinstance(items, list) else []:
        if not isinstance(item, dict) or item.get("command") != command:
            continue
        headers, columns = item.get("headers"), item.get("columns")
        words = [item.get(key, "") for key in ("delimiter", "decimal", "unit")]
        if (
            isinstance(headers, list)
            and isinstance(columns, dict)
            and all(isinstance(text, str) for text in (*headers, *columns.values(), *words))
        ):
            found.append((tuple(headers), Answers(tuple(columns.items()), *words)))
    return found


def _remember(path: Path, command: str, headers: tuple[str, ...], answers: Answers) -> None:
    import json

    try:
        items = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        items = []
    kept = [
        item
        for item in (items if isinstance(items, list) else [])
        if not (
            isinstance(item, dict)
            and item.get("command") == command
            and isinstance(item.get("headers"), list)
            and [_plain(str(h)) for h in item["headers"]] == [_plain(h) for h in headers]
        )
    ]
    new = {
        "form": 1,
        "command": command,
        "headers": list(headers),
        "columns": dict(answers.columns),
        "delimiter": answers.delimiter,
        "decimal": answers.decimal,
        "unit": answers.unit,
    }
    try:
        text = json.dumps([*kept, new], ensure_ascii=False, indent=1)
        path.write_text(text + "\n", encoding="utf-8")
    except OSError as refused:
        say(f"{path.name}: {refused.strerror}; the answers are not remembered.")
        return
    say(f"Remembered for files with these headings in {path.name}.")


def length_scale(unit: str, show: str) -> tuple[str, float]:
    """Unit to answer in, and what a number in `unit` is multiplied by to be in it. Numbers without
    a unit, or of another kind, stay as they are."""
    from sparkout.units.table import dimension_of, known_unit

    if not show or dimension_of(unit) != "length":
        return unit, 1.0
    return show, float(known_unit(unit, "length").factor / known_unit(show, "length").factor)


def write_picture(path: Path, svg: str, pages: Sequence[str] = ()) -> None:
    """Write a picture as its name says, whole or not at all. Raises CannotError.

    pages: the same in parts, where a PDF would have a page too tall for it.
    """
    from sparkout.cli.papers import write_all

    if path.suffix.lower() == ".pdf":
        from sparkout.report.measuring.page import picture_page

        content = picture_page(*(pages or (svg,)))
    else:
        content = svg.encode()
    write_all(path.parent, {path.name: content})
    say(f"picture: {path}")


def picture_fault(path: Path | None) -> list[Fault]:
    """The fault of a picture whose name says no form that can be written."""
    from sparkout.faults import Fault, Place

    if path is None or path.suffix.lower() in (".svg", ".pdf"):
        return []
    return [Fault(Place(key="--picture"), f"'{path}'", "a file that ends in .svg or .pdf")]


def in_unit(typed: str, unit: str, key: str) -> tuple[float | None, Fault | None]:
    """A typed number, with or without its unit, in the unit of the readings."""
    from sparkout.faults import Fault, Place
    from sparkout.measure.intake.numbers import decimal_of
    from sparkout.units import QuantityError, parse
    from sparkout.units.table import dimension_of, known_unit

    plain = decimal_of(typed.replace("−", "-").strip())
    if plain is not None:
        return float(plain), None
    dimension = dimension_of(unit) if unit else None
    if dimension is None:
        expected = "a number such as 0.05" if not unit else f"a number in {unit}"
        return None, Fault(Place(key=key), f"'{typed}'", expected)
    try:
        value = parse(typed, dimension, unit).value
    except QuantityError as wrong:
        return None, Fault(Place(key=key), f"'{typed}'", wrong.expected, wrong.remedy)
    return float(known_unit(unit, dimension).from_base(value)), None
