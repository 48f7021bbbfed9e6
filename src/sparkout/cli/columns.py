"""Columns of numbers that a measuring command asks for, found by their headings or given by name.

A file of readings of an engine goes through `bring`; this is for the files beside it: points of a
part, the readings of a gauge study, the history of a process.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sparkout.faults import Fault, Place
from sparkout.measure.intake.layout import decimal_mark
from sparkout.measure.intake.table import Cell, Row, Table, split_lines
from sparkout.measure.intake.words import split_unit
from sparkout.units import QuantityError, parse
from sparkout.units.table import dimension_of, known_unit

__all__ = ["Answers", "Column", "Columns", "Role", "columns_of", "rows_of_text"]

_HEADER_WITHIN = 20  # rows in which the headings are looked for
_MARKS = (";", "\t", "|", ",", "  ", " ")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
# After this many faults of one file the rest tells nothing new.
_MOST = 20
_LARGEST = 1e12  # beyond what any gauge shows in any unit; its square is still a number


@dataclass(frozen=True, slots=True)
class Role:
    """One column that is asked for. says: the headings it is known by; text: it holds names;
    guess: it may be taken by its place in rows of bare numbers."""

    name: str
    says: tuple[str, ...]
    text: bool = False
    needed: bool = True
    guess: bool = True


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person said about a file: heading of a role, marks, and the unit of bare numbers."""

    columns: tuple[tuple[str, str], ...] = ()
    delimiter: str = ""
    decimal: str = ""
    unit: str = ""

    @property
    def said(self) -> bool:
        return self != Answers()


