"""Decision rules, side by side: each takes the same arguments and says which rule it was.

low and high are the ends of a range of local values; one value is both ends.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from sparkout.judge.conformity.chance import Conformance, range_conformance
from sparkout.judge.conformity.guard import iso_guard
from sparkout.measure.estimate import Estimate

__all__ = [
    "RULES",
    "Asked",
    "Decision",
    "Outcome",
    "guarded_by_risk",
    "prove_conformity",
    "rule_named",
    "shared_risk",
    "simple_acceptance",
]


class Outcome(StrEnum):
    """What a rule makes of a value."""

    WITHIN = "within"
    NOT_PROVEN = "not proven"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a value.

    lower, upper: the limits, None for none. confidence: conformance probability to prove.
    largest_u: standard uncertainty beyond which a shared risk is not accepted.
    """

    lower: Fraction | None
    upper: Fraction | None
    confidence: float = 0.95
    largest_u: float | None = None

    def __post_init__(self) -> None:
        if self.lower is not None and self.upper is not None and self.upper < self.lower:
            raise ValueError(
                f"upper limit {float(self.upper)} lies below lower limit {float(self.lower)}"
            )
        if not 0.5 < self.confidence < 1.0:
            raise ValueError(f"confidence {self.confidence} is not between 0.5 and 1")


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict with the rule it was made by.

    chance: probabilities below, inside and above. guard_low, guard_high: guard bands used at either
    limit, zero for rules without one. reason: one plain sentence.
    """

    outcome: Outcome
    rule: str
    chance: Conformance
    guard_low: float
    guard_high: float
    reason: str


Rule = Callable[[Estimate, Estimate, Asked], Decision]


def simple_acceptance(low: Estimate, high: Estimate, asked: Asked) -> Decision:
    """Plain comparison of the values as they stand; uncertainty decides nothing.

    Within when lower <= low and high <= upper, else out.

    low: estimate of the lowest local value [unit of the limits].
    high: estimate of the highest local value [unit of the limits], not below low.
    asked: the limits and the confidence [unit of the values].
    Returns the decision with the probabilities beside it.
    Holds where both sides accept up to 50 % risk at the limit.
    Source: JCGM 106:2012, 8.2.

    >>> bore = Estimate(Fraction("86.031"))
    >>> str(simple_acceptance(bore, bore, Asked(Fraction(86), Fraction("86.03"))).outcome)
    'out'
    """
    chance = range_conformance(low, high, asked.lower, asked.upper)
    inside = _inside(low, high, asked, 0.0, 0.0)
    reason = "the value lies inside the limits" if inside else "the value lies beyond a limit"
    outcome = Outcome.WITHIN if inside else Outcome.OUT
    return Decision(outcome, "simple acceptance", chance, 0.0, 0.0, f"{reason}, as it stands.")


def prove_conformity(low: Estimate, high: Estimate, asked: Asked) -> Decision:
    """Conformity or non-conformity is proven beyond a guard band of 1.65 u (at 95 %).

    Within when lower + w <= low and high <= upper − w; out when low < lower − w or
    high > upper + w; not proven between.

    low: estimate of the lowest local value [unit of the limits].
    high: estimate of the highest local value [unit of the limits], not below low.
    asked: the limits and the confidence [unit of the values].
    Returns the decision with the probabilities beside it.
    Holds for nearly normal errors, small against the tolerance.
    Source: ISO 14253-1:2017, 5.3 to 5.5.

    >>> from sparkout.measure.estimate import Component
    >>> bore = Estimate(Fraction("10.0060"), (Component("gauge", 0.004),))
    >>> str(prove_conformity(bore, bore, Asked(Fraction(10), Fraction("10.05"))).outcome)
    'not proven'
    """
    chance = range_conformance(low, high, asked.lower, asked.upper)
    guard_low, guard_high = (iso_guard(end.u, asked.confidence) for end in (low, high))
    outcome = Outcome.NOT_PROVEN
    if _inside(low, high, asked, guard_low, guard_high):
        outcome = Outcome.WITHIN
    elif not _inside(low, high, asked, -guard_low, -guard_high):
        outcome = Outcome.OUT
    return Decision(
        outcome,
        "prove conformity (ISO 14253-1)",
        chance,
        guard_low,
        guard_high,
        _guarded_reason(outcome, "guard band"),
    )


def guarded_by_risk(low: Estimate, high: Estimate, asked: Asked) -> Decision:
    """Within or out when the probability of it reaches the confidence asked for.

    P(lower <= Y <= upper) from the exact distribution of the errors, both ends of the range.

    low: estimate of the lowest local value [unit of the limits].
    high: estimate of the highest local value [unit of the limits], not below low.
    asked: the limits and the confidence [unit of the values].
    Returns the decision with the probabilities beside it.
    Holds for any errors and any tolerance, however narrow.
    Source: JCGM 106:2012, 8.3 and 9.3.

    >>> from sparkout.measure.estimate import Component
    >>> bore = Estimate(Fraction("10.0060"), (Component("gauge", 0.003),))
    >>> str(guarded_by_risk(bore, bore, Asked(Fraction(10), Fraction("10.05"))).outcome)
    'within'
    """
    chance = range_conformance(low, high, asked.lower, asked.upper)
    outcome = Outcome.NOT_PROVEN
    if chance.inside >= asked.confidence:
        outcome = Outcome.WITHIN
    elif chance.outside >= asked.confidence:
        outcome = Outcome.OUT
    reason = {
        Outcome.WITHIN: f"it conforms with a probability of {_percent(chance.inside)}.",
        Outcome.OUT: f"it is beyond a limit with a probability of {_percent(chance.outside)}.",
        Outcome.NOT_PROVEN: (
            f"it conforms with a probability of {_percent(chance.inside)} only; "
            f"{_percent(asked.confidence)} is asked for, either way."
        ),
    }[outcome]
    return Decision(outcome, "guarded by risk", chance, 0.0, 0.0, reason)


def shared_risk(low: Estimate, high: Estimate, asked: Asked) -> Decision:
    """Plain comparison, provided the uncertainty is no larger than agreed beforehand.

    As simple acceptance where u <= the largest u agreed; else not proven.

    low: estimate of the lowest local value [unit of the limits].
    high: estimate of the highest local value [unit of the limits], not below low.
    asked: the limits and the largest u [unit of the values].
    Returns the decision with the probabilities beside it.
    Holds where both sides agreed on the largest uncertainty.
    Source: JCGM 106:2012, 8.2.1 (simple acceptance with an agreed maximum uncertainty).
    Raises ValueError when no largest uncertainty is stated.

    >>> from sparkout.measure.estimate import Component
    >>> bore = Estimate(Fraction("86.029"), (Component("gauge", 0.004),))
    >>> asked = Asked(Fraction(86), Fraction("86.03"), largest_u=0.003)
    >>> str(shared_risk(bore, bore, asked).outcome)
    'not proven'
    """
    if asked.largest_u is None:
        raise ValueError("shared risk needs the largest standard uncertainty agreed on")
    chance = range_conformance(low, high, asked.lower, asked.upper)
    u = max(low.u, high.u)
    if u > asked.largest_u:
        outcome = Outcome.NOT_PROVEN
        reason = (
            f"its standard uncertainty {u:.2g} is larger than the {asked.largest_u:.2g} agreed."
        )
    elif _inside(low, high, asked, 0.0, 0.0):
        outcome, reason = Outcome.WITHIN, "the value lies inside the limits, the risk is shared."
    else:
        outcome, reason = Outcome.OUT, "the value lies beyond a limit, the risk is shared."
    return Decision(outcome, "shared risk", chance, 0.0, 0.0, reason)


RULES: tuple[tuple[str, Rule], ...] = (
    ("simple acceptance", simple_acceptance),
    ("prove conformity", prove_conformity),
    ("guarded by risk", guarded_by_risk),
    ("shared risk", shared_risk),
)


def rule_named(name: str) -> Rule:
    """The decision rule of a name, as a shop file gives it.

    One of: simple acceptance, prove conformity, guarded by risk, shared risk.

    name: name of the rule [-], as above.
    Returns the rule, a function of low, high and what is asked.
    Holds for these names only.
    Source: JCGM 106:2012, clause 8; ISO 14253-1:2017, 5.3.
    Raises ValueError naming the name and those known.

    >>> rule_named("prove conformity").__name__
    'prove_conformity'
    """
    for known, rule in RULES:
        if known == name:
            return rule
    names = ", ".join(known for known, _ in RULES)
    raise ValueError(f"no decision rule {name!r}; there are: {names}")


def _inside(
    low: Estimate, high: Estimate, asked: Asked, guard_low: float, guard_high: float
) -> bool:
    """Exact comparison; a guard band is a decimal number to 15 digits, not its binary neighbour."""
    above = asked.lower is None or low.value - asked.lower >= _decimal(guard_low)
    below = asked.upper is None or asked.upper - high.value >= _decimal(guard_high)
    return above and below


def _decimal(value: float) -> Fraction:
    return Fraction(f"{value:.15g}") if value else Fraction(0)


def _guarded_reason(outcome: Outcome, band: str) -> str:
    return {
        Outcome.WITHIN: f"the value lies inside the limits by more than the {band}.",
        Outcome.OUT: f"the value lies beyond a limit by more than the {band}.",
        Outcome.NOT_PROVEN: f"the value lies within the {band} about a limit.",
    }[outcome]


def _percent(probability: float) -> str:
    """Never rounded up to certainty, nor down to impossibility."""
    percent = 100.0 * probability
    if 99.95 <= percent < 100.0:
        return "more than 99.9 %"
    if 0.0 < percent < 0.05:
        return "less than 0.1 %"
    return f"{percent:.1f} %"
