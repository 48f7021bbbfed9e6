"""Compiled: in which order to eliminate, and how large the tables become."""

from __future__ import annotations

import numpy as np

from sparkout.solve.batch._figures import Bools, Ints, Order, Skeleton, compiled

__all__ = ["cells_with", "order_of"]


@compiled
def order_of(skel: Skeleton, use: Bools, many: Ints) -> Order:
    """Smallest table next. cells: of all tables together."""
    count = len(many)
    number = np.full(count, -1, np.int64)
    for link in range(len(use)):
        if use[link]:
            for a in range(skel.axis_at[link], skel.axis_at[link + 1]):
                number[skel.axes[a]] = 0
    # Variables that no link ties stay out: their cheapest value is best.
    free = 0
    for v in range(count):
        if number[v] == 0 and many[v] > 1:
            number[v] = free
            free += 1
        else:
            number[v] = -1
    mine = np.zeros(free, np.int64)
    for v in range(count):
        if number[v] >= 0:
            mine[number[v]] = v
    near = np.zeros((free, free), np.bool_)
    for link in range(len(use)):
        if use[link]:
            for a in range(skel.axis_at[link], skel.axis_at[link + 1]):
                i = number[skel.axes[a]]
                if i >= 0:
                    for b in range(skel.axis_at[link], skel.axis_at[link + 1]):
                        j = number[skel.axes[b]]
                        if j >= 0:
                            near[i, j] = True
    table = np.ones(free)
    for i in range(free):
        for j in range(free):
            if near[i, j]:
                table[i] *= many[mine[j]]
    variables = np.zeros(free, np.int64)
    rank = np.full(count, -1, np.int64)
    size = np.zeros(free, np.int64)
    ring = np.zeros((free, free), np.bool_)
    member = np.zeros(free, np.int64)
    total = 0.0
    for k in range(free):
        i = int(np.argmin(table))
        v = mine[i]
        variables[k], rank[v], size[k] = v, k, many[v]
        total += table[i]
        table[i] = np.inf
        near[i, i] = False
        n = 0
        for j in range(free):
            if near[i, j]:
                ring[k, j] = True
                member[n] = j
                n += 1
        for a in range(n):
            j = member[a]
            near[j, i] = False
            table[j] /= many[v]
            for b in range(n):
                w = member[b]
                if not near[j, w]:
                    near[j, w] = True
                    table[j] *= many[mine[w]]
    by_lie = np.argsort(size, kind="mergesort")
    lie = np.zeros(free, np.int64)
    for at in range(free):
        lie[by_lie[at]] = at
    scope_at = np.zeros(free + 1, np.int64)
    for k in range(free):
        scope_at[k + 1] = scope_at[k] + 1 + ring[k].sum()
    scope = np.zeros(scope_at[free], np.int64)
    own = np.zeros(free, np.int64)
    up = np.full(free, -1, np.int64)
    for k in range(free):
        n = 0
        for at in range(free):
            r = by_lie[at]
            if r == k:
                own[k] = n
            elif ring[k, number[variables[r]]]:
                if up[k] < 0 or r < up[k]:
                    up[k] = r
            else:
                continue
            scope[scope_at[k] + n] = r
            n += 1
    return Order(variables, rank, scope, scope_at, own, up, size, lie, total)


@compiled
def cells_with(order: Order, many: Ints) -> float:
    """Cells of all tables together in this order, with other numbers of values."""
    total = 0.0
    for k in range(len(order.variables)):
        cells = 1.0
        for a in range(order.scope_at[k], order.scope_at[k + 1]):
            cells *= many[order.variables[order.scope[a]]]
        total += cells
    return total
