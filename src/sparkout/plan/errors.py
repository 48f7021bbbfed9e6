"""The errors of the sizes of one sum, with no more columns than it takes to tell them apart.

An error that only one size has cancels with nothing, and of its options only one is taken at a
time. So what counts of it is its scale and shape, not its name: twenty pistons measured one by one
need as many columns as one. Errors that several sizes share keep their names and signs.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sparkout.measure.estimate import Shape
from sparkout.plan.sizes import Flat, Size

__all__ = ["Errors", "Kind", "errors_of"]

Floats = NDArray[np.float64]

Kind = tuple[Shape, float]
"""Shape and degrees of freedom of one error."""

# Below this many figures the columns as they come are quicker.
_FEW = 48

_NORMAL: Kind = (Shape.NORMAL, math.inf)


@dataclass(frozen=True, slots=True, eq=False)
class Errors:
    """One size's errors in millionths: per cell first the shared ones, then those of its own.

    shared: names and kinds of errors that keep their signs. own: kinds of those that do not. high_u
    is None where one error moves both ends.
    """

    shared: Sequence[tuple[str, Kind]]
    own: Sequence[Kind]
    low_u: ArrayLike
    high_u: ArrayLike | None


def errors_of(sizes: Sequence[Size]) -> list[Errors]:
    """The errors of every size of one sum."""
    flats = [size.flat for size in sizes]
    large = [len(flat.figures) * len(flat.sources) > _FEW for flat in flats]
    if not any(large):
        return [Errors(flat.sources, (), flat.low_u, flat.high_u) for flat in flats]
    met = Counter(name for flat in flats for name, _ in flat.sources)
    return [
        _packed(flat, met) if pack else Errors(flat.sources, (), flat.low_u, flat.high_u)
        for flat, pack in zip(flats, large, strict=True)
    ]


def _packed(flat: Flat, met: Counter[str]) -> Errors:
    columns: dict[Kind, list[int]] = {}
    shared = []
    for at, (name, kind) in enumerate(flat.sources):
        if met[name] > 1:
            shared.append(at)
        else:
            normal = kind[0] is Shape.NORMAL or (
                kind[0] is Shape.STUDENT and math.isinf(kind[1])
            )  # fmt: skip
            columns.setdefault(_NORMAL if normal else kind, []).append(at)
    low = np.array(flat.low_u)
    high = low if flat.high_u is None else np.array(flat.high_u)
    own: list[Kind] = []
    lows, highs = [low[:, shared]], [high[:, shared]]
    for kind, mine in columns.items():
        ends = [low[:, mine]] if high is low else [low[:, mine], high[:, mine]]
        if kind == _NORMAL:
            made = [np.sqrt(np.square(end).sum(axis=1, keepdims=True)) for end in ends]
        else:
            count = max(int(np.count_nonzero(end, axis=1).max()) for end in ends)
            made = [-np.sort(-np.abs(end), axis=1)[:, :count] for end in ends]
        own += [kind] * made[0].shape[1]
        lows.append(made[0])
        highs.append(made[-1])
    return Errors(
        [flat.sources[at] for at in shared],
        own,
        np.concatenate(lows, axis=1),
        None if high is low else np.concatenate(highs, axis=1),
    )
