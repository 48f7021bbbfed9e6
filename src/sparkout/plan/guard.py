"""Where a value may lie so that its limit is proven, for every combination of options at once.

The guard band of a combination is that of the exact distribution of its error, with both limits
counted where they are near each other (sparkout.judge.conformity): a plan that keeps it is within
by the judge's own rule.

Most combinations are decided at sight (sparkout.plan.sight). What is left, and what amounts can
push over a limit, is worked out; combinations whose errors are alike but for their scale only once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.judge.conformity.acceptance import acceptance_many
from sparkout.measure.estimate import Shape
from sparkout.measure.uncertainty.distribution import quantile_many
from sparkout.measure.uncertainty.sums import Sums
from sparkout.plan.sight import Bands
from sparkout.plan.tables import Kind, Table

__all__ = ["Asked", "Edges", "accepted"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]
_ROOT3 = math.sqrt(3.0)
_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_FINE = 1e-7  # error of a probability; the judge allows ten times that


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """Limits of one look over the combinations of their options, in millionths of the base unit.

    less, more: least and most that amounts can add to both ends. lower, upper: limits, infinite for
    none. All arrays have the shape of the table. idle: combinations that no plan has, which are not
    worked out; None where every one counts.
    """

    table: Table
    less: Floats
    more: Floats
    lower: Floats
    upper: Floats
    idle: Bools | None = None


class Edges(NamedTuple):
    """Lowest and highest measured low end that proves a limit, by combination.

    Infinite outwards where no amount can break the limit, inwards where no value keeps it.
    """

    least: Floats
    most: Floats


def accepted(
    asked: Sequence[Asked], confidence: float, rule: str = "guarded by risk"
) -> list[Edges]:
    """For each limit the edges of its window of acceptance.

    rule: the shop's decision rule, as in judge.proof; a plan is made by the rule it will be judged
    by.
    """
    bands = Bands.of(rule, confidence)
    if bands.exact:
        return [_by_factor(item, bands.alone) for item in asked]
    risk = 1.0 - confidence
    found: list[Edges] = []
    doubts: list[_Doubt] = []
    for item in asked:
        doubt = _settled(item, bands)
        found.append(doubt.edges)
        if doubt.rows.size:
            doubts.append(doubt)
    if doubts:
        _settle(doubts, risk)
    return found


def _by_factor(item: Asked, factor: float) -> Edges:
    """A guard band of so many standard uncertainties: no distribution is asked for."""
    table = item.table
    width = np.maximum(table.high - table.low, 0.0)
    low_u, high_u = table.errors.scales()
    return Edges(item.lower + factor * low_u, item.upper - width - factor * high_u)


@dataclass(slots=True, eq=False)
class _Doubt:
    """Rows of limits that must be worked out, and where the answers go."""

    item: Asked
    edges: Edges
    rows: Places


def _settled(item: Asked, bands: Bands) -> _Doubt:
    """The edges as far as they can be told at sight, and what is left."""
    table = item.table
    least, most = np.full(table.low.shape, -np.inf), np.full(table.low.shape, np.inf)
    low_s, high_s = table.errors.deviations()
    two = np.isfinite(item.lower) & np.isfinite(item.upper)
    times = np.where(two, bands.beside, bands.alone)
    inside = table.low + item.less - item.lower >= times * low_s
    inside &= item.upper - table.high - item.more >= times * high_s
    over_low = item.lower - table.low - item.more
    over_high = table.high + item.less - item.upper
    # on its limit a value is not proven, unless there is no error at all
    outside = (over_low > 0) | ((over_low == 0) & (low_s > 0))
    outside |= (over_high > 0) | ((over_high == 0) & (high_s > 0))
    least[outside] = np.inf
    told = inside | outside
    if item.idle is not None:
        told |= item.idle
    return _Doubt(item, Edges(least, most), np.flatnonzero(~told))


def _settle(doubts: Sequence[_Doubt], risk: float) -> None:
    """Write the edges of all rows in doubt."""
    errors = [d.item.table.errors.sorts(d.rows) for d in doubts]
    kinds_of = [d.item.table.errors.kinds for d in doubts]
    low = Sums.joined([_errors(e.low, k) for e, k in zip(errors, kinds_of, strict=True)])
    high = low
    if not all(e.high is e.low for e in errors):
        high = Sums.joined([_errors(e.high, k) for e, k in zip(errors, kinds_of, strict=True)])
    first = np.cumsum([0, *[len(e.low) for e in errors]])
    own = np.concatenate([e.like + start for e, start in zip(errors, first, strict=False)])
    lower = np.concatenate([d.item.lower.ravel()[d.rows] for d in doubts])
    upper = np.concatenate([d.item.upper.ravel()[d.rows] for d in doubts])
    width = np.concatenate([(d.item.table.high - d.item.table.low).ravel()[d.rows] for d in doubts])
    width = np.maximum(width, 0.0)
    sorts, kinds, scales = _alike(low, high)
    count = len(low)
    kind_low, scale_low = kinds[:count][own], scales[:count][own]
    kind_high, scale_high = kinds[-count:][own], scales[-count:][own]
    both = np.isfinite(lower) & np.isfinite(upper) & ((scale_low > 0) | (scale_high > 0))
    guard = np.zeros(len(sorts))
    single = np.zeros(len(sorts), np.bool_)
    single[kind_low[~both & np.isfinite(lower)]] = True
    single[kind_high[~both & np.isfinite(upper)]] = True
    at = np.flatnonzero(single & (sorts.scale > 0))
    if at.size:
        guard[at] = quantile_many(sorts.taken(at), 1.0 - risk, _FINE)
    least = lower + guard[kind_low] * scale_low
    most = upper - width - guard[kind_high] * scale_high
    pairs = np.flatnonzero(both)
    if pairs.size:
        least[pairs], most[pairs] = _between(
            sorts,
            (kind_low[pairs], kind_high[pairs]),
            (scale_low[pairs], scale_high[pairs]),
            (lower[pairs], upper[pairs] - width[pairs]),
            risk,
        )
    start = 0
    for doubt in doubts:
        stop = start + doubt.rows.size
        doubt.edges.least.ravel()[doubt.rows] = least[start:stop]
        doubt.edges.most.ravel()[doubt.rows] = most[start:stop]
        start = stop


def _between(
    sorts: Sums,
    kinds: tuple[Places, Places],
    scales: tuple[Floats, Floats],
    limits: tuple[Floats, Floats],
    risk: float,
) -> tuple[Floats, Floats]:
    """Windows between two limits: one for each sort of errors and width of the tolerance."""
    unit = np.maximum(*scales)
    gap = np.round((limits[1] - limits[0]) / unit, 9)
    share = np.round(np.stack([scales[0] / unit, scales[1] / unit], axis=1), 12)
    first, like = _first_of_each(np.column_stack([kinds[0], kinds[1], gap, share]))
    low = _scaled(sorts.taken(kinds[0][first]), share[first, 0])
    same = bool((kinds[0] == kinds[1]).all() and (share[:, 0] == share[:, 1]).all())
    high = low if same else _scaled(sorts.taken(kinds[1][first]), share[first, 1])
    found = acceptance_many(
        np.zeros(len(first)), gap[first], low, high, np.zeros(len(first)), risk, _FINE
    )
    least = np.where(found.possible, found.low, np.inf)[like]
    most = np.where(found.possible, found.high, -np.inf)[like]
    return limits[0] + least * unit, limits[0] + most * unit


def _first_of_each(table: NDArray[Any]) -> tuple[Places, Places]:
    """The first row of each sort, and the sort of each row."""
    bits = np.ascontiguousarray(table + 0.0, np.float64).view(np.uint64)  # -0.0 and 0.0 are one
    # sorted by one number for each row: odd multiples, spread by the golden ratio, modulo 2^64
    spread = (np.arange(1, bits.shape[1] + 1, dtype=np.uint64) * _GOLDEN) | np.uint64(1)
    mixed = bits ^ (bits >> np.uint64(29))
    _, first, like = np.unique(
        (mixed * spread).sum(axis=1, dtype=np.uint64), return_index=True, return_inverse=True
    )
    if not bool((bits[first[like]] == bits).all()):  # two rows with one number: compare in full
        _, first, like = np.unique(bits, axis=0, return_index=True, return_inverse=True)
    return first, like.ravel()


def _scaled(sums: Sums, by: Floats) -> Sums:
    return Sums(
        sums.normal * by, sums.rectangular * by[:, None], sums.student * by[:, None], sums.dof
    )


def _errors(u: Floats, kinds: Sequence[Kind]) -> Sums:
    """Rows of errors by shape. kinds: of the columns."""
    mine = np.abs(u)
    wide: list[int] = []
    sharp: list[int] = []
    heavy: list[int] = []
    normal: list[int] = []
    for at, (shape, dof) in enumerate(kinds):
        if shape is Shape.RECTANGULAR:
            wide.append(at)
        elif shape is Shape.TRIANGULAR:
            sharp.append(at)
        elif shape is Shape.STUDENT and math.isfinite(dof):
            heavy.append(at)
        else:
            normal.append(at)
    rectangular = mine[:, wide] * _ROOT3
    if sharp:
        # the sum of two equal rectangular ones of half its half-width a = u·√6
        half = mine[:, sharp] * _ROOT3 / math.sqrt(2.0)
        rectangular = np.concatenate([rectangular, half, half], axis=1)
    student = mine[:, heavy]
    freedoms = np.array([kinds[at][1] for at in heavy])
    return Sums(
        np.sqrt(np.square(mine[:, normal]).sum(axis=1)),
        rectangular,
        student,
        np.where(student > 0.0, freedoms, 1.0),
    )


def _alike(low: Sums, high: Sums) -> tuple[Sums, Places, Floats]:
    """Sorts of errors of scale one; which sort each row is of (low ends first), and its scale."""
    both = low if high is low else Sums.joined([low, high])
    scale = both.scale
    unit = np.where(scale > 0.0, scale, 1.0)[:, None]
    normal = both.normal / unit[:, 0]
    wide = -np.sort(-both.rectangular / unit, axis=1)
    turn = np.lexsort((both.dof, -both.student), axis=1)
    heavy = np.take_along_axis(both.student / unit, turn, axis=1)
    dof = np.take_along_axis(both.dof, turn, axis=1)
    first, like = _first_of_each(np.round(np.column_stack([normal, wide, heavy, dof]), 12))
    return Sums(normal[first], wide[first], heavy[first], dof[first]), like, scale
