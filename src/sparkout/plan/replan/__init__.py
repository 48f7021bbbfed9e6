"""Planning again after each actual: the approved plan kept as far as it holds, changes said."""

from sparkout.plan.replan.approved import (
    Approved,
    Meant,
    amount_said,
    approved_plan,
    open_work,
    plan_meant,
    whole_plan,
    worked_plan,
)
from sparkout.plan.replan.as_made import AsMade, as_made
from sparkout.plan.replan.digest import SHORT, canonical_plan, digest_in, plan_digest
from sparkout.plan.replan.done import DONE, Done
from sparkout.plan.replan.implied import work_so_far
from sparkout.plan.replan.replan import Before, Changed, Replanned, inputs_from, replan
from sparkout.plan.replan.situation import Situation, Worked, late_finds, situation_at
from sparkout.plan.replan.turn import out_of_turn

__all__ = [
    "DONE",
    "SHORT",
    "Approved",
    "AsMade",
    "Before",
    "Changed",
    "Done",
    "Meant",
    "Replanned",
    "Situation",
    "Worked",
    "amount_said",
    "approved_plan",
    "as_made",
    "canonical_plan",
    "digest_in",
    "inputs_from",
    "late_finds",
    "open_work",
    "out_of_turn",
    "plan_digest",
    "plan_meant",
    "replan",
    "situation_at",
    "whole_plan",
    "work_so_far",
    "worked_plan",
]
