"""Distribution of a sum of components: against SciPy, and properties that must hold for all."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, special, stats

from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.measure.uncertainty.distribution import (
    cdf,
    cdf_many,
    density,
    interval,
    interval_many,
    quantile,
    quantile_many,
)
from sparkout.measure.uncertainty.inversion import Panels, Series
from sparkout.measure.uncertainty.law import law
from sparkout.measure.uncertainty.sums import Sums

N, R, T, S = Shape.NORMAL, Shape.RECTANGULAR, Shape.TRIANGULAR, Shape.STUDENT


def parts(*given):
    """Components from (u, shape[, dof]) with sources of their own."""
    return tuple(
        Component(f"source {i}", row[0], row[1], row[2] if len(row) > 2 else math.inf)
        for i, row in enumerate(given)
    )


def by_quadrature(components, x):
    """Gil-Pelaez integral with SciPy's Bessel functions and adaptive quadrature."""

    def phi(t):
        value = 1.0
        for part in components:
            u = abs(part.u)
            if part.shape is N:
                value *= math.exp(-0.5 * (u * t) ** 2)
            elif part.shape is R:
                value *= np.sinc(u * math.sqrt(3) * t / math.pi)
            elif part.shape is T:
                value *= np.sinc(u * math.sqrt(6) / 2 * t / math.pi) ** 2
            else:
                z, mu = math.sqrt(part.dof) * u * t, part.dof / 2
                if z > 1e-8:
                    log = mu * math.log(z) - special.gammaln(mu) - (mu - 1) * math.log(2)
                    value *= math.exp(log + math.log(special.kve(mu, z)) - z)
        return value

    edges = [0.0, *np.geomspace(1e-4, 1.0, 9), *np.arange(1.5, 400.0, 0.5)]
    total = 0.0
    for low, high in itertools.pairwise(edges):
        total += integrate.quad(
            lambda t: phi(t) * (math.sin(t * x) / t if t else x), low, high, epsabs=1e-13
        )[0]
        if abs(phi(high)) < 1e-15:
            break
    return 0.5 + total / math.pi


MIXES = [
    parts((0.4, N), (0.3, R), (0.2, R)),
    parts((0.1, N), (0.5, R), (0.3, T)),
    parts((0.3, N), (0.4, S, 4)),
    parts((0.3, N), (0.4, S, 1)),
    parts((0.3, N), (0.4, S, 2), (0.3, S, 3)),
    parts((0.3, N), (0.4, R), (0.3, S, 6.5)),
    parts((0.2, N), (0.4, R), (0.4, R), (0.2, S, 9), (0.1, T)),
    parts((0.5, R), (0.3, S, 5)),
    parts((0.3, N), (0.3, S, 16.8)),
    parts((0.3, N), (0.3, S, 40)),
]


@pytest.mark.parametrize("components", MIXES)
@pytest.mark.parametrize("x", [-2.2, -0.3, 0.0, 0.7, 1.5])
def test_probability_by_scipys_quadrature(components, x):
    assert cdf(components, x) == pytest.approx(by_quadrature(components, x), abs=3e-11)


@pytest.mark.parametrize("components", MIXES)
def test_density_is_the_slope_of_the_probability(components):
    step = 1e-4
    for x in (-1.1, 0.0, 0.4, 1.9):
        slope = (cdf(components, x + step) - cdf(components, x - step)) / (2 * step)
        assert density(components, x) == pytest.approx(slope, abs=3e-7)


@pytest.mark.parametrize("components", MIXES)
@pytest.mark.parametrize("p", [1e-6, 0.025, 0.3, 0.5, 0.95, 0.9999])
def test_quantile_undoes_probability(components, p):
    assert cdf(components, quantile(components, p)) == pytest.approx(p, abs=1e-9, rel=1e-5)


def test_closed_forms_by_scipy():
    x = 0.37
    assert cdf(parts((0.5, N)), x) == pytest.approx(stats.norm.cdf(x, scale=0.5), abs=1e-15)
    assert cdf(parts((0.5, S, 7)), x) == pytest.approx(stats.t.cdf(x, 7, scale=0.5), abs=1e-14)
    half = 0.5 * math.sqrt(3)
    uniform = stats.uniform(-half, 2 * half)
    assert cdf(parts((0.5, R)), x) == pytest.approx(uniform.cdf(x), abs=1e-15)
    half = 0.5 * math.sqrt(6)
    triangle = stats.triang(0.5, -half, 2 * half)
    assert cdf(parts((0.5, T)), x) == pytest.approx(triangle.cdf(x), abs=1e-15)


def test_sum_of_equal_rectangulars_is_irwin_and_halls():
    # Irwin-Hall by arithmetic: P(sum of 4 uniforms on (0, 1) <= 1.25) = (1.25^4 - 4*0.25^4)/24
    four = parts(*[(1 / math.sqrt(12), R)] * 4)
    assert cdf(four, 1.25 - 2.0) == pytest.approx((1.25**4 - 4 * 0.25**4) / 24, abs=1e-14)


