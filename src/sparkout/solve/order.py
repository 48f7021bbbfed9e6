"""In which order to eliminate the variables, and what that costs.

Sets of variables are kept as bits of one integer, which makes both fast enough to run for every
model.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

__all__ = ["cells_of_order", "elimination_order", "largest_of_order", "ranked"]


def elimination_order(sizes: Sequence[int], scopes: Iterable[Sequence[int]]) -> list[int]:
    """The variables with more than one value, smallest table next.

    Eliminating a variable makes one table over it and its neighbours and ties the neighbours
    together. Ties are broken by number, so the order is the same every time.
    """
    free = [v for v, size in enumerate(sizes) if size > 1]
    near = dict.fromkeys(free, 0)
    for scope in scopes:
        members = [v for v in scope if sizes[v] > 1]
        bits = 0
        for v in members:
            bits |= 1 << v
        for v in members:
            near[v] |= bits

    def table(v: int) -> int:
        cells = 1
        bits = near[v] | 1 << v
        while bits:
            low = bits & -bits
            cells *= sizes[low.bit_length() - 1]
            bits ^= low
        return cells

    cells = {v: table(v) for v in free}
    order = []
    while cells:
        best = min(cells, key=lambda v: (cells[v], v))
        del cells[best]
        order.append(best)
        ring = near[best] & ~(1 << best)
        bits = ring
        while bits:
            low = bits & -bits
            v = low.bit_length() - 1
            near[v] = (near[v] | ring) & ~(1 << best)
            cells[v] = table(v)
            bits ^= low
    return order


def ranked(order: Sequence[int], scopes: Iterable[Sequence[int]]) -> list[int]:
    """Every scope as bits, numbered by place in the order."""
    bit = {v: 1 << place for place, v in enumerate(order)}
    return list({sum([bit.get(v, 0) for v in scope]): None for scope in scopes})


def _tables(sizes: Sequence[int], scopes: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Variables (as bits) and cells of every table when eliminated from the lowest bit up."""
    buckets = [0] * len(sizes)
    fixed = 0
    for place, size in enumerate(sizes):
        if size == 1:
            fixed |= 1 << place
        else:
            buckets[place] = 1 << place
    for scope in scopes:
        left = scope & ~fixed
        if left:
            buckets[(left & -left).bit_length() - 1] |= left
    for place, members in enumerate(buckets):
        if not members:
            continue
        bits = members
        cells = 1
        while bits:
            low = bits & -bits
            cells *= sizes[low.bit_length() - 1]
            bits ^= low
        yield members, cells
        left = members & ~(1 << place)
        if left:
            buckets[(left & -left).bit_length() - 1] |= left


def cells_of_order(sizes: Sequence[int], scopes: Iterable[int]) -> int:
    """Cells of all tables together when eliminated from the lowest bit up."""
    return sum([cells for _, cells in _tables(sizes, scopes)])


def largest_of_order(sizes: Sequence[int], scopes: Iterable[int]) -> list[int]:
    """The places of the variables of the largest table."""
    members, _ = max(_tables(sizes, scopes), key=lambda table: table[1])
    return [place for place in range(len(sizes)) if members >> place & 1]
