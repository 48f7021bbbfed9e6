"""The linear minimax problem, solved exactly by exchanging contact readings.

Given deviations e and gradients G (one column per reading), find the shift d, bounded by a box,
that makes the residuals e − dᵀG as narrow as possible:

    zone    least (upper − lower)  with  lower ≤ e − dᵀG ≤ upper
    outer   least upper            with        e − dᵀG ≤ upper
    inner   greatest lower         with  lower ≤ e − dᵀG

It is a linear programme with few unknowns and many readings, so the dual simplex method suits it:
as many readings as unknowns are in contact; the reading that sticks out furthest enters, the one
whose multiplier would turn negative first leaves. Each step looks once at every reading and
otherwise handles a matrix of at most 6 × 6. The value rises with every step, so the end is the
optimum, a vertex, exact to rounding.
"""

from __future__ import annotations

import math
from operator import mul
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = ["INNER", "OUTER", "Row", "Vertex", "exchange"]

OUTER = 1
INNER = -1
WALL = 0

Row = tuple[int, int]
"""A row in contact: (OUTER or INNER, reading), or (WALL, ±(coordinate + 1)) of the box."""

Columns = list[list[float]]
"""Columns of an inverted matrix: plain lists, which for so few numbers are quicker than arrays."""

_MOST_EXCHANGES = 400
_ROUNDING = 8.0 * float(np.finfo(np.float64).eps)
_PATIENCE = 60
"""Exchanges without gain before multipliers are nudged apart (ties can make the method circle)."""


class Vertex(NamedTuple):
    """The optimum: shift, borders, rows in contact, their multipliers and inverted matrix."""

    shift: Floats
    upper: float
    lower: float
    rows: list[Row]
    shares: list[float]
    columns: Columns
    exchanges: int
    sound: bool
    """False where readings so nearly coincide that rounding hid the optimum."""

    @property
    def walls(self) -> bool:
        """Whether a wall of the box takes part in holding the optimum."""
        for row, share in zip(self.rows, self.shares, strict=True):
            if row[0] == WALL and share > 1e-12:
                return True
        return False

    @property
    def sharpness(self) -> float:
        """Least rise of the value per unit of shift, from the rows in contact alone.

        With slacks s ≥ 0 of the rows the value rises by shares·s and the shift is Σ s·columns; the
        longest shift for a given rise lies at a corner, one slack at a time.
        """
        if self.walls:
            return 0.0
        size = self.shift.shape[0]
        least = np.inf
        for share, column in zip(self.shares, self.columns, strict=True):
            length = math.hypot(*column[:size])
            if length > 0.0:
                least = min(least, share / length)
        return least

    @property
    def weakest(self) -> Floats:
        """The direction of shift in which the value rises least."""
        size = self.shift.shape[0]
        lengths = [math.hypot(*column[:size]) or 1e-300 for column in self.columns]
        rises = [share / length for share, length in zip(self.shares, lengths, strict=True)]
        place = rises.index(min(rises))
        return np.array(self.columns[place][:size]) / lengths[place]


class _Problem(NamedTuple):
    """What does not change during one solution."""

    gradients: Floats
    deviations: Floats
    box: list[float]
    upper: bool
    lower: bool
    size: int

    def row(self, row: Row) -> tuple[list[float], float]:
        """Coefficients and height of one row a·(shift, borders) ≥ b."""
        side, index = row
        dimension = len(self.box)
        if side == WALL:
            entries = [0.0] * self.size
            entries[abs(index) - 1] = 1.0 if index > 0 else -1.0
            return entries, -self.box[abs(index) - 1]
        entries = self.gradients[:, index].tolist()
        entries += [0.0] * (self.size - dimension)
        height: float = self.deviations.item(index)
        if side == OUTER:
            entries[dimension] = 1.0
            return entries, height
        entries[-1] = 1.0
        return [-entry for entry in entries], -height

    def cold(self) -> tuple[list[Row], Columns]:
        """The extreme readings, held in balance by walls of the box; its inverse by hand."""
        size, dimension = self.size, len(self.box)
        rows: list[Row] = []
        columns: Columns = []
        pull = [0.0] * dimension
        below = [[0.0] * dimension, [0.0] * dimension]
        if self.upper:
            below[0] = self._extreme(rows, columns, OUTER, int(self.deviations.argmax()))
            pull = [force - entry for force, entry in zip(pull, below[0], strict=True)]
        if self.lower:
            below[1] = self._extreme(rows, columns, INNER, int(self.deviations.argmin()))
            pull = [force + entry for force, entry in zip(pull, below[1], strict=True)]
        for place, force in enumerate(pull):
            sign = 1.0 if force >= 0.0 else -1.0
            rows.append((WALL, place + 1 if force >= 0.0 else -(place + 1)))
            column = [0.0] * size
            column[place] = sign
            if self.upper:
                column[dimension] = -sign * below[0][place]
            if self.lower:
                column[-1] = -sign * below[1][place]
            columns.append(column)
        return rows, columns

    def _extreme(self, rows: list[Row], columns: Columns, side: int, index: int) -> list[float]:
        rows.append((side, index))
        column = [0.0] * self.size
        column[len(self.box) if side == OUTER else -1] = float(side)
        columns.append(column)
        entries: list[float] = self.gradients[:, index].tolist()
        return entries

    def inverted(self, rows: list[Row]) -> tuple[Columns, list[float]] | None:
        """Columns of the inverse of the rows, and their heights; None for a singular matrix."""
        pairs = [self.row(row) for row in rows]
        try:
            inverse = np.linalg.inv(np.array([entries for entries, _ in pairs]))
        except np.linalg.LinAlgError:
            return None
        return inverse.T.tolist(), [height for _, height in pairs]

    def shares(self, columns: Columns) -> list[float]:
        """Multipliers: the objective in terms of the rows."""
        dimension = len(self.box)
        up, down = float(self.upper), float(self.lower)
        return [up * column[dimension] - down * column[-1] for column in columns]


