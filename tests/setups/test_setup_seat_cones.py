"""Seat geometry against an independent numeric model: cut the cones, drop the valve, measure."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.setups.seat_cones import Cones, cut_cones, seat_cones

ANGLE = st.sampled_from([(15.0, 30.0, 60.0), (30.0, 45.0, 60.0), (15.0, 45.0, 70.0)])


def tan(angle: float) -> float:
    return math.tan(math.radians(angle))


def cut_metal(cones: Cones, angles: tuple[float, float, float], radius: np.ndarray) -> np.ndarray:
    """Depth of the metal that is left: every cutter takes all that stands above its own cone."""
    depths = [
        cones.top_at_axis - radius * tan(angles[0]),
        cones.seat_at_axis - radius * tan(angles[1]),
        cones.throat_at_axis - radius * tan(angles[2]),
    ]
    return np.maximum(np.max(depths, axis=0), 0.0)


def seat_band(
    cones: Cones, angles: tuple[float, float, float], radius: np.ndarray
) -> tuple[float, float]:
    """Where the surface that is left is the seat's own cone: smallest and largest radius."""
    own = cones.seat_at_axis - radius * tan(angles[1])
    left = radius[np.abs(cut_metal(cones, angles, radius) - own) < 1e-12]
    return float(left.min()), float(left.max())


def dropped(
    metal: np.ndarray,
    radius: np.ndarray,
    valve: float,
    margin: float,
    face_angle: float,
    face_width: float,
) -> tuple[float, float]:
    """Let the valve's face down on the metal: recession of its head, and where it touches."""
    reach = face_width * math.cos(math.radians(face_angle))
    face = (radius <= valve / 2) & (radius >= valve / 2 - reach)
    rise = (valve / 2 - radius[face]) * tan(face_angle)
    # face depth = recession + margin + rise; nowhere deeper than the metal
    room = metal[face] - margin - rise
    return float(room.min()), 2 * float(radius[face][int(room.argmin())])


@settings(max_examples=60, deadline=None)
@given(
    ANGLE,
    st.floats(28, 48),
    st.floats(0.8, 2.0),
    st.floats(-0.2, 2.0),
    st.floats(0.3, 1.2),
    st.floats(1.0, 2.2),
)
def test_cut_and_dropped_it_measures_what_was_asked_for(
    angles: tuple[float, float, float],
    valve: float,
    margin: float,
    recession: float,
    inside: float,
    width: float,
) -> None:
    outer = valve - inside
    cones = seat_cones(valve, margin, recession, outer, width, angles[1], angles[0], angles[2])
    radius = np.linspace(outer / 2 - 4.0, outer / 2 + 3.0, 700_001)
    low, high = seat_band(cones, angles, radius)
    grid = float(radius[1] - radius[0])
    assert 2 * high == pytest.approx(cones.outer, abs=4 * grid)
    assert 2 * low == pytest.approx(cones.inner, abs=4 * grid)
    slope = math.hypot(high - low, (high - low) * tan(angles[1]))
    assert slope == pytest.approx(width, abs=8 * grid)
    metal = cut_metal(cones, angles, radius)
    sits, _ = dropped(metal, radius, valve, margin, angles[1], 4.0)
    assert sits == pytest.approx(recession, abs=1e-9)
    assert float(metal[np.argmin(np.abs(radius - high))]) == pytest.approx(
        cones.outer_depth, abs=4 * grid
    )
    assert float(metal[np.argmin(np.abs(radius - low))]) == pytest.approx(
        cones.inner_depth, abs=8 * grid
    )


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([44.0, 44.5, 45.5, 46.0]), st.floats(0.2, 1.5), st.floats(0.3, 1.0))
def test_with_an_interference_angle_it_touches_at_one_edge(
    face_angle: float, recession: float, inside: float
) -> None:
    angles = (30.0, 45.0, 60.0)
    valve, margin, width = 40.0, 1.5, 1.6
    cones = seat_cones(valve, margin, recession, valve - inside, width, 45.0, 30.0, 60.0,
                       face_angle)  # fmt: skip
    radius = np.linspace(valve / 2 - 4.0, valve / 2 + 0.5, 900_001)
    metal = cut_metal(cones, angles, radius)
    sits, touches = dropped(metal, radius, valve, margin, face_angle, 3.5)
    assert sits == pytest.approx(recession, abs=2e-5)
    assert touches == pytest.approx(cones.contact, abs=2e-4)
    assert cones.contact == (cones.outer if face_angle < 45.0 else cones.inner)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.05, 1.5), st.floats(0.05, 1.0))
