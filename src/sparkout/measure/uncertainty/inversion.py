"""Distribution of a sum from its characteristic function, for many sums at once.

Every component is symmetric, so the characteristic function φ is real and
    F(x) = 1/2 + (1/π)·∫ sin(t·x)·φ(t)/t dt over t > 0   (Gil-Pelaez, Biometrika 38 (1951) 481).
The midpoint rule with step π/B makes this a sine series on (−B, B); its only error is the
probability beyond 2B − |x| (Davies, Biometrika 60 (1973) 415) and what is cut off at the end of the
series. Heavy tails (few degrees of freedom) would need a B of thousands, so there Gauss-Legendre
panels, finer towards t = 0, take over.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .special import Floats, Places
from .student import student_cdf, student_characteristic, student_density
from .sums import Sums

__all__: list[str] = []

Waves = NDArray[np.complex128]

_SERIES_LONGEST = 192
_PANEL_NODES, _PANEL_WEIGHTS = np.polynomial.legendre.leggauss(16)
_PANEL_PHASE = 9.0  # radians of sin(t·x) that sixteen nodes follow to 1e-12
_PANEL_RATIO = 4.0
_PANELS_MOST = 1500


@dataclass(frozen=True, slots=True)
class Series:
    """Rows as sine series: F(x) = 1/2 + Σ weight·sin((k + 1/2)·π·x/half)."""

    half: Floats
    weight: Floats
    slope: Floats

    def taken(self, rows: Places) -> Series:
        return Series(self.half[rows], self.weight[rows], self.slope[rows])

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        """Distribution and density at x, shape (rows, points)."""
        inside = np.clip(x / self.half[:, None], -1.0, 1.0)
        waves = harmonics(math.pi * inside, self.weight.shape[1])
        total = 0.5 + np.matmul(waves.imag, self.weight[:, :, None])[..., 0]
        density = np.matmul(waves.real, self.slope[:, :, None])[..., 0]
        return total, np.where(np.abs(inside) < 1.0, density, 0.0)


@dataclass(frozen=True, slots=True)
class Panels:
    """Rows as Gauss-Legendre sums: F(x) = 1/2 + Σ weight·sin(t·x), for |x| up to `limit`.

    Beyond it, where nodes would be needed by the ten thousand, one Student error has made the whole
    jump: the tail is the sum of theirs, each spread by the variance of all other errors (relative
    error about 1e-5 a thousand scales out).
    """

    t: Floats
    weight: Floats
    limit: Floats
    sums: Sums

    def taken(self, rows: Places) -> Panels:
        return Panels(self.t[rows], self.weight[rows], self.limit[rows], self.sums.taken(rows))

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        limit = self.limit[:, None]
        inside = np.clip(x, -limit, limit)
        waves = np.exp(1j * (inside[:, :, None] * self.t[:, None, :]))
        total = 0.5 + np.matmul(waves.imag, self.weight[:, :, None])[..., 0]
        density = np.matmul(waves.real, (self.weight * self.t)[:, :, None])[..., 0]
        rows, points = np.nonzero(np.abs(x) > limit)
        if rows.size:
            far = x[rows, points]
            tail, density[rows, points] = _far_tail(self.sums.taken(rows), np.abs(far))
            total[rows, points] = np.where(far < 0.0, tail, 1.0 - tail)
        return total, density


def _far_tail(sums: Sums, x: Floats) -> tuple[Floats, Floats]:
    """P(sum > x) and the density at x, one x for each row, far beyond all scales."""
    tail, density = np.zeros_like(x), np.zeros_like(x)
    with_variance = np.where(sums.dof > 2.0, sums.dof / np.maximum(sums.dof - 2.0, 1e-9), 0.0)
    spread = np.square(sums.student) * with_variance
    others = sums.normal**2 + np.square(sums.rectangular).sum(axis=1) / 3.0 + spread.sum(axis=1)
    for column in range(sums.student.shape[1]):
        scales, freedoms = sums.student[:, column], sums.dof[:, column]
        for dof in np.unique(freedoms[scales > 0.0]).tolist():
            rows = np.flatnonzero((scales > 0.0) & (freedoms == dof))
            scale = scales[rows]
            t = x[rows] / scale
            bell = student_density(t, dof) / scale
            # −f′ = f·(ν + 1)·x/(ν·s² + x²), the second derivative of the tail
            bend = bell * (dof + 1.0) * x[rows] / (dof * scale**2 + x[rows] ** 2)
            tail[rows] += student_cdf(-t, dof) + 0.5 * (others - spread[:, column])[rows] * bend
            density[rows] += bell
    return tail, density


def harmonics(angle: Floats, count: int) -> Waves:
    """exp(i·(k + 1/2)·angle) for k = 0 … count − 1 on a new last axis, by doubling.

    One sine and cosine for each angle instead of `count` of them; rounding grows like count·1e-16.
    """
    waves = np.empty((*angle.shape, count), dtype=np.complex128)
    first = np.exp(0.5j * angle)
    waves[..., 0] = first
    step = first * first
    done = 1
    while done < count:
        more = min(done, count - done)
        np.multiply(waves[..., :more], step[..., None], out=waves[..., done : done + more])
        done += more
        step = step * step
    return waves


def reach(sums: Sums, tolerance: float | Floats) -> Floats:
    """A value that the size of each sum exceeds with a probability below `tolerance`, about.

    Normal, rectangular and triangular errors are strictly sub-Gaussian: P(|S| > x) is at most
    2·exp(−x²/(2u²)). Student parts by Wallace's transformation of the same bound.
    """
    loud = 2.0 * np.log(2.0 / np.asarray(tolerance))
    widths = sums.rectangular.sum(axis=1)
    square = sums.normal**2 + np.square(sums.rectangular).sum(axis=1) / 3.0
    light: Floats = np.minimum(np.sqrt(loud * square), widths + np.sqrt(loud) * sums.normal)
    if not sums.student.size:
        return light
    power = np.minimum(loud[..., None] / sums.dof, 600.0)
    heavy: Floats = (sums.student * np.sqrt(sums.dof * np.expm1(power))).sum(axis=1)
    return light + heavy


def last_argument(sums: Sums, tolerance: float) -> Floats:
    """Where the characteristic function of each row has fallen below `tolerance`."""
    depth = math.log(1.0 / tolerance)
    with np.errstate(divide="ignore"):
        by_normal = math.sqrt(2.0 * depth) / sums.normal
    scale = sums.scale
    weak = np.flatnonzero(sums.normal < 0.6 * scale)
    if not weak.size:
        return by_normal
    part, size = sums.taken(weak), scale[weak]
    log_grid = 0.5 * math.log(2.0) * np.arange(2, 62)
    t = np.exp(log_grid)[None, :] / size[:, None]
    bound = -0.5 * (part.normal[:, None] * t) ** 2
    for column in part.rectangular.T:
        bound -= np.log(np.maximum(column[:, None] * t, 1.0))
    for column, dof in zip(part.student.T, part.dof.T, strict=True):
        # Debye's uniform asymptotic form of x^μ·K_μ(x), right to a few per cent everywhere
        r = np.sqrt(1.0 + (2.0 * column[:, None] * t) ** 2 / dof[:, None])
        bound += 0.5 * dof[:, None] * (1.0 - r + np.log(0.5 + 0.5 * r)) - 0.5 * np.log(r)
    after = np.argmax(bound < -depth, axis=1)
    after[~(bound[:, -1] < -depth)] = len(log_grid) - 1
    before = np.maximum(after - 1, 0)
    rows = np.arange(len(weak))
    high, low = bound[rows, before], bound[rows, after]
    share = np.clip((high + depth) / np.maximum(high - low, 1e-300), 0.0, 1.0)
    log_t = log_grid[before] + share * (log_grid[after] - log_grid[before])
    out = by_normal
    out[weak] = np.minimum(by_normal[weak], np.exp(log_t) / size)
    return out


def series(sums: Sums, half: Floats, count: int, tolerance: float) -> Series:
    """Sine series of `count` terms on (−half, half) for each row."""
    k = np.arange(count) + 0.5
    step = math.pi / half
    value = np.exp(np.multiply.outer(-0.5 * (sums.normal * step) ** 2, k * k))
    if sums.rectangular.size:
        angle = sums.rectangular * step[:, None]
        safe = np.maximum(angle, 1e-300)
        wave = harmonics(angle, count).imag
        wave /= safe[:, :, None] * k
        wave[angle == 0.0] = 1.0
        for column in range(angle.shape[1]):
            value *= wave[:, column]
    _times_student(value, sums, step[:, None] * k, tolerance)
    return Series(half, value / (math.pi * k), value / half[:, None])


def panels(sums: Sums, limit: Floats, last: Floats, count: int, tolerance: float) -> Panels:
    """Gauss-Legendre sums over (0, last) with `count` panels, the first one divided again."""
    inner = _PANEL_RATIO ** np.arange(-3.0, 1.0)
    edges = np.concatenate(([0.0], inner, np.arange(2.0, count + 1))) / count
    width = np.diff(edges)[:, None]
    place = (edges[:-1, None] + width * (0.5 + 0.5 * _PANEL_NODES)).ravel()
    share = (0.5 * width * _PANEL_WEIGHTS).ravel()
    t = last[:, None] * place
    value = np.exp(-0.5 * (sums.normal[:, None] * t) ** 2)
    for column in sums.rectangular.T:
        value *= np.sinc(column[:, None] * t / math.pi)
    _times_student(value, sums, t, tolerance)
    return Panels(t, value * share / (math.pi * place), limit, sums)


def _times_student(value: Floats, sums: Sums, t: Floats, tolerance: float) -> None:
    for column, freedoms in zip(sums.student.T, sums.dof.T, strict=True):
        used = column > 0.0
        for dof in np.unique(freedoms[used]):
            rows = np.flatnonzero(used & (freedoms == dof))
            argument = column[rows, None] * t[rows]
            value[rows] *= student_characteristic(argument, float(dof), tolerance)


def inverted(sums: Sums, extent: Floats, tolerance: float) -> list[tuple[Places, Series | Panels]]:
    """Ways to evaluate the rows for |x| up to `extent`, each with the rows it serves.

    Rows that are alike (cylinders measured in one way) are worked out once.
    """
    share = 0.25 * tolerance
    first, like = sums.alike()
    widest = np.zeros(len(first))
    np.maximum.at(widest, like, extent)
    sums = sums.taken(first)
    far = reach(sums, share)
    extent = np.minimum(widest, far)
    last = last_argument(sums, share)
    half = np.maximum(extent, 0.5 * (far + extent))
    count = np.ceil(last * half / math.pi)
    graded = (count > _SERIES_LONGEST) & sums.student.any(axis=1)
    out: list[tuple[Places, Series | Panels]] = []
    for rows, length in _classes(np.where(graded, 0.0, count)):
        made = series(sums.taken(rows), half[rows], length, share)
        served, place = _served(rows, like)
        out.append((served, made.taken(place)))
    if graded.any():
        extent = np.minimum(extent, _PANELS_MOST * _PANEL_PHASE / last)
        number = np.maximum(np.ceil(last * np.maximum(extent, 0.5 / last) / _PANEL_PHASE), 1.0)
        for rows, length in _classes(np.where(graded, number, 0.0)):
            wide = panels(sums.taken(rows), extent[rows], last[rows], length, share)
            served, place = _served(rows, like)
            out.append((served, wide.taken(place)))
    return out


def _served(rows: Places, like: Places) -> tuple[Places, Places]:
    """All rows that are like one of `rows`, and which one each is like."""
    place = np.full(like.max() + 1, -1)
    place[rows] = np.arange(len(rows))
    mine = place[like]
    served = np.flatnonzero(mine >= 0)
    return served, mine[served]


def _classes(count: Floats) -> list[tuple[Places, int]]:
    """Rows that share a length: few groups, little padding. Rows with count 0 are left out."""
    rows = np.flatnonzero(count > 0.0)
    if not rows.size:
        return []
    longest = int(count[rows].max())
    if rows.size * longest <= 8192 or longest <= 16:
        return [(rows, longest)]
    # lengths of the form 2^n or 1.5·2^n waste a quarter at most
    level = np.ceil(2.0 * np.log2(count[rows]))
    out = []
    for step in np.unique(level):
        chosen = rows[level == step]
        out.append((chosen, int(count[chosen].max())))
    return out
