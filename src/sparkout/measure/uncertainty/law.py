"""The distribution of each row of sums, by the way that suits the row."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from .closed import RECTANGULAR_MOST, Exact, Normal, NormalAndOne, Rectangulars, Student
from .inversion import inverted, reach
from .special import Flags, Floats, Places, normal_quantile
from .sums import Sums

__all__: list[str] = []

# A rectangular part this small against the normal one is normal to 1e-13 of probability.
_NEGLIGIBLE = 1e-3


class Kind(Protocol):
    def at(self, x: Floats) -> tuple[Floats, Floats]: ...


@dataclass(frozen=True, slots=True)
class Law:
    """Distribution of each of `rows` sums, valid for |x| up to the extent it was made for."""

    rows: int
    parts: tuple[tuple[Places | None, Kind], ...]

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        """Distribution and density at x; x has shape (rows,) or (rows, points)."""
        points = x.reshape(self.rows, -1)
        if len(self.parts) == 1 and self.parts[0][0] is None:
            total, density = self.parts[0][1].at(points)
        else:
            total, density = np.empty_like(points), np.empty_like(points)
            for rows, kind in self.parts:
                total[rows], density[rows] = kind.at(points[rows])
        return total.reshape(x.shape), density.reshape(x.shape)


def law(sums: Sums, extent: Floats, tolerance: float) -> Law:
    """The law of each row for |x| <= extent, absolute error of probability about `tolerance`."""
    widths = np.count_nonzero(sums.rectangular, axis=1)
    heavy = np.count_nonzero(sums.student, axis=1)
    has_normal = sums.normal > 0.0
    parts: list[tuple[Places, Kind]] = []
    open_rows = np.ones(len(sums), dtype=bool)

    def claim(mask: Flags) -> Places:
        rows = np.flatnonzero(mask & open_rows)
        open_rows[rows] = False
        return rows

    if (rows := claim(~has_normal & (widths == 0) & (heavy == 0))).size:
        parts.append((rows, Exact()))
    if (rows := claim((widths == 0) & (heavy == 0))).size:
        parts.append((rows, Normal(sums.normal[rows])))
    if (rows := claim(has_normal & (widths == 1) & (heavy == 0))).size:
        sigma, half = sums.normal[rows], sums.rectangular[rows].sum(axis=1)
        small = half < _NEGLIGIBLE * sigma
        if small.any():
            parts.append((rows[small], Normal(np.hypot(sigma, half / np.sqrt(3.0))[small])))
            rows, sigma, half = rows[~small], sigma[~small], half[~small]
        if rows.size:
            parts.append((rows, NormalAndOne(sigma, half)))
    for number in range(1, RECTANGULAR_MOST + 1):
        chosen = np.flatnonzero(~has_normal & (heavy == 0) & (widths == number) & open_rows)
        if chosen.size:
            half = sums.rectangular[chosen]
            half = half[half > 0.0].reshape(len(chosen), number)
            good = Rectangulars.lost(half) < 0.1 * tolerance
            if good.any():
                parts.append((chosen[good], Rectangulars(half[good])))
                open_rows[chosen[good]] = False
    alone = np.flatnonzero(~has_normal & (widths == 0) & (heavy == 1))
    if alone.size:
        scale, dof = sums.student[alone].sum(axis=1), sums.dof[alone]
        freedoms = np.where(sums.student[alone] > 0.0, dof, 0.0).max(axis=1)
        for value in np.unique(freedoms):
            same = freedoms == value
            parts.append((alone[same], Student(scale[same], float(value))))
        open_rows[alone] = False
    rest = np.flatnonzero(open_rows)
    if rest.size:
        made = inverted(sums.taken(rest), extent[rest], tolerance)
        parts += [(rest[rows], kind) for rows, kind in made]
    if len(parts) == 1:
        return Law(len(sums), ((None, parts[0][1]),))
    return Law(len(sums), tuple(parts))


def quantiles(sums: Sums, p: Floats, tolerance: float) -> Floats:
    """The value each row stays below with its probability; p has shape (rows,).

    Newton's method kept inside a bracket; a sum of symmetric single-peaked errors has its density
    falling from zero, so steps from below never overshoot.
    """
    tail = np.minimum(p, 1.0 - p)
    scale = sums.scale
    high = reach(sums, tail / max(1, sums.student.shape[1]))
    found = law(sums, high, min(tolerance, float(tail.min()) * 1e-3))
    low = np.zeros_like(high)
    z = -normal_quantile(tail)
    x = np.minimum(z * scale, 0.999 * high)
    for _ in range(200):
        total, density = found.at(x)
        short = (1.0 - tail) - total
        low = np.where(short > 0.0, x, low)
        high = np.where(short < 0.0, x, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = x + short / density
        new = np.where((new >= low) & (new <= high), new, 0.5 * (low + high))
        moved = np.abs(new - x)
        x = new
        settled = (np.abs(short) <= 1e-3 * tolerance) | (moved <= 1e-13 * scale + 1e-15 * x)
        if settled.all():
            break
    return np.copysign(np.where(tail == 0.5, 0.0, x), p - 0.5)
