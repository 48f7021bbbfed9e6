"""Own special functions and distributions against SciPy, a general-purpose numerical library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special as sp
from scipy import stats

from sparkout.measure.studies import distributions as d
from sparkout.measure.studies.special import (
    beta_ratio,
    digamma,
    gamma_ratio,
    gamma_ratio_upper,
    root,
    trigamma,
)

shapes = st.floats(0.01, 3000.0)


@settings(deadline=None)
@given(st.floats(1e-3, 1e5))
def test_digamma_and_trigamma_match_scipy(x: float) -> None:
    assert digamma(x) == pytest.approx(float(sp.digamma(x)), rel=1e-13, abs=1e-14)
    assert trigamma(x) == pytest.approx(float(sp.polygamma(1, x)), rel=1e-13)


@settings(deadline=None)
@given(shapes, st.floats(0.001, 10.0))
def test_incomplete_gamma_matches_scipy(a: float, ratio: float) -> None:
    x = a * ratio
    assert gamma_ratio(a, x) == pytest.approx(float(sp.gammainc(a, x)), rel=2e-11, abs=1e-13)
    assert gamma_ratio_upper(a, x) == pytest.approx(float(sp.gammaincc(a, x)), rel=2e-11, abs=1e-13)


@settings(deadline=None)
@given(shapes, shapes, st.floats(0.0, 1.0, allow_subnormal=False))
def test_incomplete_beta_matches_scipy(a: float, b: float, x: float) -> None:
    # Subnormal x is left out: there SciPy is the one that errs (a = 1/64, b = 2, x = 5e-324 gives
    # x^a·(1 + a) = 9.017e-6 by logarithms, SciPy 8.974e-6).
    assert beta_ratio(a, b, x) == pytest.approx(float(sp.betainc(a, b, x)), rel=1e-10, abs=1e-12)


@settings(deadline=None)
@given(st.floats(1e-6, 1.0 - 1e-6), st.floats(0.5, 500.0), st.floats(0.5, 500.0))
def test_quantiles_match_scipy(share: float, dof: float, other: float) -> None:
    assert d.chi_square_quantile(share, dof) == pytest.approx(stats.chi2.ppf(share, dof), rel=1e-8)
    assert d.student_quantile(share, dof) == pytest.approx(
        stats.t.ppf(share, dof), rel=1e-8, abs=1e-9
    )
    assert d.f_quantile(share, dof, other) == pytest.approx(
        stats.f.ppf(share, dof, other), rel=1e-8
    )


@settings(deadline=None)
@given(st.floats(-10.0, 10.0), st.floats(0.5, 500.0))
def test_probabilities_match_scipy(x: float, dof: float) -> None:
    assert d.student_probability(x, dof) == pytest.approx(stats.t.cdf(x, dof), rel=1e-10)
    assert d.chi_square_probability(abs(x), dof) == pytest.approx(
        stats.chi2.cdf(abs(x), dof), rel=1e-10, abs=1e-14
    )
    assert d.f_upper_tail(abs(x), dof, 7.0) == pytest.approx(
        stats.f.sf(abs(x), dof, 7.0), rel=1e-10, abs=1e-14
    )
    assert d.normal_probability(x) == pytest.approx(stats.norm.cdf(x), rel=1e-12)


@pytest.mark.parametrize("dof", [1, 2, 4, 9, 42, 300, 2000])
@pytest.mark.parametrize("shift", [0.0, 1.5, 5.0, 12.0, 30.0])
@pytest.mark.parametrize("offset", [-2.0, 0.0, 1.0, 3.0])
def test_noncentral_student_matches_scipy(dof: int, shift: float, offset: float) -> None:
    t = shift + offset
    assert d.noncentral_student_probability(t, dof, shift) == pytest.approx(
        stats.nct.cdf(t, dof, shift) if shift else stats.t.cdf(t, dof), abs=2e-9
    )


def test_infinite_degrees_of_freedom_give_the_normal_and_chi_square_limits() -> None:
    assert d.student_quantile(0.975, math.inf) == pytest.approx(stats.norm.ppf(0.975))
    assert d.f_quantile(0.95, 5.0, math.inf) == pytest.approx(stats.chi2.ppf(0.95, 5) / 5)
    assert d.f_upper_tail(1.7, 5.0, math.inf) == pytest.approx(stats.chi2.sf(8.5, 5))


def test_root_finds_awkward_crossings() -> None:
    assert root(lambda x: x**9, -1.0, 1.5) == pytest.approx(0.0, abs=1e-6)
    assert root(lambda x: math.exp(-50 * x) - 0.5, 0.0, 1e3) == pytest.approx(math.log(2) / 50)
    assert root(lambda x: x - 3.0, 3.0, 5.0) == 3.0
    with pytest.raises(ValueError, match=r"no change of sign between 1\.0"):
        root(lambda x: x * x, 1.0, 2.0)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: d.normal_quantile(1.0), "1.0"),
        (lambda: d.student_quantile(0.5, 0.0), "0.0"),
        (lambda: d.chi_square_quantile(-0.1, 3.0), "-0.1"),
        (lambda: d.f_upper_tail(-1.0, 3.0, 3.0), "-1.0"),
        (lambda: gamma_ratio(-2.0, 1.0), "-2.0"),
        (lambda: beta_ratio(1.0, 1.0, 1.5), "1.5"),
        (lambda: digamma(0.0), "0.0"),
        (lambda: d.noncentral_student_probability(1.0, 0.5, 1.0), "0.5"),
    ],
)
def test_out_of_range_names_the_value(call: object, names: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=names):
        call()
