"""Big-end orbit over a full four-stroke cycle against SciPy's solve_ivp at equal accuracy.

Both solve the same equation (finite film, the same loads, straight between them). SciPy starts in
the middle of the clearance and runs as few cycles first as the accuracy allows (one leaves up to
3e-5, two are always enough; a quarter would leave 0.04). Its right-hand side is plain scalar
Python, the quickest form for it; each method runs at ever finer tolerance until its error is that
of our answer or less. A method that takes four times as long as the quickest one is left out.
Errors are the largest difference in eccentricity ratio over the cycle from our answer at 1e-8,
which is itself held against SciPy at fine tolerance in the tests. Times are processor time, the
least of several runs, taken in turns.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from sparkout.mechanics.oil_film.big_end import PinLoads, big_end_loads, estimated_pressures
from sparkout.mechanics.oil_film.orbit import Bearing, Orbit, journal_orbit
from sparkout.mechanics.slider_crank import SliderCrank

STEPS = 360
STEP = 4.0 * math.pi / STEPS
METHODS = ("LSODA", "RK45", "DOP853", "BDF", "Radau")
TOLERANCES = tuple(10.0 ** (-third / 3.0) for third in range(9, 31))

Case = tuple[str, Bearing, float, PinLoads]


def cases() -> list[Case]:
    """Three invented engines: a diesel, a petrol engine at speed, a lightly loaded one."""
    diesel, petrol = SliderCrank(60.0, 205.0), SliderCrank(43.0, 143.5, 0.8)
    return [
        (
            "diesel, 2200 1/min",
            Bearing(65.0, 30.0, 0.07, 12.0),
            2200.0,
            big_end_loads(
                diesel, 100.0, 2200.0, 2600.0, 1500.0,
                estimated_pressures(diesel, 16.0, 14.0, steps=STEPS),
            ),
        ),
        (
            "petrol, 6500 1/min",
            Bearing(48.0, 20.0, 0.045, 8.0),
            6500.0,
            big_end_loads(
                petrol, 86.0, 6500.0, 620.0, 430.0,
                estimated_pressures(petrol, 10.5, 7.5, 14.0, STEPS),
            ),
        ),
        (
            "petrol, 2000 1/min, part load",
            Bearing(48.0, 20.0, 0.045, 12.0),
            2000.0,
            big_end_loads(
                petrol, 86.0, 2000.0, 620.0, 430.0,
                estimated_pressures(petrol, 10.5, 3.0, 14.0, STEPS),
            ),
        ),
    ]  # fmt: skip


def right_hand_side(
    bearing: Bearing, rev_per_min: float, loads: PinLoads
) -> Callable[[float, Any], tuple[float, float]]:
    """The mobility equation in scalars, the fit written out."""
    scale = (bearing.diametral_clearance / bearing.diameter) ** 2 * 1e9
    scale /= bearing.viscosity_mpas * bearing.length * bearing.diameter
    scale /= rev_per_min * math.pi / 30.0
    along = [v * scale for v in (*loads.along, loads.along[0])]
    aside = [v * scale for v in (*loads.aside, loads.aside[0])]
    spin = [*loads.mean_spin, loads.mean_spin[0]]
    slender = (bearing.length / bearing.diameter) ** 2
    sqrt, hypot = math.sqrt, math.hypot

    def rate(turn: float, place: Any) -> tuple[float, float]:
        ex, ey = place.tolist()
        where = (turn / STEP) % STEPS
        i = int(where)
        part = where - i
        fx = along[i] + part * (along[i + 1] - along[i])
        fy = aside[i] + part * (aside[i + 1] - aside[i])
        w = spin[i] + part * (spin[i + 1] - spin[i])
        k = hypot(fx, fy)
        c, s = (fx / k, fy / k) if k else (1.0, 0.0)
        x, y = ex * c + ey * s, ey * c - ex * s
        # Trial points of the explicit methods leave the circle; keep the film positive there.
        gap = min(max(1.0 - x, 1e-9), 2.0)
        x = 1.0 - gap
        q = gap / slender
        r, root = sqrt(q), sqrt(gap)
        u = min(y * y / max(1.0 - x * x, 1e-9), 1.0)
        x3 = x * x * x
        p = 0.1038 + 0.0528 * x + 0.0822 * x * u
        p += (0.3183098861837907 + (0.0202 + 0.0459 * x * u) * u - 0.0379 * x3) * q
        p += (0.0752 * x3 + 0.118 * u) * r
        p2 = 0.0375 + 0.14 * x - 0.0469 * x3
        p2 += (0.4052847345693511 + (0.0498 * x * u - 0.0621 * x3) * u) * q
        p2 += (0.197 * x3 + (0.0909 + 0.0234 * x) * u) * r
        m, n = k * gap * root * p, -k * y * root * p2
        return m * c - n * s - w * ey, m * s + n * c + w * ex

    return rate


def error_of(along: Any, aside: Any, exact: Orbit) -> float:
    return max(float(np.abs(along - exact.along).max()), float(np.abs(aside - exact.aside).max()))


def least_time(work: Callable[[], object], runs: int) -> float:
    best = math.inf
    for _ in range(runs):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def scipy_at(case: Case, method: str, tolerance: float, cycles: int) -> Any:
    _, bearing, speed, loads = case
    rate = right_hand_side(bearing, speed, loads)
    wanted = np.arange(STEPS) * STEP
    return solve_ivp(
        rate, (-cycles * STEPS * STEP, STEPS * STEP), (0.0, 0.0), method=method, t_eval=wanted,
        rtol=tolerance, atol=tolerance,
    ).y  # fmt: skip


def scipy_times(case: Case, exact: Orbit, reached: float) -> dict[str, float]:
    """Seconds each method takes to be as right as ours, where it is among the quick ones."""
    fine = scipy_at(case, "LSODA", 1e-10, 1)
    cycles = 1 if error_of(fine[0], fine[1], exact) <= 0.5 * reached else 2
    times: dict[str, float] = {}
    for method in METHODS:
        for tolerance in TOLERANCES:
            work = partial(scipy_at, case, method, tolerance, cycles)
            start = time.process_time()
            y = work()
            took = time.process_time() - start
            if y.shape[1] == STEPS and error_of(y[0], y[1], exact) <= reached:
                times[method] = min(took, least_time(work, 3))
                break
            if times and took > 4.0 * min(times.values()):
                break
    return times


def main() -> None:
    for case in cases():
        name, bearing, speed, loads = case
        exact = journal_orbit(bearing, speed, loads, tolerance=1e-8)
        print(f"{name}: thinnest film {exact.least_film_um:.2f} µm")
        for wanted in (1e-4, 1e-6):
            ours = partial(journal_orbit, bearing, speed, loads, tolerance=wanted)
            answer = ours()
            # Nobody is asked for more than 1e-7, where general integrators end.
            reached = max(error_of(answer.along, answer.aside, exact), 1e-7)
            fast = partial(ours, compiled=True)
            fast()
            own, compiled = least_time(ours, 10), least_time(fast, 10)
            peers = scipy_times(case, exact, reached)
            own, compiled = min(own, least_time(ours, 5)), min(compiled, least_time(fast, 5))
            print(
                f"  error {reached:.1e}: ours {own * 1e3:.2f} ms, compiled {compiled * 1e3:.2f}; "
                + "solve_ivp "
                + ", ".join(f"{method} {took * 1e3:.0f}" for method, took in peers.items())
            )
            if peers:
                best = min(peers.values())
                print(
                    f"    quickest solve_ivp over ours {best / own:.0f}x, over compiled "
                    f"{best / compiled:.0f}x"
                )


if __name__ == "__main__":
    main()
