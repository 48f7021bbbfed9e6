"""Findings in a terminal: what is out first, what is not proven, what is missing, then the count."""

from __future__ import annotations

from collections import Counter

from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.report.text.engine_art import engine_art
from sparkout.report.text.layout import heading, wrapped

__all__ = ["findings_text"]

_LISTED = 12


def findings_text(job: Job, *, whole: bool = False) -> list[str]:
    """Everything `check` says of a job. whole: list what is within too, and all that is missing."""
    lines = [job.sheet.identity.name]
    if job.sheet.identity.note:
        lines += wrapped(job.sheet.identity.note)
    lines += ["", *engine_art(job)]
    by = {verdict: [f for f in job.findings if f.verdict is verdict] for verdict in Verdict}
    lines += heading("Out of limits")
    lines += _listed(by[Verdict.OUT], "✕", whole=True) or ["  nothing"]
    if by[Verdict.NOT_PROVEN]:
        lines += heading("Not proven: too near the limit for the gauge")
        lines += _listed(by[Verdict.NOT_PROVEN], "!", whole=True)
    if by[Verdict.STALE]:
        lines += heading("To be read again")
        lines += _listed(by[Verdict.STALE], "↻", whole=True)
    if job.located.questioned:
        lines += heading("Readings in question, left out until confirmed or corrected")
        for item in job.located.questioned:
            where = f"{item.typed.feature}, {item.typed.characteristic}: "
            lines += wrapped(where + str(item.question), "  ? ")
    if by[Verdict.NOT_MEASURED]:
        lines += heading("Not measured")
        lines += _listed(by[Verdict.NOT_MEASURED], "·", whole=whole)
    if whole:
        lines += heading("Within")
        lines += _listed(by[Verdict.WITHIN], "✓", whole=True)
    lines += ["", _count(job.findings), *_rule(job)]
    return lines


def _listed(findings: list[Finding], mark: str, *, whole: bool) -> list[str]:
    shown = findings if whole else findings[:_LISTED]
    lines: list[str] = []
    for finding in shown:
        text = finding.reason + (f" {finding.settle}" if finding.settle else "")
        lines += wrapped(text, f"  {mark} ")
    if len(findings) > len(shown):
        lines.append(f"    and {len(findings) - len(shown)} more; --all lists them")
    return lines


def _count(findings: tuple[Finding, ...]) -> str:
    count = Counter(finding.verdict for finding in findings)
    parts = [f"{count[verdict]} {verdict.value}" for verdict in Verdict if count[verdict]]
    return f"{len(findings)} limits judged: " + ", ".join(parts) + "."


def _rule(job: Job) -> list[str]:
    percent = float(job.shop.confidence * 100)
    return wrapped(
        f"Rule: within or out only where {percent:g} % sure, gauge uncertainty counted "
        "(ISO 14253-1); the shop's file sets it."
    )
