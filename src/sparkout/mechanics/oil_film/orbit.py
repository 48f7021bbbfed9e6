"""Orbit of a journal in its bearing over a whole cycle, by the mobility method.

The cycle is solved as one periodic problem, all its steps at once: a Lobatto (Hermite-Simpson)
collocation with a step from load to load, Newton's method on the whole, and the cyclic linear
system by joining neighbours until one step is left. A march in coarse implicit steps gives the
first guess. Nothing is thrown away on running-in; numpy alone does a cycle in milliseconds.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sparkout.mechanics import _bounds
from sparkout.mechanics.cautions import Caution
from sparkout.mechanics.oil_film._collocation import (
    PLAIN,
    Kernels,
    Mesh,
    Solved,
    following,
    solve_orbit,
)
from sparkout.mechanics.oil_film._march import first_guess
from sparkout.mechanics.oil_film._rates import Array, directed
from sparkout.mechanics.oil_film.big_end import PinLoads
from sparkout.mechanics.oil_film.mobility import LEAST_RATIO, MOST_RATIO

__all__ = ["Bearing", "Orbit", "journal_orbit"]

_MOST_MESHES, _MOST_STEPS = 12, 60_000


class Bearing(NamedTuple):
    """Sizes of a plain bearing [mm], clearance bore less journal, film viscosity [mPa·s]."""

    diameter: float
    length: float
    diametral_clearance: float
    viscosity_mpas: float


class Orbit(NamedTuple):
    """Where the journal's centre runs; eccentricity ratio in the axes of the loads given."""

    crank_angle: Array
    """[°]"""
    along: Array
    aside: Array
    film_um: Array
    """thinnest film round the bearing at each angle [µm]"""
    least_film_um: float
    least_film_angle: float
    """crank angle of the thinnest film [°]"""
    least_film_place: float
    """where in the bearing, from the first load axis towards the second [°]"""
    error: float
    """of the eccentricity ratio from stepping, estimated before it was taken off [-]"""
    cautions: tuple[Caution, ...]


def _mesh(
    rows: Array, radians: float, film: tuple[float, float, float], parts: NDArray[np.int64]
) -> Mesh:
    """Each load step cut into its number of equal parts; loads run straight between their steps."""
    owner = np.repeat(np.arange(len(parts)), parts)
    first = np.repeat(np.cumsum(parts) - parts, parts)
    width = 1.0 / parts[owner]
    begins = (np.arange(len(owner)) - first) * width
    here, rise = rows[:, None, owner], (following(rows) - rows)[:, None, owner]
    quarters = np.array([[0.0], [0.25], [0.5], [0.75]])
    return Mesh(radians * width, *directed(here + rise * (begins + quarters * width), *film))


def _checked(bearing: Bearing, rev_per_min: float, loads: PinLoads, film: str) -> Array:
    """The loads as rows along, aside, spin, once everything about them can be."""
    for name, value, unit in (
        ("diameter", bearing.diameter, "mm"),
        ("length", bearing.length, "mm"),
        ("diametral_clearance", bearing.diametral_clearance, "mm"),
        ("viscosity_mpas", bearing.viscosity_mpas, "mPa·s"),
        ("rev_per_min", rev_per_min, "1/min"),
    ):
        _bounds.above(name, value, 0.0, unit)
    if film not in {"finite", "short"}:
        raise ValueError(f"film is {film!r}; it has to be 'finite' or 'short'")
    if film == "finite":
        _bounds.within(
            "length ÷ diameter", bearing.length / bearing.diameter, LEAST_RATIO, MOST_RATIO
        )
    count = len(loads.along)
    _bounds.at_least("number of loads", count, 72)
    if not count == len(loads.aside) == len(loads.mean_spin):
        raise ValueError(
            f"loads hold {count} along, {len(loads.aside)} aside and {len(loads.mean_spin)} spins; "
            "there has to be the same number of each"
        )
    rows = np.array(loads[1:], dtype=np.float64)
    if not np.isfinite(rows).all():
        raise ValueError(
            "loads hold a number that is not finite; every load and spin has to be one"
        )
    return rows


