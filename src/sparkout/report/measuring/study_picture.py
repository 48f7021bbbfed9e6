"""A gauge study as a picture: everybody's mean and range of each part."""

from __future__ import annotations

from sparkout.drawings.control_chart import ControlChart, ControlPanel, control_chart
from sparkout.measure.charts.base import mean_range_base
from sparkout.measure.charts.chart import Line, subgroup_chart
from sparkout.measure.studies.table import StudyTable
from sparkout.report.measuring.words import places

__all__ = ["study_picture"]


def study_picture(name: str, arranged: StudyTable, unit: str) -> str | None:
    """Means above, ranges below, person by person; None where no repeat differs from another.

    The limits come from the repeats alone: a mean outside them shows parts that the gauge tells
    apart, a range outside them a person or part that repeats worse than the rest.
    """
    groups = [
        arranged.values[i][j]
        for j in range(len(arranged.people))
        for i in range(len(arranged.parts))
    ]
    count = len(arranged.parts)
    labels = _parted([f"{who} {part}" for who in arranged.people for part in arranged.parts], count)
    base, _ = mean_range_base(groups)
    if base is None:
        return None
    chart, _ = subgroup_chart(base, groups)
    if chart is None:
        return None
    digits = places(base.sigma)
    panels = (
        _panel("mean of each part by each person; outside the limits is good: the gauge tells "
               "these parts apart", chart.location, count, digits, False),
        _panel("range of the repeats; outside the limits somebody repeats badly", chart.spread,
               count, digits, True),
    )  # fmt: skip
    return control_chart(ControlChart(name, panels, labels, unit))


def _panel(name: str, line: Line, count: int, digits: int, flagged: bool) -> ControlPanel:
    first = line.points[0]
    flags = ["1" if flagged and p.value > p.upper else "" for p in line.points]
    values: list[float | None] = [point.value for point in line.points]
    for at in range(len(values) - count, 0, -count):
        values.insert(at, None)  # a gap between one person and the next
    limits = (first.centre, first.lower, first.upper)
    return ControlPanel(name, tuple(values), *limits, _parted(flags, count), None, None, digits)


def _parted(texts: list[str], count: int) -> tuple[str, ...]:
    """Texts with an empty one between one person and the next."""
    made = []
    for at, text in enumerate(texts):
        if at and at % count == 0:
            made.append("")
        made.append(text)
    return tuple(made)
