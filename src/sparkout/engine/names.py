"""The names that data sheets, shop files and readings may use."""

from __future__ import annotations

from types import MappingProxyType

from sparkout.engine.characteristics import ALL
from sparkout.sheet.names import Names

__all__ = ["QUALIFIERS", "known_names"]

QUALIFIERS = ("intake", "exhaust", "top ring", "second ring", "oil ring")


def known_names() -> Names:
    return Names(
        MappingProxyType({item.name: item.dimension for item in ALL}),
        MappingProxyType({item.name: item.wears for item in ALL}),
        QUALIFIERS,
        MappingProxyType(
            {
                "crank lift": "length",
                "injector reach": "length",
                "sleeve outside diameter": "length",
                "sleeve length": "length",
            }
        ),
    )
