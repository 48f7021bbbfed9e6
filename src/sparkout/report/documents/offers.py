"""Offers to the customer, one to three: price, days, and how much wear is left in what is kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sparkout.engine.characteristics import BY_NAME
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words
from sparkout.load import Job
from sparkout.plan.decide import Plan
from sparkout.plan.offers import LEAST_COST, Offers
from sparkout.price.quote import Quote, quote
from sparkout.report.documents.plain import PLAIN
from sparkout.report.documents.wording import named, sentence
from sparkout.report.grouping import label, minus

__all__ = ["MOST", "Margin", "Offer", "from_planned", "least_cost", "margins", "offers_data"]

MOST = 3
"""More than three columns nobody compares."""

_SHOWN = 3
_BUYS = 5
_LEAST = "Least cost within all limits"


@dataclass(frozen=True, slots=True)
class Offer:
    """A plan that can be chosen. buys: what it gives over the cheaper one, in sentences."""

    name: str
    plan: Plan
    price: Quote
    buys: tuple[str, ...] = ()
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Margin:
    """What is left of the wear that a limit allows, on a part that is used again.

    left: to the limit; room: from new to the limit; both in the base unit. share: left ÷ room.
    """

    finding: Finding
    left: Fraction
    room: Fraction

    @property
    def share(self) -> Fraction:
        return self.left / self.room


def least_cost(job: Job, plan: Plan) -> Offer:
    """The offer there always is where there is a plan."""
    return Offer(_LEAST, plan, quote(plan.chosen, job.shop))


def from_planned(job: Job, planned: Offers) -> tuple[Offer, ...]:
    """The planner's offers for the paper, with what each does otherwise than the cheapest."""
    made = []
    for offer in planned.offers[:MOST]:
        buys = [sentence(item.words, end="") for item in offer.differences[:_BUYS]]
        more = len(offer.differences) - len(buys)
        if more > 0:
            buys.append(f"and {more} more")
        buys += [minus(text) for text in offer.stated]
        name = _LEAST if offer.name == LEAST_COST else sentence(offer.name, end="")
        made.append(Offer(name, offer.plan, quote(offer.plan.chosen, job.shop), tuple(buys)))
    return tuple(made)


def margins(findings: Iterable[Finding]) -> tuple[Margin, ...]:
    """Parts that run on, the one with the least share of its wear left first.

    Only limits that say both what is new and what is worn out tell how much wear there is. Each
    limit is told once, by the worst of its features.
    """
    found: dict[str, Margin] = {}
    for finding in findings:
        margin = _margin(finding)
        if margin is None:
            continue
        name = finding.check.limit.name
        known = found.get(name)
        if known is None or margin.share < known.share:
            found[name] = margin
    return tuple(sorted(found.values(), key=lambda margin: margin.share))


def _margin(finding: Finding) -> Margin | None:
    limit, low, high = finding.check.limit, finding.low, finding.high
    if finding.verdict is not Verdict.WITHIN or finding.side != "service":
        return None
    if limit.new is None or limit.service is None or low is None or high is None:
        return None
    wears = BY_NAME[limit.characteristic].wears
    if wears > 0 and limit.service.high is not None and limit.new.high is not None:
        room, left = limit.service.high - limit.new.high, limit.service.high - high.value
    elif wears < 0 and limit.service.low is not None and limit.new.low is not None:
        room, left = limit.new.low - limit.service.low, low.value - limit.service.low
    else:
        return None
    return Margin(finding, left, room) if room > 0 else None


def offers_data(offers: Iterable[Offer], words: Words) -> dict[str, Any]:
    """The table of offers: a column each, cheapest first."""
    some = sorted(offers, key=lambda offer: offer.price.firm)[:MOST]
    rows = ["Work and parts", "Reserve, only with your word", "Tax"]
    rows += ["At most, in all", "Working days, about", "Least wear left in what is used again"]
    several = len(some) > 1
    if several:
        rows.insert(4, "More than the first")
        rows.append("What it buys")
    columns = []
    for offer in some:
        price = offer.price
        cells: list[Any] = [
            price.money(price.firm),
            price.money(price.contingency),
            price.money(price.tax),
            {"strong": price.money(price.total)},
        ]
        if several:
            more = price.total - some[0].price.total
            cells.append(price.money(more) if more else "–")
        cells.append(str(price.days))
        worn = [margin for margin in margins(offer.plan.after) if margin.share < 1]
        left = [_said(margin, words) for margin in worn[:_SHOWN]]
        cells.append(left or "nothing is used again to a limit of wear")
        if several:
            cells.append(list(offer.buys) or "–")
        columns.append({"name": offer.name, "chosen": offer.chosen, "cells": cells})
    return {"rows": rows, "columns": columns}


def _said(margin: Margin, words: Words) -> str:
    limit = margin.finding.check.limit
    part = named(PLAIN[limit.characteristic].part, [label(margin.finding)])
    left = minus(words.value(margin.left, limit.characteristic))
    return f"{part}, {limit.name}: {left} left, {float(margin.share * 100):.0f} % of the wear"
