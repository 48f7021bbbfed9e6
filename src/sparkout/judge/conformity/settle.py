"""Which one action would settle a verdict that is not proven, at least effort.

An action leaves another estimate with other errors. What it will read is not known, but how it may
differ is: new value − present value = new error − present error, where errors both share (the same
gauge, the same master) cancel. The chance that the verdict is then settled follows exactly.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sparkout.judge.conformity.rules import Asked, Outcome
from sparkout.judge.conformity.zones import ZoneRule
from sparkout.measure.estimate import Component, Estimate, combine
from sparkout.measure.uncertainty.distribution import cdf_many
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["Action", "Prospect", "best_action", "prospects", "repeated", "replaced", "without"]

_HARDLY = 0.01


@dataclass(frozen=True, slots=True)
class Action:
    """Something that can be done about a doubtful value.

    name: in shop words, as an order ("read it four times more with OM-2"). effort: minutes.
    components: errors of the estimate afterwards; a source named as before is the same error.
    """

    name: str
    effort: float
    components: tuple[Component, ...]

    def __post_init__(self) -> None:
        if not (self.effort > 0.0 and math.isfinite(self.effort)):
            raise ValueError(f"action {self.name!r}: effort {self.effort} min is not above zero")


@dataclass(frozen=True, slots=True)
class Prospect:
    """What an action promises: the chance that it proves the part within, or out.

    u: standard uncertainty afterwards. worth: chance of settling per minute.
    """

    action: Action
    within: float
    out: float
    u: float

    @property
    def settles(self) -> float:
        return self.within + self.out

    @property
    def worth(self) -> float:
        return self.settles / self.action.effort


def repeated(
    components: Sequence[Component], source: str, times: int, name: str, effort: float
) -> Action:
    """Read it again and take the mean of all readings.

    Repeatability u becomes n readings of u/n each, the one there is among them; all else stays.

    components: errors of the present estimate, one reading [unit of the value].
    source: which of them is the repeatability [-], a source in components.
    times: readings more [-], 1 or more.
    name: of the action, as an order in shop words [-].
    effort: of all readings together [min], above zero.
    Returns the action with the errors of the mean.
    Holds for readings that repeat independently; with few degrees of freedom each keeps its own
    error of that shape, which is on the safe side.
    Source: JCGM 100:2008 (GUM), 4.2.3 (standard deviation of the mean).
    Raises ValueError naming a source that is not there, or the number of readings below 1.

    >>> now = (Component("OM-2 calibration", 0.001), Component("repeatability", 0.003))
    >>> more = repeated(now, "repeatability", 8, "read it eight times more", 6.0)
    >>> round(Estimate(Fraction(0), more.components).u, 6)
    0.001414
    """
    if times < 1:
        raise ValueError(f"{times} readings more are fewer than 1")
    part = _found(components, source)
    share = part.scaled(1.0 / (times + 1))
    again = (
        Component(f"{source}, again {i}", share.u, share.shape, share.dof)
        for i in range(1, times + 1)
    )
    rest = [other for other in combine(components) if other.source != source]
    return Action(name, effort, (*rest, share, *again))


def without(
    components: Sequence[Component], sources: Sequence[str], name: str, effort: float
) -> Action:
    """Remove causes of error: let the part take the temperature of the room, check the master.

    The named components go, all else stays.

    components: errors of the present estimate [unit of the value].
    sources: which of them the action removes [-], each a source in components.
    name: of the action, as an order in shop words [-].
    effort: of the action [min], above zero.
    Returns the action with the errors that are left.
    Holds where the reading is taken again after the cause is gone.
    Source: common practice.
    Raises ValueError naming a source that is not there.

    >>> now = (Component("temperature", 0.004), Component("OM-2 calibration", 0.001))
    >>> let_stand = without(now, ["temperature"], "let it stand overnight, read it again", 5.0)
    >>> [part.source for part in let_stand.components]
    ['OM-2 calibration']
    """
    for source in sources:
        _found(components, source)
    gone = frozenset(sources)
    return Action(
        name, effort, tuple(part for part in combine(components) if part.source not in gone)
    )


def replaced(
    components: Sequence[Component],
    sources: Sequence[str],
    by: Sequence[Component],
    name: str,
    effort: float,
) -> Action:
    """Read it with another gauge: its errors instead of those of the present one.

    The named components go, those of the other gauge come.

    components: errors of the present estimate [unit of the value].
    sources: those that belong to the present gauge and reading [-], each a source in components.
    by: errors of a reading with the other gauge [unit of the value].
    name: of the action, as an order in shop words [-].
    effort: of the action [min], above zero.
    Returns the action with the errors of the new reading.
    Holds where the new reading is taken alone, not averaged with the present one.
    Source: common practice.
    Raises ValueError naming a source that is not there.

    >>> now = (Component("OM-2 calibration", 0.003), Component("master RM-1", 0.001))
    >>> finer = (Component("OM-4 calibration", 0.001),)
    >>> done = replaced(now, ["OM-2 calibration"], finer, "read it with OM-4", 3.0)
    >>> [part.source for part in done.components]
    ['master RM-1', 'OM-4 calibration']
    """
    kept = without(components, sources, name, effort).components
    return Action(name, effort, combine((*kept, *by)))


def prospects(
    value: Estimate, asked: Asked, rule: ZoneRule, actions: Sequence[Action]
) -> tuple[Prospect, ...]:
    """Chance of each action to settle the verdict, under the same rule.

    P(new value in a zone where the rule decides), new value = value + new error − present error,
    errors with one source being the same error.

    value: the doubtful estimate [unit of the limits].
    asked: the limits and the confidence [unit of the value].
    rule: zones of the decision rule that found it not proven [-].
    actions: what could be done [-].
    Returns one prospect for each action, in their order.
    Holds for one value (both ends of the range alike), without knowledge of the process.
    Source: JCGM 106:2012, 7.2 and A.4.4 (knowledge of a quantity before it is measured), applied to
    the next reading.

    >>> from sparkout.judge.conformity.zones import proof_zones
    >>> now = Estimate(Fraction("10.004"), (Component("OM-2 calibration", 0.004),))
    >>> finer = Action("read it with OM-4", 3.0, (Component("OM-4 calibration", 0.001),))
    >>> found = prospects(now, Asked(Fraction(10), None), proof_zones, (finer,))[0]
    >>> round(found.within, 2), round(found.out, 2)
    (0.72, 0.09)
    """
    return tuple(_prospect(value, asked, rule, action) for action in actions)


def best_action(found: Sequence[Prospect]) -> Prospect | None:
    """The action to take first: most chance of settling for its effort.

    Largest chance ÷ effort; ordering independent tries by that ratio has the least expected effort
    until one succeeds. Actions that settle in fewer than 1 of 100 cases are left out.

    found: as `prospects` made them [-].
    Returns the best one, None when none has a chance worth naming.
    Holds for actions tried one after another.
    Source: Mitten, An analytic solution to the least cost testing sequence problem, J. Industrial
    Engineering 11 (1960) 17; recalled from memory.

    >>> best_action(()) is None
    True
    """
    likely = [prospect for prospect in found if prospect.settles >= _HARDLY]
    return max(likely, key=lambda prospect: prospect.worth, default=None)


def _found(components: Sequence[Component], source: str) -> Component:
    for part in combine(components):
        if part.source == source:
            return part
    known = ", ".join(part.source for part in combine(components))
    raise ValueError(f"no source {source!r} among: {known}")


def _prospect(value: Estimate, asked: Asked, rule: ZoneRule, action: Action) -> Prospect:
    after = combine(action.components)
    present = tuple(part.scaled(-1.0) for part in combine(value.components))
    zones = rule(after, asked)
    new_u = Estimate(Fraction(0), after).u
    centre = float(value.value)
    moved = combine((*after, *present))
    if not moved:  # the action changes nothing that was uncertain
        settled = zones.outcome(centre)
        within, out = float(settled is Outcome.WITHIN), float(settled is Outcome.OUT)
        return Prospect(action, within, out, new_u)
    edges = np.array([zones.out_below, zones.low, zones.high, zones.out_above]) - centre
    near = np.where(np.isfinite(edges), edges, 0.0)
    below = cdf_many(Sums.of([moved]), near[None, :], 1e-9)[0]
    below = np.where(np.isfinite(edges), below, edges > 0.0)
    within = max(0.0, float(below[2] - below[1])) if zones.low <= zones.high else 0.0
    out = float(below[0]) + 1.0 - float(below[3])
    return Prospect(action, within, min(out, 1.0 - within), new_u)
