"""Liners in section, as they stand or as the plan leaves them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.drawings.liner import LinerSection, liner_section
from sparkout.engine.dimension import Dimension, Key
from sparkout.judge.finding import Finding
from sparkout.load import Job
from sparkout.report.pictures.scales import scale_of
from sparkout.report.pictures.verdicts import shown

__all__ = ["draw_liner", "liner_of"]


def draw_liner(
    job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension], words: str
) -> str | None:
    """The liner whose protrusion has the least room to its limits; None without such a liner."""
    made = liner_of(job, findings, sizes, words)
    return None if made is None else liner_section(made)


def liner_of(
    job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension], words: str
) -> LinerSection | None:
    """The record behind `draw_liner`. words: when it stands so, such as `as planned`."""
    known = [
        finding
        for finding in findings
        if finding.check.limit.characteristic == "liner protrusion"
        and finding.low is not None
        and finding.bounds is not None
    ]
    if not known:
        return None
    finding = min(known, key=_room)
    assert finding.low is not None
    assert finding.bounds is not None
    liner = finding.check.instance.feature
    ledge = f"ledge {liner.rsplit(' ', 1)[-1]}"
    scale = scale_of(job.shop.units)

    def value(feature: str, characteristic: str) -> float | None:
        size = sizes.get(Key(feature, characteristic))
        return None if size is None else scale.of(size.low.value)

    def end(bound: Fraction | None) -> float | None:
        return None if bound is None else scale.of(bound)

    flange, depth = value(liner, "liner flange thickness"), value(ledge, "ledge depth")
    if flange is None or depth is None:
        return None
    return LinerSection(
        f"{liner.capitalize()} {words}: the least room of all",
        flange,
        depth,
        value(liner, "liner shim thickness") or None,
        scale.of(finding.low.value),
        end(finding.bounds.low),
        end(finding.bounds.high),
        shown(finding.verdict),
        scale.unit,
        scale.decimals,
    )


def _room(finding: Finding) -> Fraction:
    bounds, low, high = finding.bounds, finding.low, finding.high
    assert bounds is not None
    assert low is not None
    assert high is not None
    rooms = []
    if bounds.low is not None:
        rooms.append(low.value - bounds.low)
    if bounds.high is not None:
        rooms.append(bounds.high - high.value)
    return min(rooms)
