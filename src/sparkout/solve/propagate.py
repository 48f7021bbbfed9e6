"""Drop what no window supports: options, and the ends of the ranges of amounts.

A row of a link survives when it is allowed, its options still stand and its bounds meet what its
amounts can add up to. An option without a surviving row goes; amounts shrink to what the surviving
rows leave room for. Repeated until nothing changes. Nothing that is part of an allowed plan is ever
dropped. Links whose tables have the same shape are handled together, as one array.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from sparkout.solve.model import NO_BOUND, BoolArray, IntArray
from sparkout.solve.network import Network, Stack, trimmed

__all__ = ["Deadlock", "Standing", "everything", "propagate", "stands"]

SMALL = 20_000
"""Cells of a stack that is propagated before the large ones are looked at."""


@dataclass(slots=True)
class Standing:
    """Which values of which variables still stand: a flat mask, and the ends of every range."""

    alive: BoolArray
    low: IntArray
    high: IntArray

    def copy(self) -> Standing:
        return Standing(self.alive.copy(), self.low.copy(), self.high.copy())


class Deadlock(Exception):  # noqa: N818  (it reports a proof, not a mistake)
    """Propagation showed that no plan is allowed; `link` is where it ran dry."""

    def __init__(self, link: int) -> None:
        super().__init__(link)
        self.link = link


def everything(net: Network) -> Standing:
    """All values of all variables. The network must be possible."""
    alive = np.ones(net.values.size, dtype=np.bool_)
    return Standing(alive, net.values[net.start[:-1]], net.values[net.start[1:] - 1])


def stands(net: Network) -> tuple[Network, Standing]:
    """What stands of all values once propagated, and the network without options that are gone.

    Small tables first: what they strike out need not be looked at in the large ones. The network
    must be possible. Raises Deadlock.
    """
    standing = everything(net)
    small = tuple([stack for stack in net.stacks if stack.allowed.size <= SMALL])
    if len(small) < len(net.stacks):
        propagate(replace(net, stacks=small), standing)
        net = trimmed(net, standing.alive)
    propagate(net, standing)
    return net, standing


def propagate(net: Network, standing: Standing, changed: Collection[int] | None = None) -> None:
    """Narrow `standing` in place until every link supports all of it. Raises Deadlock.

    changed: variables that lost values since every link did; all where not given.
    """
    pending = [changed is None or not stack.variables.isdisjoint(changed) for stack in net.stacks]
    while True in pending:
        at = pending.index(True)
        pending[at] = False
        stack = net.stacks[at]
        touched = _tighten(net, stack, standing)
        if touched:
            _settle(net, standing, touched, int(stack.members[0]))
            for k, other in enumerate(net.stacks):
                if not pending[k] and not touched.isdisjoint(other.variables):
                    pending[k] = True


def _settle(net: Network, standing: Standing, touched: set[int], link: int) -> None:
    """Let mask and ends of touched variables agree; one without values ends it."""
    for v in touched:
        first, final = net.start[v], net.start[v + 1]
        mask, known = standing.alive[first:final], net.values[first:final]
        mask &= (known >= standing.low[v]) & (known <= standing.high[v])
        left = known[mask]
        if not left.size:
            raise Deadlock(link)
        standing.low[v], standing.high[v] = left[0], left[-1]


def _tighten(net: Network, stack: Stack, standing: Standing) -> set[int]:
    """Strike out what one stack does not support; which variables lost values."""
    rows = tuple(range(1, stack.allowed.ndim))
    links, width = stack.amounts.shape
    live = stack.allowed
    for axis, options in enumerate(stack.options):
        live = live & standing.alive[options].reshape(stack.spread(axis))
    common = stack.coef.ndim == 2
    if width:
        first, final = standing.low[stack.amounts], standing.high[stack.amounts]
        if not common:
            shape = (links, *[1] * len(rows), width)
            first, final = first.reshape(shape), final.reshape(shape)
        one, two = stack.coef * first, stack.coef * final
        least, most = np.minimum(one, two), np.maximum(one, two)
        low, high = least.sum(axis=-1), most.sum(axis=-1)
        per_row = (links, *[1] * len(rows)) if common else low.shape
        live = live & (stack.lower <= high.reshape(per_row))
        live &= stack.upper >= low.reshape(per_row)
    else:
        live = live & (stack.lower <= 0) & (stack.upper >= 0)
    supported = live.any(axis=rows) if rows else live
    if not supported.all():
        raise Deadlock(int(stack.members[int(np.argmin(supported))]))
    touched: set[int] = set()
    for axis, options in enumerate(stack.options):
        rest = tuple([a for a in rows if a != axis + 1])
        dead = options[~(live.any(axis=rest) if rest else live)]
        dead = dead[standing.alive[dead]]
        if dead.size:
            standing.alive[dead] = False
            touched.update(net.owner[dead].tolist())
    if width:
        lower = np.where(live, stack.lower, NO_BOUND)
        upper = np.where(live, stack.upper, -NO_BOUND)
        if common and rows:
            lower, upper = lower.min(axis=rows), upper.max(axis=rows)
        for place in range(width):
            _narrow(
                standing,
                stack.amounts[:, place],
                stack.coef[..., place],
                lower,
                upper,
                low - least[..., place],
                high - most[..., place],
                () if common else rows,
                touched,
            )
    return touched


def _narrow(
    standing: Standing,
    variables: IntArray,
    coef: IntArray,
    lower: IntArray,
    upper: IntArray,
    low: IntArray,
    high: IntArray,
    rows: tuple[int, ...],
    touched: set[int],
) -> None:
    """Hull over rows of a in lower ≤ coef·a + rest ≤ upper, with rest between low and high."""
    # A dead row has lower NO_BOUND and upper −NO_BOUND: it asks for what no value gives.
    least = np.where(np.abs(lower) == NO_BOUND, lower, lower - high)
    most = np.where(np.abs(upper) == NO_BOUND, upper, upper - low)
    turned = coef < 0
    least, most = np.where(turned, -most, least), np.where(turned, -least, most)
    size = np.abs(coef)
    none = size == 0
    size = np.where(none, 1, size)
    least, most = -(-least // size), most // size
    # A live row without the amount leaves it free; a dead one (least above most) asks nothing.
    free = none & (lower <= upper)
    least = np.where(free, -NO_BOUND, least)
    most = np.where(free, NO_BOUND, most)
    if rows:
        least, most = least.min(axis=rows), most.max(axis=rows)
    moved = (least > standing.low[variables]) | (most < standing.high[variables])
    if moved.any():
        np.maximum.at(standing.low, variables, least)
        np.minimum.at(standing.high, variables, most)
        touched.update(variables[moved].tolist())
