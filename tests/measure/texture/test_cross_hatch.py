"""Cross-hatch from speeds, from lines and from maps made with a known angle."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.measure.texture.hatch import (
    axial_speed_for,
    hatch_from_lines,
    hatch_from_speeds,
    stroking_speed,
    surface_speed,
)
from sparkout.measure.texture.surface_map import SurfaceMap, hatch_from_map, row_profile


@settings(deadline=None)
@given(st.floats(1.0, 179.0), st.floats(1.0, 500.0))
def test_speed_and_angle_are_each_other_s_inverse(angle: float, surface: float) -> None:
    hatch = hatch_from_speeds(axial_speed_for(angle, surface), surface)
    assert hatch.about_circumference == pytest.approx(angle)
    assert hatch.about_axis == pytest.approx(180.0 - angle)


def test_lines_are_averaged_by_the_way_they_slope() -> None:
    result, faults = hatch_from_lines([28.0, 30.0, 32.0, -24.0, -26.0])
    assert faults == ()
    assert result is not None
    assert (result.rising, result.falling, result.tilt) == (30.0, 25.0, 2.5)
    assert result.hatch.about_circumference == 55.0
    # variances of the means: 4/3 and 2/2
    assert result.u == pytest.approx(math.sqrt(4 / 3 + 1.0))


def test_lines_that_make_no_hatch_are_faults() -> None:
    result, faults = hatch_from_lines([30.0, 31.0, -30.0])
    assert result is None
    assert faults[0].found == "2 line(s) one way and 1 the other"
    result, faults = hatch_from_lines([0.0, 95.0, math.nan])
    assert result is None
    assert [f.found for f in faults] == ["0.0° as line 1", "95.0° as line 2", "nan° as line 3"]


def hatched(rising: float, falling: float, step_y: float = 0.002, seed: int = 5) -> SurfaceMap:
    """256 x 256 points with random-phase grooves of many wavelengths along two directions."""
    rng = np.random.default_rng(seed)
    x = np.arange(256)[None, :] * 0.002
    y = np.arange(256)[:, None] * step_y
    z = 0.3 * rng.normal(size=(256, 256))
    for line in (rising, -falling):
        # across a line at angle a from x the coordinate is -x sin a + y cos a
        across = -x * math.sin(math.radians(line)) + y * math.cos(math.radians(line))
        for wavelength in rng.uniform(0.012, 0.05, 25):
            z = z + np.cos(2 * np.pi * across / wavelength + rng.uniform(0, 2 * np.pi))
    z = z + 20.0 * x + 5.0 * y  # tilt
    return SurfaceMap(0.002, step_y, tuple(tuple(row) for row in z.tolist()))


@pytest.mark.parametrize(
    ("rising", "falling", "step_y"),
    [(30.0, 30.0, 0.002), (12.0, 18.0, 0.002), (60.0, 55.0, 0.002), (25.0, 40.0, 0.003)],
)
def test_a_map_gives_back_the_angle_it_was_made_with(
    rising: float, falling: float, step_y: float
) -> None:
    result, faults = hatch_from_map(hatched(rising, falling, step_y))
    assert faults == ()
    assert result is not None
    assert result.rising == pytest.approx(rising, abs=1.0)
    assert result.falling == pytest.approx(falling, abs=1.0)
    assert result.hatch.about_axis == pytest.approx(180 - result.hatch.about_circumference)


def test_a_surface_without_direction_is_said_to_have_none() -> None:
    z = np.random.default_rng(1).normal(size=(128, 128))
    surface = SurfaceMap(0.002, 0.002, tuple(tuple(row) for row in z.tolist()))
    _, faults = hatch_from_map(surface)
    assert [f.stops for f in faults] == [False]
    assert "hardly stand out" in faults[0].found


def test_maps_that_cannot_be_judged() -> None:
    gap = SurfaceMap(0.001, 0.001, ((None, *(1.0,) * 39),) * 40)
    assert hatch_from_map(gap)[1][0].found == "40 missing points"
    small = SurfaceMap(0.001, 0.001, ((1.0,) * 40,) * 20)
    assert hatch_from_map(small)[1][0].found == "40 × 20 points"
    flat = SurfaceMap(0.001, 0.001, ((0.0,) * 40,) * 40)
    assert hatch_from_map(flat)[1][0].found == "no height at all"
    assert row_profile(gap, 1)[0] is None
    assert row_profile(small, 20)[0] is not None
    with pytest.raises(ValueError, match="got row 21"):
        row_profile(small, 21)


@pytest.mark.parametrize(
    "call",
    [
        lambda: surface_speed(0.0, 100.0),
        lambda: stroking_speed(100.0, 0.0),
        lambda: hatch_from_speeds(-1.0, 10.0),
        lambda: axial_speed_for(180.0, 10.0),
    ],
)
def test_values_out_of_range_raise(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match="got"):
        call()
