"""How sure it is that ranges conform to their limits, for all findings of a job at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from sparkout.judge.conformity.guard import iso_guard_factor
from sparkout.judge.conformity.rules import Outcome
from sparkout.measure.estimate import Estimate

__all__ = ["DECISION_RULES", "Proof", "Range", "decide", "prove_all"]

# The rules a shop may choose: JCGM 106:2012, clause 8, and ISO 14253-1:2017, 5.3.
DECISION_RULES = ("guarded by risk", "prove conformity", "simple acceptance")

# Probabilities come from numerical inversion, good to about 1e-9: a value that lies exactly where
# the planner put it must not fall out by the last digit.
_NUMERICAL = 1e-6


@dataclass(frozen=True, slots=True)
class Range:
    """A range and its limits: lowest and highest local value, None where there is no limit."""

    low: Estimate
    high: Estimate
    lower: Fraction | None
    upper: Fraction | None


@dataclass(frozen=True, slots=True)
class Proof:
    """plain: the comparison of the values as they stand. below, above: probability that the low end
    lies below its limit and the high end above."""

    plain: bool
    below: float
    above: float

    @property
    def conforming(self) -> float:
        """Probability that both ends conform: exact for one shared error, else a bound (Boole)."""
        return max(0.0, 1.0 - self.below - self.above)

    @property
    def not_conforming(self) -> float:
        """Probability that at least one end does not, at least."""
        return max(self.below, self.above)


def prove_all(ranges: Sequence[Range]) -> tuple[Proof, ...]:
    """Every range against its limits, from the exact distribution of its errors.

    P(low end + error < lower limit) and P(high end + error > upper limit), the errors being the
    sum of their components by numerical inversion of the characteristic function.

    ranges: lowest and highest local value with their limits [mm, or any one unit].
    Returns one proof for each range, in the same order.
    Holds for independent components of the shapes of `measure.estimate`; good to about 1e-9.
    Source: JCGM 106:2012, 7.

    >>> from fractions import Fraction
    >>> from sparkout.measure.estimate import Component
    >>> size = Estimate(Fraction("100.196"), (Component("gauge", 0.002),))
    >>> round(prove_all([Range(size, size, None, Fraction("100.2"))])[0].conforming, 5)  # Φ(2)
    0.97725
    """
    ends = [(r.low, r.lower, 1) for r in ranges] + [(r.high, r.upper, -1) for r in ranges]
    beyond = _beyond(ends)
    _whole_range_beyond(ranges, beyond)
    return tuple(
        Proof(
            (r.lower is None or r.low.value >= r.lower)
            and (r.upper is None or r.high.value <= r.upper),
            below,
            above,
        )
        for r, below, above in zip(
            ranges, beyond[: len(ranges)], beyond[len(ranges) :], strict=True
        )
    )


def _whole_range_beyond(ranges: Sequence[Range], beyond: list[float]) -> None:
    """Where even the other end lies beyond a limit it may be the surer one: a gap with no known top
    whose blade that passes is already too thick."""
    places: list[int] = []
    ends: list[tuple[Estimate, Fraction | None, int]] = []
    for i, r in enumerate(ranges):
        if r.low.components == r.high.components:
            continue
        if r.upper is not None and r.low.value > r.upper:
            places.append(len(ranges) + i)
            ends.append((r.low, r.upper, -1))
        if r.lower is not None and r.high.value < r.lower:
            places.append(i)
            ends.append((r.high, r.lower, 1))
    for place, chance in zip(places, _beyond(ends), strict=True):
        beyond[place] = max(beyond[place], chance)


def _beyond(ends: Sequence[tuple[Estimate, Fraction | None, int]]) -> list[float]:
    """P(end + error < limit) for sense 1, P(end + error > limit) for sense −1."""
    found = [0.0] * len(ends)
    doubtful: list[int] = []
    away: list[float] = []
    for i, (end, limit, sense) in enumerate(ends):
        if limit is None:
            continue
        distance = (limit - end.value) * sense
        if not end.components:
            # what has no uncertainty and lies on its limit conforms
            found[i] = 1.0 if distance > 0 else 0.0
        else:
            doubtful.append(i)
            away.append(float(distance))
    if doubtful:
        import numpy as np

        from sparkout.measure.uncertainty.distribution import cdf_many
        from sparkout.measure.uncertainty.sums import Sums

        sums = Sums.of([ends[i][0].components for i in doubtful])
        # errors are symmetric: P(e > x) = P(e < −x)
        for i, p in zip(doubtful, cdf_many(sums, np.array(away)).tolist(), strict=True):
            found[i] = p
    return found


def decide(item: Range, proof: Proof, rule: str, confidence: float) -> Outcome:
    """What a decision rule makes of a range; the rules are those of judge.conformity.rules.

    item: the range and its limits [mm, or any one unit].
    proof: of that range, from `prove_all` [-].
    rule: one of DECISION_RULES [-].
    confidence: probability the rule asks for [-], between 0.5 and 1.
    Returns within, out or not proven.
    Holds for limits on one or both sides; simple acceptance takes no uncertainty into account.
    Source: ISO 14253-1:2017, 5.3; JCGM 106:2012, 8.

    >>> from fractions import Fraction
    >>> from sparkout.measure.estimate import Component
    >>> size = Estimate(Fraction("100.199"), (Component("gauge", 0.002),))
    >>> item = Range(size, size, None, Fraction("100.2"))
    >>> str(decide(item, prove_all([item])[0], "prove conformity", 0.95).value)
    'not proven'
    """
    if rule == "simple acceptance":
        return Outcome.WITHIN if proof.plain else Outcome.OUT
    if rule == "prove conformity":
        factor = iso_guard_factor(confidence)
        low, high = factor * item.low.u, factor * item.high.u
        if _inside(item, low, high):
            return Outcome.WITHIN
        return Outcome.NOT_PROVEN if _inside(item, -low, -high) else Outcome.OUT
    if proof.conforming >= confidence - _NUMERICAL:
        return Outcome.WITHIN
    if proof.not_conforming >= confidence - _NUMERICAL:
        return Outcome.OUT
    return Outcome.NOT_PROVEN


def _inside(item: Range, guard_low: float, guard_high: float) -> bool:
    below = item.lower is not None and float(item.low.value - item.lower) < guard_low
    above = item.upper is not None and float(item.upper - item.high.value) < guard_high
    return not (below or above)
