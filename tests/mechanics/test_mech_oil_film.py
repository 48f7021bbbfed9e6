"""Oil film: independent Reynolds solutions, SciPy's integrators, and what is refused."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import scipy.sparse as sparse
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_bvp, solve_ivp
from scipy.sparse.linalg import spsolve

from sparkout.mechanics.oil_film.big_end import (
    PinLoads,
    big_end_loads,
    estimated_pressures,
)
from sparkout.mechanics.oil_film.heat_balance import groove_fed_film, self_fed_film
from sparkout.mechanics.oil_film.mobility import mobility
from sparkout.mechanics.oil_film.orbit import Bearing, Orbit, journal_orbit
from sparkout.mechanics.oil_film.reynolds import solve_film
from sparkout.mechanics.oil_film.short_bearing import (
    short_bearing_eccentricity,
    short_bearing_film,
)
from sparkout.mechanics.oil_film.steady import eccentricity_for_load, steady_film
from sparkout.mechanics.oil_film.steady_table import ECCENTRICITIES, LENGTH_RATIOS, ROWS
from sparkout.mechanics.oil_film.viscosity import (
    Oil,
    dynamic_viscosity_mpas,
    kinematic_viscosity,
    vogel,
)
from sparkout.mechanics.slider_crank import SliderCrank, piston_acceleration

OIL = Oil(94.0, 14.4)


# An independent Reynolds solution: SciPy's sparse solver, the whole length (no symmetry), the
# journal anywhere in the circle and moving anywhere, periodic round the bearing.


def film_force(
    length_ratio: float, place: complex, velocity: complex, stations: int = 144, nodes: int = 13
) -> complex:
    """Film force on the journal for a squeeze velocity, in units of 12 µ ε̇ (r/c)² r l."""
    angle = 2.0 * np.pi * np.arange(stations) / stations
    across = np.linspace(-1.0, 1.0, nodes + 2)[1:-1]
    step, along = 2.0 * np.pi / stations, across[1] - across[0]

    def gap(at: np.ndarray) -> np.ndarray:
        return 1.0 - place.real * np.cos(at) - place.imag * np.sin(at)

    def matrix(diagonals: list[np.ndarray], offsets: list[int]) -> sparse.csr_matrix:
        return sparse.diags(diagonals, offsets, shape=(stations, stations), format="csr")

    east, west = gap(angle + step / 2) ** 3 / step**2, gap(angle - step / 2) ** 3 / step**2
    round_ = matrix(
        [east + west, -east[:-1], -west[1:], [-west[0]], [-east[-1]]],
        [0, 1, -1, stations - 1, 1 - stations],
    )
    second = sparse.diags([2.0, -1.0, -1.0], [0, 1, -1], shape=(nodes, nodes)) / along**2
    lengthwise = sparse.kron(sparse.diags(gap(angle) ** 3 / length_ratio**2), second)
    operator = (sparse.kron(round_, sparse.eye(nodes)) + lengthwise).tocsr()
    closing = velocity.real * np.cos(angle) + velocity.imag * np.sin(angle)
    source = np.repeat(closing, nodes)
    empty = source < 0.0
    for _ in range(60):
        rows = sparse.diags((~empty).astype(float)) @ operator + sparse.diags(empty.astype(float))
        pressure = spsolve(rows.tocsc(), np.where(empty, 0.0, source))
        switched = np.where(empty, pressure <= operator @ pressure - source, pressure < 0.0)
        if (switched == empty).all():
            break
        empty = switched
    mean = pressure.reshape(stations, nodes).sum(axis=1) * along / 2.0
    return complex(mean @ np.exp(1j * angle)) * step


def test_steady_film_against_the_independent_solution() -> None:
    # Rotation drags oil as a squeeze at half speed, square to the line of centres, would.
    for ratio, eps in ((0.5, 0.5), (1.0, 0.7), (0.3, 0.6)):
        force = film_force(ratio, complex(eps, 0.0), complex(0.0, -1.0) * eps / 2.0)
        film = steady_film(ratio, eps)
        assert 1.0 / (6.0 * math.pi * 2.0 * abs(force)) == pytest.approx(film.sommerfeld, rel=0.02)
        attitude = abs(math.degrees(math.atan2(force.imag, force.real)))
        assert attitude == pytest.approx(film.attitude, abs=2.5)


@pytest.mark.parametrize("ratio", [0.25, 0.45, 0.9])
@pytest.mark.parametrize("eps", [0.4, 0.75, 0.88])
@pytest.mark.parametrize("degrees", [0.0, 40.0, 90.0, 125.0])
def test_finite_mobility_against_the_independent_solution(
    ratio: float, eps: float, degrees: float
) -> None:
    velocity = complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    force = film_force(ratio, complex(eps, 0.0), velocity)
    turned = velocity / (force / abs(force))
    exact = turned / (6.0 * abs(force))
    place = complex(eps, 0.0) / (force / abs(force))
    got = mobility(ratio, place.real, place.imag)
    # 3 % of the fit, 2 % of this coarser grid.
    assert abs(complex(*got) - exact) <= 0.05 * abs(exact)


def test_mobility_limits() -> None:
    # A cylinder closing on a plane, half film: F/L = 3 √2 π µ V (R/h)^(3/2), so the mobility of a
    # bearing tends to 2 ÷ (3 √2 π) (1 − ε)^(3/2) = 0.150 of it (fit and all within a tenth there).
    for ratio in (0.3, 0.6, 1.0):
        gap = 1e-6
        exact = 2.0 / (3.0 * math.sqrt(2.0) * math.pi) * gap**1.5
        assert mobility(ratio, 1.0 - gap, 0.0).along == pytest.approx(exact, rel=0.1)
    # A narrow bearing is short.
    finite, short = mobility(0.2, 0.2, 0.3), mobility(0.2, 0.2, 0.3, "short")
    assert finite.along == pytest.approx(short.along, rel=0.06)
    assert finite.aside == pytest.approx(short.aside, rel=0.06)


def test_short_squeeze_against_the_exact_integral() -> None:
    # Short bearing closing along the line of centres, half film: pressure summed over the length
    # is l³ ÷ 12 × 12 µ ε̇ cos θ ÷ (c² h³), so F = µ ε̇ l³ r ÷ c² × ∫ cos² θ ÷ (1 − ε cos θ)³.
    for eps in (0.1, 0.5, 0.8, 0.95):
        integral = quad(
            lambda t, e=eps: math.cos(t) ** 2 / (1.0 - e * math.cos(t)) ** 3,
            -math.pi / 2, math.pi / 2, points=[0.0], epsrel=1e-10,
        )[0]  # fmt: skip
        # M = µ ε̇ l d ÷ (F (c/r)²) = 2 ÷ ((l/r)² × integral) = (d/l)² ÷ (2 integral)
        exact = 1.0 / (2.0 * integral)
        # Booker's form is itself a fit: as ε goes to 1 the integral gives 8 ÷ (6 √2 π) = 0.300 of
        # (1 − ε)^(5/2), his 1 ÷ π is 6.1 % over it.
        assert mobility(1.0, eps, 0.0, "short").along == pytest.approx(exact, rel=0.062)


def test_mobility_shows_the_way_everywhere() -> None:
    for ratio in (0.2, 0.5, 1.0):
        for radius in np.linspace(0.0, 0.99, 34):
            for turn in np.linspace(0.0, np.pi, 37):
                m = mobility(ratio, radius * math.cos(turn), radius * math.sin(turn))
                assert m.along > 0.0
                assert m.aside <= 1e-12


def test_steady_path_of_the_finite_mobility_is_raimondi_and_boyds() -> None:
    # Where squeeze and drag cancel, M is square to ε and S = |M| ÷ (π ε): fit against the table.
    for ratio in (0.25, 0.5, 1.0):
        for eps, close in ((0.4, 0.03), (0.6, 0.03), (0.8, 0.04), (0.9, 0.07)):
            angles = np.radians(np.linspace(5.0, 88.0, 3000))
            aside = [
                (m := mobility(ratio, eps * math.cos(a), eps * math.sin(a))).along * math.cos(a)
                + m.aside * math.sin(a)
                for a in angles
            ]
            attitude = float(angles[int(np.argmin(np.abs(aside)))])
            m = mobility(ratio, eps * math.cos(attitude), eps * math.sin(attitude))
            film = steady_film(ratio, eps)
            assert math.hypot(*m) / (math.pi * eps) == pytest.approx(film.sommerfeld, rel=close)
            assert math.degrees(attitude) == pytest.approx(film.attitude, abs=3.5)


# The steady table


@pytest.mark.parametrize("place", [(0, 3), (2, 11), (3, 8), (5, 1), (6, 9), (7, 12)])
def test_table_entries_are_what_the_grid_gives(place: tuple[int, int]) -> None:
    block, row = place
    ratio, eps = LENGTH_RATIOS[block], ECCENTRICITIES[row]
    coarse, fine = solve_film(ratio, eps, 90, 7), solve_film(ratio, eps, 180, 14)
    # Second order: a third of the change is left.
    best = [f + (f - c) / 3.0 for c, f in zip(coarse, fine, strict=True)]
    sommerfeld, attitude, flow, side, pressure = ROWS[block][row]
    assert best[0] == pytest.approx(sommerfeld, rel=0.003)
    assert best[1] == pytest.approx(attitude, abs=0.1)
    assert best[3] == pytest.approx(flow, rel=0.003)
    assert best[4] == pytest.approx(side, rel=0.003)
    assert best[5] == pytest.approx(pressure, rel=0.01)


@pytest.mark.parametrize("place", [(0.42, 0.83), (0.61, 0.47), (1.2, 0.91), (0.2, 0.15)])
def test_interpolation_between_the_entries(place: tuple[float, float]) -> None:
    coarse, fine = solve_film(*place, 90, 7), solve_film(*place, 180, 14)
    best = [f + (f - c) / 3.0 for c, f in zip(coarse, fine, strict=True)]
    for name, got, expected in zip(coarse._fields, steady_film(*place), best, strict=True):
        assert got == pytest.approx(expected, rel=0.005), name


@settings(max_examples=60, deadline=None)
@given(ratio=st.floats(0.18, 2.0), eps=st.floats(0.01, 0.965))
def test_eccentricity_comes_back(ratio: float, eps: float) -> None:
    assert eccentricity_for_load(ratio, steady_film(ratio, eps).sommerfeld) == pytest.approx(
        eps, abs=1e-6
    )
    short = short_bearing_film(ratio, eps)
    assert short_bearing_eccentricity(ratio, short.sommerfeld) == pytest.approx(eps, abs=1e-6)


def test_load_falls_and_film_thins_all_the_way() -> None:
    for ratio in (0.2, 0.5, 1.3):
        numbers = [steady_film(ratio, e).sommerfeld for e in np.linspace(0.01, 0.97, 200)]
        assert all(a > b for a, b in pairwise(numbers))


def test_short_bearing_pressure_peak() -> None:
    # The closed-form place of the peak against a fine grid of ε sin θ ÷ h³.
    for eps in (0.2, 0.6, 0.9):
        angle = np.linspace(0.0, np.pi, 200001)
        shape = eps * np.sin(angle) / (1.0 + eps * np.cos(angle)) ** 3
        film = short_bearing_film(0.3, eps)
        mean = 1.0 / (12.0 * math.pi * film.sommerfeld)
        assert film.pressure_ratio == pytest.approx(mean / (0.09 / 2.0 * shape.max()), rel=1e-6)


def test_short_flatters_where_it_says_so() -> None:
    assert steady_film(0.5, 0.8).sommerfeld / short_bearing_film(0.5, 0.8).sommerfeld > 1.5
    assert steady_film(0.18, 0.3).sommerfeld == pytest.approx(
        short_bearing_film(0.18, 0.3).sommerfeld, rel=0.05
    )


# Viscosity and heat


def test_vogel_passes_its_points_and_walther_its_two() -> None:
    points = ((40.0, 80.0), (70.0, 25.0), (100.0, 11.5))
    for temperature, viscosity in points:
        assert vogel(points, temperature) == pytest.approx(viscosity)
    # Vogel through three points of a Walther oil stays with it between.
    oil = tuple((t, dynamic_viscosity_mpas(OIL, t)) for t in (40.0, 80.0, 120.0))
    for t in (50.0, 60.0, 100.0, 110.0):
        assert vogel(oil, t) == pytest.approx(dynamic_viscosity_mpas(OIL, t), rel=0.01)
    assert kinematic_viscosity(OIL, 100.0) == pytest.approx(14.4)


def test_heat_balance_closes() -> None:
    for clearance in (0.03, 0.05, 0.09):
        s = self_fed_film(4000.0, 3000.0, 50.0, 25.0, clearance, OIL, 90.0)
        assert s.mean_temperature == pytest.approx(90.0 + s.temperature_rise / 2.0, abs=1e-6)
        g = groove_fed_film(8000.0, 3000.0, 60.0, 12.0, clearance, OIL, 0.4, 90.0)
        # Friction power = heat capacity × flow × rise: density at the film's temperature.
        carried = (0.88 - 0.00064 * (g.mean_temperature - 15.0)) * 2.0 * g.flow_cm3_s
        assert carried * g.temperature_rise == pytest.approx(g.friction_power_w, rel=1e-6)


def test_a_clearance_shows_what_it_means() -> None:
    states = [
        self_fed_film(4000.0, 3000.0, 50.0, 25.0, c, OIL, 90.0)
        for c in (0.03, 0.05, 0.07, 0.10, 0.14)
    ]
    assert all(a.mean_temperature > b.mean_temperature for a, b in pairwise(states))
    assert all(a.flow_cm3_s < b.flow_cm3_s for a, b in pairwise(states))
    films = [s.least_film_um for s in states]
    # Too tight runs hot and thin, too loose lets go: the best lies between.
    assert films.index(max(films)) in {1, 2, 3}
    thin = self_fed_film(4000.0, 3000.0, 50.0, 25.0, 0.03, OIL, 90.0, least_film_um=8.0)
    assert [c.name for c in thin.cautions] == ["thin_film"]
    assert thin.cautions[0].value == pytest.approx(thin.least_film_um)


# Loads


def test_big_end_loads_against_newton() -> None:
    # Two point masses on a massless rod: force on the pin from their accelerations, by differences.
    crank, speed, bore = SliderCrank(43.0, 143.5, 0.8), 5000.0, 86.0
    pressures = [0.5 + 0.4 * math.sin(math.radians(2.0 * n)) for n in range(360)]
    loads = big_end_loads(crank, bore, speed, 620.0, 430.0, pressures)
    omega = speed * math.pi / 30.0
    for number in (0, 31, 100, 222, 301):
        turn = math.radians(2.0 * number)
        pin = 43.0 * complex(math.cos(turn), math.sin(turn))
        height = pin.real + math.sqrt(143.5**2 - (pin.imag - 0.8) ** 2)
        rod = (pin - complex(height, 0.8)) / 143.5  # from the piston pin to the crank pin
        downward = piston_acceleration(crank, 2.0 * number, speed)
        # Piston: gas down, rod up along itself; the liner takes what is across.
        push = pressures[number] * math.pi / 4.0 * bore**2 - 0.620 * downward
        thrust = push / -rod.real
        big_end = -0.430 * omega**2 * pin / 1000.0  # mass times acceleration of the big end
        on_pin = thrust * rod - big_end
        load = -on_pin / -rod  # axes: towards the small end
        assert complex(loads.along[number], loads.aside[number]) == pytest.approx(load, rel=1e-9)


def test_estimated_pressures_look_like_an_engine() -> None:
    crank = SliderCrank(60.0, 205.0)
    trace = estimated_pressures(crank, 16.0, 14.0, 10.0, 720)
    assert max(trace) == pytest.approx(14.0)
    assert trace.index(max(trace)) == 10
    assert trace[180:540] == (0.0,) * 360
    jumps = [abs(b - a) for a, b in pairwise((*trace, trace[0]))]
    assert max(jumps) < 1.5


# Orbits


def engine(name: str) -> tuple[Bearing, float, PinLoads]:
    if name == "diesel":
        crank = SliderCrank(60.0, 205.0)
        gas = estimated_pressures(crank, 16.0, 14.0)
        return (
            Bearing(65.0, 30.0, 0.07, 12.0),
            2200.0,
            big_end_loads(crank, 100.0, 2200.0, 2600.0, 1500.0, gas),
        )
    crank = SliderCrank(43.0, 143.5, 0.8)
    gas = estimated_pressures(crank, 10.5, 7.5, 14.0)
    return (
        Bearing(48.0, 20.0, 0.045, 8.0),
        6500.0,
        big_end_loads(crank, 86.0, 6500.0, 620.0, 430.0, gas),
    )


def rate_of(bearing: Bearing, speed: float, loads: PinLoads, film: str):  # type: ignore[no-untyped-def]
    """The equation written straight from `mobility`, for general integrators."""
    count, step = len(loads.along), math.radians(loads.step)
    closed = [np.append(row, row[0]) for row in loads[1:]]
    scale = (bearing.diametral_clearance / bearing.diameter) ** 2 * 1e9
    scale /= bearing.viscosity_mpas * bearing.length * bearing.diameter * speed * math.pi / 30.0

    def rate(turn: float, place: np.ndarray) -> list[float]:
        where = (turn / step) % count
        along, aside, spin = (float(np.interp(where, range(count + 1), row)) for row in closed)
        load = complex(along, aside)
        e = complex(place[0], place[1])
        if abs(e) >= 1.0:
            e *= (1.0 - 1e-9) / abs(e)  # trial points of the integrator
        local = e / (load / abs(load))
        m = mobility(bearing.length / bearing.diameter, local.real, local.imag, film)
        moved = scale * load * complex(*m) + 1j * spin * complex(place[0], place[1])
        return [moved.real, moved.imag]

    return rate


@pytest.mark.parametrize(("name", "film"), [("diesel", "finite"), ("petrol", "short")])
def test_orbit_against_solve_ivp(name: str, film: str) -> None:
    bearing, speed, loads = engine(name)
    ours = journal_orbit(bearing, speed, loads, film, tolerance=1e-6)
    angle = np.radians(ours.crank_angle)
    turn = math.radians(720.0)
    run = solve_ivp(
        rate_of(bearing, speed, loads, film), (-turn, turn), (0.0, 0.0), method="LSODA",
        t_eval=angle[::4], rtol=1e-7, atol=1e-8,
    )  # fmt: skip
    assert run.success
    assert np.abs(run.y[0] - ours.along[::4]).max() < 5e-6
    assert np.abs(run.y[1] - ours.aside[::4]).max() < 5e-6


def test_orbit_against_solve_bvp() -> None:
    # The same periodic problem by SciPy's own collocation, begun a fiftieth nearer the middle.
    bearing, speed, loads = engine("diesel")
    ours = journal_orbit(bearing, speed, loads, tolerance=1e-6)
    count, step = len(loads.along), math.radians(loads.step)
    knots = np.arange(count + 1) * step
    single = rate_of(bearing, speed, loads, "finite")

    def rates(turn: np.ndarray, places: np.ndarray) -> np.ndarray:
        return np.array([single(t, p) for t, p in zip(turn, places.T, strict=True)]).T

    begin = np.stack([np.append(row, row[0]) for row in (ours.along, ours.aside)])
    found = solve_bvp(rates, lambda a, b: a - b, knots, begin * 0.98, tol=1e-5, max_nodes=20000)
    assert found.success
    assert np.abs(found.sol(knots[:-1])[0] - ours.along).max() < 2e-5


def test_steady_load_settles_where_the_mobility_says() -> None:
    # A load that stands still: the orbit is one point, that of the steady film.
    bearing = Bearing(50.0, 25.0, 0.05, 12.0)
    count = 90
    loads = PinLoads(8.0, (3000.0,) * count, (0.0,) * count, (0.5,) * count)
    for film in ("finite", "short"):
        orbit = journal_orbit(bearing, 3000.0, loads, film, tolerance=1e-8)
        radius = np.hypot(orbit.along, orbit.aside)
        assert radius.max() - radius.min() < 1e-9
        sommerfeld = (25.0 / 0.025) ** 2 * 12e-9 * 50.0 * 50.0 * 25.0 / 3000.0
        if film == "finite":
            expected = eccentricity_for_load(0.5, sommerfeld)
        else:
            expected = short_bearing_eccentricity(0.5, sommerfeld)
        # The mobility fits carry the load within 4 %, Booker's within 10 %.
        assert radius[0] == pytest.approx(expected, abs=0.012)
        assert orbit.aside[0] > 0.0  # carried along with the rotation


@settings(max_examples=12, deadline=None)
@given(
    peak=st.floats(5.0, 20.0),
    clearance=st.floats(0.03, 0.12),
    viscosity=st.floats(4.0, 40.0),
    speed=st.floats(800.0, 4000.0),
)
def test_any_engine_has_an_orbit_inside_the_clearance(
    peak: float, clearance: float, viscosity: float, speed: float
) -> None:
    crank = SliderCrank(60.0, 205.0)
    gas = estimated_pressures(crank, 14.0, peak, steps=180)
    loads = big_end_loads(crank, 100.0, speed, 2600.0, 1500.0, gas)
    orbit = journal_orbit(Bearing(65.0, 30.0, clearance, viscosity), speed, loads)
    assert orbit.error <= 1e-4
    assert 0.0 < orbit.least_film_um < clearance * 500.0
    assert orbit.least_film_um <= orbit.film_um.min() + 1e-12
    assert 0.0 <= orbit.least_film_place < 360.0


def test_clearance_and_oil_move_the_film_as_they_should() -> None:
    bearing, speed, loads = engine("diesel")

    def least(**change: float) -> Orbit:
        return journal_orbit(bearing._replace(**change), speed, loads)

    base = least()
    assert least(viscosity_mpas=24.0).least_film_um > 1.3 * base.least_film_um
    assert least(length=24.0).least_film_um < base.least_film_um
    warm = journal_orbit(bearing, speed, loads, start=least(diametral_clearance=0.072))
    assert warm.least_film_um == pytest.approx(base.least_film_um, rel=1e-4)
    short = journal_orbit(bearing, speed, loads, "short")
    assert short.least_film_um > base.least_film_um
    asked = journal_orbit(bearing, speed, loads, least_film_um=5.0)
    assert [c.name for c in asked.cautions] == ["thin_film"]
    # After firing, the pin is pressed into the rod's upper shell: towards the small end.
    assert base.along[6] > 0.8


def test_error_estimate_is_not_too_small() -> None:
    bearing, speed, loads = engine("petrol")
    exact = journal_orbit(bearing, speed, loads, tolerance=1e-8)
    for tolerance in (1e-3, 1e-4, 1e-6):
        orbit = journal_orbit(bearing, speed, loads, tolerance=tolerance)
        true = max(np.abs(orbit.along - exact.along).max(), np.abs(orbit.aside - exact.aside).max())
        assert orbit.error <= tolerance
        assert true <= orbit.error


def test_compiled_loops_give_the_same_answer() -> None:
    pytest.importorskip("numba")
    bearing, speed, loads = engine("diesel")
    for film in ("finite", "short"):
        plain = journal_orbit(bearing, speed, loads, film)
        fast = journal_orbit(bearing, speed, loads, film, compiled=True)
        assert np.abs(plain.along - fast.along).max() < 1e-12
        assert fast.error == pytest.approx(plain.error, rel=1e-6)


LOADS = PinLoads(8.0, (3000.0,) * 90, (0.0,) * 90, (0.5,) * 90)
FINE = Bearing(50.0, 25.0, 0.05, 12.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: steady_film(0.1, 0.5), "length_ratio is 0.1; it has to lie from 0.176777 to 2"),
        (lambda: steady_film(0.5, 0.99), "eccentricity is 0.99"),
        (lambda: eccentricity_for_load(0.5, 1e-4), "a film thinner than 3% of the radial"),
        (lambda: solve_film(0.5, 0.5, 20), "stations is 20; it has to be 60 or more"),
        (lambda: kinematic_viscosity(Oil(10.0, 12.0), 60.0), "viscosity_40 is 10 mm²/s"),
        (lambda: vogel(((40.0, 80.0), (70.0, 60.0), (100.0, 11.0)), 80.0), "ever more slowly"),
        (lambda: self_fed_film(4000.0, 9000.0, 50.0, 25.0, 0.008, OIL, 120.0),
         "the film finds no balance below 190 °C"),
        (lambda: self_fed_film(4e5, 300.0, 50.0, 25.0, 0.05, OIL, 90.0), "film thinner than 3%"),
        (lambda: mobility(0.1, 0.5, 0.0), "length_ratio is 0.1; it has to lie from 0.2 to 1"),
        (lambda: mobility(0.5, 0.9, 0.9), "eccentricity is 1.27279; it has to be below 1"),
        (lambda: mobility(0.5, 0.5, 0.0, "long"), "film is 'long'"),
        (lambda: big_end_loads(SliderCrank(60, 205), 100, 2200, 2600, 1500, [0.0] * 36),
         "number of pressures is 36; it has to be 72 or more"),
        (lambda: estimated_pressures(SliderCrank(60, 205), 16.0, 2.0), "peak_pressure is 2 MPa"),
        (lambda: journal_orbit(FINE._replace(length=60.0), 3000.0, LOADS),
         "length ÷ diameter is 1.2"),
        (lambda: journal_orbit(FINE, 3000.0, LOADS._replace(aside=(0.0,))),
         "loads hold 90 along, 1 aside and 90 spins"),
        (lambda: journal_orbit(FINE, 3000.0, LOADS._replace(aside=(math.nan,) * 90)),
         "loads hold a number that is not finite"),
        (lambda: journal_orbit(FINE, 3000.0, LOADS, "long"), "film is 'long'"),
        (lambda: journal_orbit(FINE, 3000.0, LOADS, tolerance=1.0), "tolerance is 1"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
