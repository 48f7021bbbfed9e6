"""In which order to eliminate the variables: smallest table next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

__all__ = ["elimination_order"]


def elimination_order(
    sizes: Sequence[int], scopes: Iterable[Sequence[int]]
) -> tuple[list[int], int, int]:
    """Order by least table; also the largest table and the sum of all tables [cells].

    Eliminating a variable makes one table over it and its neighbours and ties the neighbours
    together. Ties are broken by number, so the order is the same every time. Sets of variables are
    kept as bits of one integer, which makes this fast enough to run for every model.
    """
    count = len(sizes)
    near = [0] * count
    for scope in scopes:
        bits = 0
        for v in scope:
            bits |= 1 << v
        for v in scope:
            near[v] |= bits
    for v in range(count):
        near[v] &= ~(1 << v)

    def table(v: int) -> int:
        cells = sizes[v]
        bits = near[v]
        while bits:
            low = bits & -bits
            cells *= sizes[low.bit_length() - 1]
            bits ^= low
        return cells

    cells = [table(v) for v in range(count)]
    left = set(range(count))
    order = []
    largest = total = 0
    while left:
        best = min(left, key=lambda v: (cells[v], v))
        left.discard(best)
        order.append(best)
        largest = max(largest, cells[best])
        total += cells[best]
        ring = near[best]
        bits = ring
        touched = []
        while bits:
            low = bits & -bits
            touched.append(low.bit_length() - 1)
            bits ^= low
        for v in touched:
            near[v] = (near[v] | ring) & ~((1 << v) | (1 << best))
        for v in touched:
            cells[v] = table(v)
    return order, largest, total
