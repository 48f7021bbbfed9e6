"""Planes and lines: against linprog, exhaustive directions and principal axes."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from sparkout.measure.form._strip import hull, narrowest_strip
from sparkout.measure.form.line import associated_line
from sparkout.measure.form.plane import associated_plane, in_plane
from sparkout.measure.form.records import Balance, Method, Scope, Side, UndeterminedError


def face(count: int, seed: int, warp: float = 0.02) -> np.ndarray:
    rng = np.random.default_rng(seed)
    x, y = rng.random(count) * 400.0, rng.random(count) * 160.0
    z = 2e-4 * x - 1e-4 * y + warp * np.sin(x / 90.0) * np.cos(y / 60.0)
    return np.stack([x, y, z + 0.1 * warp * rng.standard_normal(count)], axis=1)


def turned(points: np.ndarray, seed: int) -> np.ndarray:
    """The same readings in another frame."""
    rng = np.random.default_rng(seed)
    q, _ = np.linalg.qr(rng.standard_normal((3, 3)))
    return points @ q.T + 100.0 * rng.standard_normal(3)


def width_by_exhaustion(points: np.ndarray) -> float:
    """Least width over every face normal and every pair of edges: the theorem of the width of a
    polyhedron (M. E. Houle, G. T. Toussaint, IEEE PAMI 10, 1988; recalled from memory)."""
    edges = [b - a for a, b in itertools.combinations(points, 2)]
    best = math.inf
    for u, v in itertools.combinations(edges, 2):
        normal = np.cross(u, v)
        size = float(np.linalg.norm(normal))
        if size > 1e-9:
            heights = points @ (normal / size)
            best = min(best, float(heights.max() - heights.min()))
    return best


@pytest.mark.parametrize("seed", range(6))
def test_flatness_is_the_width_of_the_readings(seed: int) -> None:
    points = turned(face(9, seed), seed)
    fit = associated_plane(points)
    assert fit.form == pytest.approx(width_by_exhaustion(points), abs=1e-10)
    assert fit.proof.scope is Scope.GLOBAL


@pytest.mark.parametrize("seed", range(6))
def test_a_cloud_is_no_face_but_its_width_is_found(seed: int) -> None:
    points = 10.0 * np.random.default_rng(seed).standard_normal((8, 3))
    fit = associated_plane(points)
    assert fit.form == pytest.approx(width_by_exhaustion(points), abs=1e-9)
    assert fit.proof.scope is Scope.GLOBAL


def test_a_large_cloud_is_only_proven_near() -> None:
    points = 10.0 * np.random.default_rng(1).standard_normal((60, 3))
    fit = associated_plane(points)
    assert fit.proof.scope is Scope.REACH
    assert any("this is no face" in words for words in fit.warnings)


@pytest.mark.parametrize("count", [4, 24, 300])
def test_plane_contacts_balance(count: int) -> None:
    """3 + 1 or 2 + 2 contacts, their feet crossing: convex combinations meet in one place."""
    points = turned(face(count, count), 5)
    fit = associated_plane(points)
    assert isinstance(fit.proof, Balance)
    normal = np.array(fit.normal)
    feet = {}
    for side in Side:
        held = [one for one in fit.contacts if one.side is side]
        assert math.isclose(sum(one.share for one in held), 1.0, abs_tol=1e-9)
        foot = sum(one.share * points[one.index] for one in held)
        feet[side] = foot
        border = fit.highest if side is Side.OUTER else fit.lowest
        for one in held:
            if one.share > 0.0:
                height = float((points[one.index] - np.array(fit.point)) @ normal)
                assert height == pytest.approx(border, abs=1e-10)
    across = feet[Side.OUTER] - feet[Side.INNER]
    assert across == pytest.approx(fit.form * normal, abs=1e-8)
    assert fit.highest == pytest.approx(-fit.lowest)


def test_least_squares_plane_is_the_principal_one() -> None:
    points = turned(face(40, 2), 3)
    fit = associated_plane(points, Method.LEAST_SQUARES)
    rows = points - points.mean(axis=0)
    values, ways = np.linalg.eigh(rows.T @ rows)
    assert abs(float(ways[:, 0] @ fit.normal)) == pytest.approx(1.0, abs=1e-12)
    heights = rows @ ways[:, 0]
    assert fit.form == pytest.approx(float(heights.max() - heights.min()), abs=1e-10)
    assert fit.proof.curvature == pytest.approx((values[1] - values[0]) / 40.0)
    assert fit.proof.gradient < 1e-12


def test_the_zone_is_never_wider_than_least_squares() -> None:
    for seed in range(20):
        points = face(12, seed)
        zone = associated_plane(points).form
        assert zone <= associated_plane(points, Method.LEAST_SQUARES).form + 1e-13


def test_three_readings_and_readings_on_a_line() -> None:
    fit = associated_plane([(0, 0, 0), (10, 0, 1), (0, 10, 2)])
    assert fit.form < 1e-14
    assert "3 readings always lie on one plane" in fit.warnings[0]
    with pytest.raises(UndeterminedError, match="lie on one line"):
        associated_plane([(k, 2 * k, 3 * k) for k in range(5)])
    with pytest.raises(ValueError, match="not minimum circumscribed"):
        associated_plane(face(5, 0), Method.CIRCUMSCRIBED)


def test_in_plane_keeps_distances() -> None:
    points = face(10, 1, warp=0.0)
    flat = np.array(in_plane(points, associated_plane(points)))
    for first, second in itertools.combinations(range(10), 2):
        true = np.linalg.norm(points[first] - points[second])
        assert np.linalg.norm(flat[first] - flat[second]) == pytest.approx(true, abs=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_line_zone_by_every_pair_and_certificate(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 30))
    points = np.stack([300.0 * rng.random(count), 0.02 * rng.standard_normal(count)], axis=1)
    if seed % 2:
        points = np.round(points, 2 if seed % 4 == 1 else 1)
    if seed % 5 == 0:
        points = points @ np.array([[0.6, 0.8], [-0.8, 0.6]]) + [500.0, -300.0]
    best = math.inf
    for a, b in itertools.combinations(points, 2):
        u = b - a
        size = float(np.hypot(*u))
        if size > 0.0:
            heights = points @ np.array([-u[1], u[0]]) / size
            best = min(best, float(heights.max() - heights.min()))
    fit = associated_line(points)
    assert fit.form == pytest.approx(best, abs=1e-12)
    assert isinstance(fit.proof, Balance)
    assert fit.proof.balance == 0.0
    assert fit.proof.sharpness >= 0.0
    across = np.array([-fit.direction[1], fit.direction[0]])
    feet = {}
    for side in Side:
        held = [one for one in fit.contacts if one.side is side]
        assert math.isclose(sum(one.share for one in held), 1.0)
        feet[side] = sum(one.share * points[one.index] for one in held)
    assert feet[Side.OUTER] - feet[Side.INNER] == pytest.approx(fit.form * across, abs=1e-9)


def test_least_squares_line() -> None:
    rng = np.random.default_rng(4)
    x = 300.0 * rng.random(40)
    points = np.stack([x, 0.01 * x + 0.02 * rng.standard_normal(40)], axis=1)
    fit = associated_line(points, Method.LEAST_SQUARES)
    rows = points - points.mean(axis=0)
    _, ways = np.linalg.eigh(rows.T @ rows)
    assert abs(float(ways[:, 1] @ fit.direction)) == pytest.approx(1.0, abs=1e-14)
    assert fit.proof.gradient < 1e-12


def test_line_faults() -> None:
    with pytest.raises(UndeterminedError, match="all readings agree"):
        associated_line([(1, 1), (1, 1)])
    with pytest.raises(ValueError, match="not maximum inscribed"):
        associated_line([(0, 0), (1, 1)], Method.INSCRIBED)
    two = associated_line([(0, 0), (100, 1)])
    assert two.form < 1e-15
    assert "2 readings" in two.warnings[0]


def test_hull_and_strip_of_degenerate_points() -> None:
    assert hull(np.zeros((2, 3))) == [0]
    assert narrowest_strip(np.zeros((2, 3))).width == 0.0
    assert narrowest_strip(np.array([[0.0, 1.0, 2.0], [0.0, 1.0, 2.0]])).width < 1e-15
    square = np.array([[0.0, 1.0, 1.0, 0.0, 0.5], [0.0, 0.0, 1.0, 1.0, 0.5]])
    assert sorted(hull(square)) == [0, 1, 2, 3]
    assert narrowest_strip(square).width == 1.0
