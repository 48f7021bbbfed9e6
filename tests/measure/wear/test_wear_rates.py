"""Linear rates and the lives they give: arithmetic, simulation, faults."""

from __future__ import annotations

import math

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sparkout.faults import Place
from sparkout.measure.wear.drift import (
    DriftFit,
    days_to_limit,
    days_to_uncertainty,
    drift_at,
    drift_uncertainty,
    fit_drift,
)
from sparkout.measure.wear.inspections import Inspection, increments
from sparkout.measure.wear.rates import (
    Rate,
    combined_rate,
    family_rate,
    own_rate,
    pooled_rate,
    through_origin_rate,
)
from sparkout.measure.wear.remaining import RemainingLife, remaining_by_rate

DATA = [
    Inspection("a", 1000.0, 0.11),
    Inspection("a", 2500.0, 0.24),
    Inspection("b", 1800.0, 0.15),
    Inspection("c", 3000.0, 0.33),
    Inspection("c", 900.0, 0.08),
]


def test_through_origin_against_statsmodels_with_grouped_errors() -> None:
    rate, _ = through_origin_rate(DATA)
    assert rate is not None
    t, w = np.array([[i.hours] for i in DATA]), np.array([i.wear for i in DATA])
    groups = np.array([ord(i.unit) for i in DATA])
    fit = sm.OLS(w, t).fit(cov_type="cluster", cov_kwds={"groups": groups})
    assert rate.rate == pytest.approx(float(fit.params[0]))
    assert rate.u == pytest.approx(float(fit.bse[0]))
    one = [i for i in DATA if i.unit == "a"]
    single, _ = through_origin_rate(one)
    assert single is not None
    plain = sm.OLS(w[:2], t[:2]).fit()
    assert single.u == pytest.approx(float(plain.bse[0]))


def test_pooled_rate_is_all_wear_over_all_hours() -> None:
    rate, _ = pooled_rate(DATA)
    assert rate is not None
    assert rate.rate == pytest.approx((0.24 + 0.15 + 0.33) / 7300)
    left = [w - rate.rate * t for t, w in ((2500, 0.24), (1800, 0.15), (3000, 0.33))]
    assert rate.u == pytest.approx(math.sqrt(1.5 * sum(x * x for x in left)) / 7300)
    assert "Only 3 unit(s)" in rate.warnings[0]


def test_family_rate_predicts_one_more_unit() -> None:
    rate, _ = family_rate(DATA)
    assert rate is not None
    own = [0.24 / 2500, 0.15 / 1800, 0.33 / 3000]
    assert rate.rate == pytest.approx(np.mean(own))
    assert rate.u == pytest.approx(np.std(own, ddof=1) * math.sqrt(4 / 3))


def test_own_rate_shows_its_assumption() -> None:
    rate, faults = own_rate(12_000.0, 0.6, 0.02, 0.25)
    assert faults == ()
    assert rate is not None
    assert "assumed steady within 25%" in rate.basis
    assert rate.u == pytest.approx(math.hypot(0.02 / 12_000, 0.25 * 0.6 / 12_000))
    assert rate.covariance == pytest.approx(0.02**2 / 12_000)


def test_combining_weighs_by_certainty_and_warns_of_contradiction() -> None:
    own, family = Rate(1e-4, 1e-5, 4e-8, "own"), Rate(9e-5, 3e-5, 0.0, "family")
    both = combined_rate(own, family)
    assert both.rate == pytest.approx(0.9 * 1e-4 + 0.1 * 9e-5)
    assert both.u == pytest.approx(math.sqrt(1 / (1e10 + 1e10 / 9)))
    assert both.covariance == pytest.approx(0.9 * 4e-8)
    assert both.warnings == ()
    odd = combined_rate(Rate(3e-4, 1e-5, 0.0, "own"), family)
    assert "wears faster than its family" in odd.warnings[0]
    with pytest.raises(ValueError, match=r"got 0\.0 and 3e-05"):
        combined_rate(Rate(1e-4, 0.0, 0.0, "own"), family)


def test_life_by_rate_matches_simulation() -> None:
    # Linear paths drawn from the same assumptions: 400,000 of them.
    rate, _ = own_rate(10_000.0, 0.5, 0.03, 0.2)
    assert rate is not None
    life, faults = remaining_by_rate(rate, 0.5, 0.03, 0.9)
    assert faults == ()
    assert life is not None
    rng = np.random.default_rng(12)
    wear = 0.5 + 0.03 * rng.normal(size=400_000)
    # the error of the wear is in the past rate too
    path = wear / 10_000 + 0.2 * 0.5 / 10_000 * rng.normal(size=400_000)
    times = np.where(path > 0, np.maximum(0.0, 0.9 - wear) / np.maximum(path, 1e-12), np.inf)
    p10, p50, p90 = np.quantile(times, (0.1, 0.5, 0.9))
    assert (life.p10, life.p50, life.p90) == pytest.approx((p10, p50, p90), rel=0.005)


