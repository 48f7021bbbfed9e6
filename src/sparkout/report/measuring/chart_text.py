"""A process chart in a terminal: figures, the trace, what broke a rule, what to make of it."""

from __future__ import annotations

from collections.abc import Sequence

from sparkout.measure.charts.capability import Index
from sparkout.measure.charts.chart import Line
from sparkout.measure.charts.history import AcceptableRange, Method
from sparkout.measure.charts.rules import SPREAD_RULES
from sparkout.report.measuring.process import RULES, Process, blind_words, flags
from sparkout.report.measuring.words import bulleted, chance, count_of, places, size
from sparkout.report.text.layout import WIDTH, heading, table, wrapped

__all__ = ["chart_text"]

_RULE_NAMES = {
    "nelson": "Nelson's eight tests",
    "western": "the four zone rules of 1956",
    "iso": "the three rules of ISO 7870-2",
}
_HIGH = 11
_LEFT = 12


def chart_text(process: Process) -> list[str]:
    base, series = process.base, process.series
    unit, digits = series.unit, places(base.sigma)
    lines = wrapped(f"{series.name}{f', {unit}' if unit else ''}")
    what = "reading" if series.single else "subgroup"
    whole = process.based_on == len(series.groups)
    lines += wrapped(
        f"Chart of {base.kind}, {count_of(len(series.groups), what)}"
        + ("" if series.single else f" of {_sizes(process)}")
        + ("; the limits come from all of them." if whole else
           f"; the limits come from the first {process.based_on}.")
    )  # fmt: skip
    lines += ["", *_figures(process, digits)]
    lines += [""]
    lines += _trace(process.chart.location, flags(process.chart.location, process.location,
                    RULES[process.asked.rules]), digits)  # fmt: skip
    lines += heading("Signals")
    if process.signals:
        for signal in process.signals:
            rules = RULES[process.asked.rules] if signal in process.location else SPREAD_RULES
            number = next(k for k, rule in enumerate(rules, 1) if rule is signal.rule)
            lines += wrapped(f"{signal.text} (rule {number})", "  ! ")
    else:
        lines += wrapped(f"none by {_RULE_NAMES[process.asked.rules]}", "  ")
    if process.capability is not None:
        lines += [*heading("Against the limits of the part"), *_capability(process, digits)]
    if process.accepted is not None:
        lines += heading("What reading is acceptable")
        lines += _accepted(process, process.accepted, digits)
    lines += [*heading("What this chart cannot show"), *bulleted(blind_words(process))]
    lines += [line for fault in process.warnings for line in wrapped(
        f"Provisional: {fault.found}; {fault.expected}. {fault.remedy}", "  ! ")]  # fmt: skip
    return lines


def _sizes(process: Process) -> str:
    sizes = sorted({len(group) for group in process.series.groups})
    return str(sizes[0]) if len(sizes) == 1 else f"{sizes[0]} to {sizes[-1]}"


def _figures(process: Process, digits: int) -> list[str]:
    rows = [["", "centre", "lower limit", "upper limit"]]
    for line in (process.chart.location, process.chart.spread):
        if not line.points:
            continue
        last = line.points[-1]
        rows.append([line.what, *(size(v, digits) for v in (last.centre, last.lower, last.upper))])
    made = table(rows, right=(1, 2, 3))
    same = len({len(group) for group in process.series.groups}) == 1
    note = "" if same else " Limits are those of the last subgroup; each has those of its size."
    scatter = size(process.base.sigma, digits, process.series.unit)
    return [*made, *wrapped(f"1 sigma of a reading: {scatter}.{note}")]


