"""From what could be looked up to a set-up: what is missing named, what cannot be refused."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from sparkout.setups._lookup import Missing
from sparkout.setups.number import Given
from sparkout.setups.record import SetUp

__all__ = ["made", "present"]


def present(value: Any) -> Any:
    """The value, or None where it is missing."""
    return None if isinstance(value, Missing) else value


def made(
    kind: str,
    make: Callable[..., SetUp],
    features: tuple[str, ...],
    needed: Mapping[str, Any],
    wanted: Mapping[str, Any] | None = None,
    plain: Mapping[str, Any] | None = None,
) -> SetUp:
    """A set-up of one kind, whatever is known.

    needed: inputs without which there is no number; where one is missing the set-up only names what
    to read. wanted: inputs that add numbers; where one is missing it is named and left out. plain:
    anything else the maker takes. Numbers that cannot be come back as the refusal that `make`
    raised, in its own words.
    """
    first = tuple(value.what for value in needed.values() if isinstance(value, Missing))
    if first:
        return SetUp(kind, features=features, read_first=first)
    extra = wanted or {}
    also = tuple(value.what for value in extra.values() if isinstance(value, Missing))
    some = {name: value for name, value in extra.items() if not isinstance(value, Missing)}
    try:
        result = make(**needed, **some, **(plain or {}))
    except ValueError as refusal:
        inputs = tuple(v for v in (*needed.values(), *some.values()) if isinstance(v, Given))
        return SetUp(kind, features=features, refused=(str(refusal),), inputs=inputs)
    read = tuple(dict.fromkeys((*result.read_first, *also)))
    return replace(result, features=features, read_first=read)
