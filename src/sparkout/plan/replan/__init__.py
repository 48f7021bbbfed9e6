"""Planning again after each actual: the approved plan kept as far as it holds, changes said."""

from sparkout.plan.replan.approved import Approved, approved_plan, approved_price, situation_of
from sparkout.plan.replan.digest import SHORT, canonical_plan, digest_in, plan_digest
from sparkout.plan.replan.done import Done
from sparkout.plan.replan.replan import Changed, Replanned, Situation, replan

__all__ = [
    "SHORT",
    "Approved",
    "Changed",
    "Done",
    "Replanned",
    "Situation",
    "approved_plan",
    "approved_price",
    "canonical_plan",
    "digest_in",
    "plan_digest",
    "replan",
    "situation_of",
]
