"""A process of the shop's own: its chart, what broke a rule, how it fits its limits and what its
history says is acceptable, all from one series of readings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from sparkout.faults import Fault, Place
from sparkout.measure.charts.base import (
    Base,
    ChartKind,
    individuals_base,
    mean_range_base,
    mean_sd_base,
)
from sparkout.measure.charts.capability import Capability, capability
from sparkout.measure.charts.chart import Chart, Line, individuals_chart, subgroup_chart
from sparkout.measure.charts.history import AcceptableRange, Method, Sides, acceptable_range
from sparkout.measure.charts.rules import (
    ISO_RULES,
    NELSON_RULES,
    SPREAD_RULES,
    WESTERN_ELECTRIC_RULES,
    Rule,
    Signal,
    signals,
)
from sparkout.measure.studies.distributions import normal_probability

__all__ = ["RULES", "Asked", "Process", "Series", "blind_words", "flags", "process_of"]

RULES: Mapping[str, tuple[Rule, ...]] = MappingProxyType(
    {"nelson": NELSON_RULES, "western": WESTERN_ELECTRIC_RULES, "iso": ISO_RULES}
)
# A range bigger than this wastes readings: it sees only the two ends of the subgroup (common
# practice; Montgomery, Introduction to Statistical Quality Control, says about ten).
_MOST_IN_RANGE = 10
# Ranges standing on fewer steps than this make false limits (common practice: five).
_FEW_STEPS = 5


@dataclass(frozen=True, slots=True)
class Series:
    """Readings in the order made. groups: one tuple for each point of the chart; labels: one for
    each point, or none."""

    name: str
    unit: str
    groups: tuple[tuple[float, ...], ...]
    labels: tuple[str, ...] = ()

    @property
    def single(self) -> bool:
        return all(len(group) == 1 for group in self.groups)

    @property
    def values(self) -> tuple[float, ...]:
        return tuple(value for group in self.groups for value in group)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted of a series. kind: None to choose by the series; base: points of the base
    period from the first, None for all; lower, upper: limits of the part; bad: on which side a
    reading can be bad, None where nothing is to be learned."""

    kind: ChartKind | None = None
    base: int | None = None
    rules: str = "nelson"
    lower: float | None = None
    upper: float | None = None
    bad: Sides | None = None
    coverage: float = 0.95
    method: Method = Method.NORMAL


@dataclass(frozen=True, slots=True)
class Process:
    """Everything one series gave. warnings: what is shaky, in words."""

    series: Series
    asked: Asked
    base: Base
    based_on: int
    chart: Chart
    location: tuple[Signal, ...]
    spread: tuple[Signal, ...]
    capability: Capability | None
    accepted: AcceptableRange | None
    warnings: tuple[Fault, ...]

    @property
    def signals(self) -> tuple[Signal, ...]:
        return (*self.location, *self.spread)

    @property
    def alarming(self) -> bool:
        """Whether the newest point takes part in a broken rule."""
        last = len(self.series.groups)
        return any(last in signal.points for signal in self.signals)


def process_of(
    series: Series, asked: Asked, place: Place | None = None
) -> tuple[Process | None, tuple[Fault, ...]]:
    """The chart of a series with all that was asked, or every fault that stopped it."""
    place = place or Place(key="series")
    kind = asked.kind or _kind(series)
    groups = series.groups
    if kind is ChartKind.INDIVIDUALS and not series.single:
        groups = tuple((value,) for value in series.values)
        labels = tuple(
            label
            for label, group in zip(series.labels, series.groups, strict=True)
            for _ in group
        ) if series.labels else ()  # fmt: skip
        series = Series(series.name, series.unit, groups, labels)
    if len(groups) < 2:
        what = "reading" if series.single else "subgroup"
        fault = Fault(place, f"{len(groups)} {what} on the chart", "two or more", "Add readings.")
        return None, (fault,)
    count = len(groups) if asked.base is None else asked.base
    if not 2 <= count <= len(groups):
        fault = Fault(
            place,
            f"a base period of {count} points for {len(groups)} on the chart",
            f"a base period of 2 to {len(groups)} points",
        )
        return None, (fault,)
    base, warnings = _base(kind, groups[:count], place)
    if base is None:
        return None, warnings
    if kind is ChartKind.INDIVIDUALS:
        chart, faults = individuals_chart(base, series.values, place)
    else:
        chart, faults = subgroup_chart(base, groups, place)
    if chart is None:
        return None, faults
    learned = tuple(value for group in groups[:count] for value in group)
    able, faults = _capability(base, learned, asked, place)
    accepted, more = _accepted(learned, asked, place)
    stops = tuple(fault for fault in (*faults, *more) if fault.stops)
    if stops:
        return None, stops
    return (
        Process(
            series,
            asked,
            base,
            count,
            chart,
            signals(chart.location, RULES[asked.rules]),
            signals(chart.spread, SPREAD_RULES),
            able,
            accepted,
            warnings,
        ),
        (),
    )


