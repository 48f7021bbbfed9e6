"""How long what is kept should last, as one object."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from sparkout.measure.wear.remaining import RemainingLife
from sparkout.plan.life import Kept
from sparkout.plan.offers import History

__all__ = ["kept_data"]


def kept_data(kept: Iterable[Kept], history: History | None, engine: str) -> dict[str, Any]:
    """Everything `life --json` prints. Lengths in mm; null for hours is: no end in sight."""
    return {
        "engine": engine,
        "hours_run": None if history is None else float(history.hours),
        "assumed": "" if history is None else history.taken_for_granted,
        "kept": [
            {
                "check": item.own.finding.check.name,
                "left": float(item.own.left),
                "share": float(item.own.share),
                "own": _life(item.own.remaining),
                "family": _life(item.family),
                "why_not": item.own.why,
            }
            for item in kept
        ],
    }


def _life(life: RemainingLife | None) -> dict[str, Any] | None:
    if life is None:
        return None
    p10, p50, p90 = (None if math.isinf(v) else v for v in (life.p10, life.p50, life.p90))
    return {
        "p10": p10,
        "p50": p50,
        "p90": p90,
        "basis": life.basis,
        "warnings": list(life.warnings),
    }
