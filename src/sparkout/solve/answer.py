"""What a solver answers: the least-cost plan, or which limits stand in each other's way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

__all__ = ["Effort", "Fixed", "NoPlan", "Optimum", "OverBudget"]

V = TypeVar("V")


class Fixed(Mapping[str, V]):
    """A mapping that cannot be changed after it is made, and can be pickled and hashed."""

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[str, V]) -> None:
        self._items = dict(items)

    def __getitem__(self, key: str) -> V:
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        return hash(frozenset(self._items.items()))

    def __repr__(self) -> str:
        return f"Fixed({self._items!r})"


@dataclass(frozen=True, slots=True)
class Effort:
    """How much work an answer took. Counts, not seconds: the same input gives the same effort."""

    rounds: int = 0
    """Times bounds were worked out and options dropped by them."""
    cells: int = 0
    """Table entries filled in by elimination."""
    nodes: int = 0
    """Branches of a search, where there was one."""


@dataclass(frozen=True, slots=True)
class Optimum:
    """A plan of least cost and, among those, least preference: proven, or it is not returned."""

    cost: int
    preference: int
    picks: Mapping[str, str]
    amounts: Mapping[str, int]
    method: str
    proven: bool = True
    effort: Effort = field(default=Effort(), compare=False)


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No plan is allowed: proven. `conflict` names windows and tallies that cannot hold together.

    A route that only proves that there is none leaves `conflict` empty; `smallest_conflict` finds
    a set in which no member is needless.
    """

    conflict: tuple[str, ...] = ()
    method: str = ""
    proven: bool = True
    effort: Effort = field(default=Effort(), compare=False)


class OverBudget(Exception):  # noqa: N818  (it ends a route, it is not a mistake)
    """A route gave up within its budget: nothing is known about the optimum."""
