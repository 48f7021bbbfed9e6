"""From a table and a mapping to drafts: good rows beside bad ones, each bad cell named."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from sparkout.faults import Fault, Place
from sparkout.measure.intake.layout import Layout, decimal_mark, header_row
from sparkout.measure.intake.mapping import (
    ColumnMapping,
    guess_mapping,
    recall,
    signature_of,
    unused,
)
from sparkout.measure.intake.numbers import has_unit, known_unit_name, unreadable
from sparkout.measure.intake.records import FIELDS, Ask, Choice, ReadingDraft, Readings
from sparkout.measure.intake.table import Cell, Row, Table
from sparkout.units.table import dimension_of

__all__ = ["readings_of"]

_WHAT = {
    "feature": 'the feature, such as "bore 2"',
    "characteristic": 'what was measured, such as "bore diameter"',
}


def readings_of(
    table: Table,
    *,
    delimiter: str = "",
    decimal: str | None = None,
    mapping: ColumnMapping | None = None,
    kept: Sequence[ColumnMapping] = (),
    unit: str = "",
    fixed: Mapping[str, str] | None = None,
    kinds: Mapping[str, str] | None = None,
) -> Readings:
    """The readings of a table.

    Where the header is, which column is what and which mark is the decimal one are taken from
    what is given, else from a kept mapping with the same headers, else found with evidence, else
    asked. A row without a value is blank, not bad. Nothing is converted: values stay as typed.

    table: rows of cells [-].
    delimiter: what stood between them [-], empty for a spreadsheet.
    decimal: the decimal mark [-], None to find it.
    mapping: which column is what [-], None to recall or guess it.
    kept: mappings to recall [-].
    unit: unit of bare numbers [-], where the file does not say it.
    fixed: fields that hold for every row [-], such as phase.
    kinds: dimension of each characteristic [-], such as `angle` or `test`; a length where not said.
    Returns drafts, faults and questions [-].
    Holds for any table; drafts are empty while there is a question.
    Source: our own rules.

    >>> from sparkout.measure.intake.table import split_lines
    >>> lines = ["feature,characteristic,value (mm)", "bore 1,bore diameter,100.246"]
    >>> readings_of(split_lines(lines, ",", "a.csv"), delimiter=",").drafts[0].body["typed"]
    '100.246'
    """
    rows = table.rows
    if not rows:
        return Readings(faults=table.faults)
    start = _start(rows, mapping, kept)
    if start is None:
        place = rows[0][0].place._replace(column=None, key="")
        found = ", ".join(cell.text for cell in rows[0])[:120]
        fault = Fault(place, found, f"the headers {', '.join(mapping.headers if mapping else ())}")
        return Readings(faults=(*table.faults, fault))
    headers = tuple(cell.text for cell in rows[start])
    mapping = mapping or recall(kept, headers)
    ask = None
    if mapping is None:
        mapping, ask = guess_mapping(headers)
    if mapping is None:
        return Readings(faults=table.faults, asks=() if ask is None else (ask,))
    evidence: tuple[str, ...] = ()
    body = rows[start + 1 :]
    if decimal is None and mapping.layout is not None:
        decimal = mapping.layout.decimal
    if decimal is None:
        found_mark = decimal_mark(_values(body, mapping), delimiter)
        if found_mark.ask is not None:
            return Readings(faults=table.faults, asks=(found_mark.ask,), mapping=mapping)
        decimal, evidence = found_mark.answer, found_mark.evidence
    layout = Layout(delimiter, decimal or "") if delimiter else None
    reader = _Reader(mapping, decimal or "", unit, dict(fixed or {}), kinds or {})
    reader.read(body)
    asks = reader.asks(body)
    used = ColumnMapping(
        headers,
        mapping.columns,
        mapping.values,
        _kept_fields(mapping, fixed or {}),
        mapping.unit or unit,
        layout,
    )
    here = rows[start][0].place._replace(column=None, key="")
    return Readings(
        () if asks else tuple(reader.drafts),
        (*table.faults, *unused(mapping, here), *reader.faults),
        asks,
        used,
        layout,
        evidence,
        tuple(reader.blank),
    )


def _kept_fields(mapping: ColumnMapping, fixed: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """What to remember of the answers: the characteristic, where no column says it."""
    said = {field for field, _ in (*mapping.columns, *mapping.fixed)}
    if "characteristic" in fixed and "characteristic" not in said:
        return (*mapping.fixed, ("characteristic", fixed["characteristic"]))
    return mapping.fixed


def _start(
    rows: Sequence[Row], mapping: ColumnMapping | None, kept: Sequence[ColumnMapping]
) -> int | None:
    """Where the header stands; None where a given mapping has other headers."""
    wanted = {one.signature for one in ([mapping] if mapping else kept)}
    for at, row in enumerate(rows[:20]):
        if signature_of(cell.text for cell in row) in wanted:
            return at
    if mapping is not None:
        return None
    return header_row(rows) or 0


def _values(body: Sequence[Row], mapping: ColumnMapping) -> list[Row]:
    """Only the cells with readings: a part number with a comma proves nothing."""
    columns = [value.column for value in mapping.values]
    return [tuple(row[column] for column in columns if column < len(row)) for row in body]


def _marks(text: str, mark: str) -> bool:
    """Whether the mark stands in a number, not behind it as in "12 fits, 13 does not"."""
    return re.search(rf"(?:\d|^|[+-]){re.escape(mark)}\d", text, re.ASCII) is not None


class _Reader:
    """Reads rows one after the other; only ever used inside `readings_of`."""

    def __init__(
        self,
        mapping: ColumnMapping,
        decimal: str,
        unit: str,
        fixed: dict[str, str],
        kinds: Mapping[str, str],
    ) -> None:
        self.mapping = mapping
        self.decimal = decimal
        self.unit = mapping.unit or unit
        self.fixed = {**dict(mapping.fixed), **fixed}
        self.kinds = kinds
        self.drafts: list[ReadingDraft] = []
        self.faults: list[Fault] = []
        self.blank: list[Place] = []
        self._unitless: list[Cell] = []
        self._nameless: list[Place] = []

    def read(self, body: Sequence[Row]) -> None:
        width = len(self.mapping.headers)
        for row in body:
            if len(row) > width and any(cell.text for cell in row[width:]):
                extra = row[width]
                self.faults.append(
                    Fault(
                        extra.place,
                        f'"{extra.text}" in a row of {len(row)} cells',
                        f"{width} cells, as the header has",
                        "A mark inside a cell may have parted it: put the cell in quotes.",
                    )
                )
                continue
            self._row(row)

    def _row(self, row: Row) -> None:
        filled = [
            (value, row[value.column])
            for value in self.mapping.values
            if value.column < len(row) and (row[value.column].text or row[value.column].refused)
        ]
        if not filled:
            self.blank.append(row[0].place._replace(column=None, key=""))
            return
        before = len(self.faults)
        common = self._common(row)
        if len(self.faults) > before:
            return
        for value, cell in filled:
            fields = {**common, **dict(value.fields)}
            if self._good(cell, fields):
                self._draft(cell, fields)

    def _common(self, row: Row) -> dict[str, str]:
        """What all readings of a row share."""
        fields = dict(self.fixed)
        for field, column in self.mapping.columns:
            cell = row[column] if column < len(row) else None
            if cell is None or not (cell.text or cell.refused):
                continue
            if cell.refused:
                self.faults.append(Fault(cell.place, cell.refused, f"the {field} as text"))
            elif field == "unit" and not known_unit_name(cell.text):
                expected = "a unit such as mm, in, thou or µm"
                self.faults.append(Fault(cell.place, f'"{cell.text}"', expected))
            else:
                fields[field] = cell.text
        named = {field for field, _ in self.mapping.columns}
        place = row[0].place._replace(column=None, key="")
        if "feature" not in fields:
            self.faults.append(Fault(place, "no feature", _WHAT["feature"]))
        if "characteristic" not in fields:
            if "characteristic" in named:
                self.faults.append(Fault(place, "no characteristic", _WHAT["characteristic"]))
            else:
                self._nameless.append(place)
        return fields

    def _good(self, cell: Cell, fields: Mapping[str, str]) -> bool:
        """True for a value that can be read as it stands."""
        if cell.refused:
            remedy = "Format the column as text before typing, and type the value again."
            self.faults.append(Fault(cell.place, cell.refused, "a reading as text", remedy))
            return False
        other = {".": ",", ",": "."}.get(self.decimal, "")
        if other and _marks(cell.text, other) and not cell.numeric:
            self.faults.append(
                Fault(
                    cell.place,
                    f'"{cell.text}" in a file whose decimal mark is "{self.decimal}"',
                    f'a number without "{other}"',
                    "Leave out marks that part thousands.",
                )
            )
            return False
        if self._kind(fields) != "length":
            # `pass`, a bare angle or a ratio: what it can be is known where the engine is
            return True
        unit = fields.get("unit", "") or self.unit
        refused = unreadable(cell.text, unit)
        if refused is not None:
            self.faults.append(Fault(cell.place, refused.found, refused.expected, refused.remedy))
            return False
        if not has_unit(cell.text) and not unit and "gauge" not in fields:
            self._unitless.append(cell)
        return True

    def _draft(self, cell: Cell, fields: dict[str, str]) -> None:
        body = {**fields, "typed": cell.text}
        if self.unit and not has_unit(cell.text) and self._suits(fields):
            body.setdefault("unit", self.unit)
        ordered = tuple((field, body[field]) for field in FIELDS if body.get(field))
        self.drafts.append(ReadingDraft(cell.place, ordered))

    def _kind(self, fields: Mapping[str, str]) -> str:
        return self.kinds.get(fields.get("characteristic", ""), "length")

    def _suits(self, fields: Mapping[str, str]) -> bool:
        """Whether the unit of the file can be that of this reading: no angle is in mm."""
        return dimension_of(self.unit) in (None, self._kind(fields))

    def asks(self, body: Sequence[Row]) -> tuple[Ask, ...]:
        """What holds for the whole file and is said nowhere in it."""
        asks = []
        if self._unitless:
            shown = ", ".join(cell.text for cell in self._unitless[:5])
            choices = tuple(Choice(unit, f"{shown} in {unit}") for unit in ("mm", "in"))
            sentence = f"In which unit are the {len(self._unitless)} numbers without one?"
            asks.append(Ask("unit", sentence, choices))
        if self._nameless:
            sentence = "What was measured? No column says the characteristic."
            evidence = (f"{len(self._nameless)} rows, from {self._nameless[0]}",)
            asks.append(Ask("characteristic", sentence, (), evidence))
        return tuple(asks)
