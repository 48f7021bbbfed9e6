"""One periodic orbit as one system of equations: collocation, and Newton's method on the whole."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from sparkout.mechanics.oil_film._march import march_plainly
from sparkout.mechanics.oil_film._rates import Array, Problem, rates

_MOST_ROUNDS = 40


def following(rows: Array) -> Array:
    """Rows one step further round the closed cycle."""
    return np.concatenate((rows[..., 1:], rows[..., :1]), axis=-1)


def solve_cyclic(maps: Array) -> Array:
    """Solve d[i+1] = G[i] d[i] + k[i] round a closed cycle of 2-vectors, for several k at once.

    maps is (steps, 2, 2 + n): G[i] with the n columns k[i] behind it; the answer is (steps, 2, n).
    Neighbouring maps are joined, the cycle of half the steps solved, and the points between filled
    in; the flow contracts, so products stay small and the halving is stable.
    """
    count = len(maps)
    if count == 1:
        (xx, xy), (yx, yy) = maps[0, :, :2]
        kx, ky = maps[0, :, 2:]
        whole = (1.0 - xx) * (1.0 - yy) - xy * yx
        x, y = ((1.0 - yy) * kx + xy * ky) / whole, ((1.0 - xx) * ky + yx * kx) / whole
        return np.stack((x, y))[None]
    even = count - count % 2
    first, second = maps[0:even:2], maps[1:even:2]
    joined = np.matmul(second[:, :, :2], first)
    joined[:, :, 2:] += second[:, :, 2:]
    if even < count:
        joined = np.concatenate((joined, maps[-1:]))
    starts = solve_cyclic(joined)
    found = np.empty((count, 2, maps.shape[2] - 2))
    found[0::2] = starts
    found[1::2] = np.matmul(first[:, :, :2], starts[: even // 2]) + first[:, :, 2:]
    return found


class Kernels(NamedTuple):
    """The three inner loops: plain numpy, or the compiled ones of `_compiled`."""

    rates: Callable[[Problem, Array, Array], Array | None]
    corrections: Callable[[Array, Array, Array, Array, Array], Array]
    march: Callable[..., None]


class Mesh(NamedTuple):
    """Lengths of the steps [rad], and the problem at the nodes and at quarters of the steps."""

    step: Array
    nodes: Problem
    quarter: Problem
    middle: Problem
    three_quarters: Problem


class _Trial(NamedTuple):
    """One guess of the whole cycle: what is left over, and the rates at nodes and between."""

    place: Array
    left: Array
    nodes: Array
    ahead: Array
    between: Array
    size: float


def _try(mesh: Mesh, place: Array, kernels: Kernels) -> _Trial | None:
    """Residual of the Lobatto (Hermite-Simpson) collocation, fourth order and A-stable."""
    here = kernels.rates(mesh.nodes, place[0], place[1])
    if here is None:
        return None
    step = mesh.step
    ahead, onward = following(here), following(place)
    halfway = 0.5 * (place + onward) + 0.125 * step * (here[:2] - ahead[:2])
    middle = kernels.rates(mesh.middle, halfway[0], halfway[1])
    if middle is None:
        return None
    left = onward - place - step / 6.0 * (here[:2] + 4.0 * middle[:2] + ahead[:2])
    return _Trial(place, left, here, ahead, middle, float(np.abs(left).max()))


def corrections(nodes: Array, between: Array, ahead: Array, step: Array, right: Array) -> Array:
    """Answers (n, 2, steps) of the linearised collocation equations to n right-hand sides."""
    sixth, eighth = step / 6.0, 0.125 * step
    mxx, mxy, myx, myy = between[2:]

    def through_middle(jacobian: Array, turn: Array) -> tuple[Array, Array, Array, Array]:
        # h/6 (J + 4 Jm (1/2 ± h/8 J)), entry by entry.
        xx, xy, yx, yy = jacobian
        pxx, pxy, pyx, pyy = 0.5 + turn * xx, turn * xy, turn * yx, 0.5 + turn * yy
        return (
            sixth * (xx + 4.0 * (mxx * pxx + mxy * pyx)),
            sixth * (xy + 4.0 * (mxx * pxy + mxy * pyy)),
            sixth * (yx + 4.0 * (myx * pxx + myy * pyx)),
            sixth * (yy + 4.0 * (myx * pxy + myy * pyy)),
        )

    exx, exy, eyx, eyy = through_middle(nodes[2:], eighth)
    fxx, fxy, fyx, fyy = through_middle(ahead[2:], -eighth)
    # (I - F) d[i+1] = (I + E) d[i] + right.
    gxx, gyy = 1.0 - fxx, 1.0 - fyy
    scale = 1.0 / (gxx * gyy - fxy * fyx)
    ixx, ixy, iyx, iyy = gyy * scale, fxy * scale, fyx * scale, gxx * scale
    exx, eyy = 1.0 + exx, 1.0 + eyy
    maps = np.empty((len(step), 2, 2 + len(right)))
    maps[:, 0, 0], maps[:, 0, 1] = ixx * exx + ixy * eyx, ixx * exy + ixy * eyy
    maps[:, 1, 0], maps[:, 1, 1] = iyx * exx + iyy * eyx, iyx * exy + iyy * eyy
    for column, (x, y) in enumerate(right, 2):
        maps[:, 0, column], maps[:, 1, column] = ixx * x + ixy * y, iyx * x + iyy * y
    return np.moveaxis(solve_cyclic(maps), 0, -1).swapaxes(0, 1)


PLAIN = Kernels(rates, corrections, march_plainly)


def _defect(mesh: Mesh, trial: _Trial, kernels: Kernels) -> Array | None:
    """What the cubic through each step misses of the equation, summed over the step (Boole's rule).

    The cubic meets the equation at both ends and in the middle, so the quarters carry all of it.
    What is missed late in a step decays less before its end than what is missed early: to first
    order, the moment about the middle times the rate of decay there.
    """
    step = mesh.step
    here, ahead = trial.nodes[:2], trial.ahead[:2]
    place, onward = trial.place, following(trial.place)
    rise = onward - place
    missed = []
    for at, problem in ((0.25, mesh.quarter), (0.75, mesh.three_quarters)):
        # Cubic Hermite polynomial and its slope at this part of the step.
        back = 1.0 - at
        point = place + rise * (at * at * (3.0 - 2.0 * at))
        point += step * (here * (at * back * back) - ahead * (at * at * back))
        slope = rise * (6.0 * at * back) / step
        slope += here * (back * (1.0 - 3.0 * at)) + ahead * (at * (3.0 * at - 2.0))
        field = kernels.rates(problem, point[0], point[1])
        if field is None:
            return None
        missed.append(field[:2] - slope)
    early, late = missed
    xx, xy, yx, yy = 0.25 * step * trial.between[2:]
    turn_x, turn_y = late - early
    total: Array = early + late
    total[0] -= xx * turn_x + xy * turn_y
    total[1] -= yx * turn_x + yy * turn_y
    total *= step * (32.0 / 90.0)
    return total


class Solved(NamedTuple):
    """An orbit on a mesh: coordinates, error of the uncorrected one, and each step's own miss."""

    place: Array
    error: float
    miss: Array


def solve_orbit(mesh: Mesh, guess: Array, close: float, kernels: Kernels) -> Solved | None:
    """The orbit by Newton's method, damped, until it moves less than `close`; nothing if it fails.

    The last round also sends the defect of every step round the cycle: that is the error of the
    collocation to leading order, so it is both reported and taken off (deferred correction).
    """
    trial = _try(mesh, guess, kernels)
    if trial is None:
        return None
    moved = np.inf
    for _ in range(_MOST_ROUNDS):
        if moved < close:
            break
        (move,) = kernels.corrections(
            trial.nodes, trial.between, trial.ahead, mesh.step, -trial.left[None]
        )
        part = 1.0
        while part > 1e-4:
            better = _try(mesh, trial.place + part * move, kernels)
            if better is not None and better.size < (1.0 - 1e-4 * part) * trial.size:
                trial = better
                moved = part * float(np.abs(move).max())
                break
            part *= 0.5
        else:
            if trial.size > 1e-12:
                return None
            moved = 0.0  # nothing left that arithmetic could make smaller
    else:
        return None
    defect = _defect(mesh, trial, kernels)
    if defect is None:
        return None
    rest, error = kernels.corrections(
        trial.nodes, trial.between, trial.ahead, mesh.step, np.stack((-trial.left, defect))
    )
    place = trial.place + rest + error
    if not float(np.hypot(place[0], place[1]).max()) < 1.0:
        return None
    # Newton's method squares: what the last round leaves, judged by the two moves before it.
    last = float(np.abs(rest).max())
    left_over = last * (last / moved) ** 2 if moved > last else last
    size = float(np.hypot(error[0], error[1]).max()) + left_over
    return Solved(place, size, np.hypot(defect[0], defect[1]))
