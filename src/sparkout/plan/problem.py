"""The decision as a whole: what is known, what may be done, what must hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sparkout.engine.dimension import Dimension, Key
from sparkout.judge.checks import Check
from sparkout.plan.forms import Group

__all__ = ["Problem", "SharedCost", "StockLimit"]


@dataclass(frozen=True, slots=True)
class SharedCost:
    """Paid once if any of these options is taken: a set-up, a set of parts."""

    name: str
    cost: int
    when: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class StockLimit:
    """No more of a part than can be had."""

    name: str
    at_most: int
    uses: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """One engine's decision. sizes: as they stand; confidence and rule: what
    'proven' asks for; currency: of all costs, for sentences."""

    sizes: Mapping[Key, Dimension]
    groups: tuple[Group, ...]
    checks: tuple[Check, ...]
    shared: tuple[SharedCost, ...] = ()
    stock: tuple[StockLimit, ...] = ()
    confidence: float = 0.95
    rule: str = "guarded by risk"
    notes: tuple[str, ...] = field(default=())
    currency: str = ""
