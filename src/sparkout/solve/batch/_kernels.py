"""Elimination of one model at a time in compiled loops, over arrays flat enough for machine code.

Imported only where compiled code is used; numba compiles each function once and keeps it on disk.
Every value of every variable has a place in one flat list; `alive` says which still stand. A link
is a window, or a shared cost and the picks that call for it; `use` says which of them count, so
that wide ones can be left out of a relaxation. What is worked out is what sparkout.solve.propagate
and sparkout.solve.tree work out; the rules are written there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

from sparkout.solve.model import NO_BOUND as _NO_BOUND
from sparkout.solve.objective import BIG as _BIG

__all__ = [
    "MOST_AXES",
    "Figures",
    "Order",
    "Skeleton",
    "binding",
    "broken",
    "decode",
    "eliminate",
    "excess",
    "kept",
    "order_of",
    "propagate",
    "sizes_of",
]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
_Function = TypeVar("_Function", bound=Callable[..., Any])

BIG = _BIG
NO_BOUND = _NO_BOUND
MOST_AXES = 64
"""Choices and amounts of one link, at most."""


def _compiled(function: _Function) -> _Function:
    return cast(_Function, numba.njit(cache=True, nogil=True)(function))


class Skeleton(NamedTuple):
    """What models of one structure share. Axes of a link: its choices, then its amounts."""

    axes: Ints
    axis_at: Ints
    choices: Ints  # how many of a link's axes are choices
    stride: Ints  # of every axis in the link's rows; 0 for amounts
    row_at: Ints
    coef_at: Ints
    common: Bools  # one line of coefficients for all rows
    about: Ints  # links about a variable
    about_at: Ints


class Figures(NamedTuple):
    """The numbers of one model."""

    start: Ints  # first place of every variable
    low: Ints  # value at that place
    cost: Ints  # packed, per place
    lower: Ints  # per row of every link
    upper: Ints
    allowed: Bools
    coef: Ints


class Order(NamedTuple):
    """Variables in order of elimination, and the tables that come of it.

    The axes of a table lie by rising size, so that inner loops are long. scope: ranks along the
    axes of every table; own: the axis of the variable it eliminates; up: the table that its
    message goes to, −1 where none is left.
    """

    variables: Ints
    rank: Ints
    scope: Ints
    scope_at: Ints
    own: Ints
    up: Ints
    size: Ints  # by rank
    lie: Ints  # by rank: place along axes
    cells: float


@_compiled
def kept(fig: Figures, alive: Bools) -> tuple[Ints, Ints]:
    """How many values of every variable stand, and which: places counted from its first."""
    count = len(fig.start) - 1
    many = np.zeros(count, np.int64)
    place = np.zeros(len(alive), np.int64)
    for v in range(count):
        first = fig.start[v]
        n = 0
        for k in range(fig.start[v + 1] - first):
            if alive[first + k]:
                place[first + n] = k
                n += 1
        many[v] = n
    return many, place


@_compiled
def propagate(skel: Skeleton, fig: Figures, use: Bools, alive: Bools) -> int:
    """Strike out what no link supports, in place; −1, or the link where nothing was left."""
    count = len(fig.start) - 1
    many, place = kept(fig, alive)
    low = np.zeros(count, np.int64)
    high = np.zeros(count, np.int64)
    for v in range(count):
        if many[v] == 0:
            return 0
        low[v] = fig.low[v] + place[fig.start[v]]
        high[v] = fig.low[v] + place[fig.start[v] + many[v] - 1]
    pending = use.copy()
    supported = np.zeros(len(alive), np.bool_)
    digit = np.zeros(MOST_AXES, np.int64)
    least = np.zeros(MOST_AXES, np.int64)
    most = np.zeros(MOST_AXES, np.int64)
    new_low = np.zeros(MOST_AXES, np.int64)
    new_high = np.zeros(MOST_AXES, np.int64)
    again = True
    while again:
        again = False
        for link in range(len(pending)):
            if not pending[link]:
                continue
            pending[link] = False
            first_axis, axis_end = skel.axis_at[link], skel.axis_at[link + 1]
            n_choices = skel.choices[link]
            width = axis_end - first_axis - n_choices
            for a in range(n_choices):
                v = skel.axes[first_axis + a]
                digit[a] = 0
                supported[fig.start[v] : fig.start[v + 1]] = False
            for p in range(width):
                new_low[p], new_high[p] = NO_BOUND, -NO_BOUND
            any_row = False
            running = True
            while running:
                row = skel.row_at[link]
                for a in range(n_choices):
                    v = skel.axes[first_axis + a]
                    row += skel.stride[first_axis + a] * place[fig.start[v] + digit[a]]
                if fig.allowed[row]:
                    line = skel.coef_at[link]
                    if not skel.common[link]:
                        line += (row - skel.row_at[link]) * width
                    reach_low = 0
                    reach_high = 0
                    for p in range(width):
                        v = skel.axes[first_axis + n_choices + p]
                        c = fig.coef[line + p]
                        one, two = c * low[v], c * high[v]
                        least[p], most[p] = min(one, two), max(one, two)
                        reach_low += least[p]
                        reach_high += most[p]
                    lower, upper = fig.lower[row], fig.upper[row]
                    if lower <= reach_high and upper >= reach_low:
                        any_row = True
                        for a in range(n_choices):
                            v = skel.axes[first_axis + a]
                            supported[fig.start[v] + place[fig.start[v] + digit[a]]] = True
                        for p in range(width):
                            v = skel.axes[first_axis + n_choices + p]
                            c = fig.coef[line + p]
                            here_low, here_high = low[v], high[v]
                            if c != 0:
                                if lower != -NO_BOUND:
                                    need = lower - (reach_high - most[p])
                                    if c > 0:
                                        here_low = max(here_low, -((-need) // c))
                                    else:
                                        here_high = min(here_high, (-need) // (-c))
                                if upper != NO_BOUND:
                                    room = upper - (reach_low - least[p])
                                    if c > 0:
                                        here_high = min(here_high, room // c)
                                    else:
                                        here_low = max(here_low, -(room // (-c)))
                            if here_low <= here_high:
                                new_low[p] = min(new_low[p], here_low)
                                new_high[p] = max(new_high[p], here_high)
                running = False
                for a in range(n_choices - 1, -1, -1):
                    digit[a] += 1
                    if digit[a] < many[skel.axes[first_axis + a]]:
                        running = True
                        break
                    digit[a] = 0
            if not any_row:
                return link
            for a in range(axis_end - first_axis):
                v = skel.axes[first_axis + a]
                first = fig.start[v]
                n = 0
                if a < n_choices:
                    for k in range(many[v]):
                        at = place[first + k]
                        if supported[first + at]:
                            place[first + n] = at
                            n += 1
                        else:
                            alive[first + at] = False
                else:
                    p = a - n_choices
                    for k in range(many[v]):
                        at = place[first + k]
                        value = fig.low[v] + at
                        if new_low[p] <= value <= new_high[p]:
                            place[first + n] = at
                            n += 1
                        else:
                            alive[first + at] = False
                if n == 0:
                    return link
                if n < many[v]:
                    many[v] = n
                    low[v] = fig.low[v] + place[first]
                    high[v] = fig.low[v] + place[first + n - 1]
                    for k in range(skel.about_at[v], skel.about_at[v + 1]):
                        if use[skel.about[k]]:
                            pending[skel.about[k]] = True
                            again = True
    return -1


@_compiled
def binding(skel: Skeleton, fig: Figures, use: Bools, many: Ints, place: Ints) -> Bools:
    """Which of the links in use forbid some combination of what stands."""
    found = np.zeros(len(use), np.bool_)
    digit = np.zeros(MOST_AXES, np.int64)
    for link in range(len(use)):
        if not use[link]:
            continue
        first_axis = skel.axis_at[link]
        n_choices = skel.choices[link]
        width = skel.axis_at[link + 1] - first_axis - n_choices
        digit[:n_choices] = 0
        running = True
        while running:
            row = skel.row_at[link]
            for a in range(n_choices):
                v = skel.axes[first_axis + a]
                row += skel.stride[first_axis + a] * place[fig.start[v] + digit[a]]
            line = skel.coef_at[link]
            if not skel.common[link]:
                line += (row - skel.row_at[link]) * width
            reach_low = 0
            reach_high = 0
            for p in range(width):
                v = skel.axes[first_axis + n_choices + p]
                first = fig.start[v]
                c = fig.coef[line + p]
                one = c * (fig.low[v] + place[first])
                two = c * (fig.low[v] + place[first + many[v] - 1])
                reach_low += min(one, two)
                reach_high += max(one, two)
            if not fig.allowed[row] or fig.lower[row] > reach_low or fig.upper[row] < reach_high:
                found[link] = True
                break
            running = False
            for a in range(n_choices - 1, -1, -1):
                digit[a] += 1
                if digit[a] < many[skel.axes[first_axis + a]]:
                    running = True
                    break
                digit[a] = 0
    return found


@_compiled
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
            near[member[a], i] = False
            for b in range(n):
                near[member[a], member[b]] = True
        for a in range(n):
            j = member[a]
            cells = 1.0
            for w in range(free):
                if near[j, w]:
                    cells *= many[mine[w]]
            table[j] = cells
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


@_compiled
def _add(table: Ints, shape: Ints, stride: Ints, axes: int, other: Ints, digit: Ints) -> None:
    """table += other, spread over the axes where its stride is 0; nothing passes BIG."""
    # Neighbouring axes that lie alike are one: fewer, longer loops.
    n = 0
    for a in range(1, axes):
        if stride[n] == stride[a] * shape[a]:
            shape[n] *= shape[a]
            stride[n] = stride[a]
        else:
            n += 1
            shape[n] = shape[a]
            stride[n] = stride[a]
    axes = n + 1
    inner = shape[axes - 1]
    step = stride[axes - 1]
    digit[:axes] = 0
    at = 0
    theirs = 0
    while True:
        if step == 0:
            value = other[theirs]
            if value:
                for i in range(at, at + inner):
                    table[i] = min(table[i] + value, BIG)
        elif step == 1:
            for i in range(inner):
                table[at + i] = min(table[at + i] + other[theirs + i], BIG)
        else:
            for i in range(inner):
                table[at + i] = min(table[at + i] + other[theirs + i * step], BIG)
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


@_compiled
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
            if not fig.allowed[row]:
                for k in range(many[v]):
                    table[at + step[last] * k] = BIG
            else:
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


@_compiled
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


@_compiled
def _inner(order: Order, node: int) -> int:
    """Cells of a table for one value of its own variable and of all axes outside it."""
    cells = 1
    for a in range(order.scope_at[node] + order.own[node] + 1, order.scope_at[node + 1]):
        cells *= order.size[order.scope[a]]
    return cells


@_compiled
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
            least = BIG
            for j in range(many[v]):
                least = min(least, fig.cost[first + place[first + j]])
            bound += least
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


@_compiled
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


@_compiled
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
            least = BIG
            for k in range(many[v]):
                least = min(least, fig.cost[first + place[first + k]])
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


@_compiled
def _best(table: Ints, shape: Ints, stride: Ints, axes: int, best: Ints, digit: Ints) -> None:
    """Least of the table over the axes where the stride is 0."""
    n = 0
    for a in range(1, axes):
        if stride[n] == stride[a] * shape[a]:
            shape[n] *= shape[a]
            stride[n] = stride[a]
        else:
            n += 1
            shape[n] = shape[a]
            stride[n] = stride[a]
    axes = n + 1
    inner = shape[axes - 1]
    step = stride[axes - 1]
    digit[:axes] = 0
    at = 0
    theirs = 0
    while True:
        if step == 0:
            least = best[theirs]
            for i in range(at, at + inner):
                least = min(least, table[i])
            best[theirs] = least
        else:
            for i in range(inner):
                here = theirs + i * step
                best[here] = min(best[here], table[at + i])
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


@_compiled
def broken(skel: Skeleton, fig: Figures, asked: Bools, found: Ints) -> Bools:
    """Which of the links asked about a plan breaks."""
    count = len(skel.choices)
    bad = np.zeros(count, np.bool_)
    for link in range(count):
        if not asked[link]:
            continue
        first_axis = skel.axis_at[link]
        n_choices = skel.choices[link]
        width = skel.axis_at[link + 1] - first_axis - n_choices
        row = skel.row_at[link]
        for a in range(n_choices):
            row += skel.stride[first_axis + a] * found[skel.axes[first_axis + a]]
        line = skel.coef_at[link]
        if not skel.common[link]:
            line += (row - skel.row_at[link]) * width
        total = 0
        for p in range(width):
            v = skel.axes[first_axis + n_choices + p]
            total += fig.coef[line + p] * (fig.low[v] + found[v])
        bad[link] = not fig.allowed[row] or total < fig.lower[row] or total > fig.upper[row]
    return bad


@_compiled
def sizes_of(skel: Skeleton, many: Ints) -> NDArray[np.float64]:
    """Cells of every link's own table over what stands."""
    found = np.ones(len(skel.choices))
    for link in range(len(found)):
        for a in range(skel.axis_at[link], skel.axis_at[link + 1]):
            found[link] *= many[skel.axes[a]]
    return found
