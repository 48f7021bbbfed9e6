"""The names a sheet may use, given by the room that knows features and characteristics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["Names"]


@dataclass(frozen=True, slots=True)
class Names:
    """Characteristic name → dimension and sense of wear; qualifiers that limits may carry.

    extra: sizes that parts may bring but that are not characteristics of a feature of their own.
    """

    dimensions: Mapping[str, str]
    senses: Mapping[str, int]
    qualifiers: tuple[str, ...]
    extra: Mapping[str, str]

    def split(self, name: str) -> tuple[str, str] | None:
        """A limit's qualifier and characteristic: `intake stem clearance`, `top ring gap`."""
        if name in self.dimensions:
            return "", name
        for qualifier in self.qualifiers:
            if not name.startswith(qualifier + " "):
                continue
            rest = name[len(qualifier) + 1 :]
            last = qualifier.rsplit(" ", 1)[-1]
            for candidate in (rest, f"{last} {rest}"):
                if candidate in self.dimensions:
                    return qualifier, candidate
        return None

    def knows(self, name: str) -> bool:
        return name in self.dimensions or name in self.extra

    def dimension(self, name: str) -> str:
        return self.dimensions.get(name) or self.extra[name]

    def wears(self, name: str) -> int:
        return self.senses.get(name, 0)

    def all_limits(self) -> tuple[str, ...]:
        return tuple(self.dimensions)

    def all_sizes(self) -> tuple[str, ...]:
        return (*self.dimensions, *self.extra)
