"""Reynolds' equation of a full plain bearing of finite length, solved on a grid.

This is the slow, general answer that the table of `steady` is made from and checked against. Film
thickness is h = 1 + ε cos θ from the widest gap (θ = 0, where the film starts at zero pressure);
pressure is in units of 6 µ ω (r/c)². Where oil would have to pull, pressure and its slope are zero
(Reynolds' rupture condition): a linear complementarity problem, solved exactly on the grid by
switching rows until none changes.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from sparkout.mechanics import _bounds
from sparkout.mechanics.oil_film.film_numbers import FilmNumbers, friction_variable

__all__ = ["solve_film"]

_Array = NDArray[np.float64]


def _solve_rows(east: _Array, across: _Array, right: _Array, ruptured: NDArray[np.bool_]) -> _Array:
    """Pressures for a given set of ruptured nodes: block elimination station by station."""
    stations, nodes = ruptured.shape
    eye = np.eye(nodes)
    # Along the bearing: mirror at the middle plane (node 0), zero pressure beyond the last node.
    axial = 2.0 * eye - np.diag(np.ones(nodes - 1), 1) - np.diag(np.ones(nodes - 1), -1)
    axial[0, 1] = -2.0
    carried = np.zeros((nodes, nodes))
    known = np.zeros(nodes)
    kept: list[tuple[_Array, _Array]] = []
    for i in range(stations):
        block = (east[i] + east[i + 1]) * eye + across[i] * axial
        free = ~ruptured[i]
        block[~free] = eye[~free]
        coupling_back = np.where(free, east[i], 0.0)
        coupling_on = np.where(free, east[i + 1], 0.0)
        rhs = np.where(free, right[i], 0.0)
        # p(i-1) = known + carried p(i)
        reduced = block - coupling_back[:, None] * carried
        solved = np.linalg.solve(
            reduced, np.column_stack((np.diag(coupling_on), rhs + coupling_back * known))
        )
        carried, known = solved[:, :nodes], solved[:, nodes]
        kept.append((carried, known))
    pressure = np.zeros((stations, nodes))
    ahead = np.zeros(nodes)
    for i in range(stations - 1, -1, -1):
        carried, known = kept[i]
        ahead = known + carried @ ahead
        pressure[i] = ahead
    return pressure


def solve_film(
    length_ratio: float, eccentricity: float, stations: int = 240, nodes: int = 16
) -> FilmNumbers:
    """Performance of a full plain bearing at one eccentricity, from Reynolds' equation.

    ∂/∂θ (h³ ∂p/∂θ) + (D/L)² ∂/∂z (h³ ∂p/∂z) = dh/dθ, p ≥ 0.

    length_ratio: length over diameter [-], 0.1 to 4.
    eccentricity: offset of the centres over radial clearance [-], 0.01 to 0.98.
    stations: steps round the bearing [-], 60 or more.
    nodes: steps from the middle to the end of the bearing [-], 6 or more.
    Returns load number, attitude, friction, flow, side flow share and pressure ratio.
    Holds for steady load, smooth round rigid surfaces, one viscosity, laminar flow, oil fed without
    pressure at the widest gap.
    Source: A. A. Raimondi and J. Boyd, ASLE Transactions 1 (1958), parts I to III: the equation,
    the boundary conditions and the variables.
    Raises ValueError naming the number when one is out of range.

    >>> round(solve_film(1.0, 0.6, 120, 10).sommerfeld, 2)
    0.12
    """
    _bounds.within("length_ratio", length_ratio, 0.1, 4.0)
    _bounds.within("eccentricity", eccentricity, 0.01, 0.98)
    _bounds.at_least("stations", stations, 60)
    _bounds.at_least("nodes", nodes, 6)
    step, along = 2.0 * math.pi / stations, 1.0 / nodes
    angle: _Array = step * np.arange(1, stations, dtype=np.float64)
    half = step * (np.arange(stations) + 0.5)
    gap: _Array = 1.0 + eccentricity * np.cos(angle)
    gap_half: _Array = 1.0 + eccentricity * np.cos(half)
    east = gap_half**3 / step**2
    across = gap**3 / (length_ratio * along) ** 2
    right = -(gap_half[1:] - gap_half[:-1]) / step
    source = np.repeat(right[:, None], nodes, axis=1)
    pressure = np.zeros_like(source)
    ruptured = np.repeat((right < 0.0)[:, None], nodes, axis=1)
    for _ in range(100):
        pressure = _solve_rows(east, across, source, ruptured)
        residual = _residual(pressure, east, across, source)
        switched = np.where(ruptured, pressure <= residual, pressure < 0.0)
        if np.array_equal(switched, ruptured):
            break
        ruptured = switched
    else:
        raise ArithmeticError(
            f"film of length ratio {length_ratio} at eccentricity {eccentricity}: the rupture edge "
            "did not settle in 100 rounds"
        )
    return _numbers(length_ratio, eccentricity, pressure, angle, gap, step, along)


def _residual(pressure: _Array, east: _Array, across: _Array, source: _Array) -> _Array:
    """What the difference equation leaves over at every node (zero where the film is whole)."""
    stations, nodes = pressure.shape
    padded = np.zeros((stations + 2, nodes + 2))
    padded[1:-1, 1:-1] = pressure
    padded[1:-1, 0] = pressure[:, 1]
    middle = padded[1:-1, 1:-1]
    flow = east[1:, None] * (middle - padded[2:, 1:-1])
    flow = flow + east[:-1, None] * (middle - padded[:-2, 1:-1])
    flow = flow + across[:, None] * (2.0 * middle - padded[1:-1, 2:] - padded[1:-1, :-2])
    result: _Array = flow - source
    return result


def _numbers(
    length_ratio: float,
    eccentricity: float,
    pressure: _Array,
    angle: _Array,
    gap: _Array,
    step: float,
    along: float,
) -> FilmNumbers:
    weights = np.full(pressure.shape[1], along)
    weights[0] *= 0.5
    mean = pressure @ weights
    along_centres = float(np.sum(mean * np.cos(angle))) * step
    square_to_them = float(np.sum(mean * np.sin(angle))) * step
    load = math.hypot(along_centres, square_to_them)
    sommerfeld = 1.0 / (6.0 * math.pi * load)
    attitude = math.degrees(math.atan2(square_to_them, -along_centres))
    # Slope of the pressure at the start from three points (second order); p(0) = 0.
    start = float((4.0 * mean[0] - mean[1]) / (2.0 * step))
    flow = math.pi * ((1.0 + eccentricity) - (1.0 + eccentricity) ** 3 * start)
    edge = (4.0 * pressure[:, -1] - pressure[:, -2]) / (2.0 * along)
    side = math.pi / length_ratio**2 * float(np.sum(gap**3 * edge)) * step
    return FilmNumbers(
        sommerfeld,
        attitude,
        friction_variable(eccentricity, sommerfeld, attitude),
        flow,
        side / flow,
        load / (2.0 * float(pressure.max())),
    )
