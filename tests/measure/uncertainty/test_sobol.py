"""Sobol points held against SciPy's, and the evenness that makes them useful."""

import numpy as np
import pytest
from scipy.stats import qmc

from sparkout.measure.uncertainty.sobol import sobol_points


def test_plain_points_are_scipys():
    theirs = qmc.Sobol(10, scramble=False, bits=30).random_base2(10)
    ours = sobol_points(10, 0, 1024, None).T
    # SciPy walks in Gray-code order; the set of the first 2^m points is the same
    np.testing.assert_array_equal(np.unique(theirs, axis=0), np.unique(ours, axis=0))


def test_a_block_is_part_of_the_longer_sequence():
    whole = sobol_points(6, 0, 1024, 5)
    np.testing.assert_array_equal(sobol_points(6, 768, 256, 5), whole[:, 768:])


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_scrambling_keeps_the_points_even(seed):
    points = sobol_points(5, 0, 256, seed)
    for row in points:
        assert np.bincount((row * 256).astype(int), minlength=256).tolist() == [1] * 256
    # the first two dimensions have one point in every elementary box of area 1/256
    for across in range(9):
        box = (points[0] * 2**across).astype(int) * 2 ** (8 - across)
        box += (points[1] * 2 ** (8 - across)).astype(int)
        assert np.bincount(box, minlength=256).max() == 1


def test_seeds_give_other_points():
    assert not np.array_equal(sobol_points(3, 0, 8, 1), sobol_points(3, 0, 8, 2))


def test_a_smooth_mean_comes_out_far_better_than_by_random_points():
    # integral of prod(1 + (x - 1/2)/2) over the unit cube is 1
    points = sobol_points(6, 0, 4096, 11)
    assert np.prod(1 + (points - 0.5) / 2, axis=0).mean() == pytest.approx(1.0, abs=2e-5)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((11, 0, 8, 1), "11 dimensions are not between 1 and 10"),
        ((0, 0, 8, 1), "0 dimensions are not between 1 and 10"),
        ((3, 0, 12, 1), "count 12 is not a power of two"),
        ((3, 4, 8, 1), "start 4 is not a multiple of 8"),
    ],
)
def test_arguments_out_of_range_are_named(arguments, message):
    with pytest.raises(ValueError, match=message):
        sobol_points(*arguments)
