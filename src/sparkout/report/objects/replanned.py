"""What became of an approved plan, as one object."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sparkout.plan.replan import Approved, Replanned, plan_digest
from sparkout.report.objects.answer import amounts_data

__all__ = ["approved_data"]


def approved_data(
    approved: Approved, again: Replanned | None, late: Iterable[str] = ()
) -> dict[str, Any]:
    """The `approved` part of `plan --json`; money of work and parts, before reserve and tax."""
    body: dict[str, Any] = {
        "entry": approved.entry,
        "at": approved.at,
        "what": approved.what,
        "by_whom": approved.by_whom,
        "how": approved.how,
        "amount": approved.amount,
        "currency": approved.currency,
        "plan": approved.digest,
        "named": approved.named,
        "why_not": approved.why,
        "holds": False,
        "as_approved": False,
        "needs_approval": [],
        "changes": [],
        "amounts": [],
        "done": [],
        "not_approved_work": [],
        "unused_parts": [],
        "price": None,
        "spent": None,
        "cost": None,
        "difference": None,
        "days": None,
        "more_days": None,
        "cheaper": None,
        "noted": list(late),
        "conflict": [],
    }
    if again is None:
        return body
    body |= {
        "holds": not again.needs_approval,
        "as_approved": again.as_approved,
        "needs_approval": list(again.needs_approval),
        "changes": [
            {"group": c.group, "was": c.was, "now": c.now, "reason": c.reason}
            for c in again.changes
        ],
        "amounts": amounts_data(again.amounts),
        "done": [
            {
                "group": item.group.name,
                "words": item.option.words,
                "whole": item.whole,
                "depths": {
                    name: {"mm": float(depth), "entered_or_read": known}
                    for name, (depth, known) in item.depths.items()
                },
            }
            for item in again.done
        ],
        "not_approved_work": [
            {"operation": entry.operation, "features": list(entry.features)}
            for entry in again.extra
        ],
        "unused_parts": [{"part": part, "price": cents / 100} for part, cents in again.unused],
        "price": again.price / 100,
        "spent": again.spent / 100,
        "noted": [*late, *again.noted],
        "conflict": list(again.why_not),
    }
    if again.plan is not None:
        body |= {
            "cost": again.cost / 100,
            "difference": again.difference / 100,
            "days": again.days,
            "more_days": again.more_days,
            "cheaper": {
                "less": again.cheaper / 100,
                "plan": "" if again.free is None else plan_digest(again.free),
            },
        }
    return body
