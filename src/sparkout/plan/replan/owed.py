"""What work that is done still owes: a ground shaft its crack test, then its polish.

They are no choice any more once metal has gone, so leaving them out is never offered as a saving.
"""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.plan.decide import Plan
from sparkout.plan.precedence import PRECEDENCE
from sparkout.plan.replan.done import Done

__all__ = ["leaves_out_what_is_owed", "owed"]

# Tests and finishes that follow from work and have no reason of their own: common practice.
_FOLLOW = frozenset({"crack-test crankshaft", "crack-test rod", "polish journals"})


def owed(plan: Plan, done: Iterable[Done]) -> frozenset[str]:
    """Operations of a plan that have to follow work already done."""
    begun = {operation for item in done for operation, on in item.features.items() if on}
    after = {rule.then for rule in PRECEDENCE if rule.first in begun}
    return frozenset(_operations(plan) & after & _FOLLOW)


def leaves_out_what_is_owed(other: Plan, plan: Plan, done: Iterable[Done]) -> bool:
    """Whether another plan from here on would skip what the work already done asks for."""
    return not owed(plan, done) <= _operations(other)


def _operations(plan: Plan) -> set[str]:
    return {work.operation for _, option in plan.chosen for work in option.work}
