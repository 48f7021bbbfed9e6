"""Compiled: the plan that the tables of an elimination lead to."""

from __future__ import annotations

import numpy as np

from sparkout.solve.batch._figures import Figures, Ints, Order, compiled

__all__ = ["decode"]


@compiled
def decode(
    fig: Figures, many: Ints, place: Ints, order: Order, tables: Ints, table_at: Ints
) -> Ints:
    """Places of a plan of least cost."""
    found = np.zeros(len(many), np.int64)
    for v in range(len(many)):
        if order.rank[v] < 0:
            first = fig.start[v]
            best = 0
            for k in range(many[v]):
                if fig.cost[first + place[first + k]] < fig.cost[first + place[first + best]]:
                    best = k
            found[v] = place[first + best]
    nodes = len(order.variables)
    at_rank = np.zeros(nodes, np.int64)
    for k in range(nodes - 1, -1, -1):
        at = table_at[k]
        step = 1
        mine = 1
        for a in range(order.scope_at[k + 1] - 1, order.scope_at[k] - 1, -1):
            r = order.scope[a]
            if r == k:
                mine = step
            else:
                at += step * at_rank[r]
            step *= order.size[r]
        best = 0
        for i in range(order.size[k]):
            if tables[at + i * mine] < tables[at + best * mine]:
                best = i
        at_rank[k] = best
        v = order.variables[k]
        found[v] = place[fig.start[v] + best]
    return found
