"""Compiled: elimination, and by how much every value exceeds the least cost."""

from __future__ import annotations

import numpy as np

from sparkout.solve.batch._figures import (
    MOST_AXES,
    Bools,
    Figures,
    Ints,
    Order,
    Skeleton,
    compiled,
)
from sparkout.solve.objective import BIG as _BIG

__all__ = ["eliminate", "excess"]

BIG = _BIG


@compiled
def _merged(shape: Ints, stride: Ints, axes: int) -> int:
    """Neighbouring axes that lie alike made one, in place: fewer, longer loops."""
    n = 0
    for a in range(1, axes):
        if stride[n] == stride[a] * shape[a]:
            shape[n] *= shape[a]
            stride[n] = stride[a]
        else:
            n += 1
            shape[n] = shape[a]
            stride[n] = stride[a]
    return n + 1


@compiled
def _add(table: Ints, shape: Ints, stride: Ints, axes: int, other: Ints, digit: Ints) -> None:
    """table += other, spread over the axes where its stride is 0; nothing passes BIG."""
    axes = _merged(shape, stride, axes)
    inner = shape[axes - 1]
    step = stride[axes - 1]
    digit[:axes] = 0
    at = 0
    theirs = 0
    while True:
        mine = table[at : at + inner]
        if step == 0:
            value = other[theirs]
            if value:
                for i in range(inner):
                    mine[i] = min(mine[i] + value, BIG)
        elif step == 1:
            line = other[theirs : theirs + inner]
            for i in range(inner):
                mine[i] = min(mine[i] + line[i], BIG)
        else:
            for i in range(inner):
                mine[i] = min(mine[i] + other[theirs + i * step], BIG)
        at += inner
        a = axes - 2
        while a >= 0:
            digit[a] += 1
            theirs += stride[a]
            if digit[a] < shape[a]:
                break
            theirs -= stride[a] * shape[a]
            digit[a] = 0
            a -= 1
        if a < 0:
            return


@compiled
def _forbidden(
    skel: Skeleton, fig: Figures, link: int, many: Ints, place: Ints, order: Order, digit: Ints
) -> tuple[Ints, Ints]:
    """Ranks of a link's variables with a choice, as axes lie, and BIG where it is broken."""
    first_axis = skel.axis_at[link]
    axes = skel.axis_at[link + 1] - first_axis
    n_choices = skel.choices[link]
    width = axes - n_choices
    n = 0
    ranks = np.zeros(axes, np.int64)
    for a in range(axes):
        v = skel.axes[first_axis + a]
        if many[v] > 1:
            ranks[n] = order.rank[v]
            n += 1
    ranks = ranks[:n]
    ranks = ranks[np.argsort(order.lie[ranks])]
    step = np.zeros(axes, np.int64)
    cells = 1
    for j in range(n - 1, -1, -1):
        for a in range(axes):
            v = skel.axes[first_axis + a]
            if many[v] > 1 and order.rank[v] == ranks[j]:
                step[a] = cells
                cells *= many[v]
    table = np.zeros(cells, np.int64)
    digit[:axes] = 0
    last = axes - 1
    # All axes but the last amount are counted through; the last amount is an inner loop.
    outer = last if width else axes
    while True:
        row = skel.row_at[link]
        at = 0
        for a in range(n_choices):
            v = skel.axes[first_axis + a]
            row += skel.stride[first_axis + a] * place[fig.start[v] + digit[a]]
            at += step[a] * digit[a]
        lower, upper = fig.lower[row], fig.upper[row]
        if not width:
            if not fig.allowed[row] or lower > 0 or upper < 0:
                table[at] = BIG
        else:
            line = skel.coef_at[link]
            if not skel.common[link]:
                line += (row - skel.row_at[link]) * width
            total = 0
            for p in range(width - 1):
                a = n_choices + p
                v = skel.axes[first_axis + a]
                total += fig.coef[line + p] * (fig.low[v] + place[fig.start[v] + digit[a]])
                at += step[a] * digit[a]
            v = skel.axes[first_axis + last]
            c = fig.coef[line + width - 1]
            one = c * (fig.low[v] + place[fig.start[v]])
            two = c * (fig.low[v] + place[fig.start[v] + many[v] - 1])
            if not fig.allowed[row]:
                for k in range(many[v]):
                    table[at + step[last] * k] = BIG
            elif lower > total + min(one, two) or upper < total + max(one, two):
                for k in range(many[v]):
                    here = total + c * (fig.low[v] + place[fig.start[v] + k])
                    if here < lower or here > upper:
                        table[at + step[last] * k] = BIG
        a = outer - 1
        while a >= 0:
            digit[a] += 1
            if digit[a] < many[skel.axes[first_axis + a]]:
                break
            digit[a] = 0
            a -= 1
        if a < 0:
            return ranks, table


