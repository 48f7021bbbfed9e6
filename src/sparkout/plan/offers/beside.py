"""What the offers leave of the wear that limits allow, limit by limit, beside one another."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.plan.offers.life import Life
from sparkout.plan.offers.offers import Offer

__all__ = ["AS_NEW_PART", "NOTHING_KNOWN", "Row", "lives_beside"]

AS_NEW_PART, NOTHING_KNOWN = "renewed", "not known"


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One limit: of each offer the life of its worst part that runs on, or why there is none."""

    limit: str
    cells: tuple[Life | str, ...]

    @property
    def differs(self) -> bool:
        """Whether the offers leave it differently."""
        said = {
            cell if isinstance(cell, str) else f"{cell.finding.check.name} {cell.left}"
            for cell in self.cells
        }
        return len(said) > 1


def lives_beside(offers: Iterable[Offer]) -> tuple[Row, ...]:
    """A row for every limit of wear that at least one offer leaves a worn part to; what lasts least
    in the first offer comes first."""
    some = tuple(offers)
    worst = [_worst(offer) for offer in some]
    names = dict.fromkeys(name for lives in worst for name in lives)
    rows = []
    for name in names:
        cells = tuple(
            lives.get(name) or _without(offer, name)
            for lives, offer in zip(worst, some, strict=True)
        )
        rows.append(Row(name, cells))
    return tuple(sorted(rows, key=_soonest))


def _worst(offer: Offer) -> dict[str, Life]:
    found: dict[str, Life] = {}
    for life in offer.lives:  # what lasts least comes first
        found.setdefault(life.finding.check.limit.name, life)
    return found


def _without(offer: Offer, name: str) -> str:
    new = any(f.side == "new" and f.check.limit.name == name for f in offer.plan.after)
    return AS_NEW_PART if new else NOTHING_KNOWN


def _soonest(row: Row) -> tuple[bool, float, float]:
    first = next((cell for cell in row.cells if isinstance(cell, Life)), None)
    assert first is not None
    hours = math.inf if first.remaining is None else first.remaining.p50
    return isinstance(row.cells[0], str), hours, float(first.share)
