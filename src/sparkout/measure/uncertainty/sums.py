"""Many sums of independent components at once, as arrays.

Only shapes matter for the distribution of a sum, not sources. The normal parts of a sum are one
normal quantity; a triangular one of half-width a is the sum of two rectangular ones of a/2; so
three kinds are left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..estimate import Component, Shape, combine
from .special import Floats, Places

__all__ = ["Sums"]

_ROOT3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Sums:
    """Rows of independent errors about zero; each row is one sum.

    normal: standard deviation of the normal part, shape (rows,).
    rectangular: half-widths, shape (rows, any), zero where a row has fewer.
    student: scales of the Student parts, shape (rows, any), zero where a row has fewer.
    dof: their degrees of freedom, same shape as `student`.
    """

    normal: Floats
    rectangular: Floats
    student: Floats
    dof: Floats

    @classmethod
    def of(cls, rows: Sequence[Sequence[Component]]) -> Sums:
        """One row for each tuple of components; those that share a source are added up first."""
        normal: list[float] = []
        rectangular: list[list[float]] = []
        student: list[list[float]] = []
        dof: list[list[float]] = []
        for row in rows:
            square, widths, scales, freedoms = 0.0, [], [], []
            for part in combine(row):
                u = abs(part.u)
                if part.shape is Shape.NORMAL:
                    square += u * u
                elif part.shape is Shape.RECTANGULAR:
                    widths.append(u * _ROOT3)
                elif part.shape is Shape.TRIANGULAR:
                    widths += [u * _ROOT3 / math.sqrt(2.0)] * 2
                elif math.isinf(part.dof):
                    square += u * u
                else:
                    scales.append(u)
                    freedoms.append(part.dof)
            normal.append(math.sqrt(square))
            rectangular.append(widths)
            student.append(scales)
            dof.append(freedoms)
        return cls(
            np.array(normal), _padded(rectangular, 0.0), _padded(student, 0.0), _padded(dof, 1.0)
        )

    @classmethod
    def joined(cls, many: Sequence[Sums]) -> Sums:
        """The rows of all of them, one after another."""
        wide = max((part.rectangular.shape[1] for part in many), default=0)
        heavy = max((part.student.shape[1] for part in many), default=0)
        return cls(
            np.concatenate([part.normal for part in many]),
            np.concatenate([_widened(part.rectangular, wide, 0.0) for part in many]),
            np.concatenate([_widened(part.student, heavy, 0.0) for part in many]),
            np.concatenate([_widened(part.dof, heavy, 1.0) for part in many]),
        )

    def __len__(self) -> int:
        return len(self.normal)

    def taken(self, rows: Places) -> Sums:
        """The chosen rows, without the columns that are empty in all of them."""
        widths, scales, dof = self.rectangular[rows], self.student[rows], self.dof[rows]
        wide, heavy = widths.any(axis=0), scales.any(axis=0)
        return Sums(self.normal[rows], widths[:, wide], scales[:, heavy], dof[:, heavy])

    def alike(self) -> tuple[Places, Places]:
        """The first row of each sort, and the sort of each row."""
        table = np.hstack([self.normal[:, None], self.rectangular, self.student, self.dof])
        sorts: dict[bytes, int] = {}
        like = [sorts.setdefault(row.tobytes(), len(sorts)) for row in table]
        first = np.zeros(len(sorts), dtype=int)
        first[like[::-1]] = np.arange(len(like))[::-1]
        return first, np.array(like)

    @property
    def scale(self) -> Floats:
        """Root sum of squares of all scales: the u of GUM, a Student part by its tabulated u."""
        return self._root(np.square(self.student))

    @property
    def deviation(self) -> Floats:
        """Standard deviation: a Student part counts ν/(ν − 2); infinite for 2 degrees or fewer."""
        grown = np.where(self.dof > 2.0, self.dof / np.maximum(self.dof - 2.0, 1e-300), np.inf)
        used = self.student > 0.0
        return self._root(np.square(self.student) * np.where(used, grown, 0.0))

    def _root(self, student: Floats) -> Floats:
        wide = np.square(self.rectangular).sum(axis=1) / 3.0
        out: Floats = np.sqrt(np.square(self.normal) + wide + student.sum(axis=1))
        return out


def _padded(rows: list[list[float]], fill: float) -> Floats:
    width = max((len(row) for row in rows), default=0)
    return np.array([row + [fill] * (width - len(row)) for row in rows]).reshape(len(rows), width)


def _widened(columns: Floats, width: int, fill: float) -> Floats:
    out = np.full((len(columns), width), fill)
    out[:, : columns.shape[1]] = columns
    return out
