"""Rows of cells, from wherever they came, each cell knowing where it stands."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.faults import Fault, Place

__all__ = ["DELIMITERS", "Cell", "Row", "Table", "address", "split_lines"]

DELIMITERS = {
    ",": "comma",
    ";": "semicolon",
    "\t": "tab",
    "|": "bar",
    "  ": "two or more spaces",
    " ": "any space",
}
"""What can stand between columns, and its name."""

_GAPS = {"  ": re.compile(r" {2,}|\t+| *\t *"), " ": re.compile(r"\s+")}


class Cell(NamedTuple):
    """One cell. refused: why it cannot be taken as typed (a date, a true or false).

    numeric: it came as a number, so its mark is ours and says nothing about the file.
    """

    text: str
    place: Place
    refused: str = ""
    numeric: bool = False


Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """All rows that are not empty, the header among them, and what was wrong with the file."""

    rows: tuple[Row, ...]
    faults: tuple[Fault, ...] = ()


def address(row: int, column: int) -> str:
    """The name of a cell in a spreadsheet.

    row: row number [-], from 1.
    column: column number [-], from 1.
    Returns letters and number [-].
    Holds for any size.
    Source: ISO/IEC 29500-1:2016, 18.18.62 (A1 style), recalled from memory.

    >>> address(7, 2), address(1, 27), address(1048576, 16384)
    ('B7', 'AA1', 'XFD1048576')
    """
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row}"


def split_lines(lines: Iterable[str], delimiter: str, file: str) -> Table:
    """The table of some lines of text.

    Quotes work as in comma-separated files, with any single mark between the columns.

    lines: the lines with their line ends [-].
    delimiter: one of DELIMITERS [-].
    file: name for the places [-].
    Returns the rows that are not empty, and a fault where quotes do not match [-].
    Holds for the quoting of RFC 4180; a quote inside a field (3 27/64") stays as it is.
    Source: RFC 4180, 2.

    >>> [cell.text for cell in split_lines(['"a, b",c'], ",", "a.csv").rows[0]]
    ['a, b', 'c']
    """
    rows: list[Row] = []
    faults: list[Fault] = []
    try:
        for line, texts in _split(lines, delimiter):
            if any(text.strip() for text in texts):
                rows.append(
                    tuple(
                        Cell(text.strip(), Place(file, line, column))
                        for column, text in enumerate(texts, start=1)
                    )
                )
    except _Unbalanced as error:
        faults.append(
            Fault(
                Place(file, error.line),
                f"quotes that do not match ({error.why})",
                'a field in quotes as "…", with quotes inside it doubled',
                "Nothing after this line was read.",
            )
        )
    return Table(tuple(rows), tuple(faults))


class _Unbalanced(Exception):  # noqa: N818 - never leaves this module
    def __init__(self, line: int, why: str) -> None:
        super().__init__(line, why)
        self.line = line
        self.why = why


def _split(lines: Iterable[str], delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Line number and texts of each row."""
    gaps = _GAPS.get(delimiter)
    if gaps is not None:
        for at, text in enumerate(lines, start=1):
            yield at, gaps.split(text.strip())
        return
    reader = csv.reader(lines, delimiter=delimiter, strict=True, skipinitialspace=True)
    while True:
        line = reader.line_num + 1
        try:
            texts = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise _Unbalanced(line, str(error)) from error
        yield line, texts
