"""Why each thing is done, in one sentence that names what was found."""

from __future__ import annotations

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words
from sparkout.plan.decide import Plan
from sparkout.plan.explain import Reason
from sparkout.plan.forms import HoldsTo, Need
from sparkout.report.documents.wording import below, found, parts, plain_of, sentence
from sparkout.report.grouping import Grouped, Sizes, allowed, by_importance, grouped

__all__ = ["Findings", "why"]

_TOLD = 2

Findings = dict[str, Finding]


def why(plan: Plan, reasons: tuple[Reason, ...], findings: Findings, words: Words,
        sizes: Sizes) -> str:  # fmt: skip
    """One sentence for choices that differ in the feature alone.

    Taken from what would be broken if the part were left as it is: what was found out of limits,
    the most important first; else what would not fit afterwards.
    """
    rules = [plan.compiled.rules[name] for r in reasons for name in _broken(plan, r)]
    bad: list[Finding] = []
    fits: dict[str, None] = {}
    for rule in rules:
        if not isinstance(rule, Check):
            continue
        finding = findings.get(rule.name)
        if finding is not None and finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN):
            bad.append(finding)
        else:
            fits.setdefault(rule.limit.name)
    if fits:
        names = " and ".join(list(fits)[:_TOLD])
        return f"The other work moves {names}; without this it would be out of limits."
    groups = by_importance(grouped(bad))
    if groups:
        told = [_told(group, words, sizes) for group in groups[:_TOLD]]
        more = len(groups) - len(told)
        return "; ".join(told) + (f"; and {more} more" if more else "") + "."
    needs = dict.fromkeys(rule.words for rule in rules if isinstance(rule, Need | HoldsTo))
    if needs:
        return sentence("; ".join(list(needs)[:_TOLD]))
    return "Goes with the other work."


def _broken(plan: Plan, reason: Reason) -> tuple[str, ...]:
    """The rules that leaving it alone would break."""
    group = next(group for group, _ in plan.chosen if group.name == reason.group)
    keep = next((item for item in reason.refused if item.option == group.keep), None)
    return () if keep is None else keep.rules


def _told(group: Grouped, words: Words, sizes: Sizes) -> str:
    said = plain_of(group).wrong(below=any(map(below, group.findings))).partition(":")[0]
    doubt = "may be " if group.verdict is Verdict.NOT_PROVEN else ""
    limit = allowed(group.first, words)
    figures = found(group, words, sizes, short=True)
    shown = figures if limit == "must pass" else f"{figures}; {limit}"
    return f"{parts(group)}: {doubt}{said} ({shown})"
