"""Windows of acceptance: where the lowest value of a range may lie so that both ends conform."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sparkout.measure.estimate import Component, combine
from sparkout.measure.uncertainty.distribution import quantile_many
from sparkout.measure.uncertainty.law import Law, law
from sparkout.measure.uncertainty.special import Flags, Floats, Places
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["Window", "Windows", "acceptance", "acceptance_many"]

_NEWTON_MOST = 60
_HALVINGS = 45


@dataclass(frozen=True, slots=True)
class Window:
    """Measured values of the low end that keep the risk.

    possible: whether there are any; where not, low and high are the one value of least risk.
    risk_low, risk_high: total risk at the two ends. exact: whether both ends of the range have one
    error; otherwise the risks are upper bounds (Boole's inequality).
    """

    low: float
    high: float
    possible: bool
    risk_low: float
    risk_high: float
    exact: bool


@dataclass(frozen=True, slots=True)
class Windows:
    """The same for many ranges, as arrays of one element for each."""

    low: Floats
    high: Floats
    possible: Flags
    risk_low: Floats
    risk_high: Floats


def acceptance(
    lower: float | None,
    upper: float | None,
    low_components: Sequence[Component],
    high_components: Sequence[Component],
    width: float,
    risk: float = 0.05,
) -> Window:
    """Window for the measured low end of a range so that the risk of either end stays small.

    All v with P(v + e_low < lower) + P(v + width + e_high > upper) <= risk.

    lower: lower limit, None for none [unit of the components].
    upper: upper limit, None for none [unit of the components].
    low_components: errors of the low end [unit of the limits].
    high_components: errors of the high end; the same tuple when one error moves both [unit of the
    limits].
    width: measured high end less measured low end [unit of the limits], zero or more.
    risk: probability that an end does not conform, at the edges of the window [-], above 0, below
    0.5.
    Returns the window, whether it exists, and the risk reached at its ends.
    Holds for any errors: the sum of the two probabilities is exact for one shared error and a bound
    otherwise.
    Source: JCGM 106:2012, 8.3.4 and 9.3.3 (two-sided limits); Boole's inequality.
    Raises ValueError naming the risk, the width or the limits when out of range.

    >>> gauge = (Component("gauge", 0.002),)
    >>> window = acceptance(86.0, 86.03, gauge, gauge, width=0.01)
    >>> round(window.low, 4), round(window.high, 4), window.possible
    (86.0033, 86.0167, True)
    """
    if lower is not None and upper is not None and upper < lower:
        raise ValueError(f"upper limit {upper} lies below lower limit {lower}")
    same = set(combine(low_components)) == set(combine(high_components))
    found = acceptance_many(
        np.array([-np.inf if lower is None else lower]),
        np.array([np.inf if upper is None else upper]),
        Sums.of([low_components]),
        Sums.of([high_components]),
        np.array([width]),
        risk,
        1e-10,
    )
    return Window(
        float(found.low[0]),
        float(found.high[0]),
        bool(found.possible[0]),
        float(found.risk_low[0]),
        float(found.risk_high[0]),
        same or lower is None or upper is None,
    )


def acceptance_many(
    lower: ArrayLike,
    upper: ArrayLike,
    low: Sums,
    high: Sums,
    width: ArrayLike,
    risk: float = 0.05,
    tolerance: float = 1e-7,
) -> Windows:
    """Windows of acceptance of many ranges at once.

    As `acceptance`, row by row. Each edge is the guard band of its own limit where the other limit
    is far; where it is not, Newton's method on the sum of both risks, which is convex there.

    lower: limits, minus infinity for none, shape (rows,) [unit of the sums].
    upper: limits, infinity for none, shape (rows,) [unit of the sums].
    low: errors of the low ends, one in each row [unit of the limits].
    high: errors of the high ends; the same object when one error moves both [unit of the limits].
    width: measured high end less measured low end, zero or more, shape (rows,) [unit of the sums].
    risk: probability that an end does not conform, at the edges [-], above 0, below 0.5.
    tolerance: absolute error of that probability [-], 1e-12 to 1e-3.
    Returns the windows as arrays; infinite where there is no limit on that side.
    Holds for any errors: the sum of the two probabilities is exact for one shared error and a bound
    otherwise.
    Source: JCGM 106:2012, 8.3.4 and 9.3.3 (two-sided limits); Boole's inequality.
    Raises ValueError naming the risk or a width when out of range.

    >>> errors = Sums.of([(Component("gauge", 0.002),), (Component("gauge", 0.02),)])
    >>> found = acceptance_many([86.0, 86.0], [86.03, 86.03], errors, errors, [0.01, 0.01])
    >>> found.possible.tolist()
    [True, False]
    """
    floor, ceiling, span = (np.asarray(x, dtype=np.float64) for x in (lower, upper, width))
    if not 0.0 < risk < 0.5:
        raise ValueError(f"risk {risk} is not between 0 and 0.5")
    if not (span >= 0.0).all():
        raise ValueError(f"width {span[~(span >= 0.0)][0]} is below zero")
    guard_low = quantile_many(low, 1.0 - risk, tolerance)
    guard_high = guard_low if high is low else quantile_many(high, 1.0 - risk, tolerance)
    top = ceiling - span
    left, right = floor + guard_low, top - guard_high
    possible = left <= right
    risk_low, risk_high = np.full(left.shape, risk), np.full(left.shape, risk)
    risk_low[~np.isfinite(floor)] = 0.0
    risk_high[~np.isfinite(ceiling)] = 0.0
    both = np.flatnonzero(np.isfinite(floor) & np.isfinite(ceiling))
    if not both.size:
        return Windows(left, right, possible, risk_low, risk_high)
    pair = _Pair.of(low, high, floor, top, left, right, both, tolerance)
    other = pair.risk(np.stack([left[both], right[both]], axis=1))[0] - risk
    risk_low[both] += np.maximum(other[:, 0], 0.0)
    risk_high[both] += np.maximum(other[:, 1], 0.0)
    near = (other > 0.1 * tolerance).any(axis=1) | ~possible[both]
    rows = both[near]
    if rows.size:
        pair = _Pair.of(low, high, floor, top, left, right, rows, tolerance)
        edges, there, at_edges = pair.window(left[rows], right[rows], risk, tolerance)
        left[rows], right[rows] = edges.T
        possible[rows] = there
        risk_low[rows], risk_high[rows] = at_edges.T
    rows = np.flatnonzero(~possible)
    if rows.size:
        first = np.minimum(left[rows], right[rows])
        last = np.maximum(left[rows], right[rows])
        pair = _Pair.of(low, high, floor, top, left, right, rows, tolerance)
        left[rows] = right[rows] = best = pair.least(first, last)
        risk_low[rows] = risk_high[rows] = pair.risk(best[:, None])[0][:, 0]
    return Windows(left, right, possible, risk_low, risk_high)


@dataclass(frozen=True, slots=True)
class _Pair:
    """Ranges between two limits: their low ends between `floor` and `top` (limit less width)."""

    low: Law
    high: Law
    floor: Floats
    top: Floats
    scale: Floats

    @classmethod
    def of(
        cls,
        low: Sums,
        high: Sums,
        floor: Floats,
        top: Floats,
        left: Floats,
        right: Floats,
        rows: Places,
        tolerance: float,
    ) -> _Pair:
        """The chosen rows, ready for low ends between left and right."""
        part = low.taken(rows)
        ends = np.stack([left[rows], right[rows]], axis=1)
        fine = 0.1 * tolerance
        reach_low = np.abs(floor[rows, None] - ends).max(axis=1)
        reach_high = np.abs(top[rows, None] - ends).max(axis=1)
        if high is low:
            one = law(part, np.maximum(reach_low, reach_high), fine)
            return cls(one, one, floor[rows], top[rows], part.scale)
        other = high.taken(rows)
        return cls(
            law(part, reach_low, fine),
            law(other, reach_high, fine),
            floor[rows],
            top[rows],
            np.maximum(part.scale, other.scale),
        )

    def risk(self, v: Floats) -> tuple[Floats, Floats]:
        """Total risk and its slope at v, shape (rows, points)."""
        p_low, f_low = self.low.at(self.floor[:, None] - v)
        p_high, f_high = self.high.at(v - self.top[:, None])
        return p_low + p_high, f_high - f_low

    def window(
        self, left: Floats, right: Floats, risk: float, tolerance: float
    ) -> tuple[Floats, Flags, Floats]:
        """Both edges by Newton's method, from outside: the risk is convex between its guards.

        A row without a window keeps its guards as edges, crossed or not.
        """
        start = np.stack([left, right], axis=1)
        v, total = start, np.zeros_like(start)
        outward = np.array([-1.0, 1.0])
        possible = left <= right
        for _ in range(_NEWTON_MOST):
            total, slope = self.risk(v)
            over = total - risk
            climbing = slope * outward > 0.0  # outside the point of least risk
            possible &= (climbing | (over <= tolerance)).all(axis=1)
            step = np.where(climbing & (over > 0.0), over / np.where(climbing, slope, 1.0), 0.0)
            step[~possible] = 0.0
            v = v - step
            if (np.abs(step) <= 1e-12 * self.scale[:, None]).all():
                break
        possible &= v[:, 0] <= v[:, 1]
        return np.where(possible[:, None], v, start), possible, total

    def least(self, low: Floats, high: Floats) -> Floats:
        """Where the total risk is least, by halving on its slope."""
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            rising = self.risk(middle[:, None])[1][:, 0] > 0.0
            low, high = np.where(rising, low, middle), np.where(rising, middle, high)
        return 0.5 * (low + high)
