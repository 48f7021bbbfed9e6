"""Text files and pasted text to readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sparkout.measure.intake.layout import find_delimiter
from sparkout.measure.intake.mapping import ColumnMapping, signature_of
from sparkout.measure.intake.records import Readings
from sparkout.measure.intake.rows import readings_of
from sparkout.measure.intake.table import split_lines
from sparkout.measure.intake.text import decoded

__all__ = ["read_csv", "read_pasted"]

_IN_FILES = (",", ";", "\t", "|")
_PASTED = ("\t", ";", "|", ",", "  ", " ")


def read_csv(
    data: bytes,
    file: str,
    *,
    delimiter: str = "",
    decimal: str | None = None,
    mapping: ColumnMapping | None = None,
    kept: Sequence[ColumnMapping] = (),
    unit: str = "",
    fixed: Mapping[str, str] | None = None,
    kinds: Mapping[str, str] | None = None,
) -> Readings:
    """The readings of a file with columns.

    data: the bytes of the file [-], at most 20 MB.
    file: its name, for the faults [-].
    delimiter: what stands between the columns [-], empty to find it.
    decimal: the decimal mark [-], None to find it.
    mapping: which column is what [-], None to recall or guess it.
    kept: mappings to recall [-].
    unit: unit of bare numbers [-], where the file does not say it.
    fixed: fields that hold for every row [-], such as phase.
    kinds: dimension of each characteristic [-], such as `angle` or `test`; a length where not said.
    Returns drafts, faults, and questions whose answers are to be passed back [-].
    Holds for comma-separated files and their relatives.
    Source: RFC 4180, for the quoting.

    >>> data = b"Feature;Characteristic;Value (mm)\\nbore 1;bore diameter;100,25\\n"
    >>> got = read_csv(data, "a.csv")
    >>> got.drafts[0].body["typed"], got.layout
    ('100,25', Layout(delimiter=';', decimal=','))
    """
    text, faults = decoded(data, file)
    if text is None:
        return Readings(faults=faults)
    got = _read(text, file, _IN_FILES, delimiter, decimal, mapping, kept, unit, fixed, kinds)
    return got._replace(faults=(*faults, *got.faults))


def read_pasted(
    text: str,
    name: str = "pasted text",
    *,
    delimiter: str = "",
    decimal: str | None = None,
    mapping: ColumnMapping | None = None,
    kept: Sequence[ColumnMapping] = (),
    unit: str = "",
    fixed: Mapping[str, str] | None = None,
    kinds: Mapping[str, str] | None = None,
) -> Readings:
    """The readings of text copied from a spreadsheet, a mail or a printout.

    As `read_csv`, and columns may also be parted by runs of spaces.

    text: the text [-].
    name: what to call it in faults [-].
    delimiter: what stands between the columns [-], empty to find it.
    decimal: the decimal mark [-], None to find it.
    mapping: which column is what [-], None to recall or guess it.
    kept: mappings to recall [-].
    unit: unit of bare numbers [-], where the text does not say it.
    fixed: fields that hold for every row [-], such as phase.
    kinds: dimension of each characteristic [-], such as `angle` or `test`; a length where not said.
    Returns drafts, faults, and questions whose answers are to be passed back [-].
    Holds for text with one header row.
    Source: our own rule.

    >>> text = "feature   characteristic  value (mm)\\nbore 1    bore diameter   100.246"
    >>> read_pasted(text).drafts[0].body["feature"]
    'bore 1'
    """
    return _read(text, name, _PASTED, delimiter, decimal, mapping, kept, unit, fixed, kinds)


def _read(
    text: str,
    file: str,
    marks: Sequence[str],
    delimiter: str,
    decimal: str | None,
    mapping: ColumnMapping | None,
    kept: Sequence[ColumnMapping],
    unit: str,
    fixed: Mapping[str, str] | None,
    kinds: Mapping[str, str] | None,
) -> Readings:
    lines = text.splitlines(keepends=True)
    if not any(line.strip() for line in lines):
        return Readings()
    evidence: tuple[str, ...] = ()
    if not delimiter:
        delimiter, evidence = _kept_delimiter(lines, [mapping] if mapping else kept)
    if not delimiter:
        found = find_delimiter(lines, marks)
        if found.ask is not None:
            return Readings(asks=(found.ask,), evidence=found.evidence)
        delimiter, evidence = found.answer, found.evidence
    table = split_lines(lines, delimiter, file)
    got = readings_of(
        table,
        delimiter=delimiter,
        decimal=decimal,
        mapping=mapping,
        kept=kept,
        unit=unit,
        fixed=fixed,
        kinds=kinds,
    )
    return got._replace(evidence=(*evidence, *got.evidence))


def _kept_delimiter(
    lines: Sequence[str], kept: Sequence[ColumnMapping]
) -> tuple[str, tuple[str, ...]]:
    """The mark of a kept mapping whose headers stand in this text."""
    head = [line for line in lines if line.strip()][:20]
    for mapping in reversed(kept):
        if mapping.layout is None:
            continue
        mark = mapping.layout.delimiter
        for row in split_lines(head, mark, "").rows:
            if signature_of(cell.text for cell in row) == mapping.signature:
                return mark, ("the headers are those of a mapping that was kept",)
    return "", ()