def test_life_by_rate_when_certain_uncertain_or_used_up() -> None:
    sure, _ = remaining_by_rate(Rate(1e-4, 0.0, 0.0, "x"), 0.5, 0.0, 1.0)
    assert sure == RemainingLife(5000.0, 5000.0, 5000.0, "x", ())
    vague, _ = remaining_by_rate(Rate(1e-4, 1e-4, 0.0, "x"), 0.5, 0.0, 1.0)
    assert vague is not None
    assert math.isinf(vague.p90)
    assert "no end in sight" in vague.says
    assert "too uncertain" in vague.warnings[-1]
    worn, _ = remaining_by_rate(Rate(1e-4, 1e-5, 0.0, "x"), 0.99, 0.02, 1.0)
    assert worn is not None
    assert worn.p10 == 0.0
    assert "does not prove" in worn.warnings[0]
    over, faults = remaining_by_rate(Rate(1e-4, 1e-5, 0.0, "x"), 1.0, 0.02, 1.0)
    assert over is None
    assert "at or beyond the limit" in faults[0].found


@settings(deadline=None)
@given(st.floats(0.0, 0.9), st.floats(1e-6, 1e-3), st.floats(0.0, 0.6), st.floats(0.0, 0.05))
def test_life_is_ordered_and_scales_with_hours(
    wear: float, rate: float, relative: float, u: float
) -> None:
    life, _ = remaining_by_rate(Rate(rate, relative * rate, 0.0, "x"), wear, u, 1.0)
    slow, _ = remaining_by_rate(Rate(rate / 2, relative * rate / 2, 0.0, "x"), wear, u, 1.0)
    assert life is not None
    assert slow is not None
    assert life.p10 <= life.p50 <= life.p90
    assert slow.p50 == pytest.approx(2 * life.p50, rel=1e-6, abs=1e-9)


def test_a_forecast_is_told_in_two_digits() -> None:
    life = RemainingLife(4321.0, 12_997.0, 23_456.0, "x", ())
    assert life.says == (
        "Reaches the limit in about 13000 h of use as before (P10 4300 h, P90 23000 h)."
    )


def test_steps_name_what_is_wrong() -> None:
    place = Place("history.csv")
    _, faults = increments([Inspection("a", 0.0, 0.0), Inspection("b", 10.0, math.nan)], place)
    assert [f.found for f in faults] == [
        "0.0 hours for a (inspection 1)",
        "nan mm of wear for b (inspection 2)",
    ]
    _, faults = increments([Inspection("a", 10.0, 0.1), Inspection("a", 10.0, 0.2)], place)
    assert faults[0].found == "two readings of a at 10 h"
    steps, faults = increments([Inspection("a", 10.0, 0.2), Inspection("a", 20.0, 0.1)], place)
    assert len(steps) == 2
    assert [f.stops for f in faults] == [False]
    assert str(faults[0]).startswith(
        "history.csv: found wear of a falling from 0.2 mm at 10 h to 0.1 mm at 20 h"
    )
    assert increments([])[1][0].found == "no inspection"


def test_too_few_units_or_hours_are_faults() -> None:
    one = [Inspection("a", 1000.0, 0.1)]
    assert pooled_rate(one)[0] is None
    assert through_origin_rate(one)[0] is None
    assert "too little family history" in family_rate(one)[1][0].remedy
    assert [f.found for f in own_rate(0.0, 0.1, 0.01, 0.0)[1]] == [
        "0.0 hours run",
        "steadiness 0.0",
    ]
    assert "cannot be told from none" in own_rate(1000.0, 0.01, 0.01, 0.2)[1][0].remedy
    assert own_rate(1000.0, 0.1, -1.0, 0.2)[0] is None
    bad = Rate(-1e-4, 1e-5, 0.0, "x")
    assert remaining_by_rate(bad, 0.1, 0.0, 1.0)[0] is None


def test_drift_against_statsmodels_and_its_targets() -> None:
    days, changes = [30.0, 90.0, 200.0, 365.0], [0.2, 0.5, 1.3, 2.1]
    fit, _ = fit_drift(days, changes)
    assert fit is not None
    oracle = sm.OLS(np.array(changes), np.array(days)[:, None]).fit()
    assert fit.coefficients[0] == pytest.approx(float(oracle.params[0]))
    assert fit.covariance[0][0] == pytest.approx(float(oracle.cov_params()[0, 0]))
    t = days_to_uncertainty(fit, 0.1, 0.5)
    assert drift_uncertainty(fit, 0.1, t) == pytest.approx(0.5, rel=1e-6)
    t = days_to_limit(fit, 0.0, 0.1, -3.0, 3.0, 0.95)
    k = stats.t.ppf(0.975, 3)
    assert drift_at(fit, t) + k * drift_uncertainty(fit, 0.1, t) == pytest.approx(3.0, rel=1e-6)
    assert days_to_uncertainty(fit, 0.6, 0.5) == 0.0
    assert math.isinf(days_to_uncertainty(DriftFit((0.0,), ((0.0,),), 0.0, 3), 0.1, 0.5))


def test_drift_faults() -> None:
    assert fit_drift([10.0, 20.0], [0.1])[0] is None
    assert "order 2" in fit_drift([10.0, 20.0], [0.1, 0.2], 2)[1][0].expected
    assert fit_drift([0.0, 20.0], [0.1, 0.2])[0] is None
    fit = DriftFit((0.0,), ((0.0,),), 0.0, 3)
    for call in (
        lambda: fit_drift([1.0], [1.0], 0),
        lambda: days_to_uncertainty(fit, 0.1, 0.0),
        lambda: days_to_limit(fit, 0.0, 0.1, 1.0, 1.0, 0.9),
        lambda: days_to_limit(fit, 0.0, 0.1, -1.0, 1.0, 1.0),
    ):
        with pytest.raises(ValueError, match="got"):
            call()
