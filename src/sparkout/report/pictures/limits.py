"""Findings as bars: what was read, what is allowed, how sure it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.engine.characteristics import BY_NAME
from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.report.grouping import by_importance, grouped, over
from sparkout.report.pictures.scales import LengthScale, scale_of
from sparkout.report.pictures.verdicts import shown
from sparkout.sheet.model import Bounds

__all__ = ["Drawn", "bars_of", "draw_check", "draw_limits", "draw_worst"]


# Rows of one page: about as tall as it is wide.
_PAGE = 12
# What a customer takes in at a glance.
_WORST = 8
_TO_SEE_TO = (Verdict.OUT, Verdict.NOT_PROVEN, Verdict.STALE)


@dataclass(frozen=True, slots=True)
class Drawn:
    """pages: the bars, a few on each; whole: all of them in one picture. left_out: findings that
    are no lengths, which the list says in words."""

    pages: tuple[str, ...]
    whole: str
    left_out: int


def draw_check(job: Job, *, all_of_them: bool = False) -> Drawn:
    """What is out or in doubt as bars, what matters most first. all_of_them: what is within, and
    what nobody read, too."""
    chosen = [
        finding
        for group in by_importance(grouped(job.findings))
        if all_of_them or group.verdict in _TO_SEE_TO
        for finding in group.findings
    ]
    bars = bars_of(chosen, job.shop.units, float(job.shop.confidence))
    name = job.sheet.identity.name
    title = f"{name}: {'every length' if all_of_them else 'out of limits or in doubt'}"
    empty = "No length has a limit" if all_of_them else "No length is out of limits or in doubt"
    number = max(1, -(-len(bars) // _PAGE))
    pages = [
        limit_bars(
            bars[_PAGE * k : _PAGE * (k + 1)],
            f"{title}, {k + 1} of {number}" if number > 1 else title,
            empty,
        )
        for k in range(number)
    ]
    return Drawn(tuple(pages), limit_bars(bars, title, empty), len(chosen) - len(bars))


def draw_worst(job: Job) -> str | None:
    """Of each limit that is broken or in doubt its worst feature, what matters most first."""
    groups = [g for g in by_importance(grouped(job.findings)) if g.verdict in _TO_SEE_TO]
    worst = [max(group.findings, key=lambda item: over(item) or 0) for group in groups]
    bars = bars_of(worst, job.shop.units, float(job.shop.confidence))[:_WORST]
    return limit_bars(bars, "The worst of each, against what is allowed") if bars else None


def draw_limits(findings: Sequence[Finding], system: str, confidence: float, title: str) -> str:
    return limit_bars(bars_of(findings, system, confidence), title)


def bars_of(findings: Iterable[Finding], system: str, confidence: float) -> tuple[LimitBar, ...]:
    """A bar for every finding about a length that has limits; the others say all in words."""
    scale = scale_of(system)
    sure = NormalDist().inv_cdf(confidence)
    return tuple(
        _bar(finding, scale, sure)
        for finding in findings
        if BY_NAME[finding.check.limit.characteristic].dimension == "length"
        and not finding.check.instance.inner
    )


def _bar(finding: Finding, scale: LengthScale, sure: float) -> LimitBar:
    limit = finding.check.limit
    decimals = max(0, min(scale.decimals, _decimals(limit.characteristic, scale)))
    name = f"{finding.check.instance.feature}: {limit.name}"
    note = f"rule of thumb: {limit.thumb}" if limit.thumb else limit.held
    shift = _shift(finding)
    new, service = _ends(limit.new, scale, shift), _ends(limit.service, scale, shift)
    if finding.low is None or finding.high is None:
        return LimitBar(
            name, shown(finding.verdict), new=new, service=service, unit=scale.unit,
            decimals=decimals, note=note,
        )  # fmt: skip
    low, high = finding.low, finding.high
    deciding = low if _low_decides(finding) else high
    u = max(low.u, high.u) / float(scale.size)
    return LimitBar(
        name,
        shown(finding.verdict),
        scale.of(deciding.value),
        scale.of(low.value),
        scale.of(high.value),
        2 * u or None,
        new,
        service,
        _judged(finding),
        sure * u,
        scale.unit,
        decimals,
        note,
    )


def _judged(finding: Finding) -> str:
    """Which of the two limits was judged by; where only one is given, that one."""
    limit = finding.check.limit
    given = [name for name, ends in (("new", limit.new), ("service", limit.service)) if ends]
    return given[0] if len(given) == 1 else finding.side


def _decimals(characteristic: str, scale: LengthScale) -> int:
    fine = Fraction(BY_NAME[characteristic].step) < Fraction(1, 100)
    if scale.unit == "in":
        return 4 if Fraction(BY_NAME[characteristic].step) <= Fraction(1, 100) else 3
    return 3 if fine else 2


def _shift(finding: Finding) -> Fraction:
    """How far the limits were moved along with an over- or undersize."""
    own, typed = finding.bounds, finding.check.limit.side(finding.side)
    if own is None or typed is None:
        return Fraction(0)
    for moved, plain in ((own.low, typed.low), (own.high, typed.high)):
        if moved is not None and plain is not None:
            return moved - plain
    return Fraction(0)


def _ends(
    bounds: Bounds | None, scale: LengthScale, shift: Fraction
) -> tuple[float | None, float | None]:
    if bounds is None:
        return (None, None)
    low = None if bounds.low is None else scale.of(bounds.low + shift)
    high = None if bounds.high is None else scale.of(bounds.high + shift)
    return (low, high)


def _low_decides(finding: Finding) -> bool:
    """Whether the smallest size is the one nearer to its limit."""
    bounds, low, high = finding.bounds, finding.low, finding.high
    if bounds is None or bounds.low is None or low is None or high is None:
        return False
    return bounds.high is None or low.value - bounds.low < bounds.high - high.value
