"""Own normal and Student functions held against SciPy, an independent implementation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from sparkout.measure.uncertainty.special import (
    bessel_k01_scaled,
    normal_cdf,
    normal_density,
    normal_quantile,
)
from sparkout.measure.uncertainty.student import (
    FromNormal,
    student_cdf,
    student_characteristic,
    student_density,
    student_quantile,
)

DOFS = (1, 1.3, 2, 3, 4, 5, 6, 9, 16.8, 25.4, 40, 41, 60, 400, 1e5)


def test_normal_distribution_keeps_its_relative_precision_in_the_tail():
    x = np.linspace(-37.0, 9.0, 20_001)
    np.testing.assert_allclose(normal_cdf(x), special.ndtr(x), rtol=2e-15)
    np.testing.assert_allclose(normal_density(x), stats.norm.pdf(x), rtol=1e-14)


def test_normal_distribution_at_the_ends():
    assert normal_cdf(np.array([-np.inf, np.inf, -50.0])).tolist() == [0.0, 1.0, 0.0]


def test_normal_quantile_everywhere():
    p = np.concatenate([np.logspace(-300, -1, 4001), np.linspace(0.1, 0.999999, 4001)])
    expected = special.ndtri(p)
    np.testing.assert_allclose(normal_quantile(p), expected, rtol=2e-15, atol=1e-16)


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, float("nan")])
def test_normal_quantile_names_a_probability_out_of_range(p):
    with pytest.raises(ValueError, match=f"probability {p} is not between 0 and 1"):
        normal_quantile([0.5, p])


def test_bessel_functions():
    x = np.logspace(-8, 3, 5001)
    k0, k1 = bessel_k01_scaled(x)
    np.testing.assert_allclose(k0, special.k0e(x), rtol=3e-15)
    np.testing.assert_allclose(k1, special.k1e(x), rtol=3e-15)


@pytest.mark.parametrize("dof", DOFS)
def test_student_distribution(dof):
    t = np.concatenate([np.linspace(-60.0, 60.0, 401), [1e3, -1e3]])
    np.testing.assert_allclose(student_cdf(t, dof), stats.t.cdf(t, dof), atol=1e-14)
    density = stats.t.pdf(t, dof)
    np.testing.assert_allclose(student_density(t, dof), density, rtol=1e-10, atol=1e-300)


@pytest.mark.parametrize("dof", DOFS)
def test_student_quantile(dof):
    p = np.array([1e-9, 1e-4, 0.025, 0.4, 0.5, 0.6, 0.95, 0.975, 0.995, 0.9999])
    expected = stats.t.ppf(p, dof)
    np.testing.assert_allclose(student_quantile(p, dof), expected, rtol=1e-8, atol=1e-12)


@pytest.mark.parametrize("dof", [d for d in DOFS if d <= 60])
def test_student_characteristic_function_by_scipys_bessel_functions(dof):
    t = np.linspace(0.05, 12.0, 200)
    x, mu = np.sqrt(dof) * t, dof / 2
    log = mu * np.log(x) + np.log(special.kve(mu, x)) - x - special.gammaln(mu)
    expected = np.exp(log - (mu - 1) * np.log(2))
    np.testing.assert_allclose(student_characteristic(t, dof), expected, atol=1e-12)
    assert student_characteristic(0.0, dof) == pytest.approx(1.0, abs=1e-14)


@pytest.mark.parametrize("dof", [2, 3, 4.5, 9, 30])
def test_values_drawn_through_a_normal_one_have_the_same_probability(dof):
    z = np.linspace(-5.0, 5.0, 101)
    expected = np.where(
        z > 0, stats.t.isf(stats.norm.sf(z), dof), stats.t.ppf(stats.norm.cdf(z), dof)
    )
    np.testing.assert_allclose(FromNormal.fitted(dof)(z), expected, rtol=1e-5, atol=1e-12)


def test_degrees_of_freedom_below_one_are_refused_by_value():
    with pytest.raises(ValueError, match=r"degrees of freedom 0\.5 are below 1"):
        student_cdf(1.0, 0.5)


@given(st.floats(-8, 8), st.floats(-8, 8))
def test_normal_distribution_never_falls(a, b):
    low, high = min(a, b), max(a, b)
    assert normal_cdf(low) <= normal_cdf(high)


@given(st.floats(1e-12, 0.5), st.sampled_from((1.0, 2.0, 4.0, 9.0, 16.8, 200.0)))
def test_student_quantile_undoes_the_distribution(p, dof):
    assert student_cdf(student_quantile(p, dof), dof) == pytest.approx(p, rel=1e-8)
