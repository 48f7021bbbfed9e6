"""Spreadsheets (.xlsx, .ods, .xls) to readings.

A spreadsheet turns what it takes for a date into one (3/8 becomes the third of August), and the
typed text is gone. Such cells are refused by name; they cannot be brought back.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from sparkout.faults import Fault, Place
from sparkout.measure.intake.mapping import ColumnMapping
from sparkout.measure.intake.numbers import number_text
from sparkout.measure.intake.records import Ask, Choice, Readings
from sparkout.measure.intake.rows import readings_of
from sparkout.measure.intake.table import Cell, Row, Table, address
from sparkout.measure.intake.zip_guard import LARGEST, check_zip

__all__ = ["read_workbook", "workbook_table"]

_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # an .xls: compound file of [MS-CFB], 2.2
_SECONDS = 60.0


def read_workbook(
    data: bytes,
    file: str,
    *,
    sheet: str = "",
    decimal: str | None = None,
    mapping: ColumnMapping | None = None,
    kept: Sequence[ColumnMapping] = (),
    unit: str = "",
    fixed: Mapping[str, str] | None = None,
    kinds: Mapping[str, str] | None = None,
) -> Readings:
    """The readings of one sheet of a spreadsheet.

    Numbers are taken with 15 significant digits, as the sheet shows them; a formula counts as its
    result, and one that gave an error as an empty cell. Dates, TRUE and FALSE are refused with the
    name of the cell.

    data: the bytes of the file [-], at most 20 MB.
    file: its name, for the faults [-].
    sheet: the sheet to read [-], empty where only one has anything in it.
    decimal: decimal mark of numbers kept as text [-], None to find it.
    mapping: which column is what [-], None to recall or guess it.
    kept: mappings to recall [-].
    unit: unit of bare numbers [-], where the sheet does not say it.
    fixed: fields that hold for every row [-], such as phase.
    kinds: dimension of each characteristic [-], such as `angle` or `test`; a length where not said.
    Returns drafts, faults, and questions whose answers are to be passed back [-].
    Holds for .xlsx, .ods and .xls. Where the system bounds no processes, neither do we.
    Source: our own rule.

    >>> read_workbook(b"no spreadsheet", "a.xlsx").faults[0].expected
    'a spreadsheet (.xlsx, .ods or .xls)'
    """
    table, faults, ask = workbook_table(data, file, sheet)
    if table is None:
        return Readings(faults=faults, asks=() if ask is None else (ask,))
    return readings_of(
        table, decimal=decimal, mapping=mapping, kept=kept, unit=unit, fixed=fixed, kinds=kinds
    )


def workbook_table(
    data: bytes, file: str, sheet: str = ""
) -> tuple[Table | None, tuple[Fault, ...], Ask | None]:
    """The cells of one sheet of a spreadsheet, whatever stands in them.

    Numbers with 15 significant digits; dates, TRUE and FALSE as cells that are refused by name.

    data: the bytes of the file [-], at most 20 MB.
    file: its name, for the faults [-].
    sheet: the sheet to read [-], empty where only one has anything in it.
    Returns the table, or None with the faults or the question which sheet is meant [-]; an empty
    spreadsheet gives none of the three.
    Holds for .xlsx, .ods and .xls.
    Source: our own rule.

    >>> workbook_table(b"no spreadsheet", "a.xlsx")[1][0].expected
    'a spreadsheet (.xlsx, .ods or .xls)'
    """
    sheets, faults = _sheets(data, file)
    if faults or not sheets:
        return None, faults, None
    names = [one["name"] for one in sheets]
    if not sheet and len(sheets) > 1:
        choices = tuple(Choice(one["name"], _first_row(one)) for one in sheets)
        return None, (), Ask("sheet", "Which sheet holds the readings?", choices)
    if sheet and sheet not in names:
        fault = Fault(Place(file), f'no sheet "{sheet}"', f"one of {', '.join(names)}")
        return None, (fault,), None
    chosen = sheets[names.index(sheet)] if sheet else sheets[0]
    return _table(chosen, file), (), None


def _sheets(data: bytes, file: str) -> tuple[list[dict[str, Any]], tuple[Fault, ...]]:
    """The sheets with anything in them, or why there are none."""
    if data.startswith(b"PK"):
        faults = check_zip(data, file)
        if faults:
            return [], faults
    elif not data.startswith(_OLD):
        fault = Fault(
            Place(file),
            "a file that is no spreadsheet",
            "a spreadsheet (.xlsx, .ods or .xls)",
            "Text with columns is read as such.",
        )
        return [], (fault,)
    elif len(data) > LARGEST:
        return [], (Fault(Place(file), f"{len(data)} bytes", f"at most {LARGEST}"),)
    got = _ask_child(data)
    if "error" in got:
        fault = Fault(
            Place(file),
            f"a spreadsheet that cannot be read ({got['error']})",
            "a sound spreadsheet",
            "Open it, copy the readings to a new one and save that.",
        )
        return [], (fault,)
    return [one for one in got["sheets"] if any(one["rows"])], ()


def _ask_child(data: bytes) -> dict[str, Any]:
    """What the bounded process says of the file."""
    import sparkout

    home = str(Path(sparkout.__file__).parents[1])
    known = os.environ.get("PYTHONPATH", "")
    try:
        done = subprocess.run(
            [sys.executable, "-m", "sparkout.measure.intake.sheet_child"],
            input=data,
            capture_output=True,
            timeout=_SECONDS,
            env={**os.environ, "PYTHONPATH": f"{home}{os.pathsep}{known}" if known else home},
            check=False,
        )
    except subprocess.TimeoutExpired:
        return {"error": f"not read within {_SECONDS:g} s"}
    try:
        got = json.loads(done.stdout)
    except ValueError:
        return {"error": "too large to be laid out, or damaged"}
    return got if isinstance(got, dict) else {"error": "no answer"}


def _table(sheet: Mapping[str, Any], file: str) -> Table:
    """Rows of cells that know their address; gaps are empty cells."""
    rows: list[Row] = []
    name = sheet["name"]
    for number, filled in enumerate(sheet["rows"], start=sheet["first"]):
        if not filled:
            continue
        by_column = {column: (kind, text) for column, kind, text in filled}
        rows.append(
            tuple(
                _cell(
                    *by_column.get(column, ("text", "")),
                    Place(file, number, column, f"{name}!{address(number, column)}"),
                )
                for column in range(1, max(by_column) + 1)
            )
        )
    return Table(tuple(rows))


def _cell(kind: str, text: str, place: Place) -> Cell:
    if kind == "number":
        return Cell(number_text(float(text)), place, numeric=True)
    if kind == "date":
        return Cell("", place, f"the date or time {text}, which the spreadsheet made of the text")
    if kind == "bool":
        return Cell("", place, text)
    return Cell(text.strip(), place)


def _first_row(sheet: Mapping[str, Any]) -> str:
    row: list[tuple[int, str, str]] = next((row for row in sheet["rows"] if row), [])
    return " | ".join(text for _, _, text in row)[:120]
