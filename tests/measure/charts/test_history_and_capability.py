"""Capability and ranges learned from history: oracles, coverage by simulation, faults."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.diagnostic import normal_ad

from sparkout.faults import Place
from sparkout.measure.charts.base import individuals_base, mean_sd_base
from sparkout.measure.charts.capability import capability, share_outside
from sparkout.measure.charts.history import (
    Method,
    Sides,
    acceptable_range,
    normality_probability,
)
from sparkout.measure.charts.tolerance import (
    one_sided_factor,
    order_confidence,
    order_count,
    two_sided_factor,
)


def steady(n: int, seed: int = 11) -> list[float]:
    """Normal readings shuffled until no run rule speaks: scores of n quantiles in random order."""
    scores = [float(stats.norm.ppf((i + 0.5) / n)) for i in range(n)]
    rng = np.random.default_rng(seed)
    return [float(v) for v in rng.permutation(scores)]


@pytest.mark.parametrize("n", [2, 4, 9, 30, 200])
@pytest.mark.parametrize(("coverage", "confidence"), [(0.9, 0.9), (0.95, 0.95), (0.99, 0.5)])
def test_one_sided_factor_against_scipy(n: int, coverage: float, confidence: float) -> None:
    shift = stats.norm.ppf(coverage) * math.sqrt(n)
    expected = stats.nct.ppf(confidence, n - 1, shift) / math.sqrt(n)
    assert one_sided_factor(n, coverage, confidence) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("n", "coverage", "confidence"), [(4, 0.95, 0.95), (12, 0.9, 0.8)])
def test_two_sided_factor_holds_its_promise(n: int, coverage: float, confidence: float) -> None:
    k = two_sided_factor(n, coverage, confidence)
    draws = np.random.default_rng(7).normal(size=(40_000, n))
    mean, sd = draws.mean(axis=1), draws.std(axis=1, ddof=1)
    inside = stats.norm.cdf(mean + k * sd) - stats.norm.cdf(mean - k * sd)
    # Three standard errors of 40,000 draws.
    assert (inside >= coverage).mean() == pytest.approx(confidence, abs=0.006)


@pytest.mark.parametrize("left_out", [1, 2, 5])
def test_order_confidence_against_scipy(left_out: int) -> None:
    for n in (5, 20, 93):
        expected = stats.beta.sf(0.9, n + 1 - left_out, left_out)
        assert order_confidence(n, left_out, 0.9) == pytest.approx(expected, abs=1e-12)
    n = order_count(left_out, 0.9, 0.95)
    assert order_confidence(n, left_out, 0.9) >= 0.95 > order_confidence(n - 1, left_out, 0.9)


@pytest.mark.parametrize("seed", range(6))
def test_normality_against_statsmodels(seed: int) -> None:
    rng = np.random.default_rng(seed)
    values = rng.normal(size=25) if seed % 2 else rng.exponential(size=25) ** (0.5 + seed / 2)
    _, p = normal_ad(np.asarray(values))
    assert normality_probability([float(v) for v in values]) == pytest.approx(float(p), rel=1e-6)


def test_a_quiet_history_gives_a_range_without_warnings() -> None:
    values = [10.0 + 0.5 * z for z in steady(40)]
    result, faults = acceptable_range(values, Sides.BOTH)
    assert faults == ()
    assert result is not None
    assert result.warnings == ()
    k = two_sided_factor(40, 0.95, 0.95)
    assert result.factor == k
    assert result.lower == pytest.approx(result.mean - k * result.sd)
    assert result.upper == pytest.approx(result.mean + k * result.sd)
    assert "the readings are normally distributed" in result.assumptions


def test_one_sided_ranges_leave_the_other_side_open() -> None:
    values = steady(25)
    upper, _ = acceptable_range(values, Sides.UPPER)
    lower, _ = acceptable_range(values, Sides.LOWER)
    assert upper is not None
    assert lower is not None
    assert upper.lower is None
    assert lower.upper is None
    assert upper.upper == pytest.approx(upper.mean + one_sided_factor(25, 0.95, 0.95) * upper.sd)


def test_a_drifting_process_is_said_to_be_out_of_control() -> None:
    values = [0.1 * i + 0.01 * (i % 3) for i in range(25)]
    result, _ = acceptable_range(values, Sides.UPPER)
    assert result is not None
    assert result.warnings[0].startswith("The process was not in control")
    assert any("rising" in w for w in result.warnings)


def test_skewed_readings_are_said_to_be_not_normal() -> None:
    values = [math.exp(1.5 * z) for z in steady(60)]
    result, _ = acceptable_range(values, Sides.UPPER)
    assert result is not None
    assert any("do not look normal" in w for w in result.warnings)
    order, faults = acceptable_range(values, Sides.UPPER, method=Method.ORDER)
    assert faults == ()
    assert order is not None
    assert order.upper == max(values)
    assert order.confidence == pytest.approx(1 - 0.95**60)


def test_too_little_history_is_said() -> None:
    place = Place("shop.yaml", 12, key="vacuum drop")
    result, faults = acceptable_range([2.0, 3.0], Sides.UPPER, place=place)
    assert result is None
    assert "too little history" in faults[0].remedy
    result, faults = acceptable_range(steady(30), Sides.BOTH, method=Method.ORDER, place=place)
    assert result is None
    assert str(faults[0]) == (
        "shop.yaml:12: vacuum drop: found 30 readings, whose extremes hold 95% of all with "
        "confidence 44.6%; expected 93 readings for confidence 95%. Keep measuring good parts, "
        "ask for less coverage, or assume a normal distribution and say so."
    )
    result, _ = acceptable_range([1.0, 1.2, 0.9, 1.1], Sides.UPPER)
    assert result is not None
    assert any("too few to see whether they are normal" in w for w in result.warnings)
    assert acceptable_range([1.0, 1.0, 1.0], Sides.BOTH)[0] is None
    assert acceptable_range([1.0, math.nan, 2.0], Sides.BOTH)[0] is None


def test_capability_intervals_against_scipy_and_its_two_scatters() -> None:
    groups = [[float(v) for v in g] for g in np.random.default_rng(2).normal(50, 1, (25, 4))]
    base, _ = mean_sd_base(groups)
    assert base is not None
    flat = [v for g in groups for v in g]
    result, faults = capability(base, flat, 46.0, 53.0, 0.9)
    assert faults == ()
    assert result is not None
    sd = float(np.std(flat, ddof=1))
    assert result.pp is not None
    assert result.cp is not None
    assert result.pp.value == pytest.approx(7 / (6 * sd))
    assert result.pp.low == pytest.approx(
        result.pp.value * math.sqrt(stats.chi2.ppf(0.05, 99) / 99)
    )
    assert result.cp.high == pytest.approx(
        result.cp.value * math.sqrt(stats.chi2.ppf(0.95, base.dof) / base.dof), rel=1e-7
    )
    mean = float(np.mean(flat))
    assert result.ppk.value == pytest.approx(min(53 - mean, mean - 46) / (3 * sd))
    assert result.share_outside == pytest.approx(
        stats.norm.cdf(46, mean, sd) + stats.norm.sf(53, mean, sd)
    )
    low, _ = capability(base, flat, 46.0, None)
    assert low is not None
    assert low.cpk.value == pytest.approx((mean - 46) / (3 * base.sigma))


def test_capability_faults() -> None:
    base, _ = individuals_base([1.0, 2.0, 3.0])
    assert base is not None
    found = [f.found for f in capability(base, [1.0, 2.0, 3.0], None, None)[1]]
    assert found == ["no limit"]
    found = [f.found for f in capability(base, [1.0, 2.0], 5.0, 4.0)[1]]
    assert found == ["2 readings", "lower limit 5.0 and upper limit 4.0"]
    assert capability(base, [2.0, 2.0, 2.0], 1.0, 3.0)[0] is None
    with pytest.raises(ValueError, match=r"got 95"):
        capability(base, [1.0, 2.0, 3.0], 1.0, 3.0, confidence=95)
    with pytest.raises(ValueError, match=r"got 0\.0"):
        share_outside(1.0, 0.0, None, 2.0)
