"""Limits of single sizes decided at sight: most options either mend a thing or plainly do not.

A sum of symmetric single-peaked errors is itself symmetric and single-peaked, so P(error > kσ) ≤
2/(9k²) for k ≥ 2/√3 (Gauss 1823; half of his two-sided bound): what lies further inside its limits
than that is proven, and what lies outside them is not. Only what is left needs the distribution.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.judge.conformity.guard import iso_guard_factor
from sparkout.plan.sizes import MICRO, Size

__all__ = ["Bands", "Ends", "at_sight"]

_GAUSS_FROM = 2.0 / math.sqrt(3.0)

Ends = tuple[float, float]
"""Limits in millionths of the base unit, infinite for none."""


@dataclass(frozen=True, slots=True)
class Bands:
    """How many standard deviations inside its limits a value must lie to be proven at sight.

    alone: with one limit; beside: with two. exact: that many prove it and fewer do not (a shop
    whose rule counts uncertainties, not probabilities).
    """

    alone: float
    beside: float
    exact: bool

    @classmethod
    def of(cls, rule: str, confidence: float) -> Bands:
        if rule == "guarded by risk":
            risk = 1.0 - confidence
            return cls(_times(risk), _times(risk / 2.0), False)
        factor = iso_guard_factor(confidence) if rule == "prove conformity" else 0.0
        return cls(factor, factor, True)


def _times(risk: float) -> float:
    return max(math.sqrt(2.0 / (9.0 * risk)), _GAUSS_FROM)


def at_sight(size: Size, new: Ends, service: Ends, bands: Bands) -> tuple[bool, ...] | None:
    """Whether each cell keeps its limits; None where that cannot be told at sight.

    new, service: limits of what is as new and of what is used again; those of an over- or undersize
    are moved by it.
    """
    kept = []
    for value in size.cells:
        if value is None or value.free:
            kept.append(True)
            continue
        if value.moves:
            return None
        lower, upper = new if value.new else service
        if value.size:
            moved = float(value.size * MICRO)
            lower, upper = lower + moved, upper + moved
        low, high = value.ends()
        below, above = low - lower, upper - high
        if below < 0.0 or above < 0.0:
            kept.append(False)
            continue
        u_low, u_high = value.scales() if bands.exact else value.deviations()
        times = bands.alone if math.isinf(lower) or math.isinf(upper) else bands.beside
        if below >= times * u_low and above >= times * u_high:
            kept.append(True)
        elif bands.exact or (below == 0.0 and u_low) or (above == 0.0 and u_high):
            kept.append(False)
        else:
            return None
    return tuple(kept)
