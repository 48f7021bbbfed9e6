"""Pieces that the schemas of --json results are made of: every key named, none too many."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    Shape = Mapping[str, Any]

__all__ = [
    "BOUNDS",
    "COUNT",
    "FLAG",
    "MAYBE_NUMBER",
    "MAYBE_TEXT",
    "MAYBE_WHOLE",
    "NUMBER",
    "TEXT",
    "TEXTS",
    "WHOLE",
    "by_name",
    "either",
    "listed",
    "maybe",
    "one_of",
    "record",
]

TEXT: Shape = {"type": "string"}
NUMBER: Shape = {"type": "number"}
COUNT: Shape = {"type": "integer", "minimum": 0}
WHOLE: Shape = {"type": "integer"}
FLAG: Shape = {"type": "boolean"}
MAYBE_TEXT: Shape = {"type": ["string", "null"]}
MAYBE_NUMBER: Shape = {"type": ["number", "null"]}
MAYBE_WHOLE: Shape = {"type": ["integer", "null"]}
TEXTS: Shape = {"type": "array", "items": TEXT}


def record(properties: Mapping[str, Shape]) -> Shape:
    """An object with exactly these keys, all of them there."""
    return {
        "type": "object",
        "properties": dict(properties),
        "required": list(properties),
        "additionalProperties": False,
    }


def listed(item: Shape) -> Shape:
    return {"type": "array", "items": item}


def by_name(item: Shape) -> Shape:
    """An object whose keys are names: of verdicts, of devices."""
    return {"type": "object", "additionalProperties": item}


def maybe(item: Shape) -> Shape:
    """This or null."""
    return {"anyOf": [item, {"type": "null"}]}


def either(*items: Shape) -> Shape:
    return {"anyOf": list(items)}


def one_of(*words: str) -> Shape:
    return {"enum": list(words)}


# Limits as --json prints them everywhere; null where there is none on that side.
BOUNDS: Shape = record({"low": MAYBE_NUMBER, "high": MAYBE_NUMBER, "typed": TEXT})