@compiled
def _strides(order: Order, node: int, theirs: Ints, skip: int, shape: Ints, stride: Ints) -> int:
    """Shape of a node's table, and how a table over `theirs` (ranks) but `skip` lies along it."""
    first, final = order.scope_at[node], order.scope_at[node + 1]
    step = 1
    j = len(theirs) - 1
    for a in range(final - first - 1, -1, -1):
        r = order.scope[first + a]
        shape[a] = order.size[r]
        stride[a] = 0
        if j >= 0 and theirs[j] == skip:
            j -= 1
        if j >= 0 and theirs[j] == r:
            stride[a] = step
            step *= order.size[r]
            j -= 1
    return int(final - first)


@compiled
def _inner(order: Order, node: int) -> int:
    """Cells of a table for one value of its own variable and of all axes outside it."""
    cells = 1
    for a in range(order.scope_at[node] + order.own[node] + 1, order.scope_at[node + 1]):
        cells *= order.size[order.scope[a]]
    return cells


@compiled
def eliminate(
    skel: Skeleton,
    fig: Figures,
    use: Bools,
    many: Ints,
    place: Ints,
    order: Order,
    room: Ints,
) -> tuple[int, Ints, Ints, Ints, Ints]:
    """Least packed cost (BIG: no plan); tables and messages, one after the other, and where.

    room: memory for them, twice as many cells as the order has.
    """
    nodes = len(order.variables)
    table_at = np.zeros(nodes + 1, np.int64)
    message_at = np.zeros(nodes + 1, np.int64)
    for k in range(nodes):
        cells = 1
        for a in range(order.scope_at[k], order.scope_at[k + 1]):
            cells *= order.size[order.scope[a]]
        table_at[k + 1] = table_at[k] + cells
        message_at[k + 1] = message_at[k] + cells // order.size[k]
    tables = room[: table_at[nodes]]
    messages = room[table_at[nodes] : table_at[nodes] + message_at[nodes]]
    digit = np.zeros(MOST_AXES, np.int64)
    shape = np.zeros(MOST_AXES, np.int64)
    stride = np.zeros(MOST_AXES, np.int64)
    bound = 0
    for v in range(len(many)):
        if order.rank[v] < 0:
            first = fig.start[v]
            bound += fig.cost[first + place[first : first + many[v]]].min()
    # A table is filled while it is at hand: links first, then messages.
    owner = np.full(len(use), -1, np.int64)
    for link in range(len(use)):
        if use[link]:
            for a in range(skel.axis_at[link], skel.axis_at[link + 1]):
                r = order.rank[skel.axes[a]]
                if r >= 0 and (owner[link] < 0 or r < owner[link]):
                    owner[link] = r
            if owner[link] < 0:
                _, bad = _forbidden(skel, fig, link, many, place, order, digit)
                if bad[0]:
                    return BIG, tables, table_at, messages, message_at
    for k in range(nodes):
        v = order.variables[k]
        first = fig.start[v]
        table = tables[table_at[k] : table_at[k + 1]]
        message = messages[message_at[k] : message_at[k + 1]]
        inner = _inner(order, k)
        size = order.size[k]
        for o in range(len(message) // inner):
            for i in range(size):
                table[(o * size + i) * inner : (o * size + i + 1) * inner] = fig.cost[
                    first + place[first + i]
                ]
        for link in range(len(use)):
            if owner[link] == k:
                ranks, bad = _forbidden(skel, fig, link, many, place, order, digit)
                axes = _strides(order, k, ranks, -1, shape, stride)
                _add(table, shape, stride, axes, bad, digit)
        for kid in range(k):
            if order.up[kid] == k:
                theirs = order.scope[order.scope_at[kid] : order.scope_at[kid + 1]]
                axes = _strides(order, k, theirs, kid, shape, stride)
                given = messages[message_at[kid] : message_at[kid + 1]]
                _add(table, shape, stride, axes, given, digit)
        for o in range(len(message) // inner):
            least_line = message[o * inner : (o + 1) * inner]
            least_line[:] = table[o * size * inner : (o * size + 1) * inner]
            for i in range(1, size):
                line = table[(o * size + i) * inner : (o * size + i + 1) * inner]
                for j in range(inner):
                    least_line[j] = min(least_line[j], line[j])
        if order.up[k] < 0:
            bound += message[0]
            if message[0] >= BIG:
                return BIG, tables, table_at, messages, message_at
    return bound, tables, table_at, messages, message_at


@compiled
def excess(
    fig: Figures,
    many: Ints,
    place: Ints,
    order: Order,
    tables: Ints,
    table_at: Ints,
    messages: Ints,
    message_at: Ints,
) -> Ints:
    """By how much the best plan with each value exceeds the least; BIG: none. Uses up the tables.

    A table becomes the excess of the best plan through each of its cells.
    """
    over = np.full(fig.start[-1], BIG, np.int64)
    for v in range(len(many)):
        if order.rank[v] < 0:
            first = fig.start[v]
            least = fig.cost[first + place[first : first + many[v]]].min()
            for k in range(many[v]):
                over[first + place[first + k]] = fig.cost[first + place[first + k]] - least
    shape = np.zeros(MOST_AXES, np.int64)
    stride = np.zeros(MOST_AXES, np.int64)
    digit = np.zeros(MOST_AXES, np.int64)
    nodes = len(order.variables)
    for k in range(nodes - 1, -1, -1):
        v = order.variables[k]
        first = fig.start[v]
        size = order.size[k]
        table = tables[table_at[k] : table_at[k + 1]]
        message = messages[message_at[k] : message_at[k + 1]]
        inner = _inner(order, k)
        up = order.up[k]
        if up >= 0:
            # The best plan through the parent's cells, over what is shared with it.
            best = np.full(len(message), BIG, np.int64)
            scope = order.scope[order.scope_at[k] : order.scope_at[k + 1]]
            axes = _strides(order, up, scope, k, shape, stride)
            _best(tables[table_at[up] : table_at[up + 1]], shape, stride, axes, best, digit)
        else:
            best = np.zeros(1, np.int64)
        for o in range(len(message) // inner):
            for i in range(size):
                line = table[(o * size + i) * inner : (o * size + i + 1) * inner]
                least = BIG
                for j in range(inner):
                    own, rest = line[j], best[o * inner + j]
                    cell = own - message[o * inner + j] + rest
                    cell = BIG if own >= BIG or rest >= BIG else cell
                    line[j] = cell
                    least = min(least, cell)
                at = first + place[first + i]
                over[at] = min(over[at], least)
    return over


@compiled
def _best(table: Ints, shape: Ints, stride: Ints, axes: int, best: Ints, digit: Ints) -> None:
    """Least of the table over the axes where the stride is 0."""
    axes = _merged(shape, stride, axes)
    inner = shape[axes - 1]
    step = stride[axes - 1]
    digit[:axes] = 0
    at = 0
    theirs = 0
    while True:
        mine = table[at : at + inner]
        if step == 0:
            least = best[theirs]
            for i in range(inner):
                least = min(least, mine[i])
            best[theirs] = least
        else:
            for i in range(inner):
                here = theirs + i * step
                best[here] = min(best[here], mine[i])
        at += inner
        a = axes - 2
        while a >= 0:
            digit[a] += 1
            theirs += stride[a]
            if digit[a] < shape[a]:
                break
            theirs -= stride[a] * shape[a]
            digit[a] = 0
            a -= 1
        if a < 0:
            return
