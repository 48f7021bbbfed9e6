"""Circles: certificates checked from the outside, exhaustive oracles, hard and bad readings."""

from __future__ import annotations

import math

import numpy as np
import pytest
from form_checks import (
    KINDS,
    alternates,
    check_balance,
    circle_set,
    distances,
    exhaustive_inscribed,
    exhaustive_zone,
    trace,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.records import (
    Balance,
    Method,
    Scope,
    Stationary,
    UndeterminedError,
)

MINIMAX = (Method.MINIMUM_ZONE, Method.CIRCUMSCRIBED, Method.INSCRIBED)
# How many sets of each kind, so that together with their three methods over a thousand
# certificates are checked; kinds that need the search are the slow ones.
SHARES = {
    "round": 180, "gross": 30, "arc": 8, "cloud": 10, "cocircular": 40, "repeated": 4,
    "rounded": 40, "tiny": 40, "far": 40, "nm": 40,
}  # fmt: skip


def value(fit_radius_or_form: float, method: Method) -> float:
    return -fit_radius_or_form if method is Method.INSCRIBED else fit_radius_or_form


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("method", MINIMAX)
def test_certificates_of_random_and_degenerate_sets(kind: str, method: Method) -> None:
    """Convex combination of active gradients 0, no dual gap: checked in extended precision."""
    fitted = 0
    for seed in range(SHARES[kind]):
        points = circle_set(kind, seed)
        try:
            fit = associated_circle(points, method)
        except UndeterminedError:
            continue
        fitted += 1
        check_balance(points, fit)
    if kind == "arc" and method is Method.INSCRIBED:
        assert fitted == 0  # arcs of less than half a turn are open on one side
    else:
        assert fitted > 0


@pytest.mark.parametrize("kind", ["round", "gross", "arc", "cloud", "rounded", "nm", "far"])
def test_zone_is_the_least_of_all_contact_sets(kind: str) -> None:
    """Every centre equidistant from two pairs of readings is tried: none has a narrower zone."""
    scopes = set()
    for seed in range(12):
        points = circle_set(kind, 1000 + seed)
        fit = associated_circle(points)
        scopes.add(fit.proof.scope)
        assert fit.form <= exhaustive_zone(points) + 1e-9
    assert Scope.GLOBAL in scopes


@pytest.mark.parametrize("kind", ["round", "gross", "cloud", "rounded", "nm", "far"])
def test_inscribed_is_the_largest_of_all_contact_sets(kind: str) -> None:
    """Every empty circle through three readings that surround its centre is tried."""
    found = 0
    for seed in range(20):
        points = circle_set(kind, 2000 + seed)
        largest = exhaustive_inscribed(points)
        try:
            fit = associated_circle(points, Method.INSCRIBED)
        except UndeterminedError:
            assert largest < 0.0
            continue
        found += 1
        assert fit.radius == pytest.approx(largest, abs=1e-9)
    assert found > 5


@pytest.mark.parametrize("count", [8, 24, 120])
def test_never_worse_than_general_optimisers(count: int) -> None:
    """SciPy's Nelder-Mead and SLSQP, started at the mean, on the same readings: 0.001 nm."""
    for seed in range(6):
        points = trace(count, seed)

        def zone(centre: np.ndarray, points: np.ndarray = points) -> float:
            away = np.hypot(*(points - centre).T)
            return float(away.max() - away.min())

        def gaps(q: np.ndarray, points: np.ndarray = points) -> np.ndarray:
            away = np.hypot(*(points - q[:2]).T) - 43.0
            return np.append(q[2] - away, away - q[3])

        start = points.mean(axis=0)
        simplex = optimize.minimize(
            zone, start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-12}
        )
        away = np.hypot(*(points - start).T) - 43.0
        slsqp = optimize.minimize(
            lambda q: q[2] - q[3],
            np.append(start, [away.max(), away.min()]),
            constraints=[{"type": "ineq", "fun": gaps}],
            method="SLSQP",
            options={"maxiter": 200, "ftol": 1e-13},
        )
        best = min(zone(simplex.x), zone(slsqp.x[:2]))
        fit = associated_circle(points)
        assert fit.form <= best + 1e-9
        assert fit.proof.scope is Scope.GLOBAL
        assert alternates(points, fit)


