"""Harmonics, filter, two-point sizes, runout and bend: against SciPy and written-out arithmetic."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, signal

from sparkout.measure.form.bend import bend_of, shaft_bend
from sparkout.measure.form.harmonics import trace_harmonics
from sparkout.measure.form.records import UndeterminedError
from sparkout.measure.form.runout import runout
from sparkout.measure.form.trace_filter import filtered_trace, trace_transmission
from sparkout.measure.form.two_point import taper, two_point_out_of_round, two_point_sizes


def lobed(angles: np.ndarray, *parts: tuple[int, float, float]) -> list[float]:
    radii = np.full(angles.shape, 50.0)
    for order, amplitude, direction in parts:
        radii = radii + amplitude * np.cos(order * np.radians(angles - direction))
    return radii.tolist()


@settings(max_examples=50, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_harmonics_come_back_from_uneven_angles(seed: int) -> None:
    rng = np.random.default_rng(seed)
    angles = (np.arange(17) + 0.8 * rng.random(17)) * 360.0 / 17.0
    parts = [
        (k, float(rng.uniform(0.001, 0.1)), float(rng.uniform(0.0, 360.0 / k))) for k in range(1, 6)
    ]
    fit = trace_harmonics(angles.tolist(), lobed(angles, *parts))
    assert fit.mean == pytest.approx(50.0, abs=1e-9)
    assert fit.rest_peak_to_valley < 1e-9
    for order, amplitude, direction in parts:
        part = fit.part(order)
        assert part.amplitude == pytest.approx(amplitude, abs=1e-9)
        off = (part.direction - direction) % (360.0 / order)
        assert min(off, 360.0 / order - off) < 1e-5
        assert 0.0 <= part.direction < 360.0 / order


def test_harmonics_are_the_least_squares_answer() -> None:
    """SciPy's general least squares on noisy readings."""
    rng = np.random.default_rng(1)
    angles = np.sort(rng.random(23)) * 360.0
    radii = np.array(lobed(angles, (1, 0.02, 30.0), (2, 0.01, 70.0), (3, 0.005, 10.0)))
    radii = radii + 0.002 * rng.standard_normal(23)
    fit = trace_harmonics(angles.tolist(), radii.tolist(), 3)
    turn = np.radians(angles)

    def rest(q: np.ndarray) -> np.ndarray:
        model = q[0] + sum(
            q[2 * k - 1] * np.cos(k * turn) + q[2 * k] * np.sin(k * turn) for k in (1, 2, 3)
        )
        return radii - model

    found = optimize.least_squares(rest, np.zeros(7), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    assert fit.mean == pytest.approx(found[0], abs=1e-9)
    for k in (1, 2, 3):
        assert fit.part(k).amplitude == pytest.approx(
            math.hypot(found[2 * k - 1], found[2 * k]), abs=1e-9
        )
    assert sum(fit.rest) == pytest.approx(0.0, abs=1e-9)


def test_two_point_reading_of_each_harmonic() -> None:
    """Even orders show four amplitudes across opposite points, odd ones nothing."""
    angles = np.arange(0.0, 360.0, 1.0)
    for order in (2, 3, 4, 5):
        radii = lobed(angles, (order, 0.01, 17.0))
        sizes = [size.diameter for size in two_point_sizes(angles.tolist(), radii)]
        out = two_point_out_of_round(sizes)
        part = trace_harmonics(angles.tolist(), radii).part(order)
        assert out == pytest.approx(part.two_point, abs=2e-4 * 0.01 * order**2 + 1e-9)
        assert part.peak_to_valley == pytest.approx(0.02)


def test_eccentricity_makes_a_false_oval() -> None:
    """Offset e of a true circle R: second harmonic e²/(4R), as the docstring says."""
    e, radius = 0.5, 20.0
    turn = np.radians(np.arange(0.0, 360.0, 5.0))
    trace = e * np.cos(turn) + np.sqrt(radius**2 - (e * np.sin(turn)) ** 2)
    fit = trace_harmonics(np.degrees(turn).tolist(), trace.tolist())
    assert fit.eccentricity == pytest.approx(e, rel=1e-3)
    assert fit.part(2).amplitude == pytest.approx(e * e / (4.0 * radius), rel=1e-3)


def test_harmonics_faults() -> None:
    with pytest.raises(UndeterminedError, match="7 different directions; found 6"):
        trace_harmonics([0, 60, 120, 180, 240, 300], [1.0] * 6, 3)
    with pytest.raises(UndeterminedError, match="tell 2 harmonics apart"):
        trace_harmonics([0, 1e-4, 2e-4, 3e-4, 4e-4], [1.0] * 5, 2)
    with pytest.raises(ValueError, match="3 directions and 2 readings"):
        trace_harmonics([0, 1, 2], [1.0, 2.0], 1)
    with pytest.raises(ValueError, match="reading 1 is nan at 120"):
        trace_harmonics([0, 120, 240], [1.0, math.nan, 1.0], 1)
    with pytest.raises(ValueError, match="expected 1 or more"):
        trace_harmonics([0, 120, 240], [1.0] * 3, 0)
    fit = trace_harmonics([0, 120, 240], [1.0, 1.1, 1.0], 1)
    assert any("as many unknowns as readings" in words for words in fit.warnings)
    with pytest.raises(KeyError, match="order 4 was not fitted"):
        fit.part(4)


def test_transmission_of_the_gaussian_filter() -> None:
    """ISO 16610-21 weighting: waviness passed at λ/λc 0.25, 0.5, 1, 2, 4 is 0.0015, 6.25, 50,
    84.09, 95.76 % (recalled from memory and recomputed from α = √(ln 2/π))."""
    for ratio, percent, digits in (
        (0.25, 0.0015, 4), (0.5, 6.25, 2), (1.0, 50.0, 10), (2.0, 84.09, 2), (4.0, 95.76, 2),
    ):  # fmt: skip
        assert round(100.0 * trace_transmission(1.0 / ratio, 1.0), digits) == percent


def test_filtered_trace_is_a_gaussian_weighted_mean() -> None:
    """Against direct circular convolution with the weighting function of ISO 16610-21, width
    α·λc: SciPy's fftconvolve on three turns."""
    rng = np.random.default_rng(2)
    count, cutoff = 721, 50  # odd: the window has a middle sample
    trace = 30.0 + 0.01 * rng.standard_normal(count)
    alpha = math.sqrt(math.log(2.0) / math.pi)
    x = (np.arange(count) - count // 2) / count * cutoff
    weights = np.exp(-math.pi * (x / alpha) ** 2) / alpha
    weights /= weights.sum()
    direct = signal.fftconvolve(np.tile(trace, 3), weights, mode="same")
    middle = direct[count : 2 * count]
    assert np.array(filtered_trace(trace.tolist(), cutoff)) == pytest.approx(middle, abs=1e-9)


def test_filter_faults() -> None:
    with pytest.raises(ValueError, match="cannot show 15 undulations"):
        filtered_trace([1.0] * 30, 15)
    with pytest.raises(ValueError, match="expected above 0"):
        filtered_trace([1.0] * 30, 0)
    with pytest.raises(ValueError, match="list of numbers"):
        filtered_trace([1.0, math.nan] * 30, 2)
    with pytest.raises(ValueError, match="expected 0 or more"):
        trace_transmission(-1, 50)


def test_two_point_faults() -> None:
    with pytest.raises(UndeterminedError, match="no reading opposite 10 degrees"):
        two_point_sizes([10, 100, 280], [1.0, 1.0, 1.0])
    with pytest.raises(ValueError, match="expected as many"):
        two_point_sizes([0, 180], [1.0])
    with pytest.raises(UndeterminedError, match="2 directions or more; found 1"):
        two_point_out_of_round([100.0])
    with pytest.raises(UndeterminedError, match="2 levels or more; found 1"):
        taper([10], [100.0])
    with pytest.raises(ValueError, match="expected as many"):
        taper([10, 20], [100.0])


def test_taper_counts_a_barrel() -> None:
    found = taper([10, 60, 110], [100.00, 99.98, 100.01])
    assert found.amount == pytest.approx(0.03)
    assert (found.widest_level, found.narrowest_level, found.length) == (110, 60, 50)


def test_runout_takes_eccentricity_from_form() -> None:
    """An oval of 0.01 offset by 0.03: TIR, eccentricity and rest by written-out sums."""
    angles = np.arange(0.0, 360.0, 10.0)
    readings = [
        0.03 * math.cos(math.radians(a - 40.0)) + 0.005 * math.cos(math.radians(2.0 * a))
        for a in angles
    ]
    found = runout(angles.tolist(), readings)
    assert found.tir == pytest.approx(max(readings) - min(readings))
    assert found.eccentricity == pytest.approx(0.03)
    assert found.high == pytest.approx(40.0)
    assert found.form == pytest.approx(0.01)
    assert found.warnings == ()
    few = runout([0, 90, 180, 270], [0.0, 0.01, 0.0, 0.01])
    assert any("three lobes 7" in words for words in few.warnings)


def test_neighbours_compare_by_side() -> None:
    """Opposite highs add up, the same side subtracts, at a right angle they add as squares
    (rule as in TM 9-2815-202-34, adjacent journals; arithmetic written out)."""
    for turn, offset in ((0, 0.01), (180, 0.03), (90, math.hypot(0.01, 0.02))):
        found = shaft_bend([0, 100, 200, 300], [0, 0.02, 0.04, 0], [0, 0, turn, 0])
        assert found.neighbours[1].offset == pytest.approx(offset)
        assert found.neighbours[1].tir == pytest.approx(2.0 * offset)
    assert found.worst.direction == pytest.approx(90.0)
    assert found.worst.amount == bend_of(0.04) == 0.02


def test_bend_faults() -> None:
    with pytest.raises(ValueError, match=r"reading is -0.01; expected 0 or more"):
        bend_of(-0.01)
    with pytest.raises(ValueError, match="station 50 follows 100"):
        shaft_bend([0, 100, 50], [0, 0.02, 0], [0, 0, 0])
    with pytest.raises(ValueError, match="2 stations, 1 readings and 2 high spots"):
        shaft_bend([0, 100], [0], [0, 0])
    with pytest.raises(UndeterminedError, match="2 journals or more; found 1"):
        shaft_bend([0], [0], [0])
    words = shaft_bend([0, 100, 200], [0.01, 0.02, 0.01], [0, 0, 0]).warnings
    assert any("the supports themselves" in one for one in words)
