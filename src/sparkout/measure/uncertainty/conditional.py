"""What a tangent misses, by sampling with one normal error integrated in closed form.

All normal errors are turned so that one of them, the star, carries the whole tangent; for any draw
of the others the probability is Φ of the star value at which the output meets its limit. Less the
same for the tangent sum, whose probability is exact, that is small and smooth, and few Sobol points
average it. The turned normal errors act through curvature only; they, and others that hardly move
the tangent sum, are drawn in pairs of opposite sign, so that what is odd in them cancels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..estimate import Shape
from .formula import Function, called
from .sobol import Sobol
from .special import Flags, Floats, Places, normal_cdf, normal_density, normal_quantile
from .student import FromNormal
from .tangent import Group, Tangents

__all__: list[str] = []

_FARTHEST = 8.3  # a normal value lies beyond this with probability 1e-16
_STEPS_MOST = 20
_SETTLED = 3e-6
_MINOR = 0.3  # of the star's effect on the tangent sum
_ROOT3 = 3.0**0.5
# Where the output is looked at along the star to see that it meets a limit once only.
_LOOK = np.array([-6.0, -3.0, 0.0, 3.0, 6.0])
_LOOK_POINTS = 16


@dataclass(frozen=True, slots=True)
class Missed:
    """Averages over equal parts of a block of draws.

    chance: P(output not above its limit) − P(tangent sum not above its place), (tangents, parts).
    clear: whether the output meets the limit once along the star for every draw looked at.
    """

    chance: Floats
    clear: Flags


def dimensions(group: Group) -> int:
    """Errors to draw: those that are not normal, and the turned normal ones but the star."""
    return len(group.kinds) + max(int(group.normal.shape[2]) - 1, 0)


class Draws:
    """Sobol points turned into errors; what groups share is worked out once."""

    def __init__(self, dimensions: int, seed: int) -> None:
        self._sobol = Sobol.scrambled(max(dimensions, 1), seed)
        self._points: dict[int, tuple[Floats, Floats]] = {}
        self._students: dict[float, FromNormal] = {}

    def errors(self, group: Group, count: int) -> Floats:
        """The first `count` errors in units of their effects, shape (dimensions, count)."""
        if count not in self._points:
            fresh = self._sobol.block(0, count)
            self._points[count] = (fresh, normal_quantile(fresh))
        points, normal = self._points[count]
        out = normal[: dimensions(group)].copy()
        for row, (shape, dof) in enumerate(group.kinds):
            if shape is Shape.STUDENT:
                if dof not in self._students:
                    self._students[dof] = FromNormal.fitted(dof)
                out[row] = self._students[dof](normal[row])
                continue
            side = 2.0 * points[row] - 1.0
            if shape is Shape.TRIANGULAR:
                side = np.copysign(1.0 - np.sqrt(1.0 - np.abs(side)), side)
            out[row] = side
        return out


def missed(group: Group, tangent: Tangents, errors: Floats, parts: int, look: bool) -> Missed:
    """What the tangents miss, averaged over the drawn errors (dimensions, count)."""
    star, deviation, moves = _effects(group, tangent.owner, tangent.slope)
    errors = _paired(moves, tangent.slope, deviation, errors)
    base, sums = _drawn(group, tangent.owner, tangent.slope, moves, errors)
    limit, place = tangent.limit[:, None], tangent.place[:, None]
    if group.normal.any() and not (deviation > 0.0).all():
        # flat at this limit though normal errors act on it: no tangent describes the output
        return Missed(np.zeros((len(base), parts)), (deviation > 0.0)[:, 0])
    if not group.normal.any():
        # no normal error at all: count, which converges slowly but needs no star
        value = called(group.function, [base[:, j] for j in range(base.shape[1])])
        difference = (value <= limit).astype(np.float64) - (sums <= place)
        return Missed(_parts(difference, parts), _all(base))
    with np.errstate(all="ignore"):
        clear = _meets_once(group.function, star, base) if look else _all(base)
        flat = np.clip((place - sums) / deviation, -_FARTHEST, _FARTHEST)
        z, solved = _meeting(group.function, star, base, limit, flat, deviation)
        difference = _difference(z, flat)
    return Missed(_parts(difference, parts), clear & solved)


def _paired(moves: Floats, slope: Floats, deviation: Floats, errors: Floats) -> Floats:
    """Every draw twice, the second with the sign of the minor errors turned."""
    effect = np.abs(np.einsum("rj,rje->re", slope, moves))
    minor = ((effect <= _MINOR * deviation) | (deviation == 0.0)).all(axis=0)
    return np.concatenate([errors, np.where(minor[:, None], -errors, errors)], axis=1)


def _all(rows: Floats) -> Flags:
    return np.ones(len(rows), dtype=bool)


def _parts(difference: Floats, parts: int) -> Floats:
    """Means over equal parts of the draws, both of a pair in one part."""
    each = difference.reshape(len(difference), 2, parts, -1)
    return np.asarray(each.mean(axis=(1, 3)))


def moments(group: Group, slope: Floats, value: Floats, errors: Floats) -> tuple[Floats, Floats]:
    """Mean of output less estimate, and its mean square less that of the tangent sum.

    Along the star three Gauss-Hermite points (exact to the fifth power).
    """
    owner = np.arange(len(value))
    star, deviation, moves = _effects(group, owner, slope)
    base, sums = _drawn(group, owner, slope, moves, np.concatenate([errors, -errors], axis=1))
    mean, square = np.zeros(len(value)), np.zeros(len(value))
    for z, weight in ((-_ROOT3, 1.0 / 6.0), (0.0, 2.0 / 3.0), (_ROOT3, 1.0 / 6.0)):
        away = _along(group.function, star, base, z) - value[:, None]
        flat = sums + deviation * z
        mean += weight * (away - flat).mean(axis=1)
        square += weight * (away * away - flat * flat).mean(axis=1)
    return mean, square


def _effects(group: Group, owner: Places, slope: Floats) -> tuple[Floats, Floats, Floats]:
    """Effect of the star on the arguments and on the tangent sum, and of the drawn errors."""
    star, deviation, rest = _turned(group.normal[owner], slope)
    return star, deviation, np.concatenate([group.other[owner], rest], axis=2)


def _drawn(
    group: Group, owner: Places, slope: Floats, moves: Floats, errors: Floats
) -> tuple[Floats, Floats]:
    """Arguments and tangent sum for every draw, the star at zero."""
    rows, arguments, drawn = moves.shape
    moved = moves.reshape(rows * arguments, drawn) @ errors  # one product instead of one per row
    base = moved.reshape(rows, arguments, -1) + group.values[owner][:, :, None]
    return base, np.einsum("rj,rje->re", slope, moves) @ errors


def _turned(normal: Floats, slope: Floats) -> tuple[Floats, Floats, Floats]:
    """Normal errors turned: the one that carries the tangent sum, its effect there, and the rest.

    A Householder reflection takes the direction of the tangent in the space of normal errors to the
    first axis.
    """
    if not normal.shape[2]:
        return np.zeros(normal.shape[:2]), np.zeros((len(normal), 1)), normal
    direction = np.einsum("rj,rjs->rs", slope, normal)
    deviation = np.sqrt(np.einsum("rs,rs->r", direction, direction))[:, None]
    direction /= np.where(deviation > 0.0, deviation, 1.0)
    star = np.einsum("rjs,rs->rj", normal, direction)
    mirror = direction.copy()
    mirror[:, 0] += np.copysign(1.0, direction[:, 0])
    mirror /= np.sqrt(np.einsum("rs,rs->r", mirror, mirror))[:, None]
    reflected = normal - 2.0 * np.einsum("rjs,rs,rt->rjt", normal, mirror, mirror)
    return star, deviation, reflected[:, :, 1:]


def _along(function: Function, star: Floats, base: Floats, z: Floats | float) -> Floats:
    """The output for star values z."""
    arguments = [base[:, j] + star[:, j, None] * z for j in range(base.shape[1])]
    return called(function, arguments)


def _meets_once(function: Function, star: Floats, base: Floats) -> Flags:
    """Whether the output rises all the way along the star, on some of the draws."""
    few = base[:, :, :_LOOK_POINTS]
    arguments = [few[:, j, :, None] + star[:, j, None, None] * _LOOK for j in range(few.shape[1])]
    look = called(function, arguments)
    return np.asarray((np.diff(look, axis=2) > 0.0).all(axis=(1, 2)))


def _meeting(
    function: Function, star: Floats, base: Floats, limit: Floats, flat: Floats, deviation: Floats
) -> tuple[Floats, Flags]:
    """Star values at which the output meets its limit, by the secant method from the tangent's."""
    z = flat
    slope = np.broadcast_to(deviation, z.shape)
    gap = limit - _along(function, star, base, z)
    for _ in range(_STEPS_MOST):
        new = np.clip(z + gap / slope, -_FARTHEST, _FARTHEST)
        moved = new - z
        if np.abs(moved).max() < _SETTLED or (np.abs(moved) * normal_density(new)).max() < _SETTLED:
            return new, _all(z)
        gap_new = limit - _along(function, star, base, new)
        secant = np.where(np.abs(moved) > 1e-6, (gap - gap_new) / moved, slope)
        slope = np.where(secant > 0.05 * deviation, secant, deviation)
        z, gap = new, gap_new
    return z, (np.abs(moved) * normal_density(z)).max(axis=1) < _SETTLED


def _difference(z: Floats, flat: Floats) -> Floats:
    """Φ(z) − Φ(flat), without loss where the two are close."""
    gap = z - flat
    if np.abs(gap).max() > 0.3:
        return normal_cdf(z) - normal_cdf(flat)
    square = (0.5 * (z + flat)) ** 2
    step = gap * gap
    series = 1.0 + step * (square - 1.0) / 24.0
    series += step * step * (square * (square - 6.0) + 3.0) / 1920.0
    out: Floats = gap * normal_density(0.5 * (z + flat)) * series
    return out