def test_normal_and_one_rectangular_by_quadrature():
    sigma, half = 0.2, 0.7
    uniform = np.linspace(-half, half, 20_001)
    expected = integrate.simpson(stats.norm.cdf((0.4 - uniform) / sigma), x=uniform) / (2 * half)
    mixed = parts((sigma, N), (half / math.sqrt(3), R))
    assert cdf(mixed, 0.4) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("ratio", [1e-6, 0.9e-3, 1.1e-3, 1e-2, 1.0, 1e2, 1e4])
def test_a_rectangular_of_any_size_beside_a_normal_one(ratio):
    # both sides of the switch to 'as good as normal' lie between 0.9e-3 and 1.1e-3
    mixed = parts((1.0, N), (ratio / math.sqrt(3), R))
    x = 0.6 * (1.0 + ratio)
    nodes, weights = np.polynomial.legendre.leggauss(200)
    if ratio <= 1.0:
        expected = 0.5 * (stats.norm.cdf(x - ratio * nodes) @ weights)
    else:
        expected = by_integral_of_phi(x, ratio)
    assert cdf(mixed, x) == pytest.approx(expected, abs=1e-12)


def by_integral_of_phi(x, half):
    def whole(z):
        return z * stats.norm.cdf(z) + stats.norm.pdf(z)

    return (whole(x + half) - whole(x - half)) / (2 * half)


def test_both_ways_of_inversion_agree_where_both_serve():
    # five degrees of freedom: the sine series at a loose tolerance, panels at a tight one
    sums = Sums.of([parts((0.3, N), (0.5, S, 5))])
    loose, tight = (law(sums, np.array([2.0]), tol) for tol in (1e-4, 1e-12))
    assert isinstance(loose.parts[0][1], Series)
    assert isinstance(tight.parts[0][1], Panels)
    x = np.array([[-1.9, -0.2, 0.6, 2.0]])
    np.testing.assert_allclose(loose.at(x)[0], tight.at(x)[0], atol=1e-5)


def test_many_rows_answer_as_each_alone():
    sums = Sums.of([*MIXES, *MIXES])
    x = np.linspace(-1.5, 1.5, len(sums))
    one = [cdf(row, float(at)) for row, at in zip([*MIXES, *MIXES], x, strict=True)]
    np.testing.assert_allclose(cdf_many(sums, x, 1e-11), one, atol=1e-10)
    halves = [interval(row)[1] for row in MIXES]
    np.testing.assert_allclose(interval_many(sums)[: len(MIXES)], halves, rtol=1e-7)
    np.testing.assert_allclose(quantile_many(sums, 0.975)[: len(MIXES)], halves, rtol=1e-7)


def test_rows_take_points_of_their_own():
    sums = Sums.of(MIXES)
    x = np.linspace(-2.0, 2.0, 3 * len(MIXES)).reshape(len(MIXES), 3)
    table = cdf_many(sums, x)
    for row, components in enumerate(MIXES):
        expected = [cdf(components, float(at)) for at in x[row]]
        np.testing.assert_allclose(table[row], expected, atol=1e-9)


def test_no_uncertainty_is_a_step():
    assert cdf((), -1e-12) == 0.0
    assert cdf((), 0.0) == 1.0
    assert quantile((), 0.95) == 0.0


def test_deviation_counts_the_tails_of_student():
    sums = Sums.of([parts((0.3, N), (0.4, S, 4)), parts((0.4, S, 2)), parts((0.2, R), (0.1, T))])
    np.testing.assert_allclose(sums.scale, [0.5, 0.4, math.hypot(0.2, 0.1)])
    expected = [math.sqrt(0.09 + 0.16 * 2), math.inf, math.hypot(0.2, 0.1)]
    np.testing.assert_allclose(sums.deviation, expected)


@pytest.mark.parametrize("p", [0.0, 1.0, 1.5])
def test_probability_out_of_range_is_named(p):
    with pytest.raises(ValueError, match="is not between 0 and 1"):
        quantile(MIXES[0], p)
    with pytest.raises(ValueError, match=f"coverage {p} is not between 0 and 1"):
        interval(MIXES[0], p)


shapes = st.one_of(
    st.tuples(st.floats(0.05, 2.0), st.sampled_from((N, R, T))),
    st.tuples(st.floats(0.05, 2.0), st.just(S), st.sampled_from((1.0, 2.0, 3.5, 4.0, 9.0, 30.0))),
)
mixes = st.lists(shapes, min_size=1, max_size=5).map(lambda rows: parts(*rows))


@settings(max_examples=60, deadline=None)
@given(mixes, st.floats(-6, 6), st.floats(-6, 6))
def test_probability_never_falls(components, a, b):
    low, high = min(a, b), max(a, b)
    assert cdf(components, low) <= cdf(components, high) + 1e-10


@settings(max_examples=60, deadline=None)
@given(mixes, st.floats(-6, 6))
def test_a_sum_is_symmetric(components, x):
    assert cdf(components, x) + cdf(components, -x) == pytest.approx(1.0, abs=1e-10)


