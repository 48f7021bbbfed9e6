"""Where a measured value must lie for each decision rule to settle: in numbers for one estimate.

Zones of a rule depend on the errors of a value, not on the value, so they can be stated before
anything is read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sparkout.judge.conformity.guard import iso_guard
from sparkout.judge.conformity.rules import Asked, Outcome
from sparkout.measure.estimate import Component, Estimate
from sparkout.measure.uncertainty.distribution import quantile
from sparkout.measure.uncertainty.inversion import reach
from sparkout.measure.uncertainty.law import law
from sparkout.measure.uncertainty.sums import Sums

__all__ = [
    "ZoneRule",
    "Zones",
    "plain_zones",
    "proof_zones",
    "risk_zones",
    "shared_zones",
    "zones_named",
]

_HALVINGS = 36


@dataclass(frozen=True, slots=True)
class Zones:
    """Out below `out_below`, within from `low` to `high`, out above `out_above`, else not proven.

    Infinite where there is no limit on that side; low above high where nothing can be within.
    """

    out_below: float
    low: float
    high: float
    out_above: float

    def outcome(self, value: float) -> Outcome:
        if self.low <= value <= self.high:
            return Outcome.WITHIN
        if value < self.out_below or value > self.out_above:
            return Outcome.OUT
        return Outcome.NOT_PROVEN


ZoneRule = Callable[[Sequence[Component], Asked], Zones]
_NOTHING = Zones(-math.inf, math.inf, -math.inf, math.inf)


def plain_zones(components: Sequence[Component], asked: Asked) -> Zones:
    """Zones of simple acceptance: the limits themselves.

    Within from lower to upper, out beyond.

    components: errors of the value; they decide nothing here [unit of the limits].
    asked: the limits [any unit].
    Returns the zones [unit of the limits].
    Holds where both sides accept up to 50 % risk at the limit.
    Source: JCGM 106:2012, 8.2.

    >>> plain_zones((), Asked(None, Fraction(2))).high
    2.0
    """
    lower, upper = _ends(asked)
    return Zones(lower, lower, upper, upper)


def proof_zones(components: Sequence[Component], asked: Asked) -> Zones:
    """Zones of proving conformity or non-conformity by ISO 14253-1.

    Within from lower + w to upper − w, out below lower − w and above upper + w, w = 1.65 u at 95 %.

    components: errors of the value [unit of the limits].
    asked: the limits and the confidence [unit of the components].
    Returns the zones [unit of the limits].
    Holds for nearly normal errors, small against the tolerance.
    Source: ISO 14253-1:2017, 5.3 to 5.5.

    >>> gauge = (Component("gauge", 0.004),)
    >>> found = proof_zones(gauge, Asked(Fraction(10), Fraction("10.05")))
    >>> [round(v, 4) for v in (found.out_below, found.low, found.high, found.out_above)]
    [9.9934, 10.0066, 10.0434, 10.0566]
    """
    lower, upper = _ends(asked)
    w = iso_guard(_u(components), asked.confidence)
    return Zones(lower - w, lower + w, upper - w, upper + w)


def risk_zones(components: Sequence[Component], asked: Asked) -> Zones:
    """Zones of a decision guarded by risk, exact for any errors and any tolerance.

    Within where P(inside) >= confidence, out where P(inside) <= 1 − confidence.

    components: errors of the value [unit of the limits].
    asked: the limits and the confidence [unit of the components].
    Returns the zones [unit of the limits].
    Holds for any errors; P(inside) falls on both sides of the middle of the limits.
    Source: JCGM 106:2012, 8.3 and 9.3.

    >>> gauge = (Component("gauge", 0.004),)
    >>> found = risk_zones(gauge, Asked(Fraction(10), None))
    >>> round(found.out_below, 5), round(found.low, 5), found.high
    (9.99342, 10.00658, inf)
    """
    lower, upper = _ends(asked)
    if not _u(components):
        return plain_zones(components, asked)
    if not (math.isfinite(lower) and math.isfinite(upper)):
        w = quantile(components, asked.confidence)
        return Zones(lower - w, lower + w, upper - w, upper + w)
    sums = Sums.of([components])
    centre, half = 0.5 * (lower + upper), 0.5 * (upper - lower)
    far = half + float(reach(sums, 0.5 * (1.0 - asked.confidence))[0])
    known = law(sums, np.array([far + half]), 1e-11)

    def inside(away: float) -> float:
        total, _ = known.at(np.array([[half - away, -half - away]]))
        return float(total[0, 0] - total[0, 1])

    within = _farthest(lambda away: inside(away) >= asked.confidence, far)
    doubt = _farthest(lambda away: inside(away) > 1.0 - asked.confidence, far)
    if doubt is None:  # so narrow a tolerance that no value leaves it enough probability
        return Zones(math.inf, math.inf, -math.inf, -math.inf)
    if within is None:
        return Zones(centre - doubt, math.inf, -math.inf, centre + doubt)
    return Zones(centre - doubt, centre - within, centre + within, centre + doubt)


def shared_zones(components: Sequence[Component], asked: Asked) -> Zones:
    """Zones of a shared risk: the limits, provided the uncertainty is no larger than agreed.

    As simple acceptance where u <= the largest u agreed; else nothing is settled.

    components: errors of the value [unit of the limits].
    asked: the limits and the largest u [unit of the components].
    Returns the zones [unit of the limits].
    Holds where both sides agreed on the largest uncertainty.
    Source: JCGM 106:2012, 8.2.1.
    Raises ValueError when no largest uncertainty is stated.

    >>> gauge = (Component("gauge", 0.004),)
    >>> shared_zones(gauge, Asked(Fraction(10), None, largest_u=0.003)).outcome(11.0).value
    'not proven'
    """
    if asked.largest_u is None:
        raise ValueError("shared risk needs the largest standard uncertainty agreed on")
    return plain_zones(components, asked) if _u(components) <= asked.largest_u else _NOTHING


ZONES: tuple[tuple[str, ZoneRule], ...] = (
    ("simple acceptance", plain_zones),
    ("prove conformity", proof_zones),
    ("guarded by risk", risk_zones),
    ("shared risk", shared_zones),
)


def zones_named(name: str) -> ZoneRule:
    """The zones of the decision rule of a name, as a shop file gives it.

    One of: simple acceptance, prove conformity, guarded by risk, shared risk.

    name: name of the rule [-], as above.
    Returns a function of the errors and of what is asked.
    Holds for these names only.
    Source: JCGM 106:2012, clause 8; ISO 14253-1:2017, 5.3.
    Raises ValueError naming the name and those known.

    >>> zones_named("prove conformity").__name__
    'proof_zones'
    """
    for known, zones in ZONES:
        if known == name:
            return zones
    raise ValueError(f"no decision rule {name!r}; there are: {', '.join(k for k, _ in ZONES)}")


def _ends(asked: Asked) -> tuple[float, float]:
    lower = -math.inf if asked.lower is None else float(asked.lower)
    upper = math.inf if asked.upper is None else float(asked.upper)
    return lower, upper


def _u(components: Sequence[Component]) -> float:
    return Estimate(Fraction(0), tuple(components)).u


def _farthest(holds: Callable[[float], bool], far: float) -> float | None:
    """Largest distance from the middle at which something holds that holds nearer too."""
    if not holds(0.0):
        return None
    low, high = 0.0, far
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
