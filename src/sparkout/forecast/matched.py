"""Sets of parts alike within a spread, out of a pool from many engines."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

__all__ = ["matched_sets"]


def matched_sets(
    pool: Mapping[str, Fraction], size: int, spread: Fraction
) -> tuple[tuple[str, ...], ...]:
    """As many sets as can be made, each of `size` parts that differ by at most `spread`.

    Parts are taken in order of their value; the lightest either begins a set with its next
    neighbours or, where those are too far away, is in no set at all. No other way makes more sets:
    in any answer the parts of its sets can be exchanged for neighbours without a set getting wider.

    pool: value of each part by name. Raises ValueError for a size below one or a spread below zero.

    >>> weights = {"a": 841, "b": 846, "c": 842, "d": 860, "e": 845}
    >>> matched_sets({k: Fraction(v) for k, v in weights.items()}, 2, Fraction(2))
    (('a', 'c'), ('e', 'b'))
    """
    if size < 1:
        raise ValueError(f"a set has one part or more, got {size}")
    if spread < 0:
        raise ValueError(f"a spread is zero or more, got {spread}")
    names = sorted(pool, key=lambda name: (pool[name], name))
    sets: list[tuple[str, ...]] = []
    at = 0
    while at + size <= len(names):
        some = names[at : at + size]
        if pool[some[-1]] - pool[some[0]] <= spread:
            sets.append(tuple(some))
            at += size
        else:
            at += 1
    return tuple(sets)
