"""Many engines planned from one shelf, as one object."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sparkout.forecast.family import FamilyPlan
from sparkout.forecast.pool import Pool

__all__ = ["shelf_data"]


def shelf_data(
    found: FamilyPlan, engine: str, currency: str, begun: Sequence[str], pool: Pool | None
) -> dict[str, Any]:
    """Everything `shelf --json` prints."""
    return {
        "engine": engine,
        "currency": currency,
        "total": found.total / 100,
        "possible": found.possible,
        "scarce": [{"part": part, "pieces": n} for part, n in found.scarce.items()],
        "engines": [
            {
                "job": plan.name,
                "cost": None if plan.cost is None else plan.cost / 100,
                "extra": plan.extra / 100,
                "begun": plan.name in begun,
                "takes": [{"part": part, "pieces": n} for part, n in plan.uses.items()],
                "instead": [{"done": now, "instead_of": alone} for now, alone in plan.instead],
            }
            for plan in found.engines
        ],
        "matched": None
        if pool is None
        else {
            "size": pool.characteristic,
            "within": float(pool.spread),
            "sets": [list(some) for some in pool.sets],
            "left": list(pool.left),
            "unread": pool.unread,
        },
    }
