"""Findings in a terminal: what is out, what is not proven, what is missing, then the count."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.report.grouping import (
    Grouped,
    by_importance,
    grouped,
    label,
    told,
    what_to_do,
)
from sparkout.report.rule_words import rule_words
from sparkout.report.text.engine_art import engine_art
from sparkout.report.text.layout import heading, wrapped

__all__ = ["findings_text"]

_LISTED = 8


def findings_text(job: Job, sizes: Iterable[str] = (), *, whole: bool = False) -> list[str]:
    """Everything `check` says of a job. sizes: as which size what work left was judged. whole: list
    what is within too, and all that is missing."""
    lines = wrapped(job.sheet.identity.name)
    if job.sheet.identity.note:
        lines += wrapped(job.sheet.identity.note)
    lines += ["", *engine_art(job)]
    lines += heading("Out of limits")
    lines += _listed(job, Verdict.OUT, "✕", whole=True) or ["  nothing"]
    not_proven = _listed(job, Verdict.NOT_PROVEN, "!", whole=True)
    if not_proven:
        lines += [*heading("Not proven: too near the limit for the gauge"), *not_proven]
    stale = _listed(job, Verdict.STALE, "↻", whole=True)
    if stale:
        lines += [*heading("To be read again"), *stale]
    if job.located.questioned:
        lines += heading("Readings in question, left out until confirmed or corrected")
        for item in job.located.questioned:
            where = f"{item.typed.feature}, {item.typed.characteristic}: "
            lines += wrapped(where + str(item.question), "  ? ")
    missing = _listed(job, Verdict.NOT_MEASURED, "·", whole=whole)
    if missing:
        lines += [*heading("Not measured"), *missing]
    if whole:
        lines += [*heading("Within"), *_listed(job, Verdict.WITHIN, "✓", whole=True)]
        unlimited = _listed(job, Verdict.NO_LIMIT, "·", whole=True)
        if unlimited:
            lines += [*heading("Read, no limit given"), *unlimited]
    by = [line for text in sizes for line in wrapped(text, "  · ")]
    if by:
        lines += [*heading("Read after work, and judged as"), *by]
    marks = _marks(job)
    if marks:
        lines += [*heading("What some of it rests on"), *marks]
    lines += ["", *wrapped(_count(job.findings)), *_rule(job)]
    return lines


def _listed(job: Job, verdict: Verdict, mark: str, *, whole: bool) -> list[str]:
    groups = by_importance(grouped(f for f in job.findings if f.verdict is verdict))
    shown = groups if whole else groups[:_LISTED]
    lines: list[str] = []
    for group in shown:
        text = told(group, job.words, job.state.sizes) + "."
        do = _advice(group) or what_to_do(group, job.state.sizes)
        lines += wrapped(f"{text} {do}" if do else text, f"  {mark} ")
    if len(groups) > len(shown):
        left = sum(len(group.findings) for group in groups[len(shown) :])
        lines.append(f"    and {left} more; --all lists them")
    return lines


def _advice(group: Grouped) -> str:
    """Of several in doubt, what settles each where that is not the same for all of them."""
    if group.verdict is not Verdict.NOT_PROVEN:
        return ""
    by_text: dict[str, list[str]] = {}
    for finding in group.findings:
        if finding.settle:
            by_text.setdefault(finding.settle, []).append(label(finding))
    if len(by_text) < 2:
        return ""
    return " ".join(f"{', '.join(names)}: {text}" for text, names in by_text.items())


def _marks(job: Job) -> list[str]:
    """Rules of thumb and expired certificates behind what was judged, and how many rest on each."""
    count = Counter(mark for finding in job.findings for mark in finding.marks)
    lines: list[str] = []
    for mark, number in count.items():
        words = "finding rests" if number == 1 else "findings rest"
        lines += wrapped(f"{mark[:1].upper()}{mark[1:]}; {number} {words} on it.", "  · ")
    return lines


def _count(findings: tuple[Finding, ...]) -> str:
    count = Counter(finding.verdict for finding in findings)
    parts = [f"{count[verdict]} {verdict.value}" for verdict in Verdict if count[verdict]]
    return f"{len(findings)} limits judged: " + ", ".join(parts) + "."


def _rule(job: Job) -> list[str]:
    return wrapped(f"Rule of the shop's file: {rule_words(job.shop)}")
