"""The canonical form of an entry: the bytes that are hashed, the same on every machine.

Form 1: JSON with sorted keys, no spaces, every character written as itself in UTF-8 and only what
JSON requires escaped. Numbers that people typed are text in it; the only numbers are whole ones
(`form`, `number`). For such content it equals RFC 8785 (keys are ASCII, there are no fractions).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping

__all__ = ["FORM", "canonical", "digest", "with_hash"]

FORM = 1
"""The version of the canonical form that this release writes."""

_encode = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
).encode

_ID_KEY = '"id":"'


def canonical(content: Mapping[str, object]) -> str:
    """The canonical text of one JSON object."""
    return _encode(content)


def digest(text: str) -> str:
    """SHA-256 of a canonical text, as 64 hexadecimal digits.

    Raises UnicodeEncodeError for a text holding half a surrogate pair: it has no UTF-8 form.
    """
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def with_hash(text: str, hash_: str) -> str:
    """The line to store: the canonical text of an entry with its hash put in its sorted place.

    The place is before the last `"id":"`: an unescaped quote cannot stand inside a JSON text, so
    this is always a key, and the keys after it hold nothing but text.
    """
    cut = text.rindex(_ID_KEY)
    return f'{text[:cut]}"hash":"{hash_}",{text[cut:]}'
