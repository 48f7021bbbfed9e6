"""Chances and summaries of many outputs: against outputs whose distribution is known exactly."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.chances import chances
from sparkout.measure.uncertainty.distribution import cdf
from sparkout.measure.uncertainty.formula import Formula
from sparkout.measure.uncertainty.outputs import Outputs
from sparkout.measure.uncertainty.sampling import draw, generator, sources_of, tried
from sparkout.measure.uncertainty.summaries import summaries

INF = math.inf


def inside(outputs, lower, upper, **more):
    return chances(Outputs.of(outputs), lower, upper, **more)


def product(x, y):
    return x * y


def ratio(x, y):
    return x / y


def swept(bore, crank):
    return math.pi / 4 * bore**2 * 2 * crank / 1000


def test_a_linear_output_has_the_probability_of_its_sum():
    parts = (Component("gauge", 0.002), Component("gap", 0.003, Shape.RECTANGULAR))
    found = inside([Estimate(1, parts)], [0.996], [1.003])
    assert found.below[0] == pytest.approx(cdf(parts, -0.004), abs=1e-7)
    assert found.above[0] == pytest.approx(1 - cdf(parts, 0.003), abs=1e-7)
    assert found.inside[0] == pytest.approx(1 - found.below[0] - found.above[0], abs=1e-12)
    assert not found.counted[0]


def test_logarithm_of_a_lognormal_output():
    # exp of a normal value with a large u: strongly curved, distribution exact
    x = Estimate(1, (Component("x", 0.4),))
    lognormal = stats.lognorm(0.4, scale=math.e)
    found = inside([Formula(np.exp, (x,))], [2.0], [4.0])
    assert found.below[0] == pytest.approx(lognormal.cdf(2.0), abs=1e-6)
    assert found.above[0] == pytest.approx(lognormal.sf(4.0), abs=1e-6)
    told = summaries(Outputs.of([Formula(np.exp, (x,))]))
    assert told.low[0] == pytest.approx(lognormal.ppf(0.025), rel=1e-4)
    assert told.high[0] == pytest.approx(lognormal.ppf(0.975), rel=1e-4)
    assert told.mean[0] == pytest.approx(lognormal.mean(), rel=2e-3)
    assert told.u[0] == pytest.approx(lognormal.std(), rel=2e-2)


def test_ratio_of_two_normal_values():
    # P(x/y <= c) = P(x - c*y <= 0) for y > 0 (40 standard uncertainties away from zero)
    x, y = Estimate(3, (Component("x", 0.1),)), Estimate(2, (Component("y", 0.05),))
    limits = np.array([1.40, 1.62])
    exact = stats.norm.cdf((limits * 2 - 3) / np.hypot(0.1, limits * 0.05))
    found = inside([Formula(ratio, (x, y))], [limits[0]], [limits[1]])
    assert found.below[0] == pytest.approx(exact[0], abs=2e-6)
    assert found.above[0] == pytest.approx(1 - exact[1], abs=2e-6)


@pytest.mark.parametrize(
    "shape", [Shape.RECTANGULAR, Shape.TRIANGULAR, Shape.STUDENT], ids=lambda s: str(s)
)
def test_product_with_an_error_of_another_shape_by_quadrature(shape):
    dof = 5.0 if shape is Shape.STUDENT else INF
    x = Estimate(2, (Component("x", 0.08),))
    y = Estimate(3, (Component("y", 0.15, shape, dof), Component("z", 0.02)))
    law = {
        Shape.RECTANGULAR: stats.uniform(-0.15 * 3**0.5, 0.3 * 3**0.5),
        Shape.TRIANGULAR: stats.triang(0.5, -0.15 * 6**0.5, 0.3 * 6**0.5),
        Shape.STUDENT: stats.t(5, scale=0.15),
    }[shape]

    def below(limit):
        def given_y(e):
            y_here = 3 + e
            # x*(y + z) with independent normal x and z: P by integration over z
            z, weight = np.polynomial.hermite_e.hermegauss(40)
            here = stats.norm.cdf((limit / (y_here + 0.02 * z) - 2) / 0.08)
            return here @ weight / math.sqrt(2 * math.pi) * law.pdf(e)

        if shape is Shape.STUDENT:
            lowest, highest = -2.7, 60 * 0.15
        else:
            lowest, highest = law.support()
        pieces = itertools.pairwise([lowest, -0.2, 0.0, 0.2, highest])
        # below the lowest the product is below both limits for sure
        return law.cdf(lowest) + sum(
            integrate.quad(given_y, a, b, epsabs=1e-10)[0] for a, b in pieces
        )

    found = inside([Formula(product, (x, y))], [5.4], [6.5], tolerance=5e-7)
    assert found.below[0] == pytest.approx(below(5.4), abs=3e-6)
    assert found.above[0] == pytest.approx(1 - below(6.5), abs=3e-6)


def test_shared_sources_are_one_error_in_a_formula():
    # bore and crank measured with one gauge: x/y with the same relative error has none left
    e = Component("gauge", 0.001)
    x = Estimate(2, (e.scaled(2.0), Component("own", 1e-4)))
    y = Estimate(1, (e,))
    found = inside([Formula(ratio, (x, y))], [2 - 3e-4], [2 + 3e-4])
    assert found.inside[0] == pytest.approx(stats.norm.cdf(3) - stats.norm.cdf(-3), abs=2e-5)


def test_outputs_that_are_not_steady_are_counted_and_say_so():
    # a square about zero turns: no tangent describes it; chi-squared with one degree of freedom
    x = Estimate(0, (Component("x", 1.0),))
    found = inside([Formula(np.square, (x,))], [-1.0], [1.0])
    assert found.counted[0]
    assert found.inside[0] == pytest.approx(stats.chi2.cdf(1.0, 1), abs=4 * 5e-4)
    assert found.error[0] == pytest.approx(5e-4)
    with pytest.raises(ValueError, match="output 0 turns within the range of its errors"):
        summaries(Outputs.of([Formula(np.square, (x,))]))


def test_without_any_normal_error_points_are_counted_and_the_error_told():
    x = Estimate(2, (Component("x", 0.1, Shape.RECTANGULAR),))
    y = Estimate(3, (Component("y", 0.1, Shape.RECTANGULAR),))
    found = inside([Formula(product, (x, y))], [5.7], [6.4])
    half = 0.1 * 3**0.5

    def below(c):
        share = lambda e: np.clip((c / (3 + e) - 2 + half) / (2 * half), 0, 1)  # noqa: E731
        return integrate.quad(share, -half, half, points=[0.0], limit=200)[0] / (2 * half)

    assert 1e-4 < found.error[0] < 2e-3
    assert found.inside[0] == pytest.approx(below(6.4) - below(5.7), abs=found.error[0])


def test_limits_may_be_missing():
    x = Estimate(3, (Component("x", 0.1),))
    outputs = [x, Formula(np.exp, (x,)), Formula(np.exp, (x,))]
    found = inside(outputs, [-INF, -INF, 20.0], [3.1, 22.0, INF])
    expected = [
        stats.norm.cdf(1),
        stats.norm.cdf((math.log(22) - 3) / 0.1),
        stats.norm.sf((math.log(20) - 3) / 0.1),
    ]
    np.testing.assert_allclose(found.inside, expected, atol=2e-6)
    assert found.below[:2].tolist() == [0.0, 0.0]
    assert found.above[2] == 0.0


def test_an_exact_value_on_its_limit_is_inside():
    found = inside([Estimate(2), Estimate(3)], [2.0, 2.0], [2.5, 2.5])
    assert found.inside.tolist() == [1.0, 0.0]
    assert found.above.tolist() == [0.0, 1.0]


def test_same_seed_same_answer():
    x = Estimate(2, (Component("x", 0.1), Component("r", 0.1, Shape.RECTANGULAR)))
    outputs = [Formula(np.exp, (x,))]
    first, again = (inside(outputs, [6.0], [8.0], seed=4) for _ in range(2))
    assert first.inside[0] == again.inside[0]


def test_more_errors_than_sobol_has_dimensions():
    # twelve rectangular errors in two arguments; truth by ten million seeded trials of NumPy
    parts = [Component(f"r{i}", 0.01 * (1 + i % 3), Shape.RECTANGULAR) for i in range(12)]
    x = Estimate(1, (*parts[:6], Component("x", 0.02)))
    y = Estimate(1, (*parts[6:], Component("y", 0.02)))
    formula = Formula(product, (x, y))
    found = inside([formula], [0.9], [1.1])
    trials, sources, count = 0, sources_of((x, y)), 100_000
    for block in range(40):
        value = tried(formula, draw(generator(3, block), sources, count), count)
        trials += int(((value >= 0.9) & (value <= 1.1)).sum())
    share = trials / (40 * count)
    spread = math.sqrt(share * (1 - share) / (40 * count))
    assert found.inside[0] == pytest.approx(share, abs=4 * spread + found.error[0])


def test_too_many_arguments_are_refused():
    many = tuple(Estimate(1, (Component(f"x{i}", 0.1),)) for i in range(11))
    with pytest.raises(ValueError, match="11 arguments, more than 10"):
        inside([Formula(lambda *x: sum(x), many)], [0.0], [1.0])


def test_limits_must_be_one_pair_for_each_output():
    with pytest.raises(ValueError, match="1 lower and 2 upper limits for 2 outputs"):
        inside([Estimate(1), Estimate(2)], [0.0], [1.0, 2.0])


@settings(max_examples=30, deadline=None)
@given(
    st.floats(60, 120),
    st.floats(30, 60),
    st.floats(0.001, 0.05),
    st.floats(0.001, 0.05),
    st.floats(-2, 2),
)
def test_a_nearly_straight_formula_is_near_its_linear_budget(bore, crank, u_bore, u_crank, at):
    b = Estimate(bore, (Component("b", u_bore),))
    c = Estimate(crank, (Component("c", u_crank),))
    value = swept(bore, crank)
    u = value * math.hypot(2 * u_bore / bore, u_crank / crank)
    found = inside([Formula(swept, (b, c))], [-INF], [value + at * u])
    assert found.inside[0] == pytest.approx(stats.norm.cdf(at), abs=2e-3)
