"""Column mappings that were kept as JSON, read back with every fault named."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from sparkout.faults import Fault, Place
from sparkout.measure.intake.layout import Layout
from sparkout.measure.intake.mapping import ColumnMapping, ValueColumn
from sparkout.measure.intake.records import FIELDS
from sparkout.measure.intake.table import DELIMITERS

__all__ = ["mapping_from_json"]

_KNOWN = ("form", "headers", "columns", "values", "fixed", "unit", "delimiter", "decimal")
_Wrong: TypeAlias = Callable[[str, object, str], None]


def mapping_from_json(
    found: object, place: Place | None = None
) -> tuple[ColumnMapping | None, tuple[Fault, ...]]:
    """The mapping that was kept as JSON.

    found: JSON values as `to_json` of a mapping gives them [-].
    place: where they came from, for the faults [-].
    Returns the mapping, or None and every fault [-].
    Holds for form 1.
    Source: our own format.

    >>> from sparkout.measure.intake.mapping import guess_mapping
    >>> mapping, _ = guess_mapping(["feature", "value"])
    >>> mapping_from_json(mapping.to_json()) == (mapping, ())
    True
    """
    here = Place() if place is None else place
    if not isinstance(found, dict):
        return None, (Fault(here, _shown(found), "an object with headers and columns"),)
    faults: list[Fault] = []

    def wrong(key: str, what: object, expected: str) -> None:
        faults.append(Fault(here._replace(key=key), _shown(what), expected))

    for key in found:
        if key not in _KNOWN:
            wrong(str(key), found[key], f"one of {', '.join(_KNOWN)}")
    if found.get("form") != 1 or isinstance(found.get("form"), bool):
        wrong("form", found.get("form"), "1")
    headers = found.get("headers")
    if not isinstance(headers, list) or not headers or not all(map(_is_text, headers)):
        wrong("headers", headers, "a list of the texts over the columns")
        headers = []
    columns = _columns(found.get("columns"), len(headers), wrong)
    values = _values(found.get("values"), len(headers), wrong)
    fixed = _fields(found.get("fixed", {}), "fixed", wrong)
    unit = found.get("unit", "")
    if not _is_text(unit):
        wrong("unit", unit, "a unit")
    layout = _layout(found, wrong)
    if faults:
        return None, tuple(faults)
    return ColumnMapping(tuple(headers), columns, values, fixed, unit, layout), ()


def _is_text(value: object) -> bool:
    return isinstance(value, str)


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    try:
        return repr(value)[:80]
    except ValueError:  # a whole number of thousands of digits
        return "a number beyond all bounds"


def _column(value: object, count: int) -> int | None:
    """A column counted from 0, of one counted from 1."""
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= count:
        return value - 1
    return None


def _columns(value: object, count: int, wrong: _Wrong) -> tuple[tuple[str, int], ...]:
    if not isinstance(value, dict):
        wrong("columns", value, "an object that names a column for each field")
        return ()
    good = []
    for field, number in value.items():
        column = _column(number, count)
        if field not in FIELDS:
            wrong(f"columns.{field}", field, f"one of {', '.join(FIELDS)}")
        elif column is None:
            wrong(f"columns.{field}", number, f"a column from 1 to {count}")
        else:
            good.append((field, column))
    return tuple(good)


def _values(value: object, count: int, wrong: _Wrong) -> tuple[ValueColumn, ...]:
    if not isinstance(value, list) or not value:
        wrong("values", value, "a list of the columns that hold readings")
        return ()
    good = []
    for at, one in enumerate(value, start=1):
        number = one.get("column") if isinstance(one, dict) else None
        column = _column(number, count)
        if not isinstance(one, dict) or column is None:
            wrong(f"values[{at}].column", number, f"a column from 1 to {count}")
            continue
        rest = {name: text for name, text in one.items() if name != "column"}
        good.append(ValueColumn(column, _fields(rest, f"values[{at}]", wrong)))
    return tuple(good)


def _fields(value: object, key: str, wrong: _Wrong) -> tuple[tuple[str, str], ...]:
    """(field, text) pairs of an object whose names are fields of a reading."""
    if not isinstance(value, dict):
        wrong(key, value, "an object of fields")
        return ()
    good = []
    for name, text in value.items():
        if name not in FIELDS:
            wrong(f"{key}.{name}", name, f"one of {', '.join(FIELDS)}")
        elif not isinstance(text, str):
            wrong(f"{key}.{name}", text, "text")
        else:
            good.append((name, text))
    return tuple(good)


def _layout(found: dict[str, object], wrong: _Wrong) -> Layout | None:
    if "delimiter" not in found and "decimal" not in found:
        return None
    delimiter, decimal = found.get("delimiter"), found.get("decimal")
    if not isinstance(delimiter, str) or delimiter not in DELIMITERS:
        wrong("delimiter", delimiter, f"one of {', '.join(map(repr, DELIMITERS))}")
    elif not isinstance(decimal, str) or decimal not in (".", ",", ""):
        wrong("decimal", decimal, "'.' or ','")
    else:
        return Layout(delimiter, decimal)
    return None
