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

from typing import NamedTuple

import numpy as np

from sparkout.measure.form.points import Floats

__all__ = ["INNER", "OUTER", "Row", "Vertex", "exchange"]

OUTER = 1
INNER = -1
WALL = 0

Row = tuple[int, int]
"""A row in contact: (OUTER or INNER, reading), or (WALL, ±(coordinate + 1)) of the box."""

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
    inverse: Floats
    exchanges: int
    sound: bool
    """False where readings so nearly coincide that rounding hid the optimum."""

    @property
    def walls(self) -> bool:
        """Whether a wall of the box takes part in holding the optimum."""
        return any(
            row[0] == WALL and share > 1e-12
            for row, share in zip(self.rows, self.shares, strict=True)
        )

    @property
    def sharpness(self) -> float:
        """Least rise of the value per unit of shift, from the rows in contact alone.

        With slacks s ≥ 0 of the rows the value rises by shares·s and the shift is inverse·s; the
        longest shift for a given rise lies at a corner, one slack at a time.
        """
        if self.walls:
            return 0.0
        size = self.shift.shape[0]
        lengths = np.sqrt((self.inverse[:size] ** 2).sum(axis=0)).tolist()
        return max(
            0.0,
            min(
                share / length if length > 0.0 else np.inf
                for share, length in zip(self.shares, lengths, strict=True)
            ),
        )


def _row(
    row: Row, gradients: Floats, deviations: Floats, box: list[float], size: int
) -> list[float]:
    """Coefficients of one row a·(d, borders) ≥ b, with b as last entry."""
    side, index = row
    dimension = gradients.shape[0]
    if side == WALL:
        entries = [0.0] * (size + 1)
        place = abs(index) - 1
        entries[place] = 1.0 if index > 0 else -1.0
        entries[size] = -box[place]
        return entries
    column: list[float] = gradients[:, index].tolist()
    border = [0.0] * (size - dimension)
    if side == OUTER:
        border[0] = 1.0
        return [*column, *border, float(deviations[index])]
    border[-1] = -1.0
    return [*[-entry for entry in column], *border, -float(deviations[index])]


def _first_rows(gradients: Floats, deviations: Floats, upper: bool, lower: bool) -> list[Row]:
    """The extreme readings, held in balance by walls of the box."""
    rows: list[Row] = []
    pull = np.zeros(gradients.shape[0])
    if upper:
        highest = int(deviations.argmax())
        rows.append((OUTER, highest))
        pull -= gradients[:, highest]
    if lower:
        lowest = int(deviations.argmin())
        rows.append((INNER, lowest))
        pull += gradients[:, lowest]
    rows.extend((WALL, place if force >= 0.0 else -place) for place, force in enumerate(pull, 1))
    return rows


def exchange(
    gradients: Floats,
    deviations: Floats,
    box: list[float],
    *,
    upper: bool,
    lower: bool,
    tolerance: float,
    start: list[Row] | None = None,
) -> Vertex:
    """Solve the linear minimax problem from the rows of an earlier solution or from scratch."""
    dimension = gradients.shape[0]
    size = dimension + upper + lower
    objective = np.zeros(size)
    if upper:
        objective[dimension] = 1.0
    if lower:
        objective[-1] = -1.0

    rows = start
    if rows is not None:
        table = np.array([_row(row, gradients, deviations, box, size) for row in rows])
        try:
            inverse = np.linalg.inv(table[:, :size])
        except np.linalg.LinAlgError:
            rows = None
        else:
            shares: list[float] = (objective @ inverse).tolist()
            if not min(shares) >= -1e-12:
                rows = None
    if rows is None:
        rows = _first_rows(gradients, deviations, upper, lower)
        table = np.array([_row(row, gradients, deviations, box, size) for row in rows])
        inverse = np.linalg.inv(table[:, :size])
        shares = (objective @ inverse).tolist()
    rows = list(rows)
    shares = [max(share, 0.0) for share in shares]
    heights = table[:, size].copy()

    fresh = True
    idle = 0
    for count in range(_MOST_EXCHANGES):
        solution = inverse @ heights
        residuals = deviations - solution[:dimension] @ gradients
        over = under = -np.inf
        top = bottom = -1
        if upper:
            top = int(residuals.argmax())
            over = float(residuals[top]) - float(solution[dimension])
        if lower:
            bottom = int(residuals.argmin())
            under = float(solution[-1]) - float(residuals[bottom])
        shift: list[float] = solution[:dimension].tolist()
        worst = max(over, under)
        entering: Row = (OUTER, top) if over >= under else (INNER, bottom)
        rounding = _ROUNDING * max(map(abs, shift))
        for place in range(dimension):
            beyond = abs(shift[place]) - box[place]
            if beyond > max(worst, rounding):
                worst = beyond
                entering = (WALL, -(place + 1) if shift[place] > 0.0 else place + 1)
        # A row already in contact that still sticks out does so by rounding.
        if worst <= max(tolerance, rounding) or entering in rows:
            if fresh:
                return _vertex(solution, rows, shares, inverse, count, dimension, upper, lower)
            # Rounding of many small updates is taken out before the answer is believed.
            table = np.array([_row(row, gradients, deviations, box, size) for row in rows])
            fresh = True
            try:
                inverse = np.linalg.inv(table[:, :size])
            except np.linalg.LinAlgError:
                continue
            shares = [max(share, 0.0) for share in (objective @ inverse).tolist()]
            continue
        entries = _row(entering, gradients, deviations, box, size)
        weights: list[float] = (np.array(entries[:size]) @ inverse).tolist()
        step = np.inf
        pivot = 0.0
        leaving = -1
        smallest_pivot = 1e-11 if count < _MOST_EXCHANGES // 2 else 1e-7
        for place in range(size):
            weight = weights[place]
            if weight > smallest_pivot:
                ratio = shares[place] / weight
                # Among ties the largest pivot keeps the arithmetic sound.
                if ratio < step or (ratio == step and weight > pivot):
                    step, pivot, leaving = ratio, weight, place
        if leaving < 0:
            break
        if step <= 1e-15:
            idle += 1
            if idle > _PATIENCE:
                shares = [share + 1e-9 * (place + 1) for place, share in enumerate(shares)]
                idle = 0
                continue
        else:
            idle = 0
        for place in range(size):
            shares[place] = max(shares[place] - step * weights[place], 0.0)
        shares[leaving] = step
        rows[leaving] = entering
        heights[leaving] = entries[size]
        column = inverse[:, leaving] / pivot
        weights[leaving] -= 1.0
        inverse = inverse - np.outer(column, weights)
        fresh = False
    return _vertex(
        inverse @ heights, rows, shares, inverse, _MOST_EXCHANGES, dimension, upper, lower, False
    )


def _vertex(
    solution: Floats,
    rows: list[Row],
    shares: list[float],
    inverse: Floats,
    count: int,
    dimension: int,
    upper: bool,
    lower: bool,
    sound: bool = True,
) -> Vertex:
    return Vertex(
        solution[:dimension],
        float(solution[dimension]) if upper else np.inf,
        float(solution[-1]) if lower else -np.inf,
        rows,
        shares,
        inverse,
        count,
        sound,
    )
