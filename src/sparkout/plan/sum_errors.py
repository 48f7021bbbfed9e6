"""The errors of many sums, kept as the sizes bring them.

A size's errors vary along its own axes only. So neither the deviation of a sum nor the sort of its
errors needs a row of errors for every combination: the one adds up squares, the other counts which
row of each size meets which.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.estimate import Shape
from sparkout.plan.errors import Kind
from sparkout.plan.sizes import ENDLESS

__all__ = ["Part", "Sorted", "SumErrors"]

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# What is left of a shared error after it cancels is rounding, not an error: a ten-millionth of a
# nanometre is below anything a reading can hold.
_ROUNDING = 1e-7

# Sorts counted by one whole number, at most.
_MOST_SORTS = 1 << 62


class Part(NamedTuple):
    """One size's errors, signed and weighted, in millionths: errors last, before them the axes of
    the whole sum, of length one where they make no difference. columns: which errors they are.
    high is low where one error moves both ends."""

    low: Floats
    high: Floats
    columns: tuple[int, ...]


class Sorted(NamedTuple):
    """Rows of errors that differ (low and high ends), and which of them each place asked for has.

    high is low where one error moves both ends.
    """

    low: Floats
    high: Floats
    like: Places


@dataclass(frozen=True, slots=True, eq=False)
class SumErrors:
    """The errors of sums: shape of the sums, the kind of each error, what each size brings."""

    shape: tuple[int, ...]
    kinds: tuple[Kind, ...]
    parts: tuple[Part, ...]

    @classmethod
    def plain(cls, low: Floats, high: Floats, kinds: tuple[Kind, ...]) -> SumErrors:
        """Errors that are already laid out in full, last axis errors."""
        part = Part(low, high, tuple(range(len(kinds))))
        return cls(low.shape[:-1], kinds, (part,) if kinds else ())

    @property
    def one_error(self) -> bool:
        """Whether one error moves both ends of every sum."""
        return all(part.low is part.high for part in self.parts)

    def where(self, known: Bools, made: Part) -> SumErrors:
        """With what is made to size, where it is known, in place of the sum."""
        mask = known[..., None]
        parts = [
            Part(
                low := np.where(mask, 0.0, part.low),
                low if part.high is part.low else np.where(mask, 0.0, part.high),
                part.columns,
            )
            for part in self.parts
        ]
        low = np.where(mask, made.low, 0.0)
        high = low if made.high is made.low else np.where(mask, made.high, 0.0)
        if made.columns:
            parts.append(Part(low, high, made.columns))
        return SumErrors(self.shape, self.kinds, tuple(parts))

    def dense(self) -> tuple[Floats, Floats]:
        """Every error of every sum, at the low and at the high end."""
        low = self._dense([part.low for part in self.parts])
        return low, low if self.one_error else self._dense([part.high for part in self.parts])

    def _dense(self, ends: Sequence[Floats]) -> Floats:
        whole = np.zeros((*self.shape, len(self.kinds)))
        for end, part in zip(ends, self.parts, strict=True):
            whole[..., _together(part.columns)] += end
        return _rounded(whole) if self._cancels else whole

    @property
    def _cancels(self) -> bool:
        return sum(len(part.columns) for part in self.parts) > len(self.kinds)

    def deviations(self) -> tuple[Floats, Floats]:
        """Standard deviation of the errors at the low and at the high end of every sum."""
        factors = np.array([_variance(kind) for kind in self.kinds])
        low = self._deviations([part.low for part in self.parts], factors)
        if self.one_error:
            return low, low
        return low, self._deviations([part.high for part in self.parts], factors)

    def scales(self) -> tuple[Floats, Floats]:
        """Combined standard uncertainty at the low and at the high end of every sum."""
        ones = np.ones(len(self.kinds))
        low = self._deviations([part.low for part in self.parts], ones)
        if self.one_error:
            return low, low
        return low, self._deviations([part.high for part in self.parts], ones)

    def _deviations(self, ends: Sequence[Floats], factors: Floats) -> Floats:
        met = Counter(column for part in self.parts for column in part.columns)
        squares: dict[tuple[int, ...], Floats] = {}

        def add(some: Floats) -> None:
            known = squares.get(some.shape)
            squares[some.shape] = some if known is None else known + some

        owners: dict[tuple[int, ...], list[int]] = {}
        for column, times in met.items():
            if times > 1:
                found = [k for k, part in enumerate(self.parts) if column in part.columns]
                owners.setdefault(tuple(found), []).append(column)
        for end, part in zip(ends, self.parts, strict=True):
            own = [k for k, column in enumerate(part.columns) if met[column] == 1]
            if own:
                add(np.square(end[..., own]) @ factors[[part.columns[k] for k in own]])
        for mine, columns in owners.items():
            total: Floats | None = None
            for k in mine:
                own = [self.parts[k].columns.index(column) for column in columns]
                some = ends[k][..., own]
                total = some if total is None else total + some
            assert total is not None
            add(np.square(_rounded(total)) @ factors[columns])
        whole: Floats = np.zeros((1,) * len(self.shape))
        for some in sorted(squares.values(), key=lambda array: array.size):
            whole = whole + some
        return np.asarray(np.broadcast_to(np.sqrt(whole), self.shape))

    def sorts(self, places: Places) -> Sorted:
        """The errors of the sums at these places of the flat array, those alike only once."""
        cells = np.unravel_index(places, self.shape)
        laid = [self._laid(part, cells) for part in self.parts]
        key = np.zeros(len(places), np.int64)
        many = 1
        for part, at in zip(self.parts, laid, strict=True):
            sort, count = _sorts(part)
            if many * count > _MOST_SORTS:
                _, key = np.unique(key, return_inverse=True)
                many = len(places)
            key, many = key * count + sort[at], many * count
        _, first, like = np.unique(key, return_index=True, return_inverse=True)
        low = self._rows([part.low for part in self.parts], [at[first] for at in laid])
        high = low
        if not self.one_error:
            high = self._rows([part.high for part in self.parts], [at[first] for at in laid])
        return Sorted(low, high, like)

    def _laid(self, part: Part, cells: tuple[Places, ...]) -> Places:
        """Where a part's errors for these cells lie in its own flat array."""
        found = np.zeros(len(cells[0]), np.intp)
        for size, cell in zip(part.low.shape[:-1], cells, strict=True):
            if size > 1:
                found = found * size + cell
        return found

    def _rows(self, ends: Sequence[Floats], laid: Sequence[Places]) -> Floats:
        rows = np.zeros((len(laid[0]) if laid else 1, len(self.kinds)))
        for end, part, at in zip(ends, self.parts, laid, strict=True):
            flat = end.reshape(-1, len(part.columns))
            rows[:, _together(part.columns)] += flat[at]
        return _rounded(rows) if self._cancels else rows


def _sorts(part: Part) -> tuple[Places, int]:
    """For each cell of a part which of its different rows of errors it has, and how many."""
    ends = [part.low] if part.high is part.low else [part.low, part.high]
    flat = np.ascontiguousarray(
        np.concatenate([end.reshape(-1, len(part.columns)) for end in ends], axis=1)
    )
    met: dict[bytes, int] = {}
    found = np.array([met.setdefault(row.tobytes(), len(met)) for row in flat], dtype=np.intp)
    return found, len(met)


def _rounded(errors: Floats) -> Floats:
    errors[np.abs(errors) < _ROUNDING] = 0.0
    return errors


def _together(places: Sequence[int]) -> list[int] | slice:
    """Places that follow one another as a slice, which is far quicker to add to."""
    if places and places[-1] - places[0] == len(places) - 1 and list(places) == sorted(places):
        return slice(places[0], places[-1] + 1)
    return list(places)


def _variance(kind: Kind) -> float:
    """By how much the square of an error's u is multiplied in a variance."""
    shape, dof = kind
    if shape is Shape.STUDENT and math.isfinite(dof):
        return dof / (dof - 2.0) if dof > 2.0 else ENDLESS
    return 1.0
