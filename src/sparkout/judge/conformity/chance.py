"""Probability that a value, or both ends of a range, lie inside limits."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from sparkout.measure.estimate import Estimate, combine
from sparkout.measure.uncertainty.distribution import cdf, cdf_many
from sparkout.measure.uncertainty.special import Floats
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["Conformance", "conformance", "conformance_many", "range_conformance"]


class Conformance(NamedTuple):
    """Probability of lying below the lower limit, inside, above the upper one.

    exact: the three add up to one; otherwise `inside` is a lower bound.
    """

    below: float
    inside: float
    above: float
    exact: bool = True

    @property
    def outside(self) -> float:
        """Probability of not conforming; a lower bound where the ends of a range differ."""
        return self.below + self.above if self.exact else max(self.below, self.above)


def conformance(value: Estimate, lower: Fraction | None, upper: Fraction | None) -> Conformance:
    """Probability that a true value conforms to its limits, given its estimate.

    p = P(lower <= Y <= upper), Y being the estimate plus its errors with their true shapes.

    value: estimate of what is judged [unit of the limits].
    lower: lower limit, None for none [unit of the value].
    upper: upper limit, None for none [unit of the value], not below lower.
    Returns the probabilities below, inside and above [-].
    Holds without knowledge of the process that made the part (a flat prior).
    Source: JCGM 106:2012, 7.2 to 7.4.
    Raises ValueError naming the limits when the upper lies below the lower.

    >>> from sparkout.measure.estimate import Component
    >>> diode = Estimate(Fraction("-5.47"), (Component("meter", 0.05),))
    >>> round(conformance(diode, None, Fraction("-5.40")).inside, 2)
    0.92
    """
    _check(lower, upper)
    below = _tail(value, lower, -1)
    above = _tail(value, upper, 1)
    return Conformance(below, max(0.0, 1.0 - below - above), above)


def range_conformance(
    low: Estimate, high: Estimate, lower: Fraction | None, upper: Fraction | None
) -> Conformance:
    """Probability that the lowest and the highest value of a range both conform.

    1 − P(low end below) − P(high end above): exact when both ends have one error, because then
    both cannot happen; otherwise a bound on the safe side (Boole's inequality).

    low: estimate of the lowest local value [unit of the limits].
    high: estimate of the highest local value [unit of the limits], not below low.
    lower: lower limit, None for none [unit of the limits].
    upper: upper limit, None for none [unit of the limits], not below lower.
    Returns the probabilities below, inside and above [-].
    Holds for ends with any errors, shared or not.
    Source: JCGM 106:2012, 7.4; Boole's inequality for two ends.
    Raises ValueError naming the limits or the ends when they are in the wrong order.

    >>> from sparkout.measure.estimate import Component
    >>> ring = (Component("ring", 0.004),)
    >>> ends = Estimate(Fraction("86.010"), ring), Estimate(Fraction("86.018"), ring)
    >>> found = range_conformance(*ends, Fraction(86), Fraction("86.025"))
    >>> round(found.inside, 4), found.exact
    (0.9537, True)
    """
    _check(lower, upper)
    if high.value < low.value:
        raise ValueError(f"high end {float(high.value)} lies below low end {float(low.value)}")
    below, above = _tail(low, lower, -1), _tail(high, upper, 1)
    one_sided = lower is None or upper is None
    same = one_sided or set(combine(low.components)) == set(combine(high.components))
    return Conformance(below, max(0.0, 1.0 - below - above), above, same)


def conformance_many(
    values: ArrayLike, sums: Sums, lower: ArrayLike, upper: ArrayLike, tolerance: float = 1e-9
) -> Floats:
    """Probability, for many values at once, that each conforms to its limits.

    As `conformance`, row by row.

    values: estimates, shape (rows,) [unit of the limits].
    sums: their errors, one in each row [unit of the limits].
    lower: limits, minus infinity for none, shape (rows,) [unit of the values].
    upper: limits, infinity for none, shape (rows,) [unit of the values].
    tolerance: absolute error of probability allowed [-], 1e-12 to 1e-3.
    Returns the probabilities of lying inside [-], shape (rows,).
    Holds without knowledge of the process that made the parts.
    Source: JCGM 106:2012, 7.2 to 7.4.

    >>> from sparkout.measure.estimate import Component
    >>> one = Sums.of([(Component("meter", 0.05),)])
    >>> [round(float(p), 2) for p in conformance_many([-5.47], one, [-np.inf], [-5.40])]
    [0.92]
    """
    value = np.asarray(values, dtype=np.float64)
    away = np.stack(
        [np.asarray(lower, dtype=np.float64) - value, value - np.asarray(upper, dtype=np.float64)],
        axis=1,
    )
    finite = np.isfinite(away)
    tails = cdf_many(sums, np.where(finite, away, 0.0), tolerance)
    tails = np.where(finite, tails, away > 0.0)
    tails = np.where((sums.scale > 0.0)[:, None], tails, away > 0.0)
    inside: Floats = np.clip(1.0 - tails.sum(axis=1), 0.0, 1.0)
    return inside


def _tail(value: Estimate, limit: Fraction | None, side: int) -> float:
    """Probability of lying beyond a limit; an exact value on the limit conforms."""
    if limit is None:
        return 0.0
    away = (value.value - limit) * side  # exact; above zero when already beyond
    if not combine(value.components):
        return 1.0 if away > 0 else 0.0
    return cdf(value.components, float(away))


def _check(lower: Fraction | None, upper: Fraction | None) -> None:
    if lower is not None and upper is not None and upper < lower:
        raise ValueError(f"upper limit {float(upper)} lies below lower limit {float(lower)}")
    for limit in (lower, upper):
        if limit is not None and not math.isfinite(limit):
            raise ValueError(f"limit {limit} is not finite; give None for no limit")
