"""The long table: every limit with what was found, what is allowed and the verdict."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.engine.characteristics import BY_NAME
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words
from sparkout.report.documents.wording import found
from sparkout.report.grouping import Grouped, Sizes, allowed, grouped, label
from sparkout.report.pictures.verdicts import shown

__all__ = ["judged_rows", "verdict_cell"]


def judged_rows(findings: Iterable[Finding], words: Words, sizes: Sizes) -> list[list[object]]:
    """A row for each limit and verdict, in the order of the data sheet."""
    return [_row(group, words, sizes) for group in grouped(findings)]


def _row(group: Grouped, words: Words, sizes: Sizes) -> list[object]:
    return [
        _name(group),
        "–" if group.verdict is Verdict.NOT_MEASURED else _found(group, words, sizes),
        allowed(group.first, words),
        group.first.side if group.first.bounds is not None else "",
        verdict_cell(group.verdict),
    ]


def _name(group: Grouped) -> str:
    if group.verdict is not Verdict.NOT_MEASURED:
        return group.limit.name
    names = ", ".join(filter(None, map(label, group.findings)))
    return f"{group.limit.name} of {names}" if names else group.limit.name


def _found(group: Grouped, words: Words, sizes: Sizes) -> str:
    text = found(group, words, sizes)
    if BY_NAME[group.limit.characteristic].dimension == "test":
        return text
    names = [name for name in map(label, group.findings) if name]
    return f"{', '.join(names)}: {text}" if text.startswith("each ") else text


def verdict_cell(verdict: Verdict) -> object:
    """A mark for what a mark can say, words for a value without a limit."""
    return "no limit given" if verdict is Verdict.NO_LIMIT else {"verdict": shown(verdict).value}
