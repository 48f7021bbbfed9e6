"""Clean-up of bores and journals, the least cut of a face and its shims."""

from __future__ import annotations

import math

import numpy as np
import pytest
from form_checks import trace
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from sparkout.measure.form.bore_clean_up import (
    Score,
    bore_clean_up,
    bore_clean_up_scored,
    bore_clean_up_two_point,
    journal_clean_up,
    journal_clean_up_scored,
    journal_clean_up_two_point,
)
from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.plane import associated_plane
from sparkout.measure.form.records import Method, UndeterminedError
from sparkout.measure.form.shims import cut_on_shims, support_shims
from sparkout.measure.form.surface_cut import least_cut, least_cut_along


def by_slsqp(value, limit: float) -> float:
    """Least value over the disc, from nine starts (general optimiser)."""
    best = math.inf
    for k in range(9):
        start = 0.0 if k == 8 else limit * 0.9
        found = optimize.minimize(
            value,
            [start * math.cos(k * math.pi / 4), start * math.sin(k * math.pi / 4)],
            method="Nelder-Mead",
            options={"xatol": 1e-11, "fatol": 1e-12, "maxiter": 4000},
        )
        best = min(best, value(found.x))
    return best


def held(inner, limit: float):
    """The value at the nearest allowed centre, with a push back into the disc."""

    def value(c) -> float:
        size = math.hypot(*c)
        if size <= limit:
            return inner(np.asarray(c))
        return inner(np.asarray(c) * (limit / size)) + (size - limit)

    return value


@pytest.mark.parametrize("limit", [0.0, 0.002, 0.01, 0.1, 3.0])
@pytest.mark.parametrize("seed", range(4))
def test_bore_is_the_least_over_the_disc(seed: int, limit: float) -> None:
    points = trace([6, 24, 60, 200][seed], seed, form=0.1)
    fit = bore_clean_up(points, shift=limit)
    best = by_slsqp(held(lambda c: float(np.hypot(*(points - c).T).max()), limit), limit)
    assert 0.5 * fit.diameter <= best + 1e-9
    away = np.hypot(points[:, 0] - fit.x, points[:, 1] - fit.y)
    assert float(away.max()) == pytest.approx(0.5 * fit.diameter, abs=1e-12)
    assert fit.shift <= limit * (1.0 + 1e-12)
    assert fit.held is (limit < 0.3)
    assert fit.removed == pytest.approx(tuple(0.5 * fit.diameter - away), abs=1e-12)
    for decider in fit.deciders:
        assert fit.removed[decider] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("limit", [0.0, 0.002, 0.01, 0.1])
@pytest.mark.parametrize("seed", range(4))
def test_journal_is_the_largest_over_the_disc(seed: int, limit: float) -> None:
    points = trace([6, 24, 60, 200][seed], seed, form=0.1) - np.array([0.28, -0.17])
    fit = journal_clean_up(points, shift=limit)
    best = by_slsqp(held(lambda c: -float(np.hypot(*(points - c).T).min()), limit), limit)
    assert 0.5 * fit.diameter >= -best - 1e-9
    away = np.hypot(points[:, 0] - fit.x, points[:, 1] - fit.y)
    assert float(away.min()) == pytest.approx(0.5 * fit.diameter, abs=1e-12)
    assert fit.shift <= limit * (1.0 + 1e-12)
    assert fit.proven


def test_journal_of_a_long_record_and_brute_force_on_the_border() -> None:
    """2,400 readings: no centre of 20,000 round the border of the disc leaves a larger journal."""
    points = trace(2400, 9, form=0.1) - np.array([0.28, -0.17])
    fit = journal_clean_up(points, shift=0.01)
    assert fit.held
    assert fit.proven
    turn = np.linspace(0.0, 2.0 * np.pi, 20_001)
    near = points[np.hypot(*points.T) < np.hypot(*points.T).min() + 0.05]
    away = np.hypot(
        near[:, 0] - 0.01 * np.cos(turn)[:, None], near[:, 1] - 0.01 * np.sin(turn)[:, None]
    )
    assert 0.5 * fit.diameter >= float(away.min(axis=1).max()) - 1e-12
    assert 0.5 * fit.diameter == pytest.approx(float(away.min(axis=1).max()), abs=1e-5)


