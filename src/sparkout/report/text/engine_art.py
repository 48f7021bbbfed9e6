"""The engine in a few lines of text: each bore with its verdict, as it stands in the row."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.engine.frame import Bank
from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.report.text.layout import WIDTH, wrapped

__all__ = ["bore_verdicts", "engine_art", "worst"]

# What was read and is fine counts before what was not read at all: a bore with one figure missing
# is not an unread bore.
_WORST = (
    Verdict.OUT,
    Verdict.NOT_PROVEN,
    Verdict.STALE,
    Verdict.WITHIN,
    Verdict.NO_LIMIT,
    Verdict.NOT_MEASURED,
)
_SHORT = {
    Verdict.OUT: "OUT",
    Verdict.NOT_PROVEN: "?",
    Verdict.STALE: "stale",
    Verdict.NOT_MEASURED: "–",
    Verdict.WITHIN: "ok",
    Verdict.NO_LIMIT: "–",
}


def worst(verdicts: list[Verdict]) -> Verdict:
    return min(verdicts, key=_WORST.index, default=Verdict.NOT_MEASURED)


def bore_verdicts(findings: tuple[Finding, ...]) -> Mapping[str, Verdict]:
    """The worst verdict on each bore itself: its size, shape, score and wall."""
    found: dict[str, list[Verdict]] = {}
    for finding in findings:
        feature = finding.check.instance.feature
        own = finding.check.limit.characteristic.startswith("bore ")
        if feature.startswith("bore ") and own:
            found.setdefault(feature, []).append(finding.verdict)
    return {feature: worst(verdicts) for feature, verdicts in found.items()}


def engine_art(job: Job) -> list[str]:
    """One row of boxes for each bank, with the largest bore reading and its verdict."""
    verdicts = bore_verdicts(job.findings)
    lines: list[str] = []
    where = job.sheet.identity.cylinder_one
    if where:
        lines += wrapped(f"cylinder 1 {where}", "  ")
    names = [f"{bank.name} bank: " if bank.name else "" for bank in job.frame.banks]
    room = max(map(len, names))
    for bank, name in zip(job.frame.banks, names, strict=True):
        if room > WIDTH // 4:
            lines += wrapped(name, "  ")
            name = "  "
        lines += _bank(job, bank, verdicts, "  " + name.rjust(room if room <= WIDTH // 4 else 2))
    if len(job.frame.firing_order) > 1:
        lines += wrapped("firing order " + "-".join(map(str, job.frame.firing_order)), "  ")
    return lines


def _bank(job: Job, bank: Bank, verdicts: Mapping[str, Verdict], name: str) -> list[str]:
    """A row of boxes; a long bank goes on below."""
    cells = [_cell(job, cylinder, verdicts) for cylinder in bank.cylinders]
    wide = max(9, *(max(len(line) for line in cell) for cell in cells))
    most = max(1, (WIDTH - len(name) - 1) // (wide + 1))
    lines: list[str] = []
    for start in range(0, len(cells), most):
        lines += _row(cells[start : start + most], wide, name if start == 0 else " " * len(name))
    return lines


def _row(cells: list[tuple[str, str, str]], wide: int, name: str) -> list[str]:
    blank, edge = " " * len(name), "─" * wide
    shaped = [[line.center(wide) for line in cell] for cell in cells]
    return [
        blank + "┌" + "┬".join([edge] * len(cells)) + "┐",
        name + "│" + "│".join(cell[0] for cell in shaped) + "│",
        blank + "│" + "│".join(cell[1] for cell in shaped) + "│",
        blank + "│" + "│".join(cell[2] for cell in shaped) + "│",
        blank + "└" + "┴".join([edge] * len(cells)) + "┘",
    ]


def _cell(job: Job, cylinder: int, verdicts: Mapping[str, Verdict]) -> tuple[str, str, str]:
    name = f"bore {cylinder}"
    size = job.state.found.get(Key(name, "bore diameter"))
    verdict = verdicts.get(name, Verdict.NOT_MEASURED)
    shown = _figure(job, size.high.value) if size is not None else "no reading"
    return str(cylinder), shown, _SHORT[verdict]


def _figure(job: Job, value: Fraction) -> str:
    return job.words.value(value, "bore diameter").rsplit(" ", 1)[0]
