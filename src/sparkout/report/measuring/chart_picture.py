"""A process chart as a picture."""

from __future__ import annotations

from sparkout.drawings.control_chart import ControlChart, ControlPanel, control_chart
from sparkout.measure.charts.chart import Line
from sparkout.measure.charts.rules import SPREAD_RULES
from sparkout.report.measuring.process import RULES, Process, flags
from sparkout.report.measuring.words import places

__all__ = ["chart_picture"]


def chart_picture(process: Process) -> str:
    """Location above, spread below, the limits of the part where they were given."""
    series, asked = process.series, process.asked
    location = process.chart.location
    panels = (
        _panel(process, location, asked.lower, asked.upper),
        _panel(process, process.chart.spread, None, None),
    )
    return control_chart(ControlChart(series.name, panels, series.labels, series.unit))


def _panel(process: Process, line: Line, lower: float | None, upper: float | None) -> ControlPanel:
    spread = line is process.chart.spread
    found = process.spread if spread else process.location
    odd = flags(line, found, SPREAD_RULES if spread else RULES[process.asked.rules])
    # A moving range begins at the second reading: its panel has a gap at the first.
    gap = len(process.series.groups) - len(line.points)
    last = line.points[-1] if line.points else None
    uneven = len({point.upper for point in line.points}) > 1
    name = line.what + (" (limits of the last subgroup; sizes differ)" if uneven else "")
    return ControlPanel(
        name,
        (None,) * gap + tuple(point.value for point in line.points),
        None if last is None else last.centre,
        None if last is None else last.lower,
        None if last is None else last.upper,
        ("",) * gap + odd,
        lower,
        upper,
        places(process.base.sigma),
    )