def test_free_centre_is_the_circumscribed_circle() -> None:
    for seed in range(10):
        points = trace(40, seed)
        free = bore_clean_up(points, shift=math.inf)
        circle = associated_circle(points, Method.CIRCUMSCRIBED)
        assert free.diameter == pytest.approx(circle.diameter, abs=1e-12)
        assert (free.x, free.y) == pytest.approx((circle.x, circle.y), abs=1e-12)


def test_wide_shift_is_the_inscribed_circle() -> None:
    for seed in range(10):
        points = trace(40, seed)
        circle = associated_circle(points, Method.INSCRIBED)
        wide = journal_clean_up(points, (circle.x + 0.01, circle.y), 0.1)
        assert wide.diameter == pytest.approx(circle.diameter, abs=1e-12)
        assert not wide.held


def test_a_given_centre_moves_with_the_readings() -> None:
    points = trace(30, 3)
    plain = bore_clean_up(points, (0.25, -0.15), 0.02)
    moved = bore_clean_up(points + np.array([500.0, 300.0]), (500.25, 299.85), 0.02)
    assert moved.diameter == pytest.approx(plain.diameter, abs=1e-9)
    assert (moved.x - 500.0, moved.y - 300.0) == pytest.approx((plain.x, plain.y), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    scores=st.lists(st.tuples(st.floats(0, 359), st.floats(0.001, 0.2)), min_size=1, max_size=5),
    limit=st.floats(0.0, 0.3),
)
def test_scored_bore_and_journal_over_the_disc(
    scores: list[tuple[float, float]], limit: float
) -> None:
    """The unworn wall is a whole circle: farthest R + |c|, nearest R − |c|."""
    wall = 25.0
    marks = [Score(*score) for score in scores]
    for sign, clean_up in ((1.0, bore_clean_up_scored), (-1.0, journal_clean_up_scored)):
        turn = np.radians([mark.direction for mark in marks])
        reach = wall + sign * np.array([mark.depth for mark in marks])
        points = np.stack([reach * np.cos(turn), reach * np.sin(turn)], axis=1)

        def value(c, points=points, sign=sign) -> float:
            away = np.hypot(*(points - c).T)
            if sign > 0.0:
                return max(wall + math.hypot(*c), float(away.max()))
            return -min(wall - math.hypot(*c), float(away.min()))

        fit = clean_up(2.0 * wall, marks, limit)
        assert sign * 0.5 * fit.diameter <= by_slsqp(held(value, limit), limit) + 1e-8
        assert value(np.array([fit.x, fit.y])) == pytest.approx(
            sign * 0.5 * fit.diameter, abs=1e-11
        )
        assert fit.shift <= limit + 1e-12


def test_one_score_follows_the_offset_rule() -> None:
    """2·max(R + d − e, R + e), and e = d/2 the best of all."""
    radius, depth = 50.0, 0.2
    for e in (0.0, 0.03, 0.08, 0.0999, 0.15):
        best = min(e, depth / 2.0)
        rule = 2.0 * max(radius + depth - best, radius + best)
        fit = bore_clean_up_scored(2.0 * radius, [Score(30.0, depth)], e)
        assert fit.diameter == pytest.approx(rule, abs=1e-12)
        assert fit.shift == pytest.approx(best, abs=1e-12)
        assert fit.wall is (e >= depth / 2.0)
        assert fit.held is (e < depth / 2.0)
    bare = bore_clean_up_scored(100.0, [])
    assert (bare.diameter, bare.wall, bare.removed) == (100.0, True, ())