@dataclass(frozen=True, slots=True)
class Column:
    """One column as it was read. unit: "" where nothing says it; numbers are in that unit."""

    header: str
    unit: str
    numbers: tuple[float, ...] = ()
    texts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns by role, the place of each row, and how all this was found, in words."""

    by_role: Mapping[str, Column]
    places: tuple[Place, ...]
    headers: tuple[str, ...]
    notes: tuple[str, ...]

    def numbers(self, role: str) -> tuple[float, ...]:
        return self.by_role[role].numbers

    def texts(self, role: str) -> tuple[str, ...]:
        return self.by_role[role].texts

    def unit(self, role: str) -> str:
        return self.by_role[role].unit


def rows_of_text(
    text: str, file: str, roles: Sequence[Role], answers: Answers
) -> tuple[Table | None, str, tuple[Fault, ...]]:
    """The rows of a text with the mark between its columns: the first under which the headings
    that are asked for appear, else the first that makes rows of as many numbers."""
    lines = [
        "\n" if line.lstrip().startswith("#") else line for line in text.splitlines(keepends=True)
    ]
    if answers.delimiter:
        return split_lines(lines, answers.delimiter, file), answers.delimiter, ()
    tables = [(mark, split_lines(lines, mark, file)) for mark in _tried(lines)]
    for mark, table in tables:
        heading = _heading(table.rows, roles, answers)
        if heading is not None and _even(table.rows, heading[0]):
            return table, mark, ()
    for mark, table in tables:
        if _plain(table.rows, roles, answers):
            return table, mark, ()
    if not any(line.strip() for line in lines):
        return None, "", (Fault(Place(file), "nothing in it", _expected(roles, answers)),)
    # Under one mark some of the headings may be known: then it can be said which one is missing.
    known = {word for role in roles for word in role.says}
    most, table, mark = max(
        (
            (max((sum(_plain_words(c.text) in known for c in row) for row in some.rows[:20]),
                 default=0), some, mark)
            for mark, some in tables
        ),
        key=lambda item: item[0],
    )  # fmt: skip
    if most:
        return table, mark, ()
    first = next(line for line in lines if line.strip()).strip()
    at = next(k for k, line in enumerate(lines, 1) if line.strip())
    fault = Fault(
        Place(file, at),
        f"the headings '{first[:60]}'",
        _expected(roles, answers),
        "Name the columns in the first row, or say which they are with --column.",
    )
    return None, "", (fault,)


def _tried(lines: Sequence[str]) -> Iterator[str]:
    """Marks that stand in the text, and the tab in any case: without one a line is one column."""
    sample = "".join(lines[:200])
    yield from (mark for mark in _MARKS if mark in sample or mark == "\t")


def _even(rows: Sequence[Row], start: int) -> bool:
    """Whether nine rows of ten have no more cells than the headings: else the mark is no mark."""
    body = rows[start + 1 : start + 201]
    longer = sum(len(row) > len(rows[start]) for row in body)
    return longer <= 0.1 * len(body)


def _expected(roles: Sequence[Role], answers: Answers) -> str:
    given = dict(answers.columns)
    needed = [given.get(role.name, role.name) for role in roles if role.needed]
    listed = needed[0] if len(needed) == 1 else f"{', '.join(needed[:-1])} and {needed[-1]}"
    return f"{'a column' if len(needed) == 1 else 'columns'} named {listed}"


def _plain_words(header: str) -> str:
    words, _ = split_unit(header.replace("_", " "))
    return " ".join(words.casefold().split())


def _heading(
    rows: Sequence[Row], roles: Sequence[Role], answers: Answers
) -> tuple[int, dict[str, int]] | None:
    """The row of headings and the column of each role, where all that is needed is there."""
    given = dict(answers.columns)
    for at, row in enumerate(rows[:_HEADER_WITHIN]):
        found: dict[str, int] = {}
        for role in roles:
            wanted: tuple[str, ...]
            if role.name in given:
                wanted = (" ".join(given[role.name].casefold().split()),)
                texts = [" ".join(cell.text.casefold().split()) for cell in row]
                texts = [*texts, *(_plain_words(cell.text) for cell in row)]
            else:
                wanted, texts = role.says, [_plain_words(cell.text) for cell in row]
            column = next((texts.index(word) for word in wanted if word in texts), None)
            if column is not None:
                found[role.name] = column % max(1, len(row))
        if all(role.name in found for role in roles if role.needed):
            return at, found
    return None


def _plain(rows: Sequence[Row], roles: Sequence[Role], answers: Answers) -> bool:
    """Whether these are rows of bare numbers, one for each column that is needed."""
    needed = [role for role in roles if role.needed]
    if not rows or answers.columns or any(role.text or not role.guess for role in needed):
        return False
    sample = rows[:50]
    return all(
        len(row) == len(needed) and all(_looks_numeric(cell.text) for cell in row) for row in sample
    )


def _looks_numeric(text: str) -> bool:
    return _NUMBER.fullmatch(text.replace("−", "-").replace(",", ".")) is not None


def columns_of(
    table: Table, roles: Sequence[Role], answers: Answers, delimiter: str, file: str
) -> tuple[Columns | None, tuple[Fault, ...]]:
    """The columns asked for, or every fault: which row and column, what was found, what is right.

    delimiter: what stood between the columns, "" for a spreadsheet.
    """
    if table.faults:
        return None, table.faults
    rows = table.rows
    if not rows:
        return None, (Fault(Place(file), "nothing in it", _expected(roles, answers)),)
    heading = _heading(rows, roles, answers)
    notes: list[str] = []
    if heading is not None:
        start, found = heading
        headers = tuple(cell.text for cell in rows[start])
        body = rows[start + 1 :]
    elif _plain(rows, roles, answers):
        needed = [role for role in roles if role.needed]
        found = {role.name: k for k, role in enumerate(needed)}
        headers = tuple(role.name for role in needed)
        body = rows
        notes.append(f"no headings: the columns were taken as {', '.join(headers)}")
    else:
        return None, (_no_heading(rows, roles, answers),)
    decimal, fault = _decimal(body, roles, found, answers, delimiter, file)
    if fault is not None:
        return None, (fault,)
    reader = _Reader(roles, found, headers, decimal, answers.unit)
    reader.read(body)
    if not reader.faults and not reader.places:
        reader.faults.append(
            Fault(rows[0][0].place._replace(column=None), "headings and no rows", "rows below them")
        )
    if reader.faults:
        return None, _first_of(reader.faults, file)
    return Columns(reader.columns(), tuple(reader.places), headers, tuple(notes)), ()


def _first_of(faults: list[Fault], file: str) -> tuple[Fault, ...]:
    if len(faults) <= _MOST:
        return tuple(faults)
    rest = Fault(
        Place(file), f"{len(faults) - _MOST} more faults like these", "rows that can be read"
    )
    return (*faults[:_MOST], rest)


def _no_heading(rows: Sequence[Row], roles: Sequence[Role], answers: Answers) -> Fault:
    """Says which column is missing in the row that looks most like headings."""
    given = dict(answers.columns)
    known = {word for role in roles for word in role.says} | {
        " ".join(text.casefold().split()) for text in given.values()
    }
    row = max(rows[:_HEADER_WITHIN], key=lambda r: sum(_plain_words(c.text) in known for c in r))
    texts = [_plain_words(cell.text) for cell in row]
    missing = [
        given.get(role.name, role.name)
        for role in roles
        if role.needed
        and not any(word in texts for word in role.says)
        and " ".join(given.get(role.name, "\0").casefold().split()) not in texts
    ]
    shown = ", ".join(cell.text for cell in row)[:120]
    needed = [role.name for role in roles if role.needed and role.name not in given]
    first = next((name for name in needed if name in missing), needed[0] if needed else "")
    return Fault(
        row[0].place._replace(column=None, key=""),
        f"the headings '{shown}'",
        f"a column for {', '.join(missing)}" if missing else _expected(roles, answers),
        f"Say which it is, such as --column '{first}=HEADING'." if first else "",
    )


def _decimal(
    body: Sequence[Row],
    roles: Sequence[Role],
    found: Mapping[str, int],
    answers: Answers,
    delimiter: str,
    file: str,
) -> tuple[str, Fault | None]:
    if answers.decimal:
        return answers.decimal, None
    if delimiter == ",":
        return ".", None
    at = [found[role.name] for role in roles if role.name in found and not role.text]
    cells = [tuple(row[k] for k in at if k < len(row)) for row in body]
    got = decimal_mark(cells, delimiter)
    if got.ask is None:
        return got.answer or ".", None
    return "", Fault(
        Place(file),
        f"numbers that can be read in two ways. {got.ask.sentence}",
        "the decimal mark of the file",
        "Give it with --decimal . or --decimal ,",
    )


class _Reader:
    """Reads rows one after the other; only ever used inside `columns_of`."""

    def __init__(
        self,
        roles: Sequence[Role],
        found: Mapping[str, int],
        headers: tuple[str, ...],
        decimal: str,
        unit: str,
    ) -> None:
        self.roles = [role for role in roles if role.name in found]
        self.found = found
        self.headers = headers
        self.decimal = decimal
        self.units = {
            role.name: "" if role.text else split_unit(headers[found[role.name]])[1] or unit
            for role in self.roles
        }
        self.faults: list[Fault] = []
        self.places: list[Place] = []
        self._numbers: dict[str, list[float]] = {r.name: [] for r in self.roles if not r.text}
        self._texts: dict[str, list[str]] = {r.name: [] for r in self.roles if r.text}

    def read(self, body: Sequence[Row]) -> None:
        for row in body:
            self._row(row)

    def columns(self) -> dict[str, Column]:
        return {
            role.name: Column(
                self.headers[self.found[role.name]],
                self.units[role.name],
                tuple(self._numbers.get(role.name, ())),
                tuple(self._texts.get(role.name, ())),
            )
            for role in self.roles
        }

    def _row(self, row: Row) -> None:
        here = row[0].place._replace(column=None, key="")
        extra = [cell for cell in row[len(self.headers) :] if cell.text]
        if extra:
            self.faults.append(Fault(
                extra[0].place, f"'{extra[0].text[:40]}' in a row of {len(row)} cells",
                f"{len(self.headers)} cells, as the headings have",
                "A mark inside a cell may have parted it: put the cell in quotes.",
            ))  # fmt: skip
            return
        for role in self.roles:
            column = self.found[role.name]
            cell = row[column] if column < len(row) else Cell("", here)
            heading = self.headers[column]
            if cell.refused:
                self.faults.append(Fault(cell.place, cell.refused, f"a {heading} as typed"))
            elif role.text:
                if not cell.text and role.needed:
                    self.faults.append(
                        Fault(cell.place, f"no {heading}", f"a {heading} in each row")
                    )
                self._texts[role.name].append(cell.text)
            elif not cell.text:
                self.faults.append(Fault(
                    cell.place, f"no {heading}", "a number in each row",
                    "Take the row out where it was not measured.",
                ))  # fmt: skip
            else:
                self._number(role, cell)
        self.places.append(here)

    def _number(self, role: Role, cell: Cell) -> None:
        text = cell.text.replace("−", "-").strip()
        plain = text if cell.numeric or self.decimal != "," else text.replace(",", ".")
        if self.decimal == "," and "." in text and not cell.numeric:
            plain = ""
        if _NUMBER.fullmatch(plain):
            value = float(plain)
            if abs(value) <= _LARGEST:
                self._numbers[role.name].append(value)
            else:
                found = f"'{cell.text[:40]}'"
                expected = f"a number that a gauge can show, up to {_LARGEST:g}"
                self.faults.append(Fault(cell.place, found, expected))
            return
        typed = self._typed(role, text)
        if typed is not None:
            self._numbers[role.name].append(typed)
            return
        mark = "point" if self.decimal == "." else "comma"
        remedy = ""
        if not self.units[role.name] and re.match(r"[+-]?[\d.,]+\s*[^\W\d]", text):
            remedy = "Where numbers carry a unit, give the unit of the column with --unit."
        self.faults.append(
            Fault(cell.place, f"'{cell.text[:40]}'", f"a number with a decimal {mark}", remedy)
        )

    def _typed(self, role: Role, text: str) -> float | None:
        """A number with its own unit, such as 2.5 thou, in the unit of the column."""
        unit = self.units[role.name]
        dimension = dimension_of(unit) if unit else None
        if dimension is None or not re.search(r"[^\d.,+\-\s]", text):
            return None
        try:
            got = parse(text, dimension, unit)
        except (QuantityError, LookupError):
            return None
        return float(known_unit(unit, dimension).from_base(got.value))
