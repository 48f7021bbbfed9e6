"""What stands between the columns and which mark is the decimal one: found with evidence, or asked.

A wrong guess here makes wrong numbers without a word (100,246 is a bore or a hundred metres), so
a guess is made only where the file proves it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.measure.intake.records import Ask, Choice
from sparkout.measure.intake.table import DELIMITERS, Row, split_lines
from sparkout.measure.intake.words import recognised

__all__ = ["Layout", "decimal_mark", "find_delimiter", "header_row"]

_SAMPLE = 200  # lines looked at
_HEADER_WITHIN = 20  # rows in which the header is looked for
_NUMBER = re.compile(r"[+-]?(\d*)([.,])(\d+)(?:\s*[^\d\s.,][^\d.,]*)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Layout:
    """How a text file is laid out. decimal "" where no number has a fraction."""

    delimiter: str
    decimal: str


class Found(NamedTuple):
    """An answer with its evidence, or a question."""

    answer: str
    evidence: tuple[str, ...]
    ask: Ask | None = None


def header_row(rows: Sequence[Row]) -> int | None:
    """Where the header stands: the first row with two words that readings have.

    rows: rows of a table, top first [-].
    Returns the index of the row [-], None where no row of the first 20 is a header.
    Holds for the words of the words module.
    Source: our own rule.

    >>> table = split_lines(["Report 12", "feature,value", "bore 1,100.2"], ",", "a.csv")
    >>> header_row(table.rows)
    1
    """
    for at, row in enumerate(rows[:_HEADER_WITHIN]):
        if sum(recognised(cell.text) for cell in row) >= 2:
            return at
    return None


class _Try(NamedTuple):
    delimiter: str
    columns: int
    rows: int
    fitting: int
    known: int
    cells: tuple[tuple[str, ...], ...]

    @property
    def rank(self) -> tuple[int, int]:
        """Known header words, and how few cells of the header are none."""
        return self.known, self.known - self.columns

    @property
    def sample(self) -> str:
        return " | ".join(self.cells[min(1, len(self.cells) - 1)])


def find_delimiter(lines: Sequence[str], delimiters: Sequence[str]) -> Found:
    """What stands between the columns.

    A mark is possible where it gives at least two columns and nine of ten rows have as many cells
    as the header; every second row is enough under a header of known words. Of several possible
    ones that wins under which most header words are known and fewest are not, if two are known;
    else it is asked.

    lines: lines of the file with their line ends [-].
    delimiters: the marks to try [-], keys of DELIMITERS.
    Returns the mark with the evidence, or a question [-].
    Holds for tables whose first row, or header, is whole.
    Source: our own rule.

    >>> find_delimiter(["feature;value", "bore 1;100,246"], [",", ";"]).answer
    ';'
    """
    sample = [line for line in lines if line.strip()][:_SAMPLE]
    tries: list[_Try] = []
    for mark in delimiters:
        tried = _tried(sample, mark)
        if tried is not None and all(tried.cells != other.cells for other in tries):
            tries.append(tried)
    if not tries:
        return Found("", ("no mark gives every row as many cells as the header",), _ask([], sample))
    best = max(tried.rank for tried in tries)
    leading = [tried for tried in tries if tried.rank == best]
    if len(tries) == 1 or (len(leading) == 1 and best[0] >= 2):
        (chosen,) = leading
        name = DELIMITERS[chosen.delimiter]
        seen = [f"{chosen.fitting} of {chosen.rows} rows have {chosen.columns} cells at the {name}"]
        if chosen.known:
            seen.append(f"{chosen.known} of {chosen.columns} headers are known words")
        return Found(chosen.delimiter, tuple(seen))
    return Found("", (), _ask(tries, sample))


def _tried(sample: list[str], delimiter: str) -> _Try | None:
    rows = split_lines(sample, delimiter, "").rows
    start = header_row(rows)
    body = rows[start or 0 :]
    if not body:
        return None
    columns = len(body[0])
    fitting = sum(len(row) == columns for row in body)
    known = sum(recognised(cell.text) for cell in body[0])
    if columns < 2 or fitting < (0.5 if known >= 2 else 0.9) * len(body):
        return None
    cells = tuple(tuple(cell.text for cell in row) for row in body)
    return _Try(delimiter, columns, len(body), fitting, known, cells)


def _ask(tries: Sequence[_Try], sample: Sequence[str]) -> Ask:
    choices = tuple(
        Choice(tried.delimiter, f"{DELIMITERS[tried.delimiter]}: {tried.sample}") for tried in tries
    )
    first = tuple(line.rstrip("\r\n")[:120] for line in sample[:5])
    return Ask("delimiter", "What stands between the columns?", choices, first)


def decimal_mark(rows: Sequence[Row], delimiter: str) -> Found:
    """Which mark is the decimal one.

    A comma is proven by a number that cannot be thousands: other than three digits after it, none
    or more than three before it, or a leading zero. A point needs no proof, save in a file with
    semicolons, where it may part thousands. Two different marks, or no proof, are asked about.

    rows: the rows below the header [-].
    delimiter: what stands between the columns [-], empty in a spreadsheet.
    Returns the mark with the evidence, "" where no number has one, or a question [-].
    Holds for columns of plain numbers, with or without a unit behind them.
    Source: our own rule; ISO 80000-1:2009, 7.3.2 allows both marks and no mark but space for
    groups.

    >>> table = split_lines(["bore 1;100,24"], ";", "a.csv")
    >>> decimal_mark(table.rows, ";").answer
    ','
    """
    seen: dict[str, list[str]] = {".": [], ",": []}
    proof: dict[str, str] = {}
    for row in rows:
        for cell in row:
            found = None if cell.numeric else _NUMBER.fullmatch(cell.text)
            if found:
                before, mark, after = found.groups()
                seen[mark].append(cell.text)
                if len(after) != 3 or not 1 <= len(before) <= 3 or before.startswith("0"):
                    proof.setdefault(mark, cell.text)
    points, commas = seen["."], seen[","]
    if not points and not commas:
        return Found("", ("no number has a decimal mark",))
    if points and commas:
        return Found(
            "", (), _ask_decimal(commas, points, "Both marks stand in this file; which is decimal?")
        )
    mark = "," if commas else "."
    numbers = commas or points
    if mark in proof:
        return Found(mark, (f"{proof[mark]} can only have a decimal {_name(mark)}",))
    if mark == "." and delimiter != ";":
        return Found(mark, (f"{len(points)} numbers with a point, such as {points[0]}",))
    sentence = f"Is the {_name(mark)} in {numbers[0]} the decimal mark, or does it part thousands?"
    return Found("", (), _ask_decimal(commas, points, sentence))


def _ask_decimal(commas: list[str], points: list[str], sentence: str) -> Ask:
    numbers = (commas or points)[:5]
    choices = []
    for mark, other in ((".", ","), (",", ".")):
        read = [number.replace(other, "").replace(mark, ".") for number in numbers]
        choices.append(Choice(mark, f"decimal {_name(mark)}: {', '.join(read)}"))
    evidence = [f"numbers in the file: {', '.join(numbers)}"]
    if commas and points:
        evidence.append(f"and: {', '.join(points[:5])}")
    return Ask("decimal", sentence, tuple(choices), tuple(evidence))


def _name(mark: str) -> str:
    return "comma" if mark == "," else "point"