def test_two_scores_at_an_angle_take_more_than_half_the_depth() -> None:
    """Equal scores 60 degrees apart: d·cos 30 gained per step; crossing at d/(1 + cos 30), to
    first order in the depth."""
    depth = 0.1
    fit = bore_clean_up_scored(200.0, [Score(0, depth), Score(60, depth)], 1.0)
    assert fit.shift == pytest.approx(depth / (1.0 + math.cos(math.pi / 6.0)), rel=1e-3)
    assert fit.diameter == pytest.approx(200.0 + 2.0 * fit.shift)


def test_clean_up_faults() -> None:
    with pytest.raises(ValueError, match=r"allowed shift is -0.1"):
        bore_clean_up([(1, 0), (0, 1)], shift=-0.1)
    with pytest.raises(ValueError, match="infinite"):
        journal_clean_up([(1, 0), (0, 1)], shift=math.inf)
    with pytest.raises(ValueError, match=r"depth of score 1 is -0.2"):
        bore_clean_up_scored(100.0, [Score(0, 0.1), Score(0, -0.2)])
    with pytest.raises(ValueError, match="unworn diameter is 0"):
        journal_clean_up_scored(0, [])
    with pytest.raises(ValueError, match=r"expected 100 \(unworn\) or more"):
        bore_clean_up_two_point(100, 99.9)
    with pytest.raises(ValueError, match=r"expected 50 \(unworn\) or less"):
        journal_clean_up_two_point(50, 50.1)