def journal_orbit(
    bearing: Bearing,
    rev_per_min: float,
    loads: PinLoads,
    film: str = "finite",
    tolerance: float = 1e-4,
    least_film_um: float | None = None,
    start: Orbit | None = None,
    compiled: bool = False,
) -> Orbit:
    """Orbit of a journal over a cycle that repeats, and its thinnest film.

    dε/dθ = (F (c/r)² ÷ (µ L D ω)) M(ε, direction of F) + spin × ε, periodic; film = c (1 − |ε|).

    bearing: sizes, diametral clearance and film viscosity [mm, mPa·s].
    rev_per_min: crank speed [1/min], above zero.
    loads: load on the journal at equal crank steps of one cycle, from `big_end_loads` or measured
    [N]; straight between the steps; 72 or more.
    film: "finite" (l/d 0.2 to 1) or "short" [-].
    tolerance: wanted error of the eccentricity ratio from stepping [-], 1e-8 to 1e-2.
    least_film_um: film asked for [µm], or None when no limit is given.
    start: orbit of a bearing much like it, as first guess; None to begin afresh [-].
    compiled: use the compiled loops of the optional extra "fast", for sweeps of many orbits; the
    same answer to rounding, after some seconds of compiling at the first use [-].
    Returns the orbit, film thickness over the cycle, the thinnest with its crank angle and place,
    and the estimated error of stepping; a caution "thin_film" below the film asked for.
    Holds for a round rigid bearing full of oil, one viscosity, no grooves, no journal mass; real
    rods bend and starve, so use it to compare clearances, not to prove one.
    Source: J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, Journal
    of Basic Engineering 87 (1965) 537; the solver is this project's own, held against SciPy's.
    Raises ValueError naming the number when one is out of range; ArithmeticError when no orbit
    closes; ImportError when compiled is asked for without the extra.

    >>> from sparkout.mechanics.oil_film.big_end import big_end_loads, estimated_pressures
    >>> from sparkout.mechanics.slider_crank import SliderCrank
    >>> gas = estimated_pressures(SliderCrank(60.0, 205.0), 16.0, 14.0)
    >>> loads = big_end_loads(SliderCrank(60.0, 205.0), 100.0, 2200.0, 2600.0, 1500.0, gas)
    >>> orbit = journal_orbit(Bearing(65.0, 30.0, 0.07, 12.0), 2200.0, loads)
    >>> round(orbit.least_film_um, 1)
    3.0
    """
    rows = _checked(bearing, rev_per_min, loads, film)
    _bounds.within("tolerance", tolerance, 1e-8, 1e-2)
    slenderness = (bearing.diametral_clearance / bearing.diameter) ** 2
    # N ÷ (mPa·s × mm²) is 1e9 ÷ s; over rad/s it is per radian of the crank.
    scale = slenderness * 1e9 / (bearing.viscosity_mpas * bearing.length * bearing.diameter)
    scale /= rev_per_min * math.pi / 30.0
    slender = (bearing.length / bearing.diameter) ** 2
    constants = (scale, slender, 1.0 if film == "finite" else 0.0)
    begin = None
    if start is not None and len(start.along) == len(loads.along):
        begin = np.stack((start.along, start.aside))
    kernels = PLAIN
    if compiled:
        from sparkout.mechanics.oil_film._compiled import kernels as compiled_kernels

        kernels = compiled_kernels()
    parts, found = _converged(rows, math.radians(loads.step), constants, tolerance, begin, kernels)
    return _orbit(bearing, loads, parts, found, least_film_um)


def _converged(
    rows: Array,
    radians: float,
    film: tuple[float, float, float],
    tolerance: float,
    guess: Array | None,
    kernels: Kernels,
) -> tuple[NDArray[np.int64], Solved]:
    """Load steps cut where their own miss is too large, until the error is what was asked for."""
    count = rows.shape[1]
    turn = radians * count
    parts = np.ones(count, dtype=np.int64)
    # Newton's method squares what is left with this move, and once more in its last round; closer
    # than the collocation itself is cheap and lets the deferred correction work.
    close = min(3e-3, 0.05 * tolerance**0.25)
    error = math.inf
    for _ in range(_MOST_MESHES):
        mesh = _mesh(rows, radians, film, parts)
        found = None if guess is None else solve_orbit(mesh, guess, close, kernels)
        if found is None:
            marched = first_guess(mesh.nodes, mesh.step, turn, kernels.march)
            found = solve_orbit(mesh, marched, close, kernels)
        finer = np.full(count, 2)
        if found is not None:
            error = found.error
            if error <= tolerance:
                return parts, found
            starts = np.cumsum(parts) - parts
            worst = np.maximum.reduceat(found.miss, starts)
            # A step's own miss falls with the fifth power of its length.
            finer = np.ceil((worst / (0.05 * tolerance)) ** 0.2).clip(1, 4).astype(np.int64)
            if finer.max() == 1:
                finer[:] = 2
        if int((parts * finer).sum()) > _MOST_STEPS:
            break
        old_angle = np.concatenate((np.cumsum(mesh.step) - mesh.step, [turn]))
        parts = parts * finer
        guess = None
        if found is not None:
            width = np.repeat(radians / parts, parts)
            angle = np.cumsum(width) - width
            closed = np.concatenate((found.place, found.place[:, :1]), axis=1)
            guess = np.stack([np.interp(angle, old_angle, row) for row in closed])
    raise ArithmeticError(
        f"no orbit to within {tolerance:g} in {_MOST_STEPS} steps a cycle; the last error is "
        f"{error:g}"
    )


def _orbit(
    bearing: Bearing,
    loads: PinLoads,
    parts: NDArray[np.int64],
    found: Solved,
    least_film_um: float | None,
) -> Orbit:
    x, y = found.place
    film = bearing.diametral_clearance * 500.0 * (1.0 - np.hypot(x, y))
    thinnest = int(np.argmin(film))
    least = float(film[thinnest])
    starts = np.cumsum(parts) - parts
    owner = int(np.searchsorted(starts, thinnest, side="right")) - 1
    within = (thinnest - int(starts[owner])) / int(parts[owner])
    cautions: tuple[Caution, ...] = ()
    if least_film_um is not None and least < least_film_um:
        cautions = (
            Caution("thin_film", least, least_film_um, "µm", "the film is thinner than asked for"),
        )
    return Orbit(
        loads.step * np.arange(len(parts), dtype=np.float64),
        x[starts],
        y[starts],
        film[starts],
        least,
        (owner + within) * loads.step,
        math.degrees(math.atan2(float(y[thinnest]), float(x[thinnest]))) % 360.0,
        found.error,
        cautions,
    )
