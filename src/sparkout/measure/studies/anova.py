"""Analysis of variance of a crossed study: parts × people with repeats, all of them random."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.measure.studies.distributions import f_upper_tail
from sparkout.measure.studies.table import StudyTable

__all__ = ["Anova", "AnovaRow", "Pooling", "crossed_anova"]

Pooling = float | bool
"""Pool the interaction: always (True), never (False), or when its p-value exceeds this."""


@dataclass(frozen=True, slots=True)
class AnovaRow:
    """One source of scatter. f and p are None for the last row, which the others are held against.

    An infinite f: all scatter lies in this source and none in what it is held against.
    """

    source: str
    dof: int
    sum_of_squares: float
    mean_square: float
    f: float | None
    p: float | None


@dataclass(frozen=True, slots=True)
class Anova:
    """The table of an analysis of variance.

    full: with the interaction; used: the table the variances come from, without the interaction
    where it was pooled into repeatability. people, repeats and parts are the counts.
    """

    parts: int
    people: int
    repeats: int
    full: tuple[AnovaRow, ...]
    used: tuple[AnovaRow, ...]
    pooled: bool

    def row(self, source: str) -> AnovaRow | None:
        """The row of the used table by its name: part, person, part × person, repeat."""
        return next((row for row in self.used if row.source == source), None)


def _row(source: str, squares: float, dof: int, against: tuple[float, int] | None) -> AnovaRow:
    mean = squares / dof
    if against is None:
        return AnovaRow(source, dof, squares, mean, None, None)
    below, dof_below = against
    if below == 0.0:
        f = math.inf if mean > 0.0 else 0.0
        return AnovaRow(source, dof, squares, mean, f, 0.0 if mean > 0.0 else 1.0)
    f = mean / below
    return AnovaRow(source, dof, squares, mean, f, f_upper_tail(f, dof, dof_below))


def crossed_anova(table: StudyTable, pooling: Pooling = 0.25) -> Anova:
    """Analysis of variance of a balanced crossed study.

    Part and person are held against the interaction, the interaction against repeats; pooled, the
    interaction joins the repeats and everything is held against both together.

    table: the balanced readings [any].
    pooling: True pools the interaction, False never; a number pools when p exceeds it [-], 0 to 1.
    Returns the table in full and as used [-].
    Holds for parts and people drawn at random; one person alone gives parts against repeats.
    Source: Montgomery, Design and Analysis of Experiments, two-factor factorial, random effects.
    Raises ValueError naming the value when pooling is a number outside 0 to 1.

    >>> from sparkout.measure.studies.table import StudyReading, arrange
    >>> r = [StudyReading(p, "a", v) for p, v in [("1", 2.0), ("1", 2.2), ("2", 3.0), ("2", 3.2)]]
    >>> round(crossed_anova(arrange(r)[0]).used[0].f, 2)
    50.0
    """
    if not 0.0 <= pooling <= 1.0:
        raise ValueError(f"pooling is True, False or a number from 0 to 1, got {pooling!r}")
    p, q, m = len(table.parts), len(table.people), table.repeats
    # Deviations from the first reading: sizes near 100 with scatter near 0.001 keep their digits.
    start = table.values[0][0][0]
    cell = [[math.fsum(v - start for v in c) / m for c in row] for row in table.values]
    by_part = [math.fsum(row) / q for row in cell]
    by_person = [math.fsum(cell[i][j] for i in range(p)) / p for j in range(q)]
    grand = math.fsum(by_part) / p
    ss_part = q * m * math.fsum((x - grand) ** 2 for x in by_part)
    ss_person = p * m * math.fsum((x - grand) ** 2 for x in by_person)
    ss_both = m * math.fsum(
        (cell[i][j] - by_part[i] - by_person[j] + grand) ** 2 for i in range(p) for j in range(q)
    )
    ss_repeat = math.fsum(
        (v - start - cell[i][j]) ** 2
        for i, row in enumerate(table.values)
        for j, c in enumerate(row)
        for v in c
    )
    dof_repeat = p * q * (m - 1)
    repeat = _row("repeat", ss_repeat, dof_repeat, None)
    if q == 1:
        rows = (_row("part", ss_part, p - 1, (repeat.mean_square, dof_repeat)), repeat)
        return Anova(p, q, m, rows, rows, False)
    dof_both = (p - 1) * (q - 1)
    both = _row("part × person", ss_both, dof_both, (repeat.mean_square, dof_repeat))
    against = (both.mean_square, dof_both)
    full = (
        _row("part", ss_part, p - 1, against),
        _row("person", ss_person, q - 1, against),
        both,
        repeat,
    )
    if isinstance(pooling, bool):
        pooled = pooling
    else:
        pooled = both.p is not None and both.p > pooling
    if not pooled:
        return Anova(p, q, m, full, full, False)
    joint = _row("repeat", ss_both + ss_repeat, dof_both + dof_repeat, None)
    against = (joint.mean_square, joint.dof)
    used = (_row("part", ss_part, p - 1, against), _row("person", ss_person, q - 1, against), joint)
    return Anova(p, q, m, full, used, True)
