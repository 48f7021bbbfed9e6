"""A structure as links between numbered variables, and the numbers that go with it, made flat.

Variables are the choices, the amounts, one yes/no variable per shared cost that some pick calls for
and the running totals of the tallies, numbered in that order, as in sparkout.solve.network.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

import numpy as np

from sparkout.solve.batch._figures import Figures, Skeleton
from sparkout.solve.batch.structure import Numbers, Structure
from sparkout.solve.model import NO_BOUND, BoolArray, IntArray
from sparkout.solve.network import MOST_TOTALS
from sparkout.solve.objective import LIMIT

__all__ = ["Count", "Flat", "Form", "figures", "flat", "form_of"]

LARGE = 600
"""Rows above which a window is looked at only where a plan breaks it."""


@dataclass(frozen=True, slots=True, eq=False)
class Count:
    """A tally over `choices`: its links, and its totals before the last choice."""

    choices: tuple[int, ...]
    links: slice
    totals: slice


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """The links of a structure: windows, then shared costs, then tallies.

    windows: the window behind every link that is one; small ones come first, `small` of them.
    scopes: choices and amounts of the large windows. tail: what shared costs ask, one row per
    option and yes or no.
    """

    skeleton: Skeleton
    windows: tuple[int, ...]
    small: int
    scopes: tuple[tuple[list[int], list[int]], ...]
    tail: BoolArray
    counts: tuple[Count, ...]
    # Variables of the choices' options, and how many options each choice has.
    options: IntArray
    choice_at: IntArray
    rows: int


def form_of(structure: Structure) -> Form:
    names = [name for name, _ in structure.choices] + list(structure.amounts)
    place = {name: v for v, name in enumerate(names)}
    sizes = [len(options) for _, options in structure.choices]
    listed = dict(structure.choices)
    rows_of = [prod(shape) for _, _, _, shape, _ in structure.windows]
    windows = sorted(range(len(rows_of)), key=lambda at: rows_of[at] > LARGE)
    # Variables, how many of them are choices, options of these, one line of coefficients for all.
    scopes: list[tuple[list[int], int, tuple[int, ...], bool]] = []
    for at in windows:
        _, picked, tied, shape, common = structure.windows[at]
        scopes.append(([place[name] for name in picked + tied], len(picked), shape, common))
    tail: list[bool] = []
    for here, k in enumerate(structure.asked, start=len(names)):
        asked: dict[str, set[str]] = {}
        for choice, option in structure.shared[k][1]:
            asked.setdefault(choice, set()).add(option)
        for choice, picks in asked.items():
            for option in listed[choice]:
                tail += (option not in picks, True)
            scopes.append(([place[choice], here], 2, (len(listed[choice]), 2), True))
    count = len(names) + len(structure.asked)
    counts = []
    for _, listing in structure.tallies:
        mine = sorted({place[choice] for choice, _ in listing})
        totals = slice(count, count + max(len(mine) - 1, 0))
        links = slice(len(scopes), len(scopes) + len(mine))
        for j, v in enumerate(mine):
            before = [count + j - 1] if j else []
            after = [count + j] if j < len(mine) - 1 else []
            scopes.append(([v, *before, *after], 1, (sizes[v],), True))
        count = totals.stop
        counts.append(Count(tuple(mine), links, totals))
    axes: list[int] = []
    axis_at, row_at, coef_at, stride = [0], [0], [0], []
    about: list[list[int]] = [[] for _ in range(count)]
    for link, (scope, _, shape, common) in enumerate(scopes):
        axes += scope
        width = len(scope) - len(shape)
        rows = 1
        steps = [0] * len(scope)
        for a in range(len(shape) - 1, -1, -1):
            steps[a] = rows
            rows *= shape[a]
        stride += steps
        axis_at.append(len(axes))
        row_at.append(row_at[-1] + rows)
        coef_at.append(coef_at[-1] + width * (1 if common else rows))
        for v in scope:
            about[v].append(link)
    small = sum([rows <= LARGE for rows in rows_of])
    skeleton = Skeleton(
        np.array(axes, dtype=np.int64),
        np.array(axis_at, dtype=np.int64),
        np.array([n for _, n, _, _ in scopes], dtype=np.int64),
        np.array(stride, dtype=np.int64),
        np.array(row_at, dtype=np.int64),
        np.array(coef_at, dtype=np.int64),
        np.array([common for _, _, _, common in scopes], dtype=np.bool_),
        np.array([link for mine in about for link in mine], dtype=np.int64),
        np.cumsum([0, *[len(mine) for mine in about]], dtype=np.int64),
    )
    return Form(
        skeleton,
        tuple(windows),
        small,
        tuple([(scope[:n], scope[n:]) for scope, n, _, _ in scopes[small : len(windows)]]),
        np.array(tail, dtype=np.bool_),
        tuple(counts),
        np.array(sizes, dtype=np.int64),
        np.cumsum([0, *sizes], dtype=np.int64),
        row_at[-1],
    )


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """Numbers of many models as the compiled loops take them; models along axis 0.

    lower, upper, allowed, coef: of the rows that shared costs and tallies add to the windows'.
    """

    lower: IntArray
    upper: IntArray
    allowed: BoolArray
    coef: IntArray
    options: IntArray  # packed cost of every option
    steps: IntArray
    shared: IntArray
    scale: IntArray
    shift: IntArray
    least_preference: IntArray
    fits: BoolArray  # False where cost and preference do not fit one integer together
    weights: tuple[IntArray, ...]  # per tally: of every option of all choices
    totals_low: IntArray
    totals_high: IntArray
    countable: BoolArray  # per model and tally


def flat(form: Form, many: Numbers) -> Flat:
    """What shared costs and tallies ask, and costs packed as `objective.pack` packs them."""
    count = len(many)
    zeros = np.zeros((count, form.tail.size), dtype=np.int64)
    tail = np.broadcast_to(form.tail, (count, form.tail.size))
    asked = list(many.structure.asked)
    starts = form.choice_at[:-1]
    full = form.options > 0
    least = np.zeros(count, dtype=np.int64)
    most = least.copy()
    span = least.astype(np.float64)
    begins = starts[full]
    if full.any():
        # Empty choices have no start of their own.
        low, high = (
            part.reduceat(many.prefer, begins, axis=1) for part in (np.minimum, np.maximum)
        )
        least += low.sum(axis=1)
        most += high.sum(axis=1)
        low, high = (part.reduceat(many.cost, begins, axis=1) for part in (np.minimum, np.maximum))
        span += (np.maximum(high, 0) - np.minimum(low, 0)).sum(axis=1)
    ends = np.stack([many.step_prefer * many.low, many.step_prefer * many.high])
    least += ends.min(axis=0).sum(axis=1)
    most += ends.max(axis=0).sum(axis=1)
    reach = np.maximum(np.abs(many.low), np.abs(many.high)).astype(np.float64)
    span += (np.abs(many.step_cost) * reach).sum(axis=1)
    least += np.minimum(many.shared_prefer, 0).sum(axis=1)
    most += np.maximum(many.shared_prefer, 0).sum(axis=1)
    span += many.shared_cost.sum(axis=1)
    scale = most - least + 1
    fits = (span + 1) * scale < LIMIT / 2
    scale = np.where(fits, scale, 1)
    by = scale[:, None]
    packed = many.cost * by + many.prefer
    shift = np.zeros(count, dtype=np.int64)
    if full.any():
        floor = np.minimum.reduceat(packed, begins, axis=1)
        packed = packed - np.repeat(floor, form.options[full], axis=1)
        shift = floor.sum(axis=1)
    weights = _weights(form, many)
    lower, upper, allowed, coef = [zeros], [zeros], [tail], []
    lows, highs, countable = [], [], []
    for at, (counted, weight) in enumerate(zip(form.counts, weights, strict=True)):
        each = [weight[:, form.choice_at[v] : form.choice_at[v + 1]] for v in counted.choices]
        allowed.append(np.ones((count, sum([part.shape[1] for part in each])), dtype=np.bool_))
        before = each[:-1]
        # Totals before the last choice, and what the choices add at least and at most.
        least_of = [part.min(axis=1, initial=0) for part in before]
        most_of = [part.max(axis=1, initial=0) for part in before]
        low, high = (
            np.cumsum(np.array(part, dtype=np.int64).reshape(len(before), count), axis=0)
            for part in (least_of, most_of)
        )
        lows.append(low)
        highs.append(high)
        countable.append((high - low < MOST_TOTALS).all(axis=0))
        # total after − total before = weight
        lower += before
        upper += before
        if each:
            # at least ≤ total before + weight ≤ at most
            for side, bound in ((lower, many.at_least), (upper, many.at_most)):
                limit = bound[:, at, None]
                side.append(np.where(np.abs(limit) == NO_BOUND, limit, limit - each[-1]))
        if before:
            coef += [1, *[-1, 1] * (len(before) - 1), 1]
    kept = np.array(countable, dtype=np.bool_).T.reshape(count, len(form.counts))
    none = np.empty((0, count), dtype=np.int64)
    low, high = (np.concatenate([none, *part]).T for part in (lows, highs))
    for at, counted in enumerate(form.counts):
        # What is not counted needs no room.
        begin = counted.totals.start - form.counts[0].totals.start
        mine = slice(begin, begin + max(len(counted.choices) - 1, 0))
        high[:, mine] = np.where(kept[:, at, None], high[:, mine], low[:, mine])
    return Flat(
        np.concatenate(lower, axis=1),
        np.concatenate(upper, axis=1),
        np.concatenate(allowed, axis=1),
        np.array(coef, dtype=np.int64),
        packed,
        many.step_cost * by + many.step_prefer,
        (many.shared_cost * by + many.shared_prefer)[:, asked],
        scale,
        shift,
        least,
        fits,
        weights,
        low,
        high,
        kept,
    )


def _weights(form: Form, many: Numbers) -> tuple[IntArray, ...]:
    """Weight of every option in every tally."""
    place = {name: v for v, (name, _) in enumerate(many.structure.choices)}
    found = []
    taken = 0
    for _, picks in many.structure.tallies:
        weight = np.zeros((len(many), int(form.choice_at[-1])), dtype=np.int64)
        for k, (choice, option) in enumerate(picks):
            v = place[choice]
            weight[:, form.choice_at[v] + many.structure.choices[v][1].index(option)] += (
                many.weight[:, taken + k]
            )
        taken += len(picks)
        found.append(weight)
    return tuple(found)


def figures(form: Form, many: Numbers, numbers: Flat, at: int) -> Figures:
    """One model's numbers; the rows of its windows are left empty."""
    low, high = many.low[at], many.high[at]
    widths = np.maximum(high - low + 1, 0)
    first, final = numbers.totals_low[at], numbers.totals_high[at]
    totals = final - first + 1
    yes = np.zeros((numbers.shared.shape[1], 2), dtype=np.int64)
    yes[:, 1] = numbers.shared[at]
    none = np.zeros(form.options.size, dtype=np.int64)
    twos = np.full(len(yes), 2, dtype=np.int64)
    sizes = np.concatenate([form.options, widths, twos, totals])
    parts = [numbers.options[at]]
    for least, width, step in zip(
        low.tolist(), widths.tolist(), numbers.steps[at].tolist(), strict=True
    ):
        parts.append(np.arange(least, least + width) * step)
    skel, windows = form.skeleton, len(many.structure.windows)
    rows, lines = int(skel.row_at[windows]), int(skel.coef_at[windows])
    # Only what is written takes memory.
    lower, upper = np.empty(form.rows, dtype=np.int64), np.empty(form.rows, dtype=np.int64)
    allowed = np.empty(form.rows, dtype=np.bool_)
    coef = np.empty(int(skel.coef_at[-1]), dtype=np.int64)
    lower[rows:], upper[rows:] = numbers.lower[at], numbers.upper[at]
    allowed[rows:], coef[lines:] = numbers.allowed[at], numbers.coef
    return Figures(
        np.concatenate([[0], np.cumsum(sizes)]),
        np.concatenate([none, low, np.zeros(len(yes), dtype=np.int64), first]),
        np.concatenate([*parts, yes.ravel(), np.zeros(int(totals.sum()), dtype=np.int64)]),
        lower,
        upper,
        allowed,
        coef,
    )
