"""The offers as one object."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

from sparkout.load import Job
from sparkout.measure.wear.remaining import RemainingLife
from sparkout.plan.offers import Life, NoOffer, Offer, Offers, days_of, lives_beside, ready_on
from sparkout.plan.replan import plan_digest
from sparkout.price.quote import Quote, quote

__all__ = ["life_data", "no_offer_data", "offers_data", "price_data"]


def offers_data(job: Job, made: Offers, today: date) -> dict[str, Any]:
    """Everything `offers --json` prints where there are offers."""
    scale = made.front.scale
    rows = lives_beside(made.offers)
    return {
        "engine": job.sheet.identity.name,
        "possible": True,
        "today": today.isoformat(),
        "offers": [_offer(job, offer, made, today) for offer in made.offers],
        "wear": [
            {
                "limit": row.limit,
                "left": {
                    offer.name: {"state": cell} if isinstance(cell, str) else life_data(cell)
                    for offer, cell in zip(made.offers, row.cells, strict=True)
                },
            }
            for row in rows
        ],
        "not_pushed_out": [
            {"limit": name, "life": float(scale.amount(level))} for name, level in made.front.aside
        ],
        "life_unit": "h" if scale.unit == "hours" else "share of the wear allowed",
        "steps": [
            {"cost": point.cost / 100, "life": float(scale.amount(point.level))}
            for point in made.front.points
        ],
        "assumed": "" if made.history is None else made.history.taken_for_granted,
        "missing": list(made.missing),
        "short": made.short / 100,
        "quickest": None,
    }


def no_offer_data(job: Job, none: NoOffer, today: date) -> dict[str, Any]:
    """The same keys where no plan is ready in time."""
    plan = none.quickest
    return {
        "engine": job.sheet.identity.name,
        "possible": False,
        "today": today.isoformat(),
        "offers": [],
        "wear": [],
        "not_pushed_out": [],
        "life_unit": "",
        "steps": [],
        "assumed": "",
        "missing": [],
        "short": 0,
        "quickest": None
        if plan is None
        else {
            "plan": plan_digest(plan),
            "days": days_of(plan.chosen, job.shop),
            "ready": ready_on(plan.chosen, job.shop, today).isoformat(),
            "price": price_data(quote(plan.chosen, job.shop)),
        },
    }


def _offer(job: Job, offer: Offer, made: Offers, today: date) -> dict[str, Any]:
    first = made.offers[0]
    price = quote(offer.plan.chosen, job.shop)
    return {
        "name": offer.name,
        "plan": plan_digest(offer.plan),
        "price": price_data(price),
        "more": (price.total - quote(first.plan.chosen, job.shop).total) / 100,
        "days": offer.days,
        "more_days": offer.days - first.days,
        "ready": ready_on(offer.plan.chosen, job.shop, today).isoformat(),
        "life": float(made.front.scale.amount(offer.level)),
        "life_or_more": offer.level >= made.front.scale.top,
        "differences": [
            {
                "group": item.group,
                "words": item.words,
                "instead_of": item.instead_of,
                "reason": item.reason,
                "cost": item.cost / 100,
            }
            for item in offer.differences
        ],
        "stated": list(offer.stated),
    }


def price_data(price: Quote) -> dict[str, Any]:
    """A price without its lines."""
    return {
        "currency": price.currency,
        "firm": price.firm / 100,
        "contingency": price.contingency / 100,
        "tax": price.tax / 100,
        "total": price.total / 100,
    }


def life_data(life: Life) -> dict[str, Any]:
    """How long one worn part lasts: what is left, and hours to its limit where they are known."""
    return {
        "state": "kept",
        "check": life.finding.check.name,
        "left": float(life.left),
        "share": float(life.share),
        "hours": None if life.remaining is None else _hours(life.remaining),
        "why_not": life.why,
    }


def _hours(life: RemainingLife) -> dict[str, Any]:
    def plain(hours: float) -> float | None:
        return None if math.isinf(hours) else hours

    return {
        "p10": plain(life.p10),
        "p50": plain(life.p50),
        "p90": plain(life.p90),
        "basis": life.basis,
        "warnings": list(life.warnings),
    }