def exchange(
    gradients: Floats,
    deviations: Floats,
    box: list[float],
    *,
    upper: bool,
    lower: bool,
    tolerance: float,
    start: list[Row] | None = None,
    reached: float = np.inf,
) -> Vertex:
    """Solve the linear minimax problem from the rows of an earlier solution or from scratch.

    reached: the value at no shift. Rows whose multipliers are all 0 or more bound every value from
    below, so a start that promises no more than that is the answer without a look at the readings.
    """
    dimension, size = len(box), len(box) + upper + lower
    problem = _Problem(gradients, deviations, box, upper, lower, size)
    places = range(size)
    known = None if start is None else problem.inverted(start)
    shares = [] if known is None else problem.shares(known[0])
    if start is not None and known is not None and min(shares) >= -1e-12:
        rows = list(start)
        columns, heights = known
    else:
        rows, columns = problem.cold()
        heights = [problem.row(row)[1] for row in rows]
        shares = problem.shares(columns)
    shares = [max(share, 0.0) for share in shares]
    solution = _combined(columns, heights)
    tightest = min(box)
    if reached < np.inf and rows == start and all(side != WALL for side, _ in rows):
        bound = (solution[dimension] if upper else 0.0) - (solution[-1] if lower else 0.0)
        if reached - bound <= tolerance:
            return _vertex(problem, solution, rows, shares, columns, 0, True)

    fresh = True
    idle = 0
    count = 0
    while count < _MOST_EXCHANGES:
        shift = solution[:dimension]
        residuals = deviations - np.dot(shift, gradients)
        over = under = -np.inf
        top = bottom = -1
        if upper:
            top = int(residuals.argmax())
            over = residuals.item(top) - solution[dimension]
        if lower:
            bottom = int(residuals.argmin())
            under = solution[-1] - residuals.item(bottom)
        worst = max(over, under)
        entering: Row = (OUTER, top) if over >= under else (INNER, bottom)
        longest = max(map(abs, shift))
        rounding = _ROUNDING * longest
        if longest > tightest:
            for place in range(dimension):
                beyond = abs(shift[place]) - box[place]
                if beyond > max(worst, rounding):
                    worst = beyond
                    entering = (WALL, -(place + 1) if shift[place] > 0.0 else place + 1)
        # A row already in contact that still sticks out does so by rounding.
        if worst <= max(tolerance, rounding) or entering in rows:
            if fresh or _tight(rows, residuals, solution, dimension, max(tolerance, rounding)):
                return _vertex(problem, solution, rows, shares, columns, count, True)
            # Rounding of many small updates is taken out before the answer is believed.
            fresh = True
            again = problem.inverted(rows)
            if again is not None:
                columns, heights = again
                shares = [max(share, 0.0) for share in problem.shares(columns)]
                solution = _combined(columns, heights)
            continue
        count += 1
        entries, height = problem.row(entering)
        weights = [sum(map(mul, entries, column)) for column in columns]
        step = np.inf
        pivot = 0.0
        leaving = -1
        smallest_pivot = 1e-11 if count < _MOST_EXCHANGES // 2 else 1e-7
        for place in places:
            weight = weights[place]
            if weight > smallest_pivot:
                ratio = shares[place] / weight
                # Among ties the largest pivot keeps the arithmetic sound.
                if ratio < step or (ratio == step and weight > pivot):
                    step, pivot, leaving = ratio, weight, place
        if leaving < 0:
            break
        idle = idle + 1 if step <= 1e-15 else 0
        if idle > _PATIENCE:
            shares = [share + 1e-9 * (place + 1) for place, share in enumerate(shares)]
            idle = 0
            continue
        short = height - sum(map(mul, entries, solution))
        column = [entry / pivot for entry in columns[leaving]]
        for place in places:
            weight = weights[place]
            if place == leaving:
                columns[place] = column
            elif weight != 0.0:
                shares[place] = max(shares[place] - step * weight, 0.0)
                columns[place] = [
                    own - weight * other for own, other in zip(columns[place], column, strict=True)
                ]
        shares[leaving] = step
        rows[leaving] = entering
        solution = [old + short * new for old, new in zip(solution, column, strict=True)]
        fresh = False
    return _vertex(problem, solution, rows, shares, columns, count, False)


def _combined(columns: Columns, heights: list[float]) -> list[float]:
    """Σ height × column: the point where all rows are exactly met."""
    return [sum(map(mul, entries, heights)) for entries in zip(*columns, strict=True)]


def _tight(
    rows: list[Row], residuals: Floats, solution: list[float], dimension: int, allowed: float
) -> bool:
    """Whether the rows in contact are still met exactly, after updates one on the other."""
    for side, index in rows:
        if side == WALL:
            continue
        border = solution[dimension] if side == OUTER else solution[-1]
        if abs(residuals.item(index) - border) > allowed:
            return False
    return True


def _vertex(
    problem: _Problem,
    solution: list[float],
    rows: list[Row],
    shares: list[float],
    columns: Columns,
    count: int,
    sound: bool,
) -> Vertex:
    dimension = len(problem.box)
    return Vertex(
        np.array(solution[:dimension]),
        solution[dimension] if problem.upper else np.inf,
        solution[-1] if problem.lower else -np.inf,
        rows,
        shares,
        columns,
        count,
        sound,
    )
