"""Derivatives of measurement models."""

import math

import numpy as np
import pytest

from sparkout.measure.estimate import Component, Estimate
from sparkout.measure.uncertainty.formula import gradient
from sparkout.measure.uncertainty.second_order import second_order_terms


def at(*values):
    return np.array([values])


def test_exact_for_functions_that_take_complex_numbers():
    value, slopes = gradient(lambda x, y: np.exp(x) / y, at(1.0, 2.0), at(0.1, 0.1))
    assert value[0] == pytest.approx(math.e / 2, rel=1e-15)
    np.testing.assert_allclose(slopes[0], [math.e / 2, -math.e / 4], rtol=1e-14)


def test_functions_that_refuse_complex_numbers_are_differenced():
    def arc(x, y):
        return np.arctan2(x, y)

    _, slopes = gradient(arc, at(1.0, 2.0), at(0.01, 0.01))
    np.testing.assert_allclose(slopes[0], [2 / 5, -1 / 5], rtol=1e-9)


def test_functions_that_drop_the_imaginary_part_are_noticed():
    def size(x, y):
        return np.abs(x) * np.real(y)

    _, slopes = gradient(size, at(3.0, 2.0), at(0.01, 0.01))
    np.testing.assert_allclose(slopes[0], [2.0, 3.0], rtol=1e-9)


def test_many_points_at_once():
    points = np.arange(1.0, 13.0).reshape(6, 2)
    value, slopes = gradient(lambda x, y: x * y**2, points, np.full((6, 2), 0.1))
    np.testing.assert_allclose(value, points[:, 0] * points[:, 1] ** 2)
    np.testing.assert_allclose(slopes[:, 1], 2 * points[:, 0] * points[:, 1])


def test_a_constant_has_no_slope():
    value, slopes = gradient(lambda x: 3.0, at(2.0), at(0.1))
    assert value.tolist() == [3.0]
    assert slopes.tolist() == [[0.0]]


def test_points_of_another_shape_are_named():
    with pytest.raises(ValueError, match=r"points have shape \(2,\)"):
        gradient(lambda x, y: x + y, np.array([1.0, 2.0]), np.array([0.1, 0.1]))


def test_second_order_of_a_square():
    # f = x^2 at x = 3, u = 0.5, worked by hand: f'' = 2, f''' = 0, term 2^2/2*u^4 = 0.125,
    # shift of the mean u^2 = 0.25
    told = second_order_terms(lambda x: x * x, (Estimate(3, (Component("x", 0.5),)),))
    assert told.variance == pytest.approx(0.125, rel=1e-9)
    assert told.shift == pytest.approx(0.25, rel=1e-9)


def test_second_order_of_a_cube_has_the_third_derivative():
    # f = x^3 at x = 1, u = 0.1: f' 3, f'' 6, f''' 6; (36/2 + 3*6)*1e-4 = 36e-4
    told = second_order_terms(lambda x: x**3, (Estimate(1, (Component("x", 0.1),)),))
    assert told.variance == pytest.approx(36e-4, rel=1e-4)


def test_a_shared_source_is_one_error_in_second_order():
    # f = x*y with one error of 0.1 in both: f = x0*y0 + (x0 + y0)*e + e^2; second order 2^2/2*u^4
    e = Component("ring", 0.1)
    told = second_order_terms(lambda x, y: x * y, (Estimate(2, (e,)), Estimate(3, (e,))))
    assert told.variance == pytest.approx(2e-4, rel=1e-6)
    assert told.shift == pytest.approx(0.01, rel=1e-6)


def test_no_uncertainty_has_no_terms():
    told = second_order_terms(lambda x: x * x, (Estimate(3),))
    assert (told.variance, told.shift, told.pairs) == (0.0, 0.0, ())
