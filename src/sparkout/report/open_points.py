"""What nobody knows yet and what it could change: the readings worth taking next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.plan.decide import Plan
from sparkout.plan.explain import Reason
from sparkout.report.grouping import Grouped, by_importance, grouped, label, what_to_do

__all__ = ["OpenPoint", "anything_measured", "open_points", "taken_in_order", "unread"]


@dataclass(frozen=True, slots=True)
class OpenPoint:
    """Findings that are not settled, what that may change, and what would settle them.

    saves: options of the plan that only stand on these findings; the plan may do without them.
    """

    group: Grouped
    changes: str
    do: str
    saves: tuple[Reason, ...] = ()


def anything_measured(findings: Iterable[Finding]) -> bool:
    """Whether anything was read that some limit is about."""
    unread = (Verdict.NOT_MEASURED, Verdict.STALE)
    return any(finding.verdict not in unread for finding in findings)


def open_points(job: Job, plan: Plan) -> tuple[OpenPoint, ...]:
    """What is not settled and could change the plan, the most important first.

    A reading that would change nothing (the part is renewed anyway) is left out.
    """
    before = {finding.check.name: finding for finding in job.findings}
    unsure = {name for name, f in before.items() if f.verdict is Verdict.NOT_PROVEN}
    saved: dict[str, list[Reason]] = {}
    for reason in plan.reasons:
        for name in _only_unsure(plan, reason, unsure):
            saved.setdefault(name, []).append(reason)
    after = [f for f in plan.after if f.check.limit.must and f.verdict in _UNSETTLED]
    asked = [f for f in after if f.verdict is not Verdict.NOT_PROVEN]
    asked += [before[f.check.name] for f in after if f.verdict is Verdict.NOT_PROVEN]
    known = {finding.check.name for finding in asked}
    asked += [before[name] for name in saved if name not in known]
    return tuple(
        _point(job, group, [r for f in group.findings for r in saved.get(f.check.name, ())])
        for group in by_importance(grouped(asked))
    )


def unread(job: Job, points: Iterable[OpenPoint]) -> int:
    """How many things the plan takes to be in order though no reading that counts says so."""
    return sum(_is_unread(point) for point in points) + len(job.located.questioned)


def taken_in_order(job: Job, plans: Iterable[Plan]) -> tuple[str, ...]:
    """What some of the plans take to be in order though no reading that counts says so."""
    found: dict[str, dict[str, None]] = {}
    for plan in plans:
        for point in filter(_is_unread, open_points(job, plan)):
            names = found.setdefault(point.group.limit.name, {})
            names.update(dict.fromkeys(filter(None, map(label, point.group.findings))))
    some = [f"{limit} of {', '.join(names)}" if names else limit for limit, names in found.items()]
    asked = (item.typed for item in job.located.questioned)
    return (
        *some,
        *(f"{typed.characteristic} of {typed.feature}, read but in question" for typed in asked),
    )


def _is_unread(point: OpenPoint) -> bool:
    return point.group.verdict in (Verdict.NOT_MEASURED, Verdict.STALE)


_UNSETTLED = (Verdict.NOT_MEASURED, Verdict.STALE, Verdict.NOT_PROVEN)


def _only_unsure(plan: Plan, reason: Reason, unsure: set[str]) -> Iterable[str]:
    """The findings that alone force a choice, where all of them are not proven."""
    group = next(group for group, _ in plan.chosen if group.name == reason.group)
    keep = next((item for item in reason.refused if item.option == group.keep), None)
    rules = set() if keep is None else set(keep.rules)
    return sorted(rules) if rules and rules <= unsure else ()


def _point(job: Job, group: Grouped, saves: Iterable[Reason]) -> OpenPoint:
    reasons = tuple({reason.group: reason for reason in saves}.values())
    do = what_to_do(group, job.state.sizes)
    if reasons:
        words = " and ".join(reason.words for reason in reasons)
        return OpenPoint(group, f"may make it needless to {words}", do, reasons)
    if group.verdict is Verdict.STALE:
        changes = "what was read no longer counts; it may ask for more work"
    elif group.verdict is Verdict.NOT_MEASURED:
        changes = "it may ask for more work; the plan takes it to be in order"
    else:
        changes = "nothing on the lists mends it; a person must decide"
    return OpenPoint(group, changes, do, ())