@pytest.mark.parametrize("count", [3, 5, 12, 200])
def test_least_squares_against_scipy(count: int) -> None:
    points = trace(count, 5)
    fit = associated_circle(points, Method.LEAST_SQUARES)
    found = optimize.least_squares(
        lambda q: np.hypot(points[:, 0] - q[0], points[:, 1] - q[1]) - q[2],
        [0.0, 0.0, 40.0],
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    )
    assert (fit.x, fit.y, fit.radius) == pytest.approx(tuple(found.x), abs=1e-8)
    assert isinstance(fit.proof, Stationary)
    assert fit.proof.gradient < 1e-12
    assert fit.proof.curvature > 0.0


def test_order_of_the_four_methods() -> None:
    """Inscribed ≤ least squares, zone ≤ circumscribed in size; the zone circle has least form."""
    points = trace(60, 1)
    fits = {method: associated_circle(points, method) for method in Method}
    zone = fits[Method.MINIMUM_ZONE]
    assert fits[Method.INSCRIBED].radius < zone.radius < fits[Method.CIRCUMSCRIBED].radius
    assert all(zone.form <= fit.form for fit in fits.values())
    for fit in fits.values():
        assert fit.peak + fit.valley == pytest.approx(fit.form, abs=1e-13)
        assert fit.diameter == 2.0 * fit.radius


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    x=st.floats(-1e4, 1e4),
    y=st.floats(-1e4, 1e4),
    turn=st.floats(0.0, 6.3),
)
def test_moving_and_turning_the_part_changes_nothing(
    seed: int, x: float, y: float, turn: float
) -> None:
    points = trace(16, seed)
    c, s = math.cos(turn), math.sin(turn)
    moved = points @ np.array([[c, s], [-s, c]]) + [x, y]
    for method in Method:
        before, after = associated_circle(points, method), associated_circle(moved, method)
        assert after.form == pytest.approx(before.form, abs=2e-10)
        assert after.radius == pytest.approx(before.radius, abs=1e-7)


def test_readings_exactly_on_a_circle() -> None:
    """Pythagorean readings: 5, 12 and 13 with all signs and swaps, exactly on radius 65."""
    whole = [(63, 16), (60, 25), (56, 33), (52, 39)]
    points = [(sx * x, sy * y) for a, b in whole for x, y in ((a, b), (b, a))
              for sx in (1, -1) for sy in (1, -1)]  # fmt: skip
    for method in Method:
        fit = associated_circle(points, method)
        assert (fit.x, fit.y, fit.radius) == pytest.approx((0.0, 0.0, 65.0), abs=1e-12)
        assert fit.form < 1e-12


@pytest.mark.parametrize("lobes", [2, 3, 4, 6])
def test_symmetric_shapes_rest_on_their_middle(lobes: int) -> None:
    """Crests and troughs by turns: more contacts than needed, centre 0, zone crest less trough."""
    turns = np.pi * np.arange(2 * lobes) / lobes
    radius = 43.0 + 0.01 * np.cos(lobes * turns)
    points = np.stack([radius * np.cos(turns), radius * np.sin(turns)], axis=1)
    fit = associated_circle(points)
    assert (fit.x, fit.y) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert fit.form == pytest.approx(0.02, abs=1e-12)
    assert fit.proof.scope is Scope.GLOBAL
    check_balance(points, fit)


def test_three_readings_say_nothing_about_form() -> None:
    fit = associated_circle([(10, 0), (0, 10), (-10, 0)])
    assert fit.form < 1e-14
    assert any("3 readings always lie on one circle" in words for words in fit.warnings)


def test_two_readings_across_hold_the_circumscribed_circle() -> None:
    fit = associated_circle([(10, 0), (0, 9), (-10, 0), (0, -9)], Method.CIRCUMSCRIBED)
    assert fit.radius == 10.0
    assert [(one.index, one.share) for one in fit.contacts] == [(0, 0.5), (2, 0.5)]


def test_two_readings_across_do_not_hold_an_inscribed_circle() -> None:
    """Between two opposite readings the circle grows sideways until a third stops it."""
    points = [(-9, 0), (9, 0), (0, 12), (0, -12), (8.9, 6), (8.9, -6), (-8.9, 6), (-8.9, -6)]
    fit = associated_circle(points, Method.INSCRIBED)
    away = distances(np.array(points, float), fit.x, fit.y)
    assert float(away.min()) == pytest.approx(exhaustive_inscribed(np.array(points, float)))
    assert fit.proof.scope is Scope.GLOBAL


