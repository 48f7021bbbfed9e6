"""Compiled: which values links leave standing, which links bind, and which a plan breaks."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sparkout.solve.batch._figures import MOST_AXES, Bools, Figures, Ints, Skeleton, compiled
from sparkout.solve.model import NO_BOUND as _NO_BOUND

__all__ = ["binding", "broken", "kept", "propagate", "sizes_of"]

NO_BOUND = _NO_BOUND


@compiled
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


@compiled
def _reach(
    skel: Skeleton,
    fig: Figures,
    line: int,
    first: int,
    width: int,
    low: Ints,
    high: Ints,
    least: Ints,
    most: Ints,
) -> tuple[int, int]:
    """What each amount of a row adds at least and at most, and all of them together."""
    reach_low = 0
    reach_high = 0
    for p in range(width):
        v = skel.axes[first + p]
        one, two = fig.coef[line + p] * low[v], fig.coef[line + p] * high[v]
        least[p], most[p] = min(one, two), max(one, two)
        reach_low += least[p]
        reach_high += most[p]
    return reach_low, reach_high


@compiled
def _leave(
    skel: Skeleton,
    fig: Figures,
    line: int,
    first: int,
    width: int,
    low: Ints,
    high: Ints,
    least: Ints,
    most: Ints,
    lower: int,
    upper: int,
    new_low: Ints,
    new_high: Ints,
) -> None:
    """Widen the new ranges of the amounts by what bounds leave of the old ones."""
    reach_low = least[:width].sum()
    reach_high = most[:width].sum()
    for p in range(width):
        v = skel.axes[first + p]
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


@compiled
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
            first_amount = first_axis + n_choices
            width = axis_end - first_amount
            for a in range(n_choices):
                v = skel.axes[first_axis + a]
                digit[a] = 0
                supported[fig.start[v] : fig.start[v + 1]] = False
            for p in range(width):
                new_low[p], new_high[p] = NO_BOUND, -NO_BOUND
            # Rows that share their coefficients share what their amounts can reach.
            common = skel.common[link]
            line = skel.coef_at[link]
            reach_low, reach_high = 0, 0
            if common:
                reach_low, reach_high = _reach(
                    skel, fig, line, first_amount, width, low, high, least, most
                )
            loosest_lower, loosest_upper = NO_BOUND, -NO_BOUND
            any_row = False
            running = True
            while running:
                row = skel.row_at[link]
                for a in range(n_choices):
                    v = skel.axes[first_axis + a]
                    row += skel.stride[first_axis + a] * place[fig.start[v] + digit[a]]
                if fig.allowed[row]:
                    if not common:
                        line = skel.coef_at[link] + (row - skel.row_at[link]) * width
                        reach_low, reach_high = _reach(
                            skel, fig, line, first_amount, width, low, high, least, most
                        )
                    lower, upper = fig.lower[row], fig.upper[row]
                    if lower <= reach_high and upper >= reach_low:
                        any_row = True
                        for a in range(n_choices):
                            v = skel.axes[first_axis + a]
                            supported[fig.start[v] + place[fig.start[v] + digit[a]]] = True
                        if common:
                            loosest_lower = min(loosest_lower, lower)
                            loosest_upper = max(loosest_upper, upper)
                        else:
                            _leave(
                                skel, fig, line, first_amount, width, low, high, least, most,
                                lower, upper, new_low, new_high,
                            )  # fmt: skip
                running = False
                for a in range(n_choices - 1, -1, -1):
                    digit[a] += 1
                    if digit[a] < many[skel.axes[first_axis + a]]:
                        running = True
                        break
                    digit[a] = 0
            if not any_row:
                return link
            if common:
                _leave(
                    skel, fig, line, first_amount, width, low, high, least, most,
                    loosest_lower, loosest_upper, new_low, new_high,
                )  # fmt: skip
            for a in range(axis_end - first_axis):
                v = skel.axes[first_axis + a]
                first = fig.start[v]
                n = 0
                for k in range(many[v]):
                    at = place[first + k]
                    if a < n_choices:
                        stays = supported[first + at]
                    else:
                        stays = new_low[a - n_choices] <= fig.low[v] + at <= new_high[a - n_choices]
                    if stays:
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


@compiled
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


@compiled
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


@compiled
def sizes_of(skel: Skeleton, many: Ints) -> NDArray[np.float64]:
    """Cells of every link's own table over what stands."""
    found = np.ones(len(skel.choices))
    for link in range(len(found)):
        for a in range(skel.axis_at[link], skel.axis_at[link + 1]):
            found[link] *= many[skel.axes[a]]
    return found
