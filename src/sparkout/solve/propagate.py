"""Drop what no window supports: options, and the ends of the ranges of amounts.

Each link is looked at alone: a row survives when it is allowed, its options still stand and its
bounds meet what its amounts can add up to. An option without a surviving row goes; amounts shrink
to what the surviving rows leave room for. Repeated until nothing changes. Nothing that is part of
an allowed plan is ever dropped.
"""

from __future__ import annotations

from collections import deque

import numpy as np

from sparkout.solve.model import NO_BOUND, IntArray
from sparkout.solve.network import Link, Network

__all__ = ["Domains", "propagate"]

Domains = tuple[IntArray, ...]
"""For every variable, the places in its list of values that still stand (sorted)."""


def propagate(net: Network, start: Domains | None = None) -> Domains | int:
    """The values that still stand, or the number of the link that nothing satisfies."""
    stand = [
        np.ones(known.size, dtype=np.bool_) if start is None else _mask(known.size, start[v])
        for v, known in enumerate(net.values)
    ]
    ends = [
        [int(known[keep][0]), int(known[keep][-1])]
        for known, keep in zip(net.values, stand, strict=True)
    ]
    users: list[list[int]] = [[] for _ in net.values]
    for number, link in enumerate(net.links):
        for v in link.choices + link.amounts:
            users[v].append(number)
    waiting = deque(range(len(net.links)))
    queued = [True] * len(net.links)
    while waiting:
        number = waiting.popleft()
        queued[number] = False
        changed = _tighten(net, net.links[number], stand, ends)
        if changed is None:
            return number
        for v in changed:
            for user in users[v]:
                if not queued[user] and user != number:
                    queued[user] = True
                    waiting.append(user)
    return tuple([np.flatnonzero(keep) for keep in stand])


def _mask(size: int, keep: IntArray) -> np.ndarray:
    mask = np.zeros(size, dtype=np.bool_)
    mask[keep] = True
    return mask


def _tighten(
    net: Network, link: Link, stand: list[np.ndarray], ends: list[list[int]]
) -> list[int] | None:
    live = link.allowed
    rank = live.ndim
    for axis, v in enumerate(link.choices):
        shape = [1] * rank
        shape[axis] = -1
        live = live & stand[v].reshape(shape)
    # What the amounts can add up to: one number per side, or one per row.
    each = link.coef
    first = np.array([ends[v][0] for v in link.amounts], dtype=np.int64)
    final = np.array([ends[v][1] for v in link.amounts], dtype=np.int64)
    least, most = np.minimum(each * first, each * final), np.maximum(each * first, each * final)
    low, high = least.sum(axis=-1), most.sum(axis=-1)
    live = live & (link.lower <= high) & (link.upper >= low)
    if not live.any():
        return None
    changed = []
    for axis, v in enumerate(link.choices):
        supported = live.any(axis=tuple([a for a in range(rank) if a != axis]))
        kept = stand[v] & supported
        if not np.array_equal(kept, stand[v]):
            stand[v] = kept
            changed.append(v)
    if not link.amounts:
        return changed
    lower, upper = link.lower[live], link.upper[live]
    common = link.coef.ndim == 1
    if common:
        # With the same coefficients in all rows only the outermost bounds matter.
        lower, upper = lower.min(keepdims=True), upper.max(keepdims=True)
    else:
        each, least, most = each[live], least[live], most[live]
        low, high = low[live], high[live]
    for place, v in enumerate(link.amounts):
        room = _room(
            each[..., place], lower, upper, low - least[..., place], high - most[..., place]
        )
        if room is None or (room[0] <= ends[v][0] and room[1] >= ends[v][1]):
            continue
        keep = stand[v] & (net.values[v] >= room[0]) & (net.values[v] <= room[1])
        if not keep.any():
            return None
        stand[v] = keep
        left = net.values[v][keep]
        ends[v] = [int(left[0]), int(left[-1])]
        changed.append(v)
    return changed


def _room(
    coef: IntArray, lower: IntArray, upper: IntArray, low: IntArray, high: IntArray
) -> tuple[int, int] | None:
    """Hull over rows of a in lower ≤ coef·a + rest ≤ upper, rest between low and high.

    None where a row does not hold the amount at all.
    """
    if (coef == 0).any():
        return None
    least = np.where(lower == -NO_BOUND, -NO_BOUND, lower - high)
    most = np.where(upper == NO_BOUND, NO_BOUND, upper - low)
    turned = coef < 0
    least, most = np.where(turned, -most, least), np.where(turned, -least, most)
    size = np.abs(coef)
    return int((-(-least // size)).min()), int((most // size).max())
