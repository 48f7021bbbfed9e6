"""Gamma process: likelihood against SciPy, recovery of known processes, honest words."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, stats

from sparkout.measure.wear.gamma_process import (
    GammaProcess,
    fit_gamma_process,
    hours_quantile,
    hours_quantile_with_doubt,
    wear_probability,
)
from sparkout.measure.wear.inspections import Inspection
from sparkout.measure.wear.remaining import remaining_by_process


def simulated(
    units: int, looks: int, seed: int, growth: float = 1.0, a: float = 4e-4, b: float = 0.2
) -> list[Inspection]:
    """Units inspected every 6,000 to 14,000 hours, shape a per hour, scale b mm."""
    rng = np.random.default_rng(seed)
    found = []
    for unit in range(units):
        hours = np.cumsum(rng.uniform(6000, 14_000, looks))
        clock = 40_000 * (hours / 40_000) ** growth
        steps = rng.gamma(a * np.diff(np.concatenate(([0.0], clock))), b)
        wear = np.cumsum(steps)
        found += [
            Inspection(str(unit), float(h), float(w)) for h, w in zip(hours, wear, strict=True)
        ]
    return found


def fitted(data: list[Inspection]) -> GammaProcess:
    process, faults = fit_gamma_process(data)
    assert faults == ()
    assert process is not None
    return process


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_peak_is_the_one_a_general_optimiser_finds(seed: int) -> None:
    process = fitted(simulated(8, 3, seed))
    t = np.array([s.end - s.start for s in process.steps])
    x = np.array([s.wear for s in process.steps])

    def loss(p: np.ndarray) -> float:
        a, b = np.exp(p)
        return -float(stats.gamma.logpdf(x, a * t, scale=b).sum())

    best = optimize.minimize(
        loss,
        [math.log(1e-3), math.log(0.1)],
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-10, "maxiter": 4000},
    )
    assert process.log_likelihood == pytest.approx(-best.fun, abs=1e-6)
    assert process.shape == pytest.approx(math.exp(best.x[0]), rel=1e-4)
    assert process.scale == pytest.approx(math.exp(best.x[1]), rel=1e-4)
    # Standard uncertainties from the curvature of the same likelihood, by differences.
    h = 1e-4

    def by_logs(log_a: float, log_rate: float) -> float:
        return loss(np.array([log_a, log_rate - log_a]))

    at = (math.log(process.shape), math.log(process.rate))
    for k, u in ((0, process.u_log_shape), (1, process.u_log_rate)):
        up, down = list(at), list(at)
        up[k] += h
        down[k] -= h
        bend = (by_logs(*up) - 2 * by_logs(*at) + by_logs(*down)) / h**2
        assert u == pytest.approx(bend**-0.5, rel=1e-3)


def test_the_growth_exponent_is_the_one_a_general_optimiser_finds() -> None:
    process = fitted(simulated(10, 4, 6, growth=0.6))
    x = np.array([s.wear for s in process.steps])
    starts = np.array([s.start for s in process.steps]) / 40_000
    ends = np.array([s.end for s in process.steps]) / 40_000

    def loss(p: np.ndarray) -> float:
        a, b, c = np.exp(p)
        return -float(stats.gamma.logpdf(x, a * (ends**c - starts**c), scale=b).sum())

    best = optimize.minimize(
        loss,
        [math.log(10), math.log(0.2), 0.0],
        method="Nelder-Mead",
        options={"xatol": 1e-8, "fatol": 1e-9, "maxiter": 8000},
    )
    assert process.growth == pytest.approx(math.exp(best.x[2]), rel=1e-3)
    gain = 2 * (-best.fun - process.log_likelihood)
    assert process.growth_p == pytest.approx(stats.chi2.sf(gain, 1), rel=1e-2)
    assert any("slows down" in w for w in process.warnings)


def test_steady_wear_raises_no_alarm_more_often_than_it_should() -> None:
    alarms = sum(fitted(simulated(8, 3, seed)).growth_p < 0.05 for seed in range(60))
    # Five per cent of 60 is 3; 9 or more happen once in 500 by chance.
    assert alarms < 9


def test_quantile_and_probability_are_inverse() -> None:
    process = fitted(simulated(8, 3, 4))
    for share in (0.02, 0.5, 0.98):
        t = hours_quantile(process, 1.3, share)
        assert 1.0 - wear_probability(process, t, 1.3) == pytest.approx(share, rel=1e-7)
    t = hours_quantile(process, 1.3, 0.5)
    expected = stats.gamma.cdf(1.3, process.shape * t, scale=process.scale)
    assert wear_probability(process, t, 1.3) == pytest.approx(expected)


def test_doubt_widens_the_range_and_fades_with_data() -> None:
    def widening(units: int) -> float:
        process = fitted(simulated(units, 3, 9))
        low, high = hours_quantile_with_doubt(process, 2.0, (0.1, 0.9))
        return (high - low) / (
            hours_quantile(process, 2.0, 0.9) - hours_quantile(process, 2.0, 0.1)
        )

    few, many = widening(2), widening(60)
    assert few > 1.05
    assert 1.0 <= many < few
    assert many == pytest.approx(1.0, abs=0.02)


def test_predicted_lives_come_true_as_often_as_said() -> None:
    # 150 small fleets of one process; each foretells one more unit. P10 to P90 is to hold 80 %;
    # the standard error of 150 trials is 3.3 %.
    rng = np.random.default_rng(21)
    a, b, room = 4e-4, 0.2, 2.0
    inside = 0
    for seed in range(150):
        process = fitted(simulated(4, 2, 1000 + seed))
        low, high = hours_quantile_with_doubt(process, room, (0.1, 0.9))
        # A life between low and high: still below the limit at low, beyond it at high.
        at_low = rng.gamma(a * low, b)
        at_high = at_low + rng.gamma(a * (high - low), b)
        inside += at_low < room <= at_high
    assert inside / 150 == pytest.approx(0.8, abs=0.1)


def test_few_data_and_one_unit_are_said() -> None:
    process = fitted(simulated(1, 4, 2))
    assert any("Only 4 steps" in w for w in process.warnings)
    assert any("one unit" in w for w in process.warnings)
    two = simulated(2, 1, 3)
    result, faults = fit_gamma_process(two)
    assert result is None
    assert faults[0].found == "2 step(s) of wear"
    assert "stated assumption" in faults[0].remedy


def test_standing_or_falling_wear_and_invented_numbers_are_refused() -> None:
    flat = [Inspection("a", 10.0, 0.1), Inspection("a", 20.0, 0.1), Inspection("b", 9.0, 0.2)]
    result, faults = fit_gamma_process(flat)
    assert result is None
    assert faults[0].found == "no wear of a between 10 h and 20 h"
    falling = [Inspection("a", 10.0, 0.1), Inspection("a", 20.0, 0.05), Inspection("b", 9.0, 0.2)]
    assert "falling" in fit_gamma_process(falling)[1][0].found
    exact = [Inspection(str(k), 1024.0 * k, 0.125 * k) for k in range(1, 6)]
    result, faults = fit_gamma_process(exact)
    assert result is None
    assert "exactly in proportion" in faults[0].found
    assert fit_gamma_process([Inspection("a", -1.0, 0.1)])[0] is None


def test_a_part_unlike_its_family_is_pointed_out() -> None:
    process = fitted(simulated(20, 3, 5))
    usual, _ = remaining_by_process(process, 20_000.0, 20_000 * process.rate, 6.0)
    assert usual is not None
    assert not any("does not wear" in w for w in usual.warnings)
    fast, _ = remaining_by_process(process, 5000.0, 3.0, 6.0)
    assert fast is not None
    assert any("more than 97.5 %" in w for w in fast.warnings)
    assert remaining_by_process(process, 0.0, 1.0, 6.0)[0] is None
    assert remaining_by_process(process, 10.0, 7.0, 6.0)[0] is None
    assert remaining_by_process(process, 10.0, math.nan, 6.0)[0] is None


def test_values_out_of_range_raise() -> None:
    process = fitted(simulated(8, 3, 4))
    for call in (
        lambda: wear_probability(process, 0.0, 1.0),
        lambda: hours_quantile(process, 0.0, 0.5),
        lambda: hours_quantile(process, 1.0, 1.0),
        lambda: hours_quantile_with_doubt(process, 1.0, (0.5, 0.0)),
    ):
        with pytest.raises(ValueError, match="got"):
            call()
