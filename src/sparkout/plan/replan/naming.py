"""Features named together, as they are spoken of: `rod journals 1 to 4`."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

__all__ = ["together"]


def together(names: Iterable[str]) -> str:
    """Numbered features of a kind as one, in their order; every other name as it is.

    >>> together(["rod journal 4", "rod journal 1", "rod journal 2", "rod journal 3", "deck"])
    'rod journals 1 to 4, deck'
    >>> together(["bore 3", "bore 1"])
    'bores 1 and 3'
    """
    kinds: dict[str, set[int]] = {}
    for name in names:
        kind, _, number = name.rpartition(" ")
        if kind and number.isdigit():
            kinds.setdefault(kind, set()).add(int(number))
        else:
            kinds.setdefault(name, set())
    return ", ".join(
        f"{kind}s {_series(sorted(numbers))}"
        if len(numbers) > 1
        else " ".join([kind, *map(str, numbers)])
        for kind, numbers in kinds.items()
    )


def _series(numbers: list[int]) -> str:
    """Three in a row or more by their ends."""
    told: list[str] = []
    for _, same in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        row = [number for _, number in same]
        told += [f"{row[0]} to {row[-1]}"] if len(row) > 2 else map(str, row)
    return " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
