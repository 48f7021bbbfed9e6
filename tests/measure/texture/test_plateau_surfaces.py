"""The Rk family: scaling, two-stage filtering, material ratios, faults."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.measure.texture.filters import roughness_profile
from sparkout.measure.texture.plateau import (
    MaterialRatioCurve,
    core_parameters,
    height_at_ratio,
    material_ratio,
    material_ratio_curve,
    plateau,
    plateau_profile,
)
from sparkout.measure.texture.profile import Profile


def honed(seed: int = 3, n: int = 9600, step: float = 0.0005) -> Profile:
    """A simulated plateau surface: fine normal roughness with deep grooves at random."""
    rng = np.random.default_rng(seed)
    z = np.convolve(rng.normal(0, 0.3, n + 20), np.ones(9) / 9, "same")[10 : n + 10]
    for _ in range(40):
        at, width, depth = rng.uniform(0, n * step), rng.uniform(0.008, 0.02), rng.uniform(1, 4)
        x = np.arange(n) * step - at
        z = np.minimum(z, -depth * np.exp(-((x / width) ** 2) * 4))  # flat plateau, cut valleys
    return Profile(step, tuple(z.tolist()))


@settings(max_examples=20, deadline=None)
@given(st.floats(0.1, 50.0), st.floats(-20.0, 20.0))
def test_the_family_stretches_with_the_heights_and_ignores_a_shift(
    scale: float, shift: float
) -> None:
    curve = material_ratio_curve(honed())
    moved = MaterialRatioCurve(tuple(scale * c + shift for c in curve.heights_um))
    a, b = core_parameters(curve), core_parameters(moved)
    for name in ("rk", "rpk", "rvk"):
        assert getattr(b, name) == pytest.approx(scale * getattr(a, name), rel=1e-6)
    assert (b.mr1, b.mr2) == pytest.approx((a.mr1, a.mr2), rel=1e-6)


def test_a_plateau_turned_over_swaps_peaks_and_valleys() -> None:
    z = honed().heights_um
    a = core_parameters(material_ratio_curve(Profile(0.0005, z)))
    b = core_parameters(material_ratio_curve(Profile(0.0005, tuple(-v for v in z))))
    assert b.rk == pytest.approx(a.rk, rel=1e-6)
    assert (b.rpk, b.rvk) == pytest.approx((a.rvk, a.rpk), rel=1e-6)
    assert b.mr1 == pytest.approx(100 - a.mr2, abs=1e-6)


def test_a_honed_surface_is_mostly_valley() -> None:
    result, faults = plateau(honed(n=11_200))
    assert faults == ()
    assert result is not None
    assert result.rvk > 3 * result.rpk
    assert result.oil_volume == pytest.approx((100 - result.mr2) * result.rvk / 2000)
    assert 0 <= result.mr1 < result.mr2 <= 100
    assert result.notes == ()


def test_two_stages_keep_the_plateau_beside_a_groove_level() -> None:
    # One filter pulls its mean line into the groove and lifts the plateau beside it; two do less.
    z = np.zeros(4820)
    z[2400:2420] = -5.0
    trace = Profile(0.001, tuple(z.tolist()))
    once = max(roughness_profile(trace, 0.8).heights_um)
    twice = max(plateau_profile(trace).heights_um)
    assert twice < 0.1 * once


def test_the_second_mean_line_is_that_of_the_cut_trace() -> None:
    # ISO 13565-1, the steps written out with the direct sum of the Gaussian weights.
    trace = honed(n=6400)
    z, step, cutoff = np.array(trace.heights_um), trace.spacing, 0.8
    alpha = math.sqrt(math.log(2) / math.pi)
    kernel = np.exp(-math.pi * (np.arange(-3200, 3201) * step / (alpha * cutoff)) ** 2)

    def line(values: np.ndarray) -> np.ndarray:
        count = np.convolve(np.ones_like(values), kernel)[3200:-3200]
        total: np.ndarray = np.convolve(values, kernel)[3200:-3200] / count
        return total

    expected = (z - line(np.maximum(z, line(z))))[800:-800]
    assert np.array(plateau_profile(trace).heights_um) == pytest.approx(expected, abs=1e-5)


def test_material_ratio_and_height_are_each_other_s_inverse() -> None:
    curve = material_ratio_curve(honed())
    for ratio in (2.0, 25.0, 50.0, 97.0):
        assert material_ratio(curve, height_at_ratio(curve, ratio)) == pytest.approx(
            ratio, abs=1e-6
        )
    assert material_ratio(curve, 1e9) == 0.0
    assert material_ratio(curve, -1e9) == 100.0
    assert height_at_ratio(curve, 0.0) == curve.heights_um[0]


def test_a_short_trace_warns_and_a_flat_one_stops() -> None:
    result, faults = plateau(honed(n=4000))
    assert result is not None
    assert [f.stops for f in faults] == [False]
    assert "1 sampling length(s)" in faults[0].found
    assert plateau(Profile(0.001, (1.0,) * 6000))[0] is None
    assert plateau(Profile(0.001, (1.0, 2.0) * 100))[0] is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: core_parameters(MaterialRatioCurve((3.0, 2.0, 1.0))),
        lambda: core_parameters(MaterialRatioCurve((1.0,) * 50)),
        lambda: height_at_ratio(MaterialRatioCurve((3.0, 2.0)), 101.0),
        lambda: plateau_profile(Profile(0.001, (1.0,) * 50), 0.0),
    ],
)
def test_values_out_of_range_raise(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"got|without any height"):
        call()
