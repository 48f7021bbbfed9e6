"""A form for readings as a spreadsheet: to be filled in anywhere and read back without a loss.

The value is a text column, so that 3/8 stays 3/8 and 100.240 keeps its last digit; beside it
stands the same as a number, for those who compute in the sheet. Nothing typed can become a
formula or a link.
"""

from __future__ import annotations

import datetime
import io
import os
from collections.abc import Iterable, Mapping

from sparkout.measure.intake.numbers import decimal_of
from sparkout.measure.intake.records import FIELDS

__all__ = ["write_form"]

# Headers that the words module knows, in the order in which one fills them in.
_COLUMNS = (
    ("feature", "Feature", 18),
    ("characteristic", "Characteristic", 24),
    ("level", "Level", 10),
    ("direction", "Direction", 12),
    ("typed", "Value", 16),
    ("", "Value as a number", 18),
    ("unit", "Unit", 10),
    ("gauge", "Gauge", 12),
    ("phase", "Phase", 10),
    ("note", "Note", 40),
)
_MADE = datetime.datetime(2000, 1, 1)  # the same rows give the same file


def write_form(
    path: str | os.PathLike[str] | io.BytesIO, rows: Iterable[Mapping[str, str]]
) -> None:
    """Write a spreadsheet with one row for each reading to be taken, or taken already.

    path: where to write it [-], or a buffer.
    rows: fields of readings [-], with or without "typed".
    Returns nothing [-].
    Holds for the fields of a reading; master, temperatures and the like go into the note.
    Source: our own form.
    Raises KeyError naming a field that the form has no column for.

    >>> out = io.BytesIO()
    >>> write_form(out, [{"feature": "bore 1", "characteristic": "bore diameter"}])
    >>> out.getvalue()[:2]
    b'PK'
    """
    import xlsxwriter

    known = [field for field, _, _ in _COLUMNS if field]
    listed = [dict(row) for row in rows]
    for row in listed:
        for field in row:
            if field not in known:
                why = "has no column in the form" if field in FIELDS else "is no field of a reading"
                raise KeyError(f"{field!r} {why}; the columns are {', '.join(known)}")
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(path, options) as book:
        book.set_properties({"title": "Readings", "created": _MADE})
        bold = book.add_format({"bold": True, "bottom": 1})
        text = book.add_format({"num_format": "@"})
        number = book.add_format({"num_format": "General", "font_color": "#5A5A5A"})
        sheet = book.add_worksheet("Readings")
        sheet.freeze_panes(1, 0)
        for column, (field, header, width) in enumerate(_COLUMNS):
            sheet.set_column(column, column, width, text if field else number)
            sheet.write_string(0, column, header, bold)
        for at, row in enumerate(listed, start=1):
            for column, (field, _, _) in enumerate(_COLUMNS):
                if field:
                    if row.get(field):
                        sheet.write_string(at, column, row[field], text)
                    continue
                value = decimal_of(row.get("typed", "").strip())
                if value is not None:
                    sheet.write_number(at, column, float(value), number)
