"""The bill of parts as one object."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sparkout.plan.parts import PartLine
from sparkout.report.materials import Material

__all__ = ["parts_data"]


def parts_data(
    lines: Iterable[PartLine], engine: str, currency: str, used: Iterable[Material] = ()
) -> dict[str, Any]:
    """Everything `parts --json` prints. used: materials beside the parts."""
    some = tuple(lines)
    return {
        "engine": engine,
        "currency": currency,
        "total": sum(line.price for line in some) / 100,
        "parts": [
            {
                "part": line.part,
                "pieces": line.pieces,
                "packages": line.packages,
                "sold_in": line.sold_in,
                "price": line.price / 100,
                "state": line.state,
                "days": line.days,
                "for": list(line.groups),
                "hangs_on": [
                    {"size": str(key), "after": operation} for key, operation in line.hangs_on
                ],
                "sure": line.sure,
                "may_not_be_needed": list(line.unsure),
                "instead": [
                    {
                        "parts": list(item.parts),
                        "more": None if item.more is None else item.more / 100,
                        "days": item.days,
                        "why_not": item.why,
                    }
                    for item in line.instead
                ],
            }
            for line in some
        ],
        "materials": [
            {
                "material": item.name,
                "kind": item.kind,
                "for": list(item.uses),
                "price": None if item.price is None else item.price / 100,
                "percent_of_work": item.share,
            }
            for item in used
        ],
    }
