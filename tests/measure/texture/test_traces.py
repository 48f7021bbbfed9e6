"""Filters against direct sums, roughness on simulated surfaces, choice of cut-off, faults."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.faults import Place
from sparkout.measure.texture.cutoffs import cutoff_for_ra, short_cutoff
from sparkout.measure.texture.filters import (
    ALPHA,
    Ends,
    mean_line,
    roughness_profile,
    transmission,
)
from sparkout.measure.texture.profile import Profile, check_profile
from sparkout.measure.texture.roughness import choose_cutoff, height_parameters, roughness


def noise(n: int, seed: int = 1) -> tuple[float, ...]:
    return tuple(np.random.default_rng(seed).normal(size=n).tolist())


def test_mean_line_is_the_weighted_sum_written_out() -> None:
    z, step, cutoff = noise(400), 0.004, 0.25
    line = mean_line(Profile(step, z), cutoff).heights_um
    for i in (0, 3, 57, 200, 399):
        x = (np.arange(400) - i) * step
        w = np.exp(-math.pi * (x / (ALPHA * cutoff)) ** 2)
        assert line[i] == pytest.approx(float((w * np.array(z)).sum() / w.sum()), abs=3e-6)


def test_slope_corrected_line_is_a_local_straight_line_fit() -> None:
    z, step, cutoff = noise(400, 2), 0.004, 0.25
    line = mean_line(Profile(step, z), cutoff, Ends.SLOPE).heights_um
    for i in (0, 10, 200, 399):
        x = (np.arange(400) - i) * step
        w = np.exp(-math.pi * (x / (ALPHA * cutoff)) ** 2)
        fit = np.polynomial.polynomial.polyfit(x, np.array(z), 1, w=np.sqrt(w))
        assert line[i] == pytest.approx(float(fit[0]), abs=2e-5)


@settings(max_examples=25, deadline=None)
@given(st.floats(-1e4, 1e4), st.floats(-3.0, 3.0))
def test_level_stays_level_and_slope_stays_slope(level: float, slope: float) -> None:
    x = np.arange(2000) * 0.001
    flat = Profile(0.001, (level,) * 2000)
    assert mean_line(flat, 0.8).heights_um == pytest.approx(flat.heights_um, abs=1e-8)
    tilted = Profile(0.001, tuple((level + slope * x).tolist()))
    line = mean_line(tilted, 0.8, Ends.SLOPE)
    assert line.heights_um == pytest.approx(tilted.heights_um, abs=1e-7)


@pytest.mark.parametrize("wavelength", [0.2, 0.8, 2.0])
def test_a_long_wave_passes_as_the_transmission_says(wavelength: float) -> None:
    step, cutoff = 0.001, 0.8
    x = np.arange(16_000) * step
    z = np.cos(2 * np.pi * x / wavelength)
    line = np.array(mean_line(Profile(step, tuple(z.tolist())), cutoff).heights_um)
    middle = slice(2000, 14_000)
    found = 2 * np.mean(line[middle] * z[middle])
    assert found == pytest.approx(transmission(wavelength, cutoff), abs=1e-4)


def test_dropped_ends_shorten_the_trace_by_one_cutoff_and_kept_ones_do_not() -> None:
    trace = Profile(0.001, noise(4800))
    assert len(roughness_profile(trace, 0.8).heights_um) == 4000
    for ends in (Ends.LEVEL, Ends.SLOPE):
        kept = roughness_profile(trace, 0.8, ends=ends)
        assert len(kept.heights_um) == 4800
        assert kept.heights_um[400:4400] == pytest.approx(
            roughness_profile(trace, 0.8).heights_um, abs=0.02
        )


def test_roughness_sees_through_tilt_and_waviness() -> None:
    x = np.arange(5600) * 0.001
    rough = np.sin(2 * np.pi * x / 0.05)
    trace = rough + 3.0 * np.sin(2 * np.pi * x / 8.0) + 2.0 * x + 40.0
    result, faults = roughness(Profile(0.001, tuple(trace.tolist())), 0.8)
    assert faults == ()
    assert result is not None
    assert result.ra == pytest.approx(2 / math.pi, rel=0.03)
    assert result.rz == pytest.approx(2.0, rel=0.05)
    assert (result.sections, result.cutoff, result.notes) == (5, 0.8, ())


def test_short_wave_ripple_is_taken_off_where_the_step_allows_it() -> None:
    x = np.arange(24_000) * 0.0002
    z = np.sin(2 * np.pi * x / 0.1) + 0.5 * np.sin(2 * np.pi * x / 0.001)
    fine, _ = roughness(Profile(0.0002, tuple(z.tolist())), 0.8)
    assert fine is not None
    assert fine.ra == pytest.approx(2 / math.pi, rel=0.01)
    coarse, _ = roughness(Profile(0.004, tuple(z[::20].tolist())), 0.8)
    assert coarse is not None
    assert "too coarse for the lower cut-off of 0.0025 mm" in coarse.notes[0]


def test_sections_are_averaged_and_the_highest_is_kept() -> None:
    z = [0.1 * (-1) ** i for i in range(4000)]
    z[900], z[2500] = 3.0, -2.0  # second and fourth sampling length
    r = height_parameters(Profile(0.001, tuple(z)), 0.8)
    assert r.rp == pytest.approx((4 * 0.1 + 3.0) / 5)
    assert r.rv == pytest.approx((4 * 0.1 + 2.0) / 5)
    assert r.rz == pytest.approx(r.rp + r.rv)
    assert r.rz_max == pytest.approx(3.1)
    assert r.rt == pytest.approx(5.0)


def test_a_short_trace_says_how_many_sections_it_had() -> None:
    result, faults = roughness(Profile(0.001, noise(2500)), 0.8)
    assert faults == ()
    assert result is not None
    assert result.sections == 2
    assert "Only 2 sampling length(s) of 0.8 mm" in result.notes[-1]


@pytest.mark.parametrize(("scale", "cutoff"), [(0.05, 0.25), (0.6, 0.8), (6.0, 2.5)])
def test_the_cutoff_is_found_by_trying(scale: float, cutoff: float) -> None:
    x = np.arange(16_000) * 0.001
    z = scale * np.sin(2 * np.pi * x / 0.03)
    result, faults = choose_cutoff(Profile(0.001, tuple(z.tolist())))
    assert faults == ()
    assert result is not None
    assert result.cutoff == cutoff == cutoff_for_ra(result.ra)


def test_two_cutoffs_asking_for_each_other_take_the_longer() -> None:
    # Rougher in its first 5 mm: 0.8 mm evaluates only those and asks for 2.5 mm, which evaluates
    # 12.5 mm, finds Ra below 2 µm and asks for 0.8 mm again.
    x = np.arange(16_000) * 0.001
    z = np.where(x < 5.0, 3.33, 3.05) * np.sin(2 * np.pi * x / 0.03)
    trace = Profile(0.001, tuple(z.tolist()))
    short, long = roughness(trace, 0.8)[0], roughness(trace, 2.5)[0]
    assert short is not None
    assert long is not None
    assert short.ra > 2.0 >= long.ra
    result, faults = choose_cutoff(trace)
    assert faults == ()
    assert result is not None
    assert result.cutoff == 2.5
    assert "the longer one was taken" in result.notes[-1]


def test_traces_that_cannot_be_filtered_say_why() -> None:
    place = Place("bore2.csv")
    coarse = Profile(0.2, (0.0, 1.0) * 30)
    assert str(check_profile(coarse, 0.8, place)[0]) == (
        "bore2.csv: found a step of 0.2 mm; expected 0.16 mm or finer for a cut-off of 0.8 mm. "
        "Trace with a finer step, or use a longer cut-off."
    )
    short = Profile(0.001, (0.0, 1.0) * 500)
    assert "a trace of 1 mm" in check_profile(short, 0.8, place)[0].found
    gap = Profile(0.001, (0.0, math.nan) * 1000)
    assert [f.found for f in check_profile(gap, 0.8, place)] == [
        "1000 of 2000 points without a height, the first at point 2"
    ]
    assert "above zero" in check_profile(Profile(0.0, (1.0, 2.0)), 0.8, place)[0].expected
    assert roughness(short, 0.8, place=place)[0] is None
    flat = Profile(0.001, (0.0,) * 5000)
    assert "no height at all" in roughness(flat, 0.8)[1][0].found
    rough = Profile(0.001, tuple(200.0 * (-1) ** (i // 40) for i in range(5600)))
    assert "Ra" in choose_cutoff(rough)[1][0].found


@pytest.mark.parametrize(
    "call",
    [
        lambda: cutoff_for_ra(0.0),
        lambda: cutoff_for_ra(81.0),
        lambda: short_cutoff(0.5),
        lambda: transmission(0.0, 0.8),
        lambda: mean_line(Profile(0.001, (1.0, 2.0)), 0.0),
        lambda: roughness_profile(Profile(0.001, (1.0, 2.0)), 0.8, -1.0),
        lambda: height_parameters(Profile(0.001, (1.0, 2.0)), 0.8),
        lambda: height_parameters(Profile(0.001, (0.0,) * 900), 0.8),
    ],
)
def test_values_out_of_range_raise(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"got|shorter|without any height"):
        call()
