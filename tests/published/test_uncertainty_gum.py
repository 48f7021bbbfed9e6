"""End-gauge calibration of the GUM, and effective degrees of freedom.

JCGM 100:2008 (GUM), annex H.1. Inputs and results were read in stored copies of two public
packages that work the same example (the MSL GTC documentation, file GUM_H1.rst, and the CRAN
package propagate) and recomputed; coefficients and the budget follow the annex.
"""

import math

import pytest

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.budget import Input, budget
from sparkout.measure.uncertainty.effective import coverage_factor, effective_dof
from sparkout.measure.uncertainty.formula import Formula
from sparkout.measure.uncertainty.montecarlo import monte_carlo

STUDENT, RECTANGULAR = Shape.STUDENT, Shape.RECTANGULAR

INPUTS = (
    Input("l_s", Estimate(50_000_623, (Component("standard", 25.0, STUDENT, 18),)), "nm"),
    Input(
        "d",
        Estimate(
            215,
            (
                Component("repeated observations", 5.8, STUDENT, 24),
                Component("comparator, random", 3.9, STUDENT, 5),
                Component("comparator, systematic", 6.7, STUDENT, 8),
            ),
        ),
        "nm",
    ),
    Input("delta_alpha", Estimate(0, (Component("difference of expansion", 1e-6 / 3**0.5,
                                                RECTANGULAR, 50),)), "1/°C"),
    Input("theta", Estimate(-0.1, (Component("temperature of bed", 0.41),)), "°C"),
    Input("alpha_s", Estimate(11.5e-6, (Component("expansion of standard", 1.2e-6),)), "1/°C"),
    Input("delta_theta", Estimate(0, (Component("difference of temperature", 0.05 / 3**0.5,
                                                RECTANGULAR, 2),)), "°C"),
)  # fmt: skip


def length(l_s, d, delta_alpha, theta, alpha_s, delta_theta):
    return l_s + d - l_s * (delta_alpha * theta + alpha_s * delta_theta)


def test_length_and_combined_uncertainty():
    found = budget("l", length, INPUTS, coverage=0.99, unit="nm")
    assert found.value == pytest.approx(50_000_838, abs=0.5)
    assert found.u == pytest.approx(32, abs=0.5)
    # H.1.6: effective degrees of freedom 16, k = 2.92, U = 93 nm at 99 %
    assert math.floor(found.dof) == 16
    assert found.k == pytest.approx(2.92, abs=0.005)
    assert found.expanded == pytest.approx(93, abs=1.5)


def test_contributions_of_the_annexs_budget():
    found = budget("l", length, INPUTS, unit="nm")
    size = {row.source: abs(row.contribution) for row in found.rows}
    # table H.1: 25, 9.7 for d (here in three parts), 0, 0, 2.9 and 16.6 nm
    assert size["standard"] == pytest.approx(25)
    d = math.hypot(
        *(size[s] for s in ("repeated observations", "comparator, random",
                            "comparator, systematic"))
    )  # fmt: skip
    assert d == pytest.approx(9.7, abs=0.05)
    assert size["temperature of bed"] == pytest.approx(0.0, abs=1e-6)
    assert size["expansion of standard"] == 0.0
    assert size["difference of expansion"] == pytest.approx(2.9, abs=0.05)
    assert size["difference of temperature"] == pytest.approx(16.6, abs=0.05)


def test_difference_has_the_degrees_of_freedom_quoted():
    d = INPUTS[1].estimate
    assert d.u == pytest.approx(9.7, abs=0.05)
    # the annex quotes 25.6 from rounded u; the unrounded parts give 25.4
    assert effective_dof(d.components) == pytest.approx(25.6, abs=0.25)


def test_second_order_terms():
    found = budget("l", length, INPUTS, unit="nm", second_order=True)
    # H.1.7: 11.7 nm and 1.7 nm bring the combined uncertainty to 34 nm
    assert found.u == pytest.approx(34, abs=0.5)
    assert found.second is not None
    terms = [abs(term) for _, _, term in found.second.pairs]
    assert terms[:2] == pytest.approx([11.7, 1.7], abs=0.2)
    assert set(found.second.pairs[0][:2]) == {"difference of expansion", "temperature of bed"}


def test_trials_give_the_uncertainty_with_second_order():
    # JCGM 101:2008, 9.5 works the same gauge by trials: 838 nm, u = 36 nm (recalled from memory;
    # its distributions of temperature differ a little, and Student parts count ν/(ν − 2))
    arguments = tuple(given.estimate for given in INPUTS)
    found = monte_carlo(Formula(length, arguments), seed=1, coverage=0.99)
    assert found.mean == pytest.approx(50_000_838, abs=0.5)
    assert found.u == pytest.approx(36, abs=1.0)


def test_welch_satterthwaite():
    # read in a stored copy of the tests of the public package suncal, and recomputed
    parts = (Component("repeat", 0.57, STUDENT, 9), Component("gauge", 0.25))
    assert effective_dof(parts) == pytest.approx(12.8, abs=0.05)


@pytest.mark.parametrize(
    ("dof", "p95", "p99"),
    [(1, 12.71, 63.66), (4, 2.78, 4.60), (10, 2.23, 3.17), (16, 2.12, 2.92), (50, 2.01, 2.68)],
)
def test_coverage_factors_of_table_g2(dof, p95, p99):
    # GUM table G.2, recalled from memory and recomputed with SciPy
    assert coverage_factor(0.95, dof) == pytest.approx(p95, abs=0.005)
    assert coverage_factor(0.99, dof) == pytest.approx(p99, abs=0.005)
