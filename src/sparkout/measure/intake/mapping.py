"""Which column is what: guessed from the headers, given by a person, and remembered.

A mapping belongs to one set of headers. Its JSON form can be kept in a shop file, so that a
question about a file of one kind is asked once.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from sparkout.faults import Fault, Place
from sparkout.measure.intake.layout import Layout
from sparkout.measure.intake.records import FIELDS, Ask, Choice
from sparkout.measure.intake.words import IGNORED, field_of, position_of, split_unit

__all__ = [
    "ColumnMapping",
    "ValueColumn",
    "guess_mapping",
    "recall",
    "remember",
    "signature_of",
    "unused",
]


@dataclass(frozen=True, slots=True)
class ValueColumn:
    """A column of readings, and what holds for all of them ("level" = "top" in a wide table)."""

    column: int
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """Which column is what.

    headers: the texts over the columns. columns: (field, column) pairs, columns counted from 0.
    values: the columns of readings. fixed: (field, text) pairs that hold for the whole file.
    unit: unit of bare numbers, "" where each row or gauge says it. layout: how a text file with
    these headers is laid out, once known.
    """

    headers: tuple[str, ...]
    columns: tuple[tuple[str, int], ...]
    values: tuple[ValueColumn, ...]
    fixed: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    layout: Layout | None = None

    @property
    def signature(self) -> str:
        """The key under which it is remembered."""
        return signature_of(self.headers)

    def to_json(self) -> dict[str, object]:
        """The mapping as plain JSON values, to be kept in a file; columns count from 1 there."""
        plain: dict[str, object] = {
            "form": 1,
            "headers": list(self.headers),
            "columns": {field: column + 1 for field, column in self.columns},
            "values": [{"column": value.column + 1, **dict(value.fields)} for value in self.values],
        }
        if self.fixed:
            plain["fixed"] = dict(self.fixed)
        if self.unit:
            plain["unit"] = self.unit
        if self.layout is not None:
            plain["delimiter"] = self.layout.delimiter
            plain["decimal"] = self.layout.decimal
        return plain


def signature_of(headers: Iterable[str]) -> str:
    """What makes two files of one kind: their headers, whatever the case and spacing.

    headers: texts over the columns [-], in order.
    Returns 16 hexadecimal digits [-].
    Holds for any texts.
    Source: our own rule; the digits are the first of a SHA-256 (FIPS 180-4).

    >>> signature_of(["Feature", "Value "]) == signature_of(["feature", "value"])
    True
    """
    plain = "\x1f".join(" ".join(header.casefold().split()) for header in headers)
    return hashlib.sha256(plain.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def guess_mapping(headers: Sequence[str]) -> tuple[ColumnMapping | None, Ask | None]:
    """The mapping that the headers say, or a question.

    Every known word counts once; a table without a column of values is a wide one if at least two
    headers are levels or directions.

    headers: texts over the columns [-], in order.
    Returns the mapping, or a question where feature or value is not clear [-].
    Holds for the words of the words module.
    Source: our own rule.

    >>> mapping, _ = guess_mapping(["Feature", "Value (mm)", "Operator"])
    >>> mapping.columns, mapping.values[0].column, mapping.unit
    ((('feature', 0),), 1, 'mm')
    """
    texts = tuple(headers)
    found: dict[str, list[int]] = {}
    for column, header in enumerate(texts):
        field = field_of(header)
        if field:
            found.setdefault(field, []).append(column)
    twice = [field for field, columns in found.items() if len(columns) > 1]
    if twice:
        named = ", ".join(texts[column] for column in found[twice[0]])
        return None, _ask(texts, f"Which of {named} is the {twice[0]}?")
    if "feature" not in found:
        return None, _ask(texts, "Which column names the feature?")
    columns = tuple((field, at[0]) for field, at in found.items() if field != "typed")
    if "typed" in found:
        column = found["typed"][0]
        _, unit = split_unit(texts[column])
        return ColumnMapping(texts, columns, (ValueColumn(column),), unit=unit), None
    wide = tuple(
        _wide(column, header) for column, header in enumerate(texts) if position_of(header)
    )
    if len(wide) < 2:
        return None, _ask(texts, "Which column holds the readings?")
    return ColumnMapping(texts, columns, wide), None


def _wide(column: int, header: str) -> ValueColumn:
    _, unit = split_unit(header)
    fields = tuple(position_of(header).items())
    return ValueColumn(column, (*fields, ("unit", unit)) if unit else fields)


def _ask(headers: tuple[str, ...], sentence: str) -> Ask:
    return Ask(
        "columns",
        sentence,
        tuple(Choice(header, f"column {at}") for at, header in enumerate(headers, start=1)),
        (f"known words: {', '.join(FIELDS)}",),
    )


def unused(mapping: ColumnMapping, place: Place) -> tuple[Fault, ...]:
    """A warning for every column that is read as nothing.

    mapping: the columns as they are read [-].
    place: the file and the line of the header [-].
    Returns one warning for each column with a header [-].
    Holds for any mapping.
    Source: our own rule.

    >>> mapping, _ = guess_mapping(["feature", "value", "operator"])
    >>> [fault.found for fault in unused(mapping, Place("a.csv", 1))]
    ['the column "operator", which is not read']
    """
    taken = {column for _, column in mapping.columns} | {one.column for one in mapping.values}
    return tuple(
        Fault(
            place._replace(column=at + 1),
            f'the column "{header}", which is not read',
            f"a column for one of {', '.join(FIELDS)}",
            "Give a mapping if it should be.",
            stops=False,
        )
        for at, header in enumerate(mapping.headers)
        if at not in taken and header and header.casefold() not in IGNORED
    )


def remember(kept: Sequence[ColumnMapping], mapping: ColumnMapping) -> tuple[ColumnMapping, ...]:
    """The mappings to keep after one more: the newest for each set of headers.

    kept: the mappings so far [-].
    mapping: the one that was just used [-].
    Returns all of them, one for each signature [-].
    Holds for any number.
    Source: our own rule.

    >>> mapping, _ = guess_mapping(["feature", "value"])
    >>> len(remember([mapping], mapping))
    1
    """
    return (*(one for one in kept if one.signature != mapping.signature), mapping)


def recall(kept: Sequence[ColumnMapping], headers: Sequence[str]) -> ColumnMapping | None:
    """The mapping that was kept for these headers.

    kept: the mappings so far [-].
    headers: texts over the columns of a new file [-].
    Returns it with the headers as they stand now [-], None where there is none.
    Holds for headers that differ in case and spacing only.
    Source: our own rule.

    >>> mapping, _ = guess_mapping(["feature", "value"])
    >>> recall([mapping], ["Feature", "VALUE"]).headers
    ('Feature', 'VALUE')
    """
    signature = signature_of(headers)
    found = next((one for one in reversed(kept) if one.signature == signature), None)
    return None if found is None else replace(found, headers=tuple(headers))
