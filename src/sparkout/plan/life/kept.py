"""Every part that runs on with its forecasts: by its own wear so far, and by its family's."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from types import MappingProxyType

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding
from sparkout.measure.wear.remaining import RemainingLife
from sparkout.plan.life.family import Family
from sparkout.plan.offers import History, Life, lives_of, wearing

__all__ = ["Kept", "kept_lives"]


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """One limit of wear of a part that runs on.

    own: by its own wear, steady with an uncertainty. family: by the gamma process of its family,
    None where the shop has no history of it.
    """

    own: Life
    family: RemainingLife | None = None

    @property
    def soonest(self) -> float:
        """The earlier of the two hours by which one such part in ten has reached its limit."""
        some = [life.p10 for life in (self.own.remaining, self.family) if life is not None]
        return min(some, default=math.inf)


def kept_lives(
    checks: Iterable[Check],
    after: Iterable[Finding],
    history: History | None,
    family: Family | None = None,
) -> tuple[Kept, ...]:
    """What of the engine runs on, as a plan leaves it; what may reach its limit first comes first.

    after: the findings as the plan leaves the engine. history: None where the hours run are not
    known; then there is no forecast, only what is left.
    """
    items = wearing(checks)
    some = tuple(after)
    own = lives_of(items, some, history)
    theirs: dict[str, RemainingLife] = {}
    if history is not None and family is not None and family.processes:
        with_family = replace(history, families=MappingProxyType(dict(family.processes)))
        for life in lives_of(items, some, with_family):
            name = life.finding.check.limit.characteristic
            if name in family.processes and life.remaining is not None:
                theirs[life.finding.check.name] = life.remaining
    kept = [Kept(life, theirs.get(life.finding.check.name)) for life in own]
    return tuple(sorted(kept, key=lambda item: (item.soonest, item.own.share)))