def test_a_short_arc_is_fitted_and_warned_about() -> None:
    turns = np.radians(np.linspace(0.0, 50.0, 12))
    radius = 43.0 + 0.01 * np.cos(9.0 * turns)
    points = np.stack([radius * np.cos(turns), radius * np.sin(turns)], axis=1)
    fit = associated_circle(points)
    assert any("short arc" in words and "50 degrees" in words for words in fit.warnings)
    assert fit.proof.scope is Scope.GLOBAL
    assert fit.form <= exhaustive_zone(points) + 1e-9
    with pytest.raises(UndeterminedError, match="unbounded"):
        associated_circle(points, Method.INSCRIBED)


def test_an_ambiguous_centre_is_named() -> None:
    """A symmetric shape with two equally good inscribed circles, left and right."""
    points = [(x, y) for x in (-30, -20, -10, 10, 20, 30) for y in (-12, 12)]
    points += [(0, 11.5), (0, -11.5), (-33, 0), (33, 0)]
    fit = associated_circle(points, Method.INSCRIBED)
    assert any("ambiguous" in words for words in fit.warnings)
    assert fit.radius == pytest.approx(exhaustive_inscribed(np.array(points, float)), abs=1e-9)


def test_few_readings_see_few_lobes() -> None:
    words = associated_circle(trace(6)).warnings
    assert "6 readings see at most 2 lobes; three lobes need 7 readings" in words
    assert associated_circle(trace(7)).warnings == ()


@pytest.mark.parametrize("method", [Method.LEAST_SQUARES, Method.INSCRIBED, Method.MINIMUM_ZONE])
@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (1, 1), (2, 2), (5, 5)],
        [(3, 4), (3, 4), (3, 4)],
        [(0, 0), (1, 2), (1, 2), (0, 0)],
        [(1e4 + 0.1 * k, 2e4 + 0.3 * k) for k in range(6)],
    ],
)
def test_readings_on_one_line_determine_no_circle(
    points: list[tuple[float, float]], method: Method
) -> None:
    with pytest.raises(UndeterminedError, match="lie on one line"):
        associated_circle(points, method)


def test_circumscribed_circle_of_readings_on_a_line() -> None:
    fit = associated_circle([(0, 0), (1, 1), (2, 2), (6, 6)], Method.CIRCUMSCRIBED)
    assert (fit.x, fit.y, fit.radius) == (3.0, 3.0, pytest.approx(math.hypot(3, 3)))
    with pytest.raises(UndeterminedError, match="all readings agree"):
        associated_circle([(2, 2), (2, 2)], Method.CIRCUMSCRIBED)


def test_bad_readings_are_named() -> None:
    with pytest.raises(ValueError, match=r"reading 1 of the minimum zone circle is \[nan, 1.0\]"):
        associated_circle([(0, 0), (math.nan, 1), (2, 0)])
    with pytest.raises(ValueError, match="2 coordinates"):
        associated_circle([(0, 0, 1), (1, 1, 1), (2, 0, 1)])
    with pytest.raises(ValueError, match="2 coordinates"):
        associated_circle([(0, 0), (1,), (2, 0)])
    with pytest.raises(UndeterminedError, match="at least 3 readings; found 2"):
        associated_circle([(0, 0), (1, 0)])
    with pytest.raises(UndeterminedError, match="found none"):
        associated_circle([])


def test_symbols_of_the_standards() -> None:
    assert [method.size_symbol for method in Method] == ["GG", "GN", "GX", "GC"]
    assert Method.MINIMUM_ZONE.reference_symbol("CI") == "MZCI"
    assert Method.LEAST_SQUARES.reference_symbol("PL") == "LSPL"


def test_reach_is_kept_by_a_scan_of_centres() -> None:
    """No centre on a fine grid within the stated reach has a narrower zone."""
    points = circle_set("gross", 3, 8)
    fit = associated_circle(points)
    assert isinstance(fit.proof, Balance)
    reach = min(fit.proof.reach, 20.0)
    steps = np.linspace(-reach, reach, 161)
    x, y = np.meshgrid(fit.x + steps, fit.y + steps)
    away = np.hypot(x[..., None] - points[:, 0], y[..., None] - points[:, 1])
    zones = away.max(axis=-1) - away.min(axis=-1)
    assert float(zones.min()) >= fit.form - 1e-12
