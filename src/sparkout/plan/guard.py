"""Where a value may lie so that its limit is proven, for every combination of options at once.

The guard band of a combination is that of the exact distribution of its error, with both limits
counted where they are near each other (sparkout.judge.conformity): a plan that keeps it is within
by the judge's own rule.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sparkout.judge.conformity.acceptance import acceptance_many
from sparkout.judge.conformity.guard import iso_guard_factor
from sparkout.measure.estimate import Shape
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["Asked", "accepted"]

Floats = NDArray[np.float64]
_ROOT3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """One limit over the combinations of its options.

    low_parts, high_parts: signed standard uncertainties by source, each of the full shape. width:
    measured high end less low end. lower, upper: limits, infinite for none. All in the base unit.
    """

    low_parts: Mapping[str, Floats]
    high_parts: Mapping[str, Floats]
    width: Floats
    lower: Floats
    upper: Floats


def accepted(
    asked: Sequence[Asked],
    sources: Mapping[str, tuple[Shape, float]],
    confidence: float,
    rule: str = "guarded by risk",
) -> list[tuple[Floats, Floats]]:
    """For each limit the lowest and highest measured low end that proves it, by combination.

    Where no value proves it the lowest lies above the highest. rule: the shop's decision rule, as in
    judge.proof; a plan is made by the rule it will be judged by.
    """
    if not asked:
        return []
    low = Sums.joined([_sums(item.low_parts, sources, item.width.size) for item in asked])
    high = Sums.joined([_sums(item.high_parts, sources, item.width.size) for item in asked])
    rows = [np.ravel(item.width) for item in asked]
    lower = np.concatenate([np.ravel(item.lower) for item in asked])
    upper = np.concatenate([np.ravel(item.upper) for item in asked])
    width = np.concatenate(rows)
    # what has no uncertainty is compared as it stands
    least, most = lower.copy(), upper - width
    if rule == "prove conformity":
        factor = iso_guard_factor(confidence)
        least, most = least + factor * low.scale, most - factor * high.scale
    doubtful = np.flatnonzero(
        ((low.scale > 0.0) & np.isfinite(lower)) | ((high.scale > 0.0) & np.isfinite(upper))
    )
    if rule == "guarded by risk" and doubtful.size:
        windows = acceptance_many(
            lower[doubtful],
            upper[doubtful],
            low.taken(doubtful),
            high.taken(doubtful),
            width[doubtful],
            1.0 - confidence,
        )
        least[doubtful] = np.where(windows.possible, windows.low, np.inf)
        most[doubtful] = np.where(windows.possible, windows.high, -np.inf)
    ends = np.cumsum([len(row) for row in rows])[:-1]
    return [
        (first.reshape(item.width.shape), last.reshape(item.width.shape))
        for item, first, last in zip(
            asked, np.split(least, ends), np.split(most, ends), strict=True
        )
    ]


def _sums(
    parts: Mapping[str, Floats], sources: Mapping[str, tuple[Shape, float]], count: int
) -> Sums:
    """The errors of one limit, a row for each combination."""
    square = np.zeros(count)
    widths: list[Floats] = []
    scales: list[Floats] = []
    freedoms: list[Floats] = []
    for source, array in parts.items():
        u = np.abs(np.ravel(array))
        shape, dof = sources[source]
        if shape is Shape.RECTANGULAR:
            widths.append(u * _ROOT3)
        elif shape is Shape.TRIANGULAR:
            # the sum of two equal rectangular ones of half its half-width a = u·√6
            widths += [u * _ROOT3 / math.sqrt(2.0)] * 2
        elif shape is Shape.STUDENT and math.isfinite(dof):
            scales.append(u)
            freedoms.append(np.full(count, dof))
        else:
            square += u * u
    return Sums(
        np.sqrt(square), _columns(widths, count), _columns(scales, count), _columns(freedoms, count)
    )


def _columns(columns: Sequence[Floats], count: int) -> Floats:
    return np.stack(columns, axis=1) if columns else np.zeros((count, 0))
