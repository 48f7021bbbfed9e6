"""What a record lacks before it can be signed: said in words, never left blank."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan
from sparkout.report.documents.built.as_found import untested
from sparkout.report.documents.built.as_left import AsLeft
from sparkout.report.documents.built.assembled import Build, waived_by
from sparkout.report.documents.engine import approvals, intakes
from sparkout.report.documents.source import Source
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.grouping import minus, unique

__all__ = ["missing"]

_FEW = 6


def missing(source: Source, left: AsLeft, build: Build) -> list[str]:
    """All that stands between this record and a finished job; nothing when it is finished."""
    job, plan = source.job, source.decided
    lacks: list[str] = []
    if not source.entries:
        lacks.append("The log has no entries: nothing was measured, decided or done.")
    came = intakes(source)
    if not came:
        lacks.append("Intake: no entry of what came through the door.")
    elif not any(body.serial for body in came):
        lacks.append("Intake: no serial number.")
    if not approvals(source):
        lacks.append("Approval: no entry that the customer agreed to the work.")
    for item in job.located.questioned:
        lacks.append(
            f"Reading in question: {item.typed.feature}, {item.typed.characteristic} "
            f"{item.typed.typed}; confirm or correct it."
        )
    lacks += [f"Not tested: {text}." for text in untested(source)]
    if not isinstance(plan, Plan):
        lacks.append("Plan: there is none under which every limit holds.")
        return lacks
    lacks += [f"Undecided: {minus(finding.reason)}" for finding in plan.left_out]
    done = {
        (" ".join(work.operation.split()).casefold(), name)
        for _, work in job.located.work
        for name in work.features
    }
    waiting = dict.fromkeys(
        work.operation
        for group, option in plan.chosen
        for work in option.work
        if (work.operation, group.name) not in done
        and any((work.operation, name) not in done for name in work.features)
    )
    if waiting:
        lacks.append(f"Work not entered as done: {_some(waiting)}.")
    unread: dict[str, list[str]] = {}
    for key in left.lacking:
        unread.setdefault(key.characteristic, []).append(key.feature)
    if unread:
        told = "; ".join(f"{name} of {short_names(some)}" for name, some in unread.items())
        lacks.append(f"Not read as left, {len(left.lacking)} sizes: {told}.")
    lacks += _limits(left, build)
    open_parts = [line.words for line in build.parts if not line.settled]
    if open_parts:
        lacks.append(f"Parts not accounted for, {len(open_parts)}: {'; '.join(open_parts)}.")
    if build.not_done:
        lacks.append(
            f"Assembly: {len(build.not_done)} of {len(build.progress.steps)} steps are not "
            f"recorded as done: {_some(build.not_done)}."
        )
    return lacks


def _limits(left: AsLeft, build: Build) -> list[str]:
    """Limits that are broken or not proven as left and that nobody let pass."""
    pardoned = waived_by(build.records)
    return [
        f"Out of limits as left: {minus(finding.reason)}"
        if finding.verdict is Verdict.OUT
        else f"Not proven as left: {minus(finding.reason)}"
        for finding in unique(left.findings)
        if finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN, Verdict.STALE)
        and (finding.check.limit.name, finding.check.instance.feature) not in pardoned
        and (finding.check.limit.characteristic, finding.check.instance.feature) not in pardoned
    ]


def _some(names: Iterable[str]) -> str:
    """The first few, and how many more."""
    every = list(names)
    told = ", ".join(every[:_FEW])
    return told if len(every) <= _FEW else f"{told} and {len(every) - _FEW} more"
