"""The engine in a few lines of text: each bore with its verdict, as it stands in the row."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.engine.frame import Bank
from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job

__all__ = ["bore_verdicts", "engine_art"]

_WORST = (
    Verdict.OUT,
    Verdict.NOT_PROVEN,
    Verdict.STALE,
    Verdict.NOT_MEASURED,
    Verdict.WITHIN,
    Verdict.NO_LIMIT,
)
_SHORT = {
    Verdict.OUT: "OUT",
    Verdict.NOT_PROVEN: "?",
    Verdict.STALE: "stale",
    Verdict.NOT_MEASURED: "–",
    Verdict.WITHIN: "ok",
    Verdict.NO_LIMIT: "–",
}


def bore_verdicts(findings: tuple[Finding, ...]) -> Mapping[str, Verdict]:
    """The worst verdict on each bore itself: its size, shape, score and wall."""
    found: dict[str, list[Verdict]] = {}
    for finding in findings:
        feature = finding.check.instance.feature
        own = finding.check.limit.characteristic.startswith("bore ")
        if feature.startswith("bore ") and own:
            found.setdefault(feature, []).append(finding.verdict)
    return {feature: min((v for v in verdicts), key=_rank) for feature, verdicts in found.items()}


def _rank(verdict: Verdict) -> int:
    # what was read and is fine counts before what was not read at all
    return _WORST.index(verdict) if verdict is not Verdict.NOT_MEASURED else 4


def engine_art(job: Job) -> list[str]:
    """One row of boxes for each bank, with the largest bore reading and its verdict."""
    verdicts = bore_verdicts(job.findings)
    lines: list[str] = []
    for bank in job.frame.banks:
        lines += _row(job, bank, verdicts)
    order = "-".join(map(str, job.frame.firing_order))
    lines.append(f"  firing order {order}" if len(job.frame.firing_order) > 1 else "")
    return [line.rstrip() for line in lines if line]


def _row(job: Job, bank: Bank, verdicts: Mapping[str, Verdict]) -> list[str]:
    cells = [_cell(job, cylinder, verdicts) for cylinder in bank.cylinders]
    wide = max(9, *(max(len(line) for line in cell) for cell in cells))
    label = f"  {bank.name} bank: " if bank.name else "  "
    blank = " " * len(label)
    shaped = [[line.center(wide) for line in cell] for cell in cells]
    edge = "─" * wide
    joint = [
        blank + "┌" + "┬".join([edge] * len(cells)) + "┐",
        label + "│" + "│".join(cell[0] for cell in shaped) + "│",
        blank + "│" + "│".join(cell[1] for cell in shaped) + "│",
        blank + "│" + "│".join(cell[2] for cell in shaped) + "│",
        blank + "└" + "┴".join([edge] * len(cells)) + "┘",
    ]
    where = job.sheet.identity.cylinder_one
    if where and bank is job.frame.banks[0]:
        joint.insert(0, f"{blank} cylinder 1 {where}")
    return joint


def _cell(job: Job, cylinder: int, verdicts: Mapping[str, Verdict]) -> tuple[str, str, str]:
    name = f"bore {cylinder}"
    size = job.state.found.get(Key(name, "bore diameter"))
    verdict = verdicts.get(name, Verdict.NOT_MEASURED)
    figure = _figure(job, size.high.value) if size is not None else "no reading"
    return str(cylinder), figure, _SHORT[verdict]


def _figure(job: Job, value: Fraction) -> str:
    return job.words.value(value, "bore diameter").rsplit(" ", 1)[0]
