"""Cylinders and axes in space against SciPy's SLSQP, with certificates checked from outside."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from form_checks import bore
from scipy import optimize

from sparkout.measure.form._thinnest import thinnest_about
from sparkout.measure.form.axis import associated_axis
from sparkout.measure.form.cylinder import associated_cylinder
from sparkout.measure.form.records import (
    Balance,
    CylinderFit,
    Method,
    Scope,
    Side,
    Stationary,
    UndeterminedError,
)

SCALE = np.array([1.0, 1.0, 65.0, 65.0])


def from_axis(points: np.ndarray, q: np.ndarray) -> np.ndarray:
    """Distances from the axis through (q0, q1, 0) along (q2, q3, 1)."""
    axis = np.array([q[2], q[3], 1.0])
    w = points - np.array([q[0], q[1], 0.0])
    foot = (w @ axis) / (axis @ axis)
    return np.linalg.norm(w - foot[:, None] * axis, axis=1)


def place_of(fit: CylinderFit) -> np.ndarray:
    direction = np.array(fit.direction) / fit.direction[2]
    point = np.array(fit.point) - fit.point[2] * direction
    return np.array([point[0], point[1], direction[0], direction[1]])


def worth(method: Method) -> Callable[[np.ndarray], float]:
    if method is Method.MINIMUM_ZONE:
        return lambda r: float(r.max() - r.min())
    if method is Method.CIRCUMSCRIBED:
        return lambda r: float(r.max())
    return lambda r: -float(r.min())


def by_slsqp(points: np.ndarray, method: Method, start: np.ndarray) -> float:
    """Best value SLSQP reaches from a start."""
    value = worth(method)
    r = from_axis(points, start / SCALE) - 43.0
    upper, lower = method is not Method.INSCRIBED, method is not Method.CIRCUMSCRIBED

    def gaps(x: np.ndarray) -> np.ndarray:
        r = from_axis(points, x[:4] / SCALE) - 43.0
        return np.concatenate(([x[4] - r] if upper else []) + ([r - x[5]] if lower else []))

    found = optimize.minimize(
        lambda x: (x[4] if upper else 0.0) - (x[5] if lower else 0.0),
        np.r_[start, r.max(), r.min()],
        constraints=[{"type": "ineq", "fun": gaps}],
        method="SLSQP",
        options={"maxiter": 300, "ftol": 1e-14},
    )
    return value(from_axis(points, found.x[:4] / SCALE))


@pytest.mark.parametrize("method", [Method.MINIMUM_ZONE, Method.CIRCUMSCRIBED, Method.INSCRIBED])
@pytest.mark.parametrize("form", [0.2, 0.01, 0.001])
def test_never_worse_than_slsqp(method: Method, form: float) -> None:
    for seed in range(5):
        points = bore(12 + 20 * seed, seed, form)
        fit = associated_cylinder(points, method, near=(0, 0, 1))
        place = place_of(fit)
        value = worth(method)(from_axis(points, place))
        best = min(
            by_slsqp(points, method, np.zeros(4)),
            by_slsqp(points, method, place * SCALE + 1e-3 * form),
        )
        assert value <= best + 1e-9
        assert fit.highest - fit.lowest == pytest.approx(
            float(np.ptp(from_axis(points, place))), abs=1e-11
        )


@pytest.mark.parametrize("count", [12, 60, 240])
def test_zone_contacts_balance(count: int) -> None:
    """Forces and moments of the contacts cancel: gradients in shift and tilt of the axis."""
    points = bore(count, count)
    fit = associated_cylinder(points)
    assert isinstance(fit.proof, Balance)
    axis, foot = np.array(fit.direction), np.array(fit.point)
    force, moment, dual = np.zeros(3), np.zeros(3), 0.0
    for one in fit.contacts:
        w = points[one.index] - foot
        out = w - (w @ axis) * axis
        radius = float(np.linalg.norm(out))
        sign = 1.0 if one.side is Side.OUTER else -1.0
        force += sign * one.share * out / radius
        moment += sign * one.share * (w @ axis) * out / radius / 65.0
        dual += sign * one.share * radius
    assert float(np.linalg.norm(force)) < 1e-7
    assert float(np.linalg.norm(moment)) < 1e-7
    assert dual == pytest.approx(fit.form, abs=1e-10)
    assert fit.proof.scope is Scope.REACH
    assert fit.proof.reach > fit.form


def test_reach_is_kept_by_random_axes() -> None:
    points = bore(60, 3)
    fit = associated_cylinder(points, near=(0, 0, 1))
    assert isinstance(fit.proof, Balance)
    place = place_of(fit)
    rng = np.random.default_rng(0)
    for _ in range(3000):
        step = rng.standard_normal(4)
        step *= fit.proof.reach * rng.random() ** 2 / np.linalg.norm(step)
        assert float(np.ptp(from_axis(points, place + step / SCALE))) >= fit.form - 1e-12


@pytest.mark.parametrize("seed", range(4))
def test_least_squares_against_scipy_from_any_direction(seed: int) -> None:
    """The axis is found without a hint, in a frame turned at random."""
    rng = np.random.default_rng(seed)
    q, _ = np.linalg.qr(rng.standard_normal((3, 3)))
    points = bore(25 + 10 * seed, seed)
    plain = associated_cylinder(points, Method.LEAST_SQUARES, near=(0, 0, 1))
    fit = associated_cylinder(points @ q.T + 50.0, Method.LEAST_SQUARES)
    found = optimize.least_squares(
        lambda x: from_axis(points, x[:4]) - x[4], [0, 0, 0, 0, 43.0], xtol=1e-15, ftol=1e-15
    )
    assert plain.radius == pytest.approx(found.x[4], abs=1e-8)
    assert place_of(plain) == pytest.approx(found.x[:4], abs=1e-8)
    assert fit.radius == pytest.approx(plain.radius, abs=1e-9)
    assert abs(float(np.array(fit.direction) @ (q @ plain.direction))) == pytest.approx(1.0)
    assert isinstance(fit.proof, Stationary)
    assert fit.proof.gradient < 1e-11
    assert fit.proof.curvature > 0.0


def test_order_of_sizes() -> None:
    points = bore(80, 1)
    radii = {
        method: associated_cylinder(points, method, near=(0, 0, 1)).radius for method in Method
    }
    assert radii[Method.INSCRIBED] < radii[Method.MINIMUM_ZONE] < radii[Method.CIRCUMSCRIBED]
    assert radii[Method.INSCRIBED] < radii[Method.LEAST_SQUARES] < radii[Method.CIRCUMSCRIBED]


def test_a_far_origin_costs_only_its_rounding() -> None:
    points = bore(40, 2)
    near = associated_cylinder(points, near=(0, 0, 1))
    far = associated_cylinder(points + np.array([1e4, -2e4, 3e4]), near=(0, 0, 1))
    assert far.form == pytest.approx(near.form, abs=1e-10)


def test_cylinder_faults() -> None:
    points = bore(30, 0)
    with pytest.raises(UndeterminedError, match="one section"):
        associated_cylinder(points * [1, 1, 0], near=(0, 0, 1))
    with pytest.raises(UndeterminedError, match="at least 5 readings; found 4"):
        associated_cylinder(points[:4])
    with pytest.raises(ValueError, match="expected a direction"):
        associated_cylinder(points, near=(0, 0, 0))
    wedge = points[np.abs(np.arctan2(points[:, 1], points[:, 0])) < 0.8]
    fit = associated_cylinder(
        np.vstack([wedge, wedge + np.array([0.0, 0.0, 20.0])]), near=(0, 0, 1)
    )
    assert any("short arc" in words for words in fit.warnings)
    with pytest.raises(UndeterminedError, match="unbounded"):
        associated_cylinder(wedge, Method.INSCRIBED, near=(0, 0, 1))


def centres(seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(3, 12))
    z = np.sort(rng.random(count)) * 500.0
    across = 0.02 * rng.standard_normal((2, count))
    if seed % 5 == 0:
        across[1] = 0.0
    return np.stack([across[0] + 3.0, across[1] + 1e-3 * z, z], axis=1)


@pytest.mark.parametrize("seed", range(30))
def test_axis_zone_against_slsqp_and_its_own_bound(seed: int) -> None:
    points = centres(seed)
    middle = points.mean(axis=0)
    rows = points - [0.0, 0.0, middle[2]]
    scale = np.array([1.0, 1.0, 250.0, 250.0])
    start = np.array([middle[0], middle[1], 0.0, 0.25])
    found = optimize.minimize(
        lambda x: x[4],
        np.r_[start, from_axis(rows, start / scale).max()],
        constraints=[{"type": "ineq", "fun": lambda x: x[4] - from_axis(rows, x[:4] / scale)}],
        method="SLSQP",
        options={"maxiter": 500, "ftol": 1e-15},
    )
    fit = associated_axis(points)
    assert fit.radius <= float(from_axis(rows, found.x[:4] / scale).max()) + 1e-10
    assert fit.proof.scope is Scope.GLOBAL
    # Weighted least squares with the contacts' shares bounds every line from below.
    shares = np.zeros(len(points))
    for one in fit.contacts:
        shares[one.index] += one.share
    assert float(shares.sum()) == pytest.approx(1.0)
    axis = np.array(fit.direction)
    table = np.vstack([np.ones(len(points)), (points - middle) @ axis]).T * np.sqrt(shares)[:, None]
    side = np.cross(axis, [1.0, 0.0, 0.0])
    u = side / np.linalg.norm(side)
    bound = 0.0
    for way in (u, np.cross(axis, u)):
        right = ((points - middle) @ way) * np.sqrt(shares)
        rest = right - table @ np.linalg.lstsq(table, right, rcond=None)[0]
        bound += float(rest @ rest)
    assert math.sqrt(bound) == pytest.approx(fit.radius, abs=1e-9)


def test_axis_special_cases() -> None:
    straight = associated_axis([(0, 0, 0), (1, 2, 3), (2, 4, 6)])
    assert straight.form < 1e-14
    assert "2 points" in associated_axis([(0, 0, 0), (0, 0, 5)]).warnings[0]
    with pytest.raises(UndeterminedError, match="all points agree"):
        associated_axis([(1, 1, 1), (1, 1, 1)])
    with pytest.raises(UndeterminedError, match="nearly as far across"):
        associated_axis([(0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)])
    with pytest.raises(ValueError, match="not minimum circumscribed"):
        associated_axis([(0, 0, 0), (0, 0, 5)], Method.CIRCUMSCRIBED)


def test_axis_least_squares_is_the_principal_axis() -> None:
    points = centres(1)
    fit = associated_axis(points, Method.LEAST_SQUARES)
    rows = points - points.mean(axis=0)
    _, ways = np.linalg.eigh(rows.T @ rows)
    assert abs(float(ways[:, 2] @ fit.direction)) == pytest.approx(1.0, abs=1e-14)
    assert isinstance(fit.proof, Stationary)
    assert fit.proof.gradient < 1e-12
    assert associated_axis(points).radius <= fit.radius


def test_thinnest_of_points_in_one_plane_is_half_the_zone() -> None:
    """With all points in a plane the cylinder is the strip: three points, 0.02 high."""
    local = np.array([[0.0, 0.02, 0.0], [0.0, 0.0, 0.0], [-100.0, 0.0, 100.0]])
    found = thinnest_about(local)
    assert found.radius == pytest.approx(0.01, abs=1e-12)
    assert found.shares == pytest.approx([0.25, 0.5, 0.25], abs=1e-6)
