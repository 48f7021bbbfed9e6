"""The answer to a what-if question as one object."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from sparkout.plan.replan import plan_digest
from sparkout.plan.whatif import AmountChange, Answer, OptionChange
from sparkout.price.quote import quote
from sparkout.report.objects.offers import price_data

__all__ = ["amounts_data", "answer_data", "options_data"]


def answer_data(answer: Answer, engine: str, follows: str = "") -> dict[str, Any]:
    """Everything `ask --json` prints. Depths and distances to limits in mm (or the base unit).
    follows: the plan it starts from, in a sentence."""
    plan, instead = answer.plan, answer.instead
    return {
        "engine": engine,
        "follows": follows,
        "question": answer.text,
        "read_as": list(answer.understood),
        "assumed": list(answer.assumed),
        "possible": plan is not None,
        "why_not": list(answer.why_not),
        "cost": answer.cost / 100,
        "days": answer.more_days,
        "plan": None if plan is None else plan_digest(plan),
        "price": None if plan is None else price_data(quote(plan.chosen, answer.shop)),
        "options": options_data(answer.options),
        "amounts": amounts_data(answer.amounts),
        "margins": [
            {
                "check": item.check,
                "was": _number(item.was),
                "now": _number(item.now),
                "share": _number(item.share),
            }
            for item in answer.margins
        ],
        "without_waiting": None if instead is None else (instead.cost - answer.was.cost) / 100,
    }


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def options_data(changes: Iterable[OptionChange]) -> list[dict[str, Any]]:
    return [{"group": item.group, "was": item.was_words, "now": item.now_words} for item in changes]


def amounts_data(changes: Iterable[AmountChange]) -> list[dict[str, Any]]:
    return [
        {"name": item.amount, "was": float(item.was), "now": float(item.now)} for item in changes
    ]
