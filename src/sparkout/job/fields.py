"""How the body of an entry is declared: one field, one specification.

The readers, the writer and the JSON Schema all follow these specifications, so a field is said
once, beside its meaning.
"""

from __future__ import annotations

import dataclasses
import re
from dataclasses import dataclass, field
from typing import Any

__all__ = [
    "LONGEST",
    "Spec",
    "list_field",
    "object_field",
    "records_field",
    "specs",
    "text_field",
]

LONGEST = 10_000
"""Characters in one text: a bound against rubbish, far above anything written at a bench."""


@dataclass(frozen=True, slots=True)
class Spec:
    """What may stand in one field.

    shape: "text", "texts" (a list of texts), "objects" (a list of records of class `of`) or
    "values" (an object of texts and lists: the fields that a correction replaces).
    """

    meaning: str
    shape: str = "text"
    required: bool = False
    one_of: tuple[str, ...] = ()
    pattern: re.Pattern[str] | None = None
    looks_like: str = ""
    of: type | None = None


def text_field(
    meaning: str,
    *,
    required: bool = False,
    one_of: tuple[str, ...] = (),
    pattern: str = "",
    looks_like: str = "",
) -> Any:
    """A field of text. The empty text means "not said" and is left out of the log."""
    spec = Spec(
        meaning,
        required=required,
        one_of=one_of,
        pattern=re.compile(pattern) if pattern else None,
        looks_like=looks_like,
    )
    if required:
        return field(metadata={"spec": spec})
    return field(default="", metadata={"spec": spec})


def list_field(meaning: str, *, required: bool = False) -> Any:
    """A field holding a list of texts; none is the empty list."""
    spec = Spec(meaning, shape="texts", required=required)
    if required:
        return field(metadata={"spec": spec})
    return field(default=(), metadata={"spec": spec})


def records_field(meaning: str, of: type) -> Any:
    """A field holding a list of small records of one class."""
    return field(default=(), metadata={"spec": Spec(meaning, shape="objects", of=of)})


def object_field(meaning: str) -> Any:
    """A field holding an object of other fields, kept as sorted (name, value) pairs."""
    return field(default=(), metadata={"spec": Spec(meaning, shape="values")})


def specs(record: type) -> dict[str, Spec]:
    """The specification of every field of a body or record, by name, in the order declared."""
    return {part.name: part.metadata["spec"] for part in dataclasses.fields(record)}
