"""A finding's verdict as a picture can say it, and the worst of several."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sparkout.drawings.palette import Verdict as Shown
from sparkout.judge.finding import Finding, Verdict

__all__ = ["SHOWN", "by_feature", "shown", "worst"]

# Read, but with no limit to hold it against: nothing can be said, as if it had not been read.
SHOWN: Mapping[Verdict, Shown] = MappingProxyType(
    {
        Verdict.WITHIN: Shown.OK,
        Verdict.OUT: Shown.OUT,
        Verdict.NOT_PROVEN: Shown.CHECK,
        Verdict.STALE: Shown.STALE,
        Verdict.NOT_MEASURED: Shown.NOT_MEASURED,
        Verdict.NO_LIMIT: Shown.NOT_MEASURED,
    }
)
_ORDER = (Shown.OUT, Shown.CHECK, Shown.STALE, Shown.OK, Shown.NOT_MEASURED)


def shown(verdict: Verdict) -> Shown:
    return SHOWN[verdict]


def worst(verdicts: Iterable[Verdict]) -> Shown:
    """The worst of what was read; not measured only where nothing was."""
    return min((SHOWN[verdict] for verdict in verdicts), key=_ORDER.index,
               default=Shown.NOT_MEASURED)  # fmt: skip


def by_feature(findings: Iterable[Finding]) -> Mapping[str, Shown]:
    """The worst verdict on each feature."""
    found: dict[str, list[Verdict]] = {}
    for finding in findings:
        found.setdefault(finding.check.instance.feature, []).append(finding.verdict)
    return {feature: worst(some) for feature, some in found.items()}