def _kind(series: Series) -> ChartKind:
    if series.single:
        return ChartKind.INDIVIDUALS
    longest = max(len(group) for group in series.groups)
    return ChartKind.MEAN_RANGE if longest <= _MOST_IN_RANGE else ChartKind.MEAN_SD


def _base(
    kind: ChartKind, groups: Sequence[Sequence[float]], place: Place
) -> tuple[Base | None, tuple[Fault, ...]]:
    if kind is ChartKind.INDIVIDUALS:
        return individuals_base([value for group in groups for value in group], place)
    return (mean_range_base if kind is ChartKind.MEAN_RANGE else mean_sd_base)(groups, place)


def _capability(
    base: Base, values: Sequence[float], asked: Asked, place: Place
) -> tuple[Capability | None, tuple[Fault, ...]]:
    if asked.lower is None and asked.upper is None:
        return None, ()
    return capability(base, values, asked.lower, asked.upper, place=place)


def _accepted(
    values: Sequence[float], asked: Asked, place: Place
) -> tuple[AcceptableRange | None, tuple[Fault, ...]]:
    if asked.bad is None:
        return None, ()
    return acceptable_range(
        values, asked.bad, coverage=asked.coverage, method=asked.method, place=place
    )


def flags(line: Line, found: Sequence[Signal], rules: Sequence[Rule]) -> tuple[str, ...]:
    """For each point the number of the first rule it helps to break, or nothing."""
    numbers = {id(rule): str(at) for at, rule in enumerate(rules, 1)}
    by_point: dict[int, str] = {}
    for signal in sorted(found, key=lambda one: int(numbers.get(id(one.rule), "9"))):
        for point in signal.points:
            by_point.setdefault(point, numbers.get(id(signal.rule), "1"))
    return tuple(by_point.get(point.number, "") for point in line.points)


def _points_to_see(shift: float) -> float:
    """Points on average until one lies beyond 3 sigma after a shift of so many sigma of a point."""
    return 1.0 / (normal_probability(shift - 3.0) + normal_probability(-shift - 3.0))


def blind_words(process: Process) -> tuple[str, ...]:
    """What this chart cannot show, in sentences."""
    base, series = process.base, process.series
    size = 1 if base.kind is ChartKind.INDIVIDUALS else round(base.readings / base.subgroups)
    words = []
    if process.asked.lower is None and process.asked.upper is None:
        words.append(
            "Whether a part is good: the limits are what this process does, not what an engine "
            "needs. Give --lower or --upper to compare."
        )
    slow, quick = (_points_to_see(shift * math.sqrt(size)) for shift in (1.0, 2.0))
    words.append(
        f"A small shift at once: one of 1 sigma of a reading leaves the limits after about "
        f"{slow:.0f} points, one of 2 sigma after about {quick:.0f}."
    )
    words.append(
        "What is the process and what is the gauge: both are in these readings. A gauge study "
        "tells them apart."
    )
    if base.kind is not ChartKind.INDIVIDUALS:
        words.append(
            "A difference inside each subgroup that is always there (an end cylinder always "
            "tight): it hides in the range."
        )
    steps = _steps(series, base.kind)
    if steps and steps < _FEW_STEPS:
        words.append(
            f"Fine changes: the spread stands on only {steps} different values, so the gauge's "
            "step is coarse against the scatter and the limits are too wide or too narrow "
            "(five or more is common practice)."
        )
    return tuple(words)


def _steps(series: Series, kind: ChartKind) -> int:
    """On how many different values the moving ranges, or the ranges, stand."""
    values = series.values
    if kind is ChartKind.INDIVIDUALS:
        spreads = [abs(b - a) for a, b in pairwise(values)]
    else:
        spreads = [max(group) - min(group) for group in series.groups]
    least = max(map(abs, values), default=0.0) * 1e-9
    found: list[float] = []
    for spread in sorted(spreads):
        if not found or spread - found[-1] > least:
            found.append(spread)
    return len(found)
