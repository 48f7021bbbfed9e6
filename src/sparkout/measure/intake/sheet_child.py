"""Reads one spreadsheet in a process of its own, with bounds on memory and time.

The reader is compiled code that lays out every sheet as a full rectangle: two cells in opposite
corners ask for hundreds of gigabytes, and running out of memory ends the process. So the process
is one that may end. It takes the file on standard input and gives JSON on standard output.
"""

from __future__ import annotations

import datetime
import io
import json
import sys
from typing import Any

__all__ = ["MEMORY", "SECONDS", "main", "sheets_of"]

MEMORY = 1 << 30
"""Bytes of address space."""
SECONDS = 20
"""Seconds of processor time."""
_MOST_CELLS = 400_000
_LONGEST = 1_000


def sheets_of(data: bytes) -> dict[str, Any]:
    """The sheets of a workbook: name, first row, and rows of (kind, text, column) cells.

    data: the bytes of the file [-].
    Returns {"sheets": …} or {"error": …} [-].
    Holds for .xlsx, .xls and .ods.
    Source: our own format between two processes.

    >>> sorted(sheets_of(b"no spreadsheet"))
    ['error']
    """
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        sheets = []
        left = _MOST_CELLS
        for name in book.sheet_names:
            sheet = book.get_sheet_by_name(name)
            start = sheet.start
            if start is None:
                continue
            left -= sheet.height * sheet.width
            if left < 0:
                return {"error": f"more than {_MOST_CELLS} cells"}
            rows = [
                [[at, *_cell(value)] for at, value in enumerate(row, start[1] + 1) if value != ""]
                for row in sheet.to_python(skip_empty_area=True)
            ]
            sheets.append({"name": name, "first": start[0] + 1, "rows": rows})
    except (CalamineError, OSError, ValueError) as error:
        return {"error": f"{error}"[:200] or type(error).__name__}
    return {"sheets": sheets}


def _cell(value: object) -> tuple[str, str]:
    """Kind and text of one cell."""
    if isinstance(value, bool):
        return "bool", "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return "number", repr(float(value))
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return "date", value.isoformat() if hasattr(value, "isoformat") else str(value)
    return "text", str(value)[:_LONGEST]


def _bound() -> None:
    """Take the bounds upon us, where the system has them."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> None:
    """Standard input to standard output.

    Returns nothing [-].
    Holds for one file; the process is done after it.
    Source: our own.

    >>> callable(main)
    True
    """
    data = sys.stdin.buffer.read()
    _bound()
    try:
        got = sheets_of(data)
    except MemoryError:
        got = {"error": "too large to be laid out"}
    except BaseException as error:
        # Compiled code reports its own faults as an exception beside Exception.
        if isinstance(error, KeyboardInterrupt | SystemExit):
            raise
        got = {"error": f"{error}"[:200] or type(error).__name__}
    sys.stdout.write(json.dumps(got))


if __name__ == "__main__":
    main()