def warped(count: int, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    x, y = rng.random(count) * 500.0 - 250.0, rng.random(count) * 200.0 - 100.0
    z = 3e-4 * x - 2e-4 * y + 0.05 * np.sin(x / 100.0) * np.cos(y / 70.0)
    return np.stack([x, y, z + 0.005 * rng.standard_normal(count)], axis=1)


@pytest.mark.parametrize("tilt", [(0.0, 0.0), (1e-4, 0.0), (1e-4, 1e-4), (1.0, 1.0)])
@pytest.mark.parametrize("count", [3, 9, 80])
def test_held_cut_against_linprog(count: int, tilt: tuple[float, float]) -> None:
    """SciPy's linprog (HiGHS) on the same linear programme."""
    points = warped(count, count)
    ones = np.ones((count, 1))
    upper = np.hstack([-points[:, :2], -ones, 0.0 * ones])
    lower = np.hstack([points[:, :2], 0.0 * ones, ones])
    found = optimize.linprog(
        [0, 0, 1, -1],
        np.vstack([upper, lower]),
        np.r_[-points[:, 2], points[:, 2]],
        bounds=[(-tilt[0], tilt[0]), (-tilt[1], tilt[1]), (None, None), (None, None)],
        method="highs",
    )
    cut = least_cut(points, tilt)
    assert cut.cut == pytest.approx(float(found.fun), abs=1e-9)
    assert abs(cut.slope_x) <= tilt[0] + 1e-15
    assert abs(cut.slope_y) <= tilt[1] + 1e-15
    assert min(cut.removed) == pytest.approx(0.0, abs=1e-12)
    assert max(cut.removed) == cut.cut
    assert all(cut.removed[place] == pytest.approx(cut.cut, abs=1e-12) for place in cut.deepest)
    assert all(cut.removed[place] == pytest.approx(0.0, abs=1e-12) for place in cut.lowest)
    assert (cut.held_x, cut.held_y) == (tilt[0] < 2e-4, tilt[1] < 1.5e-4)


def test_free_cut_is_the_minimum_zone_flatness() -> None:
    for seed in range(8):
        points = warped(30, seed)
        cut = least_cut(points)
        assert cut.cut == pytest.approx(associated_plane(points).form, abs=1e-13)
        assert cut.cut <= least_cut(points, (1.0, 1.0)).cut + 1e-12
        assert (cut.held_x, cut.held_y) == (False, False)
        assert len(cut.deepest) + len(cut.lowest) >= 4


def test_a_tighter_limit_never_cuts_less() -> None:
    points = warped(40, 2)
    cuts = [least_cut(points, (t, t)).cut for t in (0.0, 5e-5, 1e-4, 2e-4, 1e-3)]
    assert cuts == sorted(cuts, reverse=True)
    assert least_cut(points, (1e-4, 1e-4), margin=0.02).cut == pytest.approx(cuts[2] + 0.02)


def test_cut_along_a_line_by_hand() -> None:
    """Heights 0, 0.05, 0.06 at 0, 200, 400: free, the chord leaves the middle 0.02 high; level,
    the whole 0.06; with half the chord's slope 0.05 − 0.015 = 0.035 against ends 0 and 0.03."""
    row = [(0, 0.0), (200, 0.05), (400, 0.06)]
    free, half, level = (least_cut_along(row, slope) for slope in (math.inf, 0.75e-4, 0.0))
    assert (free.cut, half.cut, level.cut) == pytest.approx((0.02, 0.035, 0.06))
    assert half.removed == pytest.approx((0.0, 0.035, 0.03))
    assert (free.held_x, half.held_x, level.held_x) == (False, True, True)
    assert (half.deepest, half.lowest) == ((1,), (0,))


@pytest.mark.parametrize("supports", [
    [(-200, -80), (-200, 80), (200, 0)],
    [(-200, -80), (-200, 80), (200, -80), (200, 80)],
])  # fmt: skip
def test_shims_lay_the_finished_plane_level(supports: list[tuple[float, float]]) -> None:
    """Lifting each support by its shim raises the face by the plane through the shims: the
    finished plane comes out level, and the cut on three shims is the least cut."""
    points = warped(25, 4)
    cut = least_cut(points, (1.0, 1.0))
    shims = support_shims(cut, supports)
    assert min(shims.amounts) == 0.0
    table = np.array([(x, y, 1.0) for x, y in supports])
    a, b, _ = np.linalg.lstsq(table, np.array(shims.amounts), rcond=None)[0]
    assert (a, b) == pytest.approx((-cut.slope_x, -cut.slope_y), abs=1e-12)
    assert bool(shims.warnings) is (len(supports) == 4)
    if len(supports) == 3:
        assert cut_on_shims(points, supports, shims.amounts) == pytest.approx(cut.cut, abs=1e-12)
        stock = [round(amount / 0.05) * 0.05 for amount in shims.amounts]
        assert cut_on_shims(points, supports, stock) >= cut.cut
        assert cut_on_shims(points, supports, (0, 0, 0)) == pytest.approx(
            float(np.ptp(points[:, 2]))
        )


def test_surface_faults() -> None:
    points = warped(5, 0)
    with pytest.raises(ValueError, match=r"margin is -0.1"):
        least_cut(points, margin=-0.1)
    with pytest.raises(ValueError, match="slope along y is -1"):
        least_cut(points, (0, -1))
    with pytest.raises(UndeterminedError, match="lie on one line"):
        least_cut([(0, 0, 0), (1, 1, 1), (2, 2, 2)])
    with pytest.raises(ValueError, match="greatest slope is -1"):
        least_cut_along([(0, 0), (1, 0)], -1)
    cut = least_cut(points)
    with pytest.raises(ValueError, match="found 2 supports; expected 3 or 4"):
        support_shims(cut, [(0, 0), (1, 0)])
    with pytest.raises(UndeterminedError, match="the part would tip"):
        support_shims(cut, [(0, 0), (1, 1), (2, 2)])
    with pytest.raises(ValueError, match=r"shim 1 is -0.1"):
        cut_on_shims(points, [(0, 0), (1, 0), (0, 1)], (0, -0.1, 0))
    with pytest.raises(ValueError, match="2 shims for 3 supports"):
        cut_on_shims(points, [(0, 0), (1, 0), (0, 1)], (0, 0))
