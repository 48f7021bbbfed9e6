"""The words that stand over columns of readings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from sparkout.measure.intake.numbers import known_unit_name

__all__ = ["DIRECTIONS", "IGNORED", "LEVELS", "field_of", "position_of", "recognised", "split_unit"]

# Only words that say one thing. "Position" may be a level or a direction, "size" a nominal one:
# such a column is asked about.
_WORDS: Mapping[str, tuple[str, ...]] = {
    "feature": ("feature", "part feature", "measured on", "where"),
    "characteristic": ("characteristic", "measured", "quantity measured", "what"),
    "typed": ("value", "reading", "typed", "measured value", "actual", "result", "as typed"),
    "level": ("level", "plane"),
    "direction": ("direction", "axis"),
    "unit": ("unit", "units"),
    "gauge": ("gauge", "gage", "gauge id", "gage id", "instrument"),
    "master": ("master", "setting master", "setting ring"),
    "polarity": ("polarity", "sign"),
    "clamp_state": ("clamp state", "clamped", "clamping"),
    "support": ("support", "supported on"),
    "part_temperature": ("part temperature", "part temp", "temperature of part"),
    "gauge_temperature": ("gauge temperature", "gage temperature", "gauge temp"),
    "phase": ("phase", "found or left"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}
_FIELD_OF = MappingProxyType({word: field for field, words in _WORDS.items() for word in words})

IGNORED = frozenset({"number", "value as a number"})
"""Columns that repeat another: our own form carries the value a second time, as a number."""

LEVELS = frozenset({"top", "middle", "bottom", "upper", "lower", "front", "rear", "centre"})
"""Words for levels, in the header of a wide table."""
DIRECTIONS = frozenset({"thrust", "axial", "vertical", "horizontal", "transverse"})
"""Words for directions, in the header of a wide table."""

_BRACKETS = re.compile(r"\s*(?:\(([^()]*)\)|\[([^\[\]]*)\])\s*$")
_STROKE = re.compile(r"\s*/\s*([^\s/]+)\s*$")


def split_unit(header: str) -> tuple[str, str]:
    """A header without the unit that stands behind it in brackets or after a stroke.

    header: text over a column [-].
    Returns the words and the unit [-], the unit empty where no known one stands there.
    Holds for "value (mm)", "value [mm]" and "value / mm".
    Source: ISO 80000-1:2009, 7.1.4 (quantity / unit in tables), recalled from memory.

    >>> split_unit("Value [mm]"), split_unit("top / axial"), split_unit("gauge (id)")
    (('Value', 'mm'), ('top / axial', ''), ('gauge', ''))
    """
    found = _BRACKETS.search(header)
    if found is not None and found.start() > 0:
        unit = (found.group(1) or found.group(2) or "").strip()
        return header[: found.start()].strip(), unit if known_unit_name(unit) else ""
    found = _STROKE.search(header)
    if found is not None and found.start() > 0 and known_unit_name(found.group(1)):
        return header[: found.start()].strip(), found.group(1)
    return header.strip(), ""


def field_of(header: str) -> str:
    """The field of a reading that a header names.

    header: text over a column [-].
    Returns the name of the field [-], empty for a header that is not known.
    Holds for the words of this module, whatever their case.
    Source: our own list.

    >>> field_of("Gage ID"), field_of("Operator")
    ('gauge', '')
    """
    words, _ = split_unit(header.replace("_", " "))
    return _FIELD_OF.get(" ".join(words.casefold().split()), "")


def recognised(header: str) -> bool:
    """Whether a header is a known word, or names a level or direction of a wide table.

    header: text over a column [-].
    Returns True where it is [-].
    Holds for the words of this module.
    Source: our own list.

    >>> recognised("Value (mm)"), recognised("top thrust"), recognised("100.246")
    (True, True, False)
    """
    return bool(field_of(header)) or bool(position_of(header))


def position_of(header: str) -> dict[str, str]:
    """Level and direction that a header of a wide table names.

    header: text over a column [-].
    Returns the fields level and direction, as far as named [-]; nothing for any other header.
    Holds for the words of this module.
    Source: our own list.

    >>> position_of("top / axial (mm)"), position_of("top speed")
    ({'level': 'top', 'direction': 'axial'}, {})
    """
    words, _ = split_unit(header)
    said: dict[str, str] = {}
    for word in re.split(r"[\s,/_-]+", words.casefold()):
        field = "level" if word in LEVELS else "direction" if word in DIRECTIONS else ""
        if not field or field in said:
            return {}
        said[field] = word
    return said
