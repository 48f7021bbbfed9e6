"""Why each thing is done, in one sentence that names what was found."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict
from sparkout.plan.decide import Plan
from sparkout.plan.explain import Reason
from sparkout.plan.forms import HoldsTo, Need
from sparkout.report.documents.wording import at_fault, parts, sentence
from sparkout.report.grouping import Grouped, by_importance, grouped

__all__ = ["Findings", "why"]

_TOLD = 2

Findings = dict[str, Finding]


def why(plan: Plan, reasons: tuple[Reason, ...], findings: Findings) -> str:
    """One sentence for choices that differ in the feature alone.

    Taken from what would be broken if the part were left as it is: what was found out of limits,
    the most important first; else what would not fit afterwards. What was approved beyond what the
    limits ask for has no other reason.
    """
    if not any(reason.refused or reason.sentence for reason in reasons):
        return "As approved."
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
    if bad:
        return _told(by_importance(grouped(bad)))
    needs = dict.fromkeys(rule.words for rule in rules if isinstance(rule, Need | HoldsTo))
    if needs:
        return sentence("; ".join(list(needs)[:_TOLD]))
    return "Goes with the other work."


def _broken(plan: Plan, reason: Reason) -> tuple[str, ...]:
    """The rules that leaving it alone would break."""
    group = next(group for group, _ in plan.chosen if group.name == reason.group)
    keep = next((item for item in reason.refused if item.option == group.keep), None)
    return () if keep is None else keep.rules


def _told(groups: Iterable[Grouped]) -> str:
    """`Cylinders 2 and 3: worn oval, worn too wide; piston rings 2 and 3: gap worn too wide.`"""
    faults: dict[str, list[str]] = {}
    for group in groups:
        doubt = "perhaps " if group.verdict is Verdict.NOT_PROVEN else ""
        faults.setdefault(parts(group), []).append(doubt + at_fault(group))
    told = [f"{part}: {', '.join(dict.fromkeys(some))}" for part, some in faults.items()]
    more = len(told) - _TOLD
    shown = [told[0], *(text[0].lower() + text[1:] for text in told[1:_TOLD])]
    return "; ".join(shown) + (f"; and {more} more" if more > 0 else "") + "."