def test_feeds_of_top_and_throat_move_the_edges_where_they_were_wanted(
    top_more: float, throat_more: float
) -> None:
    """Start with a seat too wide both ways; feed each narrowing cutter by what the card says from
    touching the seat's edge, and look where the edges come to lie."""
    angles = (30.0, 45.0, 60.0)
    outer, width = 39.0, 1.6
    inner = outer - 2 * width * math.cos(math.radians(45.0))
    made = cut_cones(40.0, 1.5, 0.95, outer, width, outer_now=outer + top_more,
                     inner_now=inner - throat_more)  # fmt: skip
    top = float(made.number("top cut, from touching the seat's edge").value)
    throat = float(made.number("throat cut, from touching the seat's edge").value)
    cones = seat_cones(40.0, 1.5, 0.95, outer, width)
    # a cutter touches an edge when its cone passes through it; then it is fed down
    axis = cones.seat_at_axis
    touch_top = axis - (outer + top_more) / 2 * (tan(45.0) - tan(30.0))
    touch_throat = axis + (inner - throat_more) / 2 * (tan(60.0) - tan(45.0))
    fed = cones._replace(top_at_axis=touch_top + top, throat_at_axis=touch_throat + throat)
    radius = np.linspace(outer / 2 - 4.0, outer / 2 + 2.0, 600_001)
    low, high = seat_band(fed, angles, radius)
    assert 2 * high == pytest.approx(outer, abs=1e-4)
    assert 2 * low == pytest.approx(inner, abs=1e-4)


def test_a_seat_wider_than_the_face_is_refused_by_the_numbers_that_break_it() -> None:
    with pytest.raises(ValueError, match=r"seat is 2 mm wide, wider than the valve face, 1\.5 mm"):
        cut_cones(40, 1.5, 0.95, 39, 2.0, face_width=1.5)
    with pytest.raises(ValueError, match="inside the valve face's"):
        # 40 − 2 × 1.7 × cos 45° = 37.596; seat inner 38.5 − 1.6 × 1.414 = 36.237
        cut_cones(40, 1.5, 0.95, 38.5, 1.6, face_width=1.7)
    with pytest.raises(ValueError, match="past the valve's 40 mm"):
        seat_cones(40.0, 1.5, 0.95, 40.5, 1.6)


def test_angles_have_to_get_steeper_inwards() -> None:
    with pytest.raises(ValueError, match="each has to be steeper"):
        seat_cones(40.0, 1.5, 0.95, 39.0, 1.6, 45.0, 50.0, 60.0)
    with pytest.raises(ValueError, match="each has to be steeper"):
        seat_cones(40.0, 1.5, 0.95, 39.0, 1.6, 45.0, 30.0, 40.0)


def test_a_cut_past_the_edge_wanted_is_refused() -> None:
    with pytest.raises(ValueError, match="past the edge wanted already"):
        cut_cones(40, 1.5, 0.95, 39.0, 1.6, outer_now=38.8)


def test_face_left_each_side_adds_up_to_the_face() -> None:
    made = cut_cones(40, 1.5, 0.95, 39.0, 1.6, face_width=3.0)
    outside = float(made.number("face left outside the seat").value)
    inside = float(made.number("face left inside the seat").value)
    assert outside + 1.6 + inside == pytest.approx(3.0, abs=1e-5)
    # (40 − 39) ÷ (2 cos 45°)
    assert outside == pytest.approx(0.7071, abs=1e-4)