def _trace(line: Line, odd: Sequence[str], digits: int) -> list[str]:
    """The newest points that fit, highest on top; figures where a rule is broken."""
    room = WIDTH - _LEFT - 2
    points = line.points[-room:]
    marks = odd[-room:]
    levels = {"upper": points[-1].upper, "centre": points[-1].centre, "lower": points[-1].lower}
    every = [p.value for p in points] + list(levels.values())
    low, high = min(every), max(every)
    span = (high - low) or 1.0

    def row_of(value: float) -> int:
        return round((high - value) / span * (_HIGH - 1))

    grid = [[" "] * len(points) for _ in range(_HIGH)]
    for name, sign in (("upper", "┄"), ("lower", "┄"), ("centre", "─")):
        for k, point in enumerate(points):
            grid[row_of({"upper": point.upper, "lower": point.lower}.get(name, point.centre))][
                k
            ] = sign
    for k, (point, mark) in enumerate(zip(points, marks, strict=True)):
        grid[row_of(point.value)][k] = mark or "•"
    labels = {row_of(value): size(value, digits) for value in levels.values()}
    lines = [f"{labels.get(r, ''):>{_LEFT}} {''.join(row).rstrip()}" for r, row in enumerate(grid)]
    lines = [text.rstrip() for text in lines]
    first, last = str(points[0].number), str(points[-1].number)
    gap = max(1, len(points) - len(first) - len(last))
    lines.append(f"{'':>{_LEFT}} {first}{' ' * gap}{last}" if len(points) > 1 else first)
    if any(marks):
        lines += wrapped("• a point; a figure is a point that helps to break the rule of that "
                         "number", " " * (_LEFT + 1))  # fmt: skip
    return lines


def _index(name: str, index: Index | None) -> list[str]:
    if index is None:
        return []
    return [name, f"{index.value:.2f}", f"{index.low:.2f} to {index.high:.2f}"]


def _capability(process: Process, digits: int) -> list[str]:
    able, asked, unit = process.capability, process.asked, process.series.unit
    assert able is not None
    ends = [
        f"at least {size(asked.lower, digits, unit)}" if asked.lower is not None else "",
        f"at most {size(asked.upper, digits, unit)}" if asked.upper is not None else "",
    ]
    lines = wrapped("limit: " + " and ".join(part for part in ends if part), "  ")
    rows = [["", "value", "95 % interval"]]
    rows += [row for row in (
        _index("Cp  (could hold)", able.cp), _index("Cpk (nearest limit)", able.cpk),
        _index("Pp  (did hold)", able.pp), _index("Ppk (nearest limit)", able.ppk),
    ) if row]  # fmt: skip
    lines += [f"  {row}" for row in table(rows, right=(1,))]
    lines += wrapped(f"{chance(able.share_outside)} of readings to come lie outside, if nothing "
                     "changes and they are normally distributed.", "  ")  # fmt: skip
    if process.signals:
        lines += wrapped(
            "A rule is broken above: the process is not one process, and these figures foretell "
            "nothing until that is settled.", "  ! ")  # fmt: skip
    return lines


def _accepted(process: Process, found: AcceptableRange, digits: int) -> list[str]:
    unit = process.series.unit
    told = {signal.text for signal in process.signals}
    parts = [
        f"at least {size(found.lower, digits, unit)}" if found.lower is not None else "",
        f"at most {size(found.upper, digits, unit)}" if found.upper is not None else "",
    ]
    rule = " and ".join(part for part in parts if part)
    how = (
        f"mean {size(found.mean, digits)}, standard deviation {size(found.sd, digits)}, factor "
        f"{found.factor:.2f}"
        if found.method is Method.NORMAL and found.factor is not None
        else "the least and the greatest reading"
    )
    lines = wrapped(rule, "  ▸ ")
    lines += wrapped(
        f"With confidence {found.confidence:.1%} at least {found.coverage:.0%} of readings on good "
        f"parts lie there. Learned from {count_of(found.readings, 'reading')} ({how}). It is a "
        "rule of this shop, not a limit of a maker.", "    ")  # fmt: skip
    lines += wrapped("It holds while " + "; ".join(found.assumptions) + ".", "    ")
    warnings = [warning for warning in found.warnings if warning not in told]
    lines += [line for warning in warnings for line in wrapped(warning, "  ! ")]
    return lines
