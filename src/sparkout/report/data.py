"""Results as plain objects for --json: stable keys, exact values as text beside their numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from sparkout.fits.ratio import ratio_bound, ratio_of
from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.measure.estimate import Estimate
from sparkout.plan.decide import Plan, Stuck
from sparkout.plan.order import order_of_work
from sparkout.price.quote import quote
from sparkout.sheet.model import Bounds

__all__ = ["finding_data", "findings_data", "plan_data"]


def findings_data(job: Job, judged_by: Iterable[str] = ()) -> dict[str, Any]:
    """Everything `check --json` prints. judged_by: as which size what work left was judged."""
    count = Counter(finding.verdict.value for finding in job.findings)
    return {
        "engine": job.sheet.identity.name,
        "rule": f"ISO 14253-1, {float(job.shop.confidence):.2f} conformance probability",
        "findings": [finding_data(finding) for finding in job.findings],
        "questioned": [
            {
                "feature": item.typed.feature,
                "characteristic": item.typed.characteristic,
                "typed": item.typed.typed,
                "entry": item.typed.entry,
                "question": str(item.question),
            }
            for item in job.located.questioned
        ],
        "count": {verdict.value: count[verdict.value] for verdict in Verdict},
        "judged_by": list(judged_by),
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding."""
    return {
        "feature": finding.check.instance.feature,
        "characteristic": finding.check.limit.characteristic,
        "limit": finding.check.limit.name,
        "side": finding.side,
        **_ends(finding),
        "how": None if finding.how is None else finding.how.value,
        "verdict": finding.verdict.value,
        "plain": finding.plain.value,
        "conformance_probability": finding.probability,
        "reason": finding.reason,
        "settle": finding.settle,
        "marks": list(finding.marks),
        "source": finding.check.limit.source,
        "rule_of_thumb": finding.check.limit.thumb,
        "entries": list(finding.entries),
    }


def _ends(finding: Finding) -> dict[str, Any]:
    """What is allowed and what was found; a ratio, judged through its volumes, as a ratio."""
    if not finding.check.instance.inner or finding.bounds is None or finding.low is None:
        return {
            "bounds": _bounds(finding.bounds),
            "low": _estimate(finding.low),
            "high": _estimate(finding.high),
        }
    ratio = ratio_of(finding.check.instance, finding.sizes)
    least, most = ratio_bound(finding.check.instance)
    low, high = ratio or (None, None)
    return {
        "bounds": {"low": least, "high": most, "typed": finding.bounds.typed},
        "low": _ratio(low),
        "high": _ratio(high),
    }


def _ratio(value: float | None) -> dict[str, Any] | None:
    return None if value is None else {"value": value, "exact": f"{value:.4f}", "u": None}


def _estimate(value: Estimate | None) -> dict[str, Any] | None:
    if value is None:
        return None
    return {"value": float(value.value), "exact": str(value.value), "u": value.u}


def _bounds(bounds: Bounds | None) -> dict[str, Any] | None:
    if bounds is None:
        return None

    def end(value: Fraction | None) -> float | None:
        return None if value is None else float(value)

    return {"low": end(bounds.low), "high": end(bounds.high), "typed": bounds.typed}


def plan_data(job: Job, plan: Plan | Stuck) -> dict[str, Any]:
    """Everything `plan --json` prints, whether there is a plan or not."""
    if isinstance(plan, Stuck):
        return {
            "engine": job.sheet.identity.name,
            "possible": False,
            "cost": None,
            "chosen": [],
            "amounts": [],
            "steps": [],
            "price": None,
            "conflict": list(plan.sentences),
            "left_out": [finding.reason for finding in plan.left_out],
        }
    price = quote(plan.chosen, job.shop)
    reasons = {reason.group: reason for reason in plan.reasons}
    return {
        "engine": job.sheet.identity.name,
        "possible": True,
        "cost": plan.cost / 100,
        "chosen": [
            {
                "group": group.name,
                "option": option.name,
                "words": option.words,
                "kept": option.name == group.keep,
                "cost": option.cost / 100,
                "reason": reasons[group.name].sentence if group.name in reasons else "",
                "refused": [
                    {
                        "option": item.option,
                        "rules": list(item.rules),
                        "extra": None if item.extra is None else item.extra / 100,
                        "sentence": item.sentence,
                    }
                    for item in (reasons[group.name].refused if group.name in reasons else ())
                ],
            }
            for group, option in plan.chosen
        ],
        "amounts": [
            {
                "name": item.name,
                "value": float(item.value),
                "least": float(item.least),
                "most": float(item.most),
                "needs": [{"rule": b.rule, "at": float(b.at)} for b in item.needs],
                "limits": [{"rule": b.rule, "at": float(b.at)} for b in item.limits],
                "words": words,
            }
            for item, words in zip(plan.amounts, plan.amount_words, strict=True)
        ],
        "steps": [
            {
                "number": step.number,
                "kind": step.kind,
                "title": step.title,
                "operation": step.operation,
                "features": list(step.features),
                "after": list(step.after),
                "read": [str(key) for key in step.read],
                "look": step.look,
            }
            for step in order_of_work(plan.chosen, job.shop)
        ],
        "price": {
            "currency": price.currency,
            "lines": [
                {
                    "kind": line.kind,
                    "title": line.title,
                    "amount": line.amount / 100,
                    "note": line.note,
                }
                for line in price.lines
            ],
            "firm": price.firm / 100,
            "contingency": price.contingency / 100,
            "tax": price.tax / 100,
            "total": price.total / 100,
            "hours": float(price.hours),
            "days": price.days,
        },
        "conflict": [],
        "left_out": [finding.reason for finding in plan.left_out],
    }