@settings(max_examples=40, deadline=None)
@given(mixes, st.floats(0.01, 100.0))
def test_a_sum_scales_with_its_unit(components, factor):
    scaled = tuple(part.scaled(factor) for part in components)
    assert quantile(scaled, 0.9) == pytest.approx(factor * quantile(components, 0.9), rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(mixes, shapes)
def test_one_more_component_never_narrows_the_interval(components, more):
    wider = (*components, *(Component("more", p.u, p.shape, p.dof) for p in parts(more)))
    assert interval(wider)[1] >= interval(components)[1] * (1 - 1e-7)


@settings(max_examples=60, deadline=None)
@given(mixes, st.fractions(-2, 2), st.floats(0.001, 1.0))
def test_a_shared_source_cancels_in_a_difference(components, value, u):
    master = Component("ring", u)
    one = Estimate(value, (*components, master))
    other = Estimate(value + 1, (master,))
    difference = one - other
    assert difference.value == -1
    assert difference.components == combine(components)


def test_two_readings_from_one_master_add_its_error_once_each():
    ring = Component("ring", 0.001)
    total = Estimate(1, (ring,)) + Estimate(2, (ring,))
    assert total.components == (Component("ring", 0.002),)


def test_one_source_with_two_shapes_is_refused():
    with pytest.raises(ValueError, match="'ring' comes as normal and as rectangular"):
        combine((Component("ring", 0.1), Component("ring", 0.1, R)))


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (lambda: Component("mic", math.nan), "uncertainty nan is not a number"),
        (lambda: Component("mic", 0.1, S, 0.5), r"degrees of freedom 0\.5 are below 1"),
        (lambda: Component("mic", 0.1, N, 9), "a normal one with 9 degrees of freedom"),
    ],
)
def test_a_component_that_contradicts_itself_is_refused(made, message):
    with pytest.raises(ValueError, match=message):
        made()


@pytest.mark.parametrize("dofs", [(1,), (1, 1), (2, 3), (1, 2, 3.5)])
def test_far_out_in_a_heavy_tail_one_error_makes_the_whole_jump(dofs):
    # few degrees of freedom, both sides of where the inversion hands over to the tails
    components = parts((0.3, N), *((0.4, S, dof) for dof in dofs))
    wide = law(Sums.of([components]), np.array([1e9]), 1e-9).parts[0][1]
    assert isinstance(wide, Panels)
    edge = float(wide.limit[0])
    assert edge > 400
    x = np.array([[edge * (1 - 1e-9), edge * (1 + 1e-9), 100 * edge]])
    (inside, outside, beyond), _ = (1 - wide.at(x)[0][0], wide.at(x)[1])
    assert outside == pytest.approx(inside, abs=1e-9)
    # the heaviest tail rules: t with 1 degree has the tail scale/(pi*x)
    if dofs[0] == 1:
        heavy = dofs.count(1)
        assert beyond == pytest.approx(heavy * 0.4 / (math.pi * 100 * edge), rel=1e-5)


def test_sum_of_two_cauchy_errors_is_a_cauchy_error():
    # t with 1 degree of freedom: scales add (characteristic function exp(-s|t|))
    components = parts((0.3, S, 1), (0.5, S, 1))
    for p in (0.6, 0.975, 0.999, 0.999999):
        assert quantile(components, p) == pytest.approx(stats.cauchy.ppf(p, scale=0.8), rel=1e-5)


def test_stated_intervals_cover_at_least_as_often_as_they_say():
    # 20 000 readings with a rectangular, a normal and a repeat error of 4 degrees of freedom. The
    # sum of Student and other parts is known to cover too often rather than too seldom (as in the
    # Behrens-Fisher problem): between 95 % less four standard errors and 97.5 %.
    rng = np.random.default_rng(20260101)
    trials, scale = 20_000, 0.002
    repeats = rng.normal(0.0, scale, (trials, 5))
    s = repeats.std(axis=1, ddof=1) / math.sqrt(5)
    error = repeats.mean(axis=1) + rng.normal(0, 0.001, trials) + rng.uniform(-0.002, 0.002, trials)
    sums = Sums(
        np.full(trials, 0.001), np.full((trials, 1), 0.002), s[:, None], np.full((trials, 1), 4.0)
    )
    covered = (np.abs(error) <= interval_many(sums, 0.95, 1e-6)).mean()
    assert 0.95 - 4 * math.sqrt(0.95 * 0.05 / trials) < covered < 0.975


def test_intervals_of_known_shapes_cover_exactly():
    rng = np.random.default_rng(7)
    trials = 200_000
    error = (
        rng.normal(0, 0.001, trials)
        + rng.uniform(-0.003, 0.003, trials)
        + 0.001 * rng.standard_t(5, trials)
    )
    mixed = parts((0.001, N), (0.003 / math.sqrt(3), R), (0.001, S, 5))
    for coverage in (0.5, 0.95, 0.99):
        covered = (np.abs(error) <= interval(mixed, coverage)[1]).mean()
        spread = math.sqrt(coverage * (1 - coverage) / trials)
        assert covered == pytest.approx(coverage, abs=4 * spread)
