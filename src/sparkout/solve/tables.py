"""Links cut down to the values that still stand, and turned into tables of what they forbid."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sparkout.solve.model import BoolArray, IntArray
from sparkout.solve.network import Network, Stack
from sparkout.solve.propagate import Standing

__all__ = ["Part", "binding", "cut_down", "forbidden", "kept", "slimmed", "without"]


@dataclass(slots=True)
class Part:
    """A link over the values that stand. In a part without amounts only `allowed` counts."""

    choices: tuple[int, ...]
    amounts: tuple[int, ...]
    coef: IntArray
    lower: IntArray
    upper: IntArray
    allowed: BoolArray


def kept(net: Network, standing: Standing) -> list[IntArray]:
    """For every variable, the places in its list of values that stand."""
    places = np.flatnonzero(standing.alive)
    ends = np.searchsorted(places, net.start)
    first = net.start.tolist()
    return [places[a:z] - s for a, z, s in zip(ends[:-1], ends[1:], first, strict=False)]


def binding(stack: Stack, standing: Standing) -> BoolArray:
    """Which links of a stack forbid some combination of the values that stand."""
    rows = tuple(range(1, stack.allowed.ndim))
    links, width = stack.amounts.shape
    low: IntArray = np.zeros((1,) * stack.allowed.ndim, dtype=np.int64)
    high = low
    if width:
        shape = (links, *[1] * len(rows), width)
        coef = stack.coef.reshape(shape) if stack.coef.ndim == 2 else stack.coef
        one = coef * standing.low[stack.amounts].reshape(shape)
        two = coef * standing.high[stack.amounts].reshape(shape)
        low = np.minimum(one, two).sum(axis=-1)
        high = np.maximum(one, two).sum(axis=-1)
    broken = (stack.lower > low) | (stack.upper < high) | ~stack.allowed
    for axis, options in enumerate(stack.options):
        broken &= standing.alive[options].reshape(stack.spread(axis))
    return np.asarray(broken.any(axis=rows) if rows else broken)


def cut_down(stack: Stack, at: int, standing: Standing) -> Part:
    """One link of a stack over the values that stand."""
    lower, upper, allowed, coef = (
        stack.lower[at],
        stack.upper[at],
        stack.allowed[at],
        stack.coef[at],
    )
    if stack.options:
        stay = [standing.alive[options[at]] for options in stack.options]
        if not all(mask.all() for mask in stay):
            cell = np.ix_(*stay)
            lower, upper, allowed = lower[cell], upper[cell], allowed[cell]
            coef = coef if coef.ndim == 1 else coef[cell]
    amounts = tuple(stack.amounts[at].tolist())
    if not amounts:
        # A sum over nothing is 0.
        allowed = allowed & (lower <= 0) & (upper >= 0)
    return Part(tuple(stack.choices[at].tolist()), amounts, coef, lower, upper, allowed)


def slimmed(part: Part, standing: Standing) -> Part:
    """The same without the choices that make no difference.

    Bounds are cut to what the amounts can add up to, so that bounds that never bind look alike.
    """
    coef, lower, upper, allowed = part.coef, part.lower, part.upper, part.allowed
    if part.amounts:
        low, high = _reach(part, standing)
        allowed = allowed & (lower <= high) & (upper >= low)
        lower = np.where(allowed, np.maximum(lower, low), 0)
        upper = np.where(allowed, np.minimum(upper, high), 0)
    axis = 0
    choices = []
    for v in part.choices:
        sides = (allowed, lower, upper) if coef.ndim == 1 else (allowed, lower, upper, coef)
        if all(bool((side == side.take([0], axis)).all()) for side in sides):
            cell: Any = (slice(None),) * axis + (0,)
            allowed, lower, upper = allowed[cell], lower[cell], upper[cell]
            coef = coef if coef.ndim == 1 else coef[cell]
        else:
            choices.append(v)
            axis += 1
    return Part(tuple(choices), part.amounts, coef, lower, upper, allowed)


def _reach(part: Part, standing: Standing) -> tuple[IntArray, IntArray]:
    """Least and most the amounts can add up to, per row or for all of them."""
    amounts = list(part.amounts)
    one, two = part.coef * standing.low[amounts], part.coef * standing.high[amounts]
    return np.minimum(one, two).sum(axis=-1), np.maximum(one, two).sum(axis=-1)


def without(part: Part, v: int, standing: Standing) -> Part:
    """What a slimmed part still asks of its other variables, whatever v is: at most too little."""
    low, high = int(standing.low[v]), int(standing.high[v])
    if v in part.amounts:
        place = part.amounts.index(v)
        one, two = part.coef[..., place] * low, part.coef[..., place] * high
        others = [k for k in range(len(part.amounts)) if k != place]
        return Part(
            part.choices,
            tuple([part.amounts[k] for k in others]),
            part.coef[..., others],
            part.lower - np.maximum(one, two),
            part.upper - np.minimum(one, two),
            part.allowed,
        )
    axis = part.choices.index(v)
    coef, lower, upper = part.coef, part.lower, part.upper
    if coef.ndim > 1:
        # Rows with coefficients of their own: give all of them the first one's, and as much room
        # as the difference can make.
        first = coef[(0,) * (coef.ndim - 1)]
        amounts = list(part.amounts)
        one, two = (first - coef) * standing.low[amounts], (first - coef) * standing.high[amounts]
        lower = lower + np.minimum(one, two).sum(axis=-1)
        upper = upper + np.maximum(one, two).sum(axis=-1)
        coef = first
    highest = np.iinfo(np.int64).max
    allowed = np.asarray(part.allowed.any(axis=axis))
    lower = np.where(part.allowed, lower, highest).min(axis=axis)
    upper = np.where(part.allowed, upper, -highest).max(axis=axis)
    return Part(
        tuple([c for c in part.choices if c != v]),
        part.amounts,
        coef,
        np.where(allowed, lower, 0),
        np.where(allowed, upper, 0),
        allowed,
    )


def forbidden(
    net: Network, part: Part, keep: list[IntArray], rank: list[int]
) -> tuple[list[int], BoolArray]:
    """Ranks of the variables with a choice left, rising, and where the part is broken."""
    axes = part.choices + part.amounts
    if part.amounts:
        rows, width = part.allowed.ndim, len(part.amounts)
        tail = (1,) * width
        total: IntArray | None = None
        for place, v in enumerate(part.amounts):
            shape = [1] * (rows + width)
            shape[rows + place] = -1
            steps = net.values[net.start[v] + keep[v]].reshape(shape)
            if part.coef.ndim == 1:
                each = part.coef[place] * steps
            else:
                each = part.coef[..., place].reshape(part.coef.shape[:-1] + tail) * steps
            total = each if total is None else total + each
        assert total is not None
        bad = total < part.lower.reshape(part.lower.shape + tail)
        bad = bad | (total > part.upper.reshape(part.upper.shape + tail))
        bad |= ~part.allowed.reshape(part.allowed.shape + tail)
    else:
        bad = ~part.allowed
    turn = sorted(range(len(axes)), key=lambda axis: rank[axes[axis]])
    sizes = [keep[axes[axis]].size for axis in turn]
    free = [rank[axes[axis]] for axis, size in zip(turn, sizes, strict=True) if size > 1]
    return free, bad.transpose(turn).reshape([size for size in sizes if size > 1])
