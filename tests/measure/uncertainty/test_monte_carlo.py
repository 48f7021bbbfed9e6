"""Adaptive Monte Carlo: repeatable, thread-independent, right; coverage intervals of samples."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.budget import Input
from sparkout.measure.uncertainty.coverage import shortest_interval, symmetric_interval
from sparkout.measure.uncertainty.formula import Formula
from sparkout.measure.uncertainty.montecarlo import monte_carlo, numerical_tolerance
from sparkout.measure.uncertainty.sampling import draw, generator, sources_of, tried
from sparkout.measure.uncertainty.validation import validation

X = Estimate(2, (Component("x", 0.1), Component("gap", 0.1, Shape.RECTANGULAR)))
Y = Estimate(3, (Component("y", 0.1, Shape.STUDENT, 6), Component("lash", 0.05, Shape.TRIANGULAR)))
PRODUCT = Formula(lambda x, y: x * y, (X, Y))


def test_the_answer_depends_on_the_seed_only():
    one = monte_carlo(PRODUCT, seed=5, digits=1)
    assert monte_carlo(PRODUCT, seed=5, digits=1) == one
    assert monte_carlo(PRODUCT, seed=5, digits=1, threads=2) == one
    assert monte_carlo(PRODUCT, seed=5, digits=1, threads=7) == one
    assert monte_carlo(PRODUCT, seed=6, digits=1) != one


def test_more_digits_take_more_trials_and_settle():
    rough, fine = (monte_carlo(PRODUCT, seed=1, digits=digits) for digits in (1, 2))
    assert rough.trials < fine.trials
    assert rough.stable
    assert fine.stable
    # by hand: var = 9*(0.02) + 4*(0.015 + 0.0025) + 0.02*0.0175 (product of independent factors)
    variance = 9 * 0.02 + 4 * (0.01 * 6 / 4 + 0.0025) + 0.02 * (0.01 * 6 / 4 + 0.0025)
    assert fine.u == pytest.approx(math.sqrt(variance), abs=0.005)


def test_a_run_cut_short_says_that_it_is_not_stable():
    cut = monte_carlo(PRODUCT, seed=1, digits=4, most=30_000)
    assert (cut.trials, cut.stable) == (30_000, False)


def test_each_shape_is_drawn_as_it_is():
    sources = sources_of((X, Y))
    errors = draw(generator(1, 0), sources, 200_000)
    laws = {
        "x": stats.norm,
        "gap": stats.uniform(-(3**0.5), 2 * 3**0.5),
        "y": stats.t(6),
        "lash": stats.triang(0.5, -(6**0.5), 2 * 6**0.5),
    }
    for name, law in laws.items():
        assert stats.kstest(errors[name], law.cdf).pvalue > 1e-3


def test_blocks_do_not_repeat():
    sources = sources_of((X,))
    first, second = (draw(generator(1, block), sources, 1000)["x"] for block in (0, 1))
    assert abs(np.corrcoef(first, second)[0, 1]) < 0.15


def test_a_shared_source_is_drawn_once():
    ring = Component("ring", 0.1)
    difference = Formula(lambda a, b: a - b, (Estimate(2, (ring,)), Estimate(1, (ring,))))
    errors = draw(generator(1, 0), sources_of(difference.arguments), 100)
    np.testing.assert_allclose(tried(difference, errors, 100), 1.0, atol=1e-12)


def test_one_source_with_two_distributions_is_refused():
    a = Estimate(1, (Component("repeat", 0.1, Shape.STUDENT, 4),))
    b = Estimate(1, (Component("repeat", 0.1, Shape.STUDENT, 9),))
    with pytest.raises(ValueError, match="'repeat' comes as student with 4 degrees"):
        monte_carlo(Formula(lambda x, y: x + y, (a, b)), seed=1)


def test_intervals_of_a_skewed_sample():
    # exponential: the shortest 95 % interval starts at zero, the symmetric one at ln(1/0.975)
    values = stats.expon.ppf((np.arange(100_000) + 0.5) / 100_000)
    low, high = shortest_interval(values, 0.95)
    assert low == pytest.approx(0.0, abs=1e-3)
    assert high == pytest.approx(math.log(20), abs=1e-3)
    low, high = symmetric_interval(values, 0.95)
    assert low == pytest.approx(-math.log(0.975), abs=1e-3)
    assert high == pytest.approx(math.log(40), abs=2e-3)


@given(st.lists(st.floats(-1e3, 1e3), min_size=20, max_size=200), st.sampled_from((0.5, 0.8, 0.95)))
def test_shortest_is_never_longer_and_covers(values, coverage):
    short, even = shortest_interval(values, coverage), symmetric_interval(values, coverage)
    assert short[1] - short[0] <= even[1] - even[0] + 1e-9
    for low, high in (short, even):
        inside = sum(low <= value <= high for value in values)
        assert inside >= math.floor(coverage * len(values))


def test_numerical_tolerance_of_the_standards_examples():
    # JCGM 101:2008, 7.9.2: u = 0.000 35 has tolerance 0.000 005 with two digits, u = 2 has 0.5 with
    # one; recalled from memory, and plain from the definition
    assert numerical_tolerance(0.00035, 2) == 0.000005
    assert numerical_tolerance(2.0, 1) == 0.5
    assert numerical_tolerance(0.0996, 2) == 0.005


@pytest.mark.parametrize("u", [0.0, -1.0, math.inf, math.nan])
def test_numerical_tolerance_needs_a_size(u):
    with pytest.raises(ValueError, match=f"standard uncertainty {u}"):
        numerical_tolerance(u)


def test_wrong_calls_are_named():
    with pytest.raises(ValueError, match=r"coverage 1\.2 is not between"):
        monte_carlo(PRODUCT, seed=1, coverage=1.2)
    with pytest.raises(ValueError, match="most 15000 trials is fewer than two blocks of 10000"):
        monte_carlo(PRODUCT, seed=1, most=15_000)
    with pytest.raises(ValueError, match="1 trials are fewer than 2"):
        shortest_interval([1.0], 0.95)


def test_a_straight_model_is_validated_and_a_curved_one_is_not():
    near = Input("x", Estimate(10, (Component("x", 0.01),)))
    assert validation("square", lambda x: x * x, (near,), seed=1).validated
    far = Input("x", Estimate(10, (Component("x", 5.0),)))
    told = validation("square", lambda x: x * x, (far,), seed=1, digits=1)
    assert not told.validated
    assert told.reason == "the upper ends lie 97 apart, more than the 50 allowed"
    # (10 + 5z)^2 at the 97.5 % point by non-central chi-squared, SciPy
    assert told.trials_high == pytest.approx(25 * stats.ncx2.ppf(0.975, 1, 4), abs=5)


def test_a_rectangular_error_alone_is_not_validated_by_a_normal_interval():
    gap = Input("gap", Estimate(1, (Component("gap", 0.1, Shape.RECTANGULAR),)))
    told = validation("gap", lambda g: g, (gap,), seed=1)
    assert not told.validated
    assert told.budget_high == pytest.approx(1 + 1.96 * 0.1, abs=1e-3)
    assert told.trials_high == pytest.approx(1 + 0.95 * 0.1 * 3**0.5, abs=1e-3)


def test_trials_that_do_not_settle_validate_nothing():
    heavy = Input("x", Estimate(0, (Component("x", 1.0, Shape.STUDENT, 1),)))
    found = monte_carlo(heavy.estimate, seed=1, most=40_000)
    assert not found.stable
