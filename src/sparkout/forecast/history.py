"""What engines of one family were found at: a law from earlier engines, and the file they are in.

Wear of one characteristic over engines and their features is a one-way layout: engines differ, and
features of one engine differ about their engine's mean. Both variances are found by the analysis of
variance; what is common to an engine is the intraclass correlation.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.state import State
from sparkout.faults import Fault, Place
from sparkout.forecast.case import Found
from sparkout.forecast.laws import Z90, Law

__all__ = [
    "FEWEST",
    "Layout",
    "Past",
    "by_history",
    "one_way",
    "read_history",
    "rows_of",
    "written",
]

# Fewer engines than this say too little of how engines differ.
FEWEST = 3

_COLUMNS = ("engine", "feature", "characteristic", "value")


class Layout(NamedTuple):
    """A one-way layout: mean of all, variance between engines and within them, engines counted."""

    mean: float
    between: float
    within: float
    engines: int

    @property
    def alike(self) -> float:
        """The intraclass correlation: the share of the variance that is between engines."""
        whole = self.between + self.within
        return self.between / whole if whole > 0 else 0.0


def one_way(groups: Sequence[Sequence[float]]) -> Layout:
    """Variance between and within groups, by the analysis of variance; groups may differ in size.

    S. R. Searle, Linear Models (1971), chapter 9 (unbalanced one-way layout, recalled from memory).
    A variance between that comes out below zero counts as zero.
    """
    filled = [list(group) for group in groups if len(group)]
    count, engines = sum(len(group) for group in filled), len(filled)
    means = [math.fsum(group) / len(group) for group in filled]
    mean = math.fsum(math.fsum(group) for group in filled) / count
    inside = math.fsum((x - m) ** 2 for group, m in zip(filled, means, strict=True) for x in group)
    outside = math.fsum(
        len(group) * (m - mean) ** 2 for group, m in zip(filled, means, strict=True)
    )
    within = inside / (count - engines) if count > engines else 0.0
    if engines < 2:
        return Layout(mean, 0.0, within, engines)
    size = (count - sum(len(group) ** 2 for group in filled) / count) / (engines - 1)
    between = max(0.0, (outside / (engines - 1) - within) / size)
    return Layout(mean, between, within, engines)


@dataclass(frozen=True, slots=True)
class Past:
    """All that is known of one characteristic over earlier engines: values by engine."""

    characteristic: str
    engines: tuple[tuple[float, ...], ...]

    @property
    def source(self) -> str:
        return f"history of {len(self.engines)} engines"

    def law(self, start: float, way: int, floor: float) -> Law | None:
        """The law for one engine more; None where too few engines are known.

        The mean of few engines is itself uncertain: the spread is widened so that P10 and P90 are
        those of Student's distribution with one degree of freedom fewer than engines.
        """
        if len(self.engines) < FEWEST:
            return None
        wear = [[way * (value - start) for value in engine] for engine in self.engines]
        log = bool(BY_NAME[self.characteristic].wears) and all(d > 0 for e in wear for d in e)
        layout = one_way([[math.log(d) if log else d for d in engine] for engine in wear])
        from sparkout.measure.uncertainty.student import student_quantile

        n = layout.engines
        wide = float(student_quantile(0.9, n - 1)) / Z90
        between = layout.between * (1 + 1 / n) * wide * wide
        # features of one engine scatter with many degrees of freedom: taken as known
        whole = between + layout.within
        alike = between / whole if whole > 0 else 0.0
        return Law(start, way, log, layout.mean, math.sqrt(whole), self.source, False, alike, floor)

    def fails(self) -> float | None:
        """Chance that a test is failed, by the rule of succession (Laplace): (k + 1) / (n + 2)."""
        if len(self.engines) < FEWEST:
            return None
        values = [value for engine in self.engines for value in engine]
        return (sum(value > 0.5 for value in values) + 1) / (len(values) + 2)


def by_history(rows: Iterable[Found]) -> Mapping[str, Past]:
    found: dict[str, dict[str, list[float]]] = {}
    for row in rows:
        found.setdefault(row.characteristic, {}).setdefault(row.engine, []).append(row.value)
    return {
        name: Past(name, tuple(tuple(values) for values in engines.values()))
        for name, engines in found.items()
    }


def rows_of(engine: str, state: State) -> tuple[Found, ...]:
    """What an engine was found at, as rows of its family's history."""
    found = []
    for key in state.spots:
        size = state.found.get(key)
        if size is not None:
            low = BY_NAME[key.characteristic].wears < 0
            value = float((size.low if low else size.high).value)
            found.append(Found(engine, key.feature, key.characteristic, value))
    for test in state.tests.values():
        found.append(Found(engine, *test.key, 0.0 if test.passed else 1.0))
    return tuple(found)


def written(rows: Iterable[Found], *, head: bool = True) -> str:
    """Rows as the text of a history file (CSV)."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    if head:
        table.writerow(_COLUMNS)
    for row in rows:
        table.writerow((row.engine, row.feature, row.characteristic, f"{row.value:.10g}"))
    return out.getvalue()


def read_history(text: str, shown: str) -> tuple[tuple[Found, ...], tuple[Fault, ...]]:
    """The rows of a history file and every fault in it. shown: how faults name the file."""
    rows: list[Found] = []
    faults: list[Fault] = []
    table = list(csv.reader(io.StringIO(text)))
    if not table or tuple(cell.strip() for cell in table[0]) != _COLUMNS:
        head = ",".join(table[0]) if table else "an empty file"
        expected = f"the columns {','.join(_COLUMNS)}"
        return (), (Fault(Place(shown, 1), f"'{head}'", expected),)
    for line, cells in enumerate(table[1:], start=2):
        if not any(cells):
            continue
        if len(cells) != len(_COLUMNS):
            faults.append(Fault(Place(shown, line), f"{len(cells)} cells", "four cells"))
            continue
        engine, feature, characteristic, typed = (cell.strip() for cell in cells)
        if characteristic not in BY_NAME:
            place = Place(shown, line, key="characteristic")
            faults.append(Fault(place, f"'{characteristic}'", "a characteristic the program knows"))
            continue
        try:
            value = float(typed)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            unit = "0 (passed) or 1 (failed)" if _test(characteristic) else "a plain number"
            faults.append(Fault(Place(shown, line, key="value"), f"'{typed}'", unit))
            continue
        rows.append(Found(engine, feature, characteristic, value))
    return tuple(rows), tuple(faults)


def _test(characteristic: str) -> bool:
    return BY_NAME[characteristic].derive is Derive.TEST
