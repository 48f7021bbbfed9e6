"""Wear of marine diesel liners and drift of a standard, against published data."""

from __future__ import annotations

import csv
import os
from pathlib import Path

import numpy as np
import pytest
from scipy import optimize, stats

from sparkout.measure.wear.drift import (
    days_to_limit,
    days_to_uncertainty,
    drift_at,
    fit_drift,
)
from sparkout.measure.wear.gamma_process import (
    fit_gamma_process,
    hours_quantile,
    wear_probability,
)
from sparkout.measure.wear.inspections import Inspection
from sparkout.measure.wear.rates import pooled_rate, through_origin_rate
from sparkout.measure.wear.remaining import remaining_by_process

LIMIT = 4.0


def _folder() -> Path:
    named = os.environ.get("SPARKOUT_REFERENCE_DATA")
    return Path(named) if named else Path(__file__).parents[3] / "shared" / "reference-data"


@pytest.fixture(scope="module")
def liners() -> list[Inspection]:
    """64 readings of 32 liners, read in a stored copy of the data set that goes with Giorgio,
    Guida and Pulcini, Technometrics 52(2) (2012) 172-187 (R package BCA1SG)."""
    path = _folder() / "marine-liner-wear.csv"
    if not path.exists():
        pytest.skip(f"no reference data at {path}; set SPARKOUT_REFERENCE_DATA to their folder")
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    return [
        Inspection(row["liner"], float(row["hours"]), float(row["wear_mm"]))
        for row in csv.DictReader(lines)
    ]


# The expected values below were recomputed from the data with a general-purpose numerical library;
# the parameters printed in the papers could not be read.


def test_linear_rates(liners: list[Inspection]) -> None:
    assert len(liners) == 64
    assert len({i.unit for i in liners}) == 32
    pooled, _ = pooled_rate(liners)
    assert pooled is not None
    assert pooled.rate == pytest.approx(59.9 / 638_131, rel=1e-12)
    assert 1000 * pooled.rate == pytest.approx(0.093868, abs=5e-7)
    line, _ = through_origin_rate(liners)
    assert line is not None
    assert 1000 * line.rate == pytest.approx(0.090207, abs=5e-7)
    one, _ = through_origin_rate([i for i in liners if i.unit == "1"])
    assert one is not None
    assert 1000 * one.rate == pytest.approx(0.089609, abs=5e-7)
    assert LIMIT / one.rate == pytest.approx(44_639, abs=0.5)
    twelve, _ = through_origin_rate([i for i in liners if i.unit == "12"])
    assert twelve is not None
    assert 1000 * twelve.rate == pytest.approx(0.098340, abs=5e-7)


def test_gamma_process(liners: list[Inspection]) -> None:
    process, faults = fit_gamma_process(liners)
    assert faults == ()
    assert process is not None
    assert 1000 * process.shape == pytest.approx(0.442279, abs=5e-7)
    assert process.scale == pytest.approx(0.212237, abs=5e-7)
    assert process.log_likelihood == pytest.approx(-35.4144, abs=5e-5)
    chances = [wear_probability(process, t, LIMIT) for t in (30_000, 40_000, 50_000)]
    assert chances == pytest.approx([0.9260, 0.6361, 0.2545], abs=5e-5)
    # Liner 1 has worn 2.85 mm in 31,270 h.
    assert hours_quantile(process, LIMIT - 2.85, 0.5) == pytest.approx(12_997, abs=0.5)


def test_these_liners_wear_slower_with_age(liners: list[Inspection]) -> None:
    # The authors of the data argue that its steps depend on age and state. Exponent of hours by a
    # general-purpose optimiser over shape, scale and exponent together.
    process, _ = fit_gamma_process(liners)
    assert process is not None
    start = np.array([s.start for s in process.steps]) / 50_000
    end = np.array([s.end for s in process.steps]) / 50_000
    wear = np.array([s.wear for s in process.steps])

    def loss(p: np.ndarray) -> float:
        a, b, c = np.exp(p)
        return -float(stats.gamma.logpdf(wear, a * (end**c - start**c), scale=b).sum())

    options = {"xatol": 1e-8, "fatol": 1e-9, "maxiter": 8000}
    best = optimize.minimize(loss, [3.0, -1.5, 0.0], method="Nelder-Mead", options=options)
    assert process.growth == pytest.approx(float(np.exp(best.x[2])), rel=1e-3)
    assert process.growth < 0.8
    assert any("slows down" in warning for warning in process.warnings)


def test_remaining_life_of_liner_one(liners: list[Inspection]) -> None:
    process, _ = fit_gamma_process(liners)
    assert process is not None
    life, faults = remaining_by_process(process, 31_270.0, 2.85, LIMIT)
    assert faults == ()
    assert life is not None
    # With 64 steps the doubt of the fit moves the median by little and widens the ends a little.
    assert life.p50 == pytest.approx(12_997, rel=0.02)
    assert life.p10 < hours_quantile(process, LIMIT - 2.85, 0.1)
    assert life.p90 > hours_quantile(process, LIMIT - 2.85, 0.9)


# NASA-HDBK-8739.19-5 (2010), tables 7-2, 7-3, 7-4 and 7-7: drift of a 10 V standard; inputs and
# results read in a stored copy of the tests of an open uncertainty calculator, and recomputed.
DAYS = (70.0, 86.0, 104.0, 135.0, 167.0, 173.0)
DRIFT = (0.1, 0.11, 0.251, 0.299, 0.403, 0.615)


def test_drift_of_a_standard() -> None:
    fit, faults = fit_drift(DAYS, DRIFT, order=2)
    assert faults == ()
    assert fit is not None
    assert fit.coefficients[0] == pytest.approx(1.5741e-4, abs=5e-9)
    assert fit.coefficients[1] == pytest.approx(1.6738e-5, abs=5e-10)
    assert fit.residual == pytest.approx(0.07083, abs=5e-6)
    assert fit.covariance[0][0] == pytest.approx(1.01e-6, abs=5e-9)
    assert fit.covariance[1][1] == pytest.approx(4.549e-11, abs=5e-15)
    assert fit.covariance[0][1] == pytest.approx(-6.607e-9, abs=5e-13)
    assert days_to_uncertainty(fit, 0.28, 0.5) == pytest.approx(327.15, abs=0.01)
    days = days_to_limit(fit, 10.03, 0.28, 9.0, 11.0, 0.90)
    assert days == pytest.approx(140.1, abs=0.05)
    assert 10.03 + drift_at(fit, days) == pytest.approx(10.38, abs=0.005)
