"""The linear minimax problem against SciPy's linprog (HiGHS), free and held by its box."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from sparkout.measure.form._exchange import OUTER, WALL, exchange

CASES = [(True, True), (True, False), (False, True)]


def by_linprog(
    gradients: np.ndarray, deviations: np.ndarray, box: list[float], upper: bool, lower: bool
) -> float:
    k, n = gradients.shape
    rows, right = [], []
    if upper:
        rows.append(np.hstack([-gradients.T, -np.ones((n, 1)), np.zeros((n, 1))]))
        right.append(-deviations)
    if lower:
        rows.append(np.hstack([gradients.T, np.zeros((n, 1)), np.ones((n, 1))]))
        right.append(deviations)
    bounds = [(-b, b) for b in box] + [
        (None, None) if upper else (0, 0),
        (None, None) if lower else (0, 0),
    ]
    found = optimize.linprog(
        np.r_[np.zeros(k), 1.0, -1.0],
        np.vstack(rows),
        np.concatenate(right),
        bounds=bounds,
        method="highs",
    )
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize(("upper", "lower"), CASES)
@pytest.mark.parametrize("dimension", [1, 2, 4])
@pytest.mark.parametrize("size", [0.05, 1.0, 100.0])
def test_optimum_and_conditions(dimension: int, size: float, upper: bool, lower: bool) -> None:
    for seed in range(12):
        rng = np.random.default_rng([seed, dimension])
        count = int(rng.integers(1, 60))
        gradients = rng.standard_normal((dimension, count))
        deviations = rng.standard_normal(count)
        if seed % 3 == 0:  # many ties
            gradients, deviations = np.round(gradients), np.round(2.0 * deviations)
        box = [size] * dimension
        vertex = exchange(gradients, deviations, box, upper=upper, lower=lower, tolerance=1e-12)
        assert vertex.sound
        value = (vertex.upper if upper else 0.0) - (vertex.lower if lower else 0.0)
        assert value == pytest.approx(
            by_linprog(gradients, deviations, box, upper, lower), abs=1e-8 * max(size, 1.0)
        )
        residuals = deviations - vertex.shift @ gradients
        if upper:
            assert float(residuals.max()) <= vertex.upper + 1e-10
        if lower:
            assert float(residuals.min()) >= vertex.lower - 1e-10
        assert float(np.abs(vertex.shift).max()) <= size + 1e-10
        # Multipliers: not below 0, in balance with the objective, idle rows none.
        pull = np.zeros(dimension)
        sums = {OUTER: 0.0, -OUTER: 0.0}
        for (side, index), share in zip(vertex.rows, vertex.shares, strict=True):
            assert share >= 0.0
            if side == WALL:
                pull[abs(index) - 1] += share if index > 0 else -share
            else:
                pull += side * share * gradients[:, index]
                sums[side] += share
        assert np.abs(pull).max() < 1e-9
        assert sums[OUTER] == pytest.approx(1.0 if upper else 0.0)
        assert sums[-OUTER] == pytest.approx(1.0 if lower else 0.0)


def test_sharpness_is_the_least_rise() -> None:
    """Rise of the value over a fine round of directions, against the record's figure."""
    rng = np.random.default_rng(7)
    turns = rng.random(40) * 2.0 * np.pi
    gradients = np.stack([np.cos(turns), np.sin(turns)])
    deviations = 0.01 * rng.standard_normal(40)
    vertex = exchange(gradients, deviations, [1.0, 1.0], upper=True, lower=True, tolerance=1e-14)
    held = [row for row in vertex.rows if row[0] != WALL]
    rises = []
    for turn in np.linspace(0.0, 2.0 * np.pi, 20001):
        way = np.array([np.cos(turn), np.sin(turn)])
        up = max(-float(way @ gradients[:, i]) for side, i in held if side == OUTER)
        down = max(float(way @ gradients[:, i]) for side, i in held if side != OUTER)
        rises.append(up + down)
    assert vertex.sharpness == pytest.approx(min(rises), rel=1e-3)


def test_a_start_from_known_rows_gives_the_same() -> None:
    rng = np.random.default_rng(3)
    gradients, deviations = rng.standard_normal((2, 50)), rng.standard_normal(50)
    cold = exchange(gradients, deviations, [5.0, 5.0], upper=True, lower=True, tolerance=1e-12)
    warm = exchange(
        gradients, deviations, [5.0, 5.0], upper=True, lower=True, tolerance=1e-12,
        start=cold.rows,
    )  # fmt: skip
    assert warm.exchanges == 0
    assert warm.shift == pytest.approx(cold.shift)
    held = exchange(
        gradients, deviations, [1e-3, 1e-3], upper=True, lower=True, tolerance=1e-12,
        start=cold.rows,
    )  # fmt: skip
    assert held.walls
    assert float(np.abs(held.shift).max()) <= 1e-3 + 1e-12
