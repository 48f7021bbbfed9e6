"""Which column is what, as said on the command line of `bring`."""

from __future__ import annotations

from sparkout.cli.columns import Answers, Role, rows_of_text
from sparkout.faults import Fault, Place
from sparkout.measure.intake.mapping import ColumnMapping, ValueColumn
from sparkout.measure.intake.records import FIELDS
from sparkout.measure.intake.sheet_file import workbook_table
from sparkout.measure.intake.table import Table
from sparkout.measure.intake.text import decoded
from sparkout.measure.intake.words import field_of, split_unit
from sparkout.sheet.nearest import nearest

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

__all__ = ["mapping_asked"]

_SHEETS = (".xlsx", ".ods", ".xls")
_NAMES = ("value", *(field for field in FIELDS if field != "typed"))


def mapping_asked(
    args: argparse.Namespace, data: bytes, name: str
) -> tuple[ColumnMapping | None, tuple[Fault, ...]]:
    """The mapping that --column asks for, over what the other headings say; None where nothing
    was asked."""
    if not args.column:
        return None, ()
    given, faults = _given(args.column)
    if faults:
        return None, tuple(faults)
    table, wrong = _table(args, data, name, given)
    if table is None:
        return None, wrong
    wanted = {_plain(heading): field for field, heading in given.items()}
    for row in table.rows[:20]:
        texts = [_plain(cell.text) for cell in row]
        if all(heading in texts for heading in wanted):
            mapping = _mapping(tuple(cell.text for cell in row), wanted)
            if mapping.values:
                return mapping, ()
            place = row[0].place._replace(column=None, key="")
            seen = ", ".join(cell.text for cell in row)[:120]
            remedy = "Say which, such as --column 'value=HEADING'."
            return None, (Fault(place, f"the headings '{seen}'", "one for value", remedy),)
    seen = ", ".join(cell.text for cell in table.rows[0])[:120] if table.rows else "nothing"
    fault = Fault(Place(name), f"the headings '{seen}'", "headings " + ", ".join(given.values()))
    return None, (fault,)


def _given(columns: list[str]) -> tuple[dict[str, str], list[Fault]]:
    given: dict[str, str] = {}
    faults = []
    for typed in columns:
        field, sign, heading = (part.strip() for part in typed.partition("="))
        if not sign or not heading or field not in _NAMES:
            hint = nearest(field, _NAMES)
            remedy = f"Did you mean '{hint}'?" if hint and hint != field else ""
            expected = f"FIELD=HEADING with a field out of {', '.join(_NAMES)}"
            faults.append(Fault(Place(key="--column"), f"'{typed}'", expected, remedy))
        given[field] = heading
    return given, faults


def _table(
    args: argparse.Namespace, data: bytes, name: str, given: dict[str, str]
) -> tuple[Table | None, tuple[Fault, ...]]:
    if args.file.suffix.lower() in _SHEETS:
        table, faults, ask = workbook_table(data, name, args.sheet)
        if ask is not None:
            listed = ", ".join(choice.answer for choice in ask.choices)
            faults = (Fault(Place(name), f"several sheets: {listed}", "one of them by --sheet"),)
        return table, faults
    text, faults = decoded(data, name)
    if text is None:
        return None, faults
    roles = tuple(Role(field, (), text=True) for field in given)
    answers = Answers(tuple(given.items()), args.delimiter, args.decimal or "")
    table, _, faults = rows_of_text(text, name, roles, answers)
    return table, faults


def _mapping(headers: tuple[str, ...], wanted: dict[str, str]) -> ColumnMapping:
    """What was said, and for every other heading what it says itself."""
    columns: list[tuple[str, int]] = []
    value, unit = -1, ""
    taken: set[str] = set(wanted.values())
    for at, header in enumerate(headers):
        field = wanted.get(_plain(header), "")
        if not field:
            field = field_of(header)
            field = "value" if field == "typed" else field
            if not field or field in taken:
                continue
            taken.add(field)
        if field == "value":
            value, unit = at, split_unit(header)[1]
        else:
            columns.append((field, at))
    values = (ValueColumn(value),) if value >= 0 else ()
    return ColumnMapping(headers, tuple(columns), values, unit=unit)


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
