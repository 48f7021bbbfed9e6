"""How sure it is that a range conforms to its limits."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

from sparkout.measure.estimate import Estimate

__all__ = ["Proof", "prove"]


@dataclass(frozen=True, slots=True)
class Proof:
    """plain: the comparison of the values as they stand. conforming: probability that both ends
    conform; not_conforming: that at least one end does not."""

    plain: bool
    conforming: float
    not_conforming: float


def prove(low: Estimate, high: Estimate, lower: Fraction | None, upper: Fraction | None) -> Proof:
    """Both ends of a range against both limits.

    Risks of the two ends add up (exact when they share one error, Boole's bound otherwise).
    """
    below = _beyond(low, lower, -1) if lower is not None else 0.0
    above = _beyond(high, upper, 1) if upper is not None else 0.0
    plain = (lower is None or low.value >= lower) and (upper is None or high.value <= upper)
    return Proof(plain, max(0.0, 1.0 - below - above), max(below, above))


def _beyond(value: Estimate, limit: Fraction, sense: int) -> float:
    away = float((limit - value.value) * sense)
    if value.u == 0.0:
        return 0.0 if away >= 0 else 1.0
    return 1.0 - NormalDist(0.0, value.u).cdf(away)
