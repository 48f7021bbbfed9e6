"""Probability that outputs are not above given values, sums and formulas together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .conditional import Draws, dimensions, missed
from .law import law
from .outputs import Outputs
from .reduced import reduced
from .special import Flags, Floats
from .sums import Sums
from .tangent import Group, Tangents, flat_sums, tangents

__all__: list[str] = []

_FIRST_POINTS = 32
_MOST_POINTS = 1 << 14
_LOOSER = 5.0  # inversion errs by a hundredth of its tolerance or less (tests hold it)
_STEPS = (4, 8, 16)  # times more points, multiples of the blocks
_BLOCKS = 4  # blocks whose scatter tells the error


@dataclass(frozen=True, slots=True)
class Risk:
    """For each output of a group and each limit: P(not above it) and its density there."""

    chance: Floats
    density: Floats
    error: Floats
    clear: Flags


def not_above(
    outputs: Outputs, away: Floats | None, limits: list[Floats], tolerance: float, seed: int
) -> tuple[Floats, list[Risk]]:
    """P(linear outputs' errors below `away`), and risks of the curved ones at their limits."""
    hit = [
        tangents(group, value, slope, limit)
        for group, (value, slope), limit in zip(
            outputs.groups, outputs.centres, limits, strict=True
        )
    ]
    flat = [flat_sums(g, t.owner, t.slope) for g, t in zip(outputs.groups, hit, strict=True)]
    place = [np.stack([t.place, t.place], axis=1) for t in hit]
    if away is not None:
        flat, place = [outputs.sums, *flat], [away, *place]
    total, density = _at(Sums.joined(flat), np.concatenate(place), _LOOSER * tolerance)
    first = 0 if away is None else len(away)
    tails, total, density = total[:first], total[first:, 0], density[first:, 0]
    if not outputs.groups:
        return tails, []
    parts = [
        reduced(group, slope)
        for group, (_, slope) in zip(outputs.groups, outputs.centres, strict=True)
    ]
    draws = Draws(max(dimensions(part) for part, _ in parts), seed)
    first, out = 0, []
    for (part, share), tangent, limit in zip(parts, hit, limits, strict=True):
        rows = slice(first, first + limit.size)
        first += limit.size
        extra, error, clear = _sampled(part, tangent, tolerance, draws, limit.shape)
        gap = extra.mean(axis=2)
        out.append(
            Risk(
                np.clip(total[rows].reshape(limit.shape) + gap, 0.0, 1.0),
                density[rows].reshape(limit.shape),
                error + share * np.abs(gap).sum(axis=1),
                clear,
            )
        )
    return tails, out


def _sampled(
    group: Group, tangent: Tangents, tolerance: float, draws: Draws, shape: tuple[int, ...]
) -> tuple[Floats, Floats, Flags]:
    """What the tangents miss in each of four equal blocks, its error, and whether it is clear.

    Without a normal error the points are counted; what a count in n even points may miss falls
    about like n^(−3/4), even where the blocks happen to agree.
    """
    count, parts = _FIRST_POINTS, _BLOCKS
    found = missed(group, tangent, draws.errors(group, count), parts, look=True)
    blocks, clear = found.chance, _every(found.clear, shape)
    while True:
        extra = blocks.reshape(*shape, _BLOCKS)
        error = _scatter(extra) + (0.0 if group.normal.any() else count**-0.75)
        worst = error.max()
        if _BLOCKS * count > _MOST_POINTS or not clear.all() or worst <= tolerance:
            return extra, error, clear
        # the error of a block falls about like 1/points; a quarter of the next run is one block
        steps = [step for step in _STEPS if step * count <= _MOST_POINTS]
        more = next((step for step in steps if worst <= step * tolerance), steps[-1])
        rest = draws.errors(group, count * more)[:, count:]
        found = missed(group, tangent, rest, more - 1, look=False)
        clear = clear & _every(found.clear, shape)
        each = np.concatenate([blocks.mean(axis=1, keepdims=True), found.chance], axis=1)
        blocks = each.reshape(len(each), _BLOCKS, -1).mean(axis=2)
        count *= more


def _every(clear: Flags, shape: tuple[int, ...]) -> Flags:
    return np.asarray(clear.reshape(shape).all(axis=1))


def _scatter(extra: Floats) -> Floats:
    """Standard error of the chance below, inside and above, the largest, from the blocks."""
    each = np.concatenate([extra, np.diff(extra, axis=1)], axis=1)
    error: Floats = each.std(axis=2, ddof=1).max(axis=1) / np.sqrt(_BLOCKS)
    return error


def _at(sums: Sums, x: Floats, tolerance: float) -> tuple[Floats, Floats]:
    """P(sum below each value) and its density, for values that may be infinite."""
    finite = np.isfinite(x)
    near = np.where(finite, x, 0.0)
    total, density = law(sums, np.abs(near).max(axis=1), tolerance).at(near)
    total = np.where(finite, np.clip(total, 0.0, 1.0), x > 0.0)
    sure = sums.scale == 0.0  # no uncertainty: lying on a limit is inside
    if sure.any():
        total[sure] = x[sure] > 0.0
    return total, density
