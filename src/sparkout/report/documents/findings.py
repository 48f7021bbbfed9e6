"""The findings sheet for the customer: what was found, what it leads to, what is to be done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sparkout.engine.dimension import How
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan, Stuck
from sparkout.price.money import said
from sparkout.price.quote import OnlyIf, Quote
from sparkout.price.scope import not_in_said
from sparkout.price.sureness import only_if
from sparkout.report.alike import alike
from sparkout.report.documents.engine import approvals, identity
from sparkout.report.documents.judged import judged_rows
from sparkout.report.documents.offers import Offer, least_cost, offers_data
from sparkout.report.documents.source import Document, Source
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.documents.why import why
from sparkout.report.documents.wording import found, named, parts, plain_of, sentence, wrong
from sparkout.report.grouping import allowed, by_importance, grouped, label, minus, tier
from sparkout.report.open_points import anything_measured, open_points
from sparkout.report.pictures.bores import draw_bores
from sparkout.report.pictures.crank import draw_crank
from sparkout.report.pictures.engine import draw_engine
from sparkout.report.pictures.limits import draw_worst
from sparkout.report.pictures.price import draw_offers
from sparkout.report.rule_words import rule_words

__all__ = ["findings_sheet"]

_MAIN = 6
_WAYS = ("phone", "signed", "mail", "in person")


def findings_sheet(source: Source, offers: Sequence[Offer] = ()) -> Document:
    """The sheet. offers: one to three; the plan of least cost where none are given."""
    source = _as_found(source)
    job = source.job
    plan = source.made
    some = tuple(offers) or ((_proposed(source, plan),) if plan is not None else ())
    if not _measured(source):
        some, plan = (), None  # a price for an engine nobody has measured would be a guess
    drawings = {"engine": draw_engine(job, job.findings, job.state.found)}
    for name, drawn in (
        ("bores", draw_bores(job, job.findings, "found")),
        ("crank", draw_crank(job, job.findings, job.state.found)),
        ("limits", draw_worst(job)),
        ("offers", draw_offers(some) if len(some) > 1 else None),
    ):
        if drawn is not None:
            drawings[name] = drawn
    data: dict[str, Any] = {
        "frame": source.frame("Findings and proposal"),
        "identity": identity(source),
        "short": _in_short(source, some),
        "main": _main_points(source),
        "pictures": list(drawings),
        "found": _found(source),
        "doubtful": _doubtful(source),
        "work": _work(source, plan) if plan is not None else [],
        "stuck": _stuck(source.plan),
        "by_hand": [minus(sentence(f.reason)) for f in source.plan.left_out],
        "offers": offers_data(some, source.words),
        "missing": not_in_said(offer.price for offer in some),
        "unknown": _unknown(source, plan),
        "cautions": _cautions(source, plan),
        "approvals": approvals(source),
        "ways": list(_WAYS),
        "total": some[0].price.money(some[0].price.total) if len(some) == 1 else "",
        "names": [offer.name for offer in some],
        "judged": judged_rows(job.findings, source.words, job.state.sizes),
        "price": [_price(offer.name, offer.price) for offer in some],
        "rule": rule_words(job.shop),
        "proof": source.proof(),
    }
    return Document("findings", data, drawings)


def _proposed(source: Source, plan: Plan) -> Offer:
    """The one offer: the plan of least cost, or what was approved or begun in its place."""
    offer = least_cost(source.job, plan)
    if not source.follows:
        return offer
    return replace(offer, name="As approved" if source.approved else "As begun")


def _as_found(source: Source) -> Source:
    """With work begun, the sheet still says what was found and what was approved for it."""
    if not source.follows:
        return source
    state = replace(source.job.state, sizes=source.found_sizes)
    job = replace(source.job, findings=source.found, state=state)
    return replace(source, job=job, plan=source.decided)


def _in_short(source: Source, offers: Sequence[Offer]) -> list[str]:
    """Three sentences that would do on their own."""
    findings = source.job.findings
    count = Counter(finding.verdict for finding in findings)
    bad, unsure = count[Verdict.OUT], count[Verdict.NOT_PROVEN]
    unread = count[Verdict.NOT_MEASURED] + count[Verdict.STALE]
    said = [f"We held the engine against {len(findings)} limits of its maker's data sheet."]
    if not _measured(source):
        return [
            f"The maker's data sheet has {len(findings)} limits for this engine.",
            "Nothing was measured yet: nothing can be said of its state, and there is no offer.",
        ]
    kept = f"{count[Verdict.WITHIN]} are kept, {bad} are not"
    if unsure:
        kept += f", {unsure} are too close for the gauge to tell"
    if unread:
        kept += f", {unread} could not be judged yet"
    said.append(f"{kept}.")
    if offers:
        price = offers[0].price
        most = f", and at most {price.money(price.total)} in all"
        what = "What was approved costs" if source.approved else (
            "To bring everything within limits costs"
        )  # fmt: skip
        said.append(
            f"{what} {price.money(price.firm)} before tax"
            + (most if price.total > price.firm else "")
            + f"; it takes about {price.days} working day{'' if price.days == 1 else 's'}."
        )
    else:
        said.append("With the parts and machines on our lists not every limit can be met.")
    return said


def _measured(source: Source) -> bool:
    return anything_measured(source.job.findings)


def _main_points(source: Source) -> list[str]:
    """What matters most: the worst of each part of the engine, and every crack and leak."""
    groups = by_importance(grouped(f for f in source.job.findings if f.verdict is Verdict.OUT))
    seen: set[int] = set()
    told = []
    for group in groups:
        failed = "crack test" in group.limit.name or "leak test" in group.limit.name
        if failed or tier(group) not in seen:
            told.append(f"{parts(group)}: {wrong(group).replace(': ', '; ', 1)}.")
        if not failed:
            seen.add(tier(group))
    return told[:_MAIN]


def _found(source: Source) -> list[list[Any]]:
    groups = by_importance(grouped(f for f in source.job.findings if f.verdict is Verdict.OUT))
    return [
        [
            {"strong": parts(group)},
            sentence(wrong(group), end=""),
            found(group, source.words, source.job.state.sizes),
            allowed(group.first, source.words),
        ]
        for group in groups
    ]


def _doubtful(source: Source) -> list[list[Any]]:
    """Too near the limit to tell."""
    some = (f for f in source.job.findings if f.verdict is Verdict.NOT_PROVEN)
    return [
        [
            {"strong": parts(group)},
            f"Perhaps {plain_of(group).high.partition(':')[0]}; {group.limit.name}",
            found(group, source.words, source.job.state.sizes),
            allowed(group.first, source.words),
        ]
        for group in by_importance(grouped(some))
    ]


def _work(source: Source, plan: Plan) -> list[list[Any]]:
    """What is done and why, a line for each kind of thing."""
    findings = {finding.check.name: finding for finding in source.job.findings}
    rows: list[list[Any]] = []
    for number, same in enumerate(alike(plan.reasons), 1):
        text = sentence(same[0].words, end="")
        if len(same) > 1:
            text += f"; the same on {short_names(reason.group for reason in same[1:])}"
        reason = why(plan, same, findings)
        rows.append([str(number), text, minus(reason)])
    return rows


def _stuck(plan: Plan | Stuck) -> list[str]:
    return [minus(sentence(text)) for text in plan.sentences] if isinstance(plan, Stuck) else []


def _unknown(source: Source, plan: Plan | None) -> list[list[str]]:
    """What was not measured and what that may change."""
    rows = []
    if plan is not None:
        dearer = only_if(plan)
        for point in open_points(source.job, plan):
            group = point.group
            names = [label(finding) for finding in group.findings]
            part = named(plain_of(group).part, names)
            extra = [item for item in dearer if item.trigger == group.limit.name]
            told = "; ".join(_if_broken(item, source.job.shop.currency) for item in extra)
            rows.append([part, group.limit.name, sentence(told or point.changes)])
    for item in source.job.located.questioned:
        part = f"{item.typed.feature}, {item.typed.characteristic}"
        text = f"The reading {item.typed.typed} is in doubt, left out and will be read again."
        rows.append([sentence(part, end=""), "reading in question", text])
    return rows


def _if_broken(item: OnlyIf, currency: str) -> str:
    """What comes on top where a limit that nobody has measured turns out broken."""
    each = f" for each, at most {item.count}" if item.count > 1 else ""
    such = "such as: " if item.count > 1 else ""
    money = said(item.each, currency)
    return f"where it is not in order, {such}{item.words}; {money} more before tax{each}"


def _cautions(source: Source, plan: Plan | None) -> list[str]:
    """What the reader has to know about the figures, as far as it applies to this job."""
    job = source.job
    told: list[str] = []
    thumbs = sorted({f.check.limit.thumb for f in job.findings if f.check.limit.thumb})
    if thumbs:
        told.append(
            f"Limits marked as a rule of thumb ({', '.join(thumbs)}) are the trade's, not the "
            "maker's."
        )
    marks = Counter(mark for finding in job.findings for mark in finding.marks)
    for mark, number in marks.items():
        rest = "finding rests" if number == 1 else "findings rest"
        told.append(f"{sentence(mark)} {number} {rest} on it.")
    count = Counter(finding.verdict for finding in job.findings)
    if count[Verdict.NO_LIMIT]:
        told.append(
            f"{count[Verdict.NO_LIMIT]} readings have no limit on the data sheet; nothing is said "
            "of them."
        )
    if plan is not None:
        assumed = {
            key.feature
            for key, size in plan.sizes.items()
            if size.how is How.ASSUMED and size.as_new
        }
        if assumed:
            told.append(
                "Some new parts are not here yet. Their sizes are taken from the data sheet and "
                "will be measured when they come; a part outside its size can change the work."
            )
        told.append(
            "Work can bring to light what was hidden. Nothing beyond the approved amount is spent "
            "without asking you first."
        )
    told.append(
        "These findings are measurements of the day they were made. They do not certify that the "
        "engine is safe or fit for a use."
    )
    return told


def _price(name: str, price: Quote) -> dict[str, Any]:
    rows: list[list[Any]] = [
        [sentence(line.title, end=""), line.note, price.money(line.amount)] for line in price.lines
    ]
    hours = f"{float(price.hours):.1f} hours, about {price.days} days"
    rows.append([{"strong": "Work and parts"}, hours, {"strong": price.money(price.firm)}])
    rows.append(["Reserve for surprises", "only with your word", price.money(price.contingency)])
    rows.append(["Tax", "", price.money(price.tax)])
    rows.append([{"strong": "At most, in all"}, "", {"strong": price.money(price.total)}])
    return {"name": name, "rows": rows}
