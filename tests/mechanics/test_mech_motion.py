"""Slider crank, compression, squish and valve to piston against brute kinematics."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from sparkout.mechanics.compression import (
    Chamber,
    chamber_volume_for_ratio,
    clearance_volume,
    compression_ratio,
    gasket_thickness_for_ratio,
    ratio_slopes,
)
from sparkout.mechanics.slider_crank import (
    SliderCrank,
    angles_at_drop,
    dead_centres,
    mean_piston_speed,
    piston_acceleration,
    piston_drop,
    piston_stroke,
    piston_velocity,
    rod_angle,
)
from sparkout.mechanics.squish import piston_to_head, squish_share, squish_velocity
from sparkout.mechanics.valve_to_piston import (
    LiftPoint,
    nearest_approach,
    pocket_side_clearance,
    valve_gap,
)

OFFSET = SliderCrank(43.0, 143.5, 1.2)
mechanisms = st.builds(
    SliderCrank,
    throw=st.floats(20.0, 80.0),
    rod=st.floats(130.0, 260.0),
    offset=st.floats(-5.0, 5.0),
)


def brute_height(mechanism: SliderCrank, degrees: float) -> float:
    """Pin height by closing the rod: the upper root of |pin − throw| = rod, found numerically."""
    angle = math.radians(degrees)
    throw = complex(mechanism.throw * math.cos(angle), mechanism.throw * math.sin(angle))

    def gap(height: float) -> float:
        return abs(complex(height, mechanism.offset) - throw) - mechanism.rod

    start = throw.real
    return float(brentq(gap, start, start + 2.0 * mechanism.rod, xtol=1e-12))


@settings(max_examples=40, deadline=None)
@given(mechanism=mechanisms, degrees=st.floats(-360.0, 720.0))
def test_drop_against_closing_the_linkage(mechanism: SliderCrank, degrees: float) -> None:
    top = minimize_scalar(
        lambda d: -brute_height(mechanism, d), bounds=(-20.0, 20.0), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    drop = -top.fun - brute_height(mechanism, degrees)
    assert piston_drop(mechanism, degrees) == pytest.approx(drop, abs=1e-7)


@pytest.mark.parametrize("degrees", [-170.0, -60.0, 0.0, 12.0, 75.0, 90.0, 180.0, 355.0])
def test_velocity_and_acceleration_are_derivatives(degrees: float) -> None:
    speed = 3000.0
    step = 0.01
    per_second = speed * 6.0
    before, here, after = (piston_drop(OFFSET, degrees + d) for d in (-step, 0.0, step))
    velocity = (after - before) / (2.0 * step) * per_second / 1000.0
    acceleration = (after - 2.0 * here + before) / step**2 * per_second**2 / 1000.0
    assert piston_velocity(OFFSET, degrees, speed) == pytest.approx(velocity, rel=1e-6, abs=1e-6)
    assert piston_acceleration(OFFSET, degrees, speed) == pytest.approx(
        acceleration, rel=1e-4, abs=0.05
    )


def test_dead_centres_are_where_the_piston_stands() -> None:
    top, bottom = dead_centres(OFFSET)
    assert piston_velocity(OFFSET, top, 1000.0) == pytest.approx(0.0, abs=1e-12)
    assert piston_velocity(OFFSET, bottom, 1000.0) == pytest.approx(0.0, abs=1e-12)
    assert piston_drop(OFFSET, top) == pytest.approx(0.0, abs=1e-12)
    assert piston_drop(OFFSET, bottom) == pytest.approx(piston_stroke(OFFSET))
    assert piston_stroke(OFFSET) > 2.0 * OFFSET.throw


@settings(max_examples=60, deadline=None)
@given(mechanism=mechanisms, part=st.floats(0.01, 0.99))
def test_angles_at_a_drop_come_back(mechanism: SliderCrank, part: float) -> None:
    drop = part * piston_stroke(mechanism)
    for angle in angles_at_drop(mechanism, drop):
        assert piston_drop(mechanism, angle) == pytest.approx(drop, abs=1e-9)
    before, after = angles_at_drop(mechanism, drop)
    assert before < dead_centres(mechanism)[0] < after


def test_mean_speed_is_the_mean_of_the_speed() -> None:
    angles = np.linspace(*dead_centres(OFFSET), 20001)
    speeds = [piston_velocity(OFFSET, a, 3000.0) for a in angles]
    down = np.trapezoid(speeds, angles) / (angles[-1] - angles[0])
    part = (angles[-1] - angles[0]) / 180.0
    assert down * part == pytest.approx(mean_piston_speed(piston_stroke(OFFSET), 3000.0), rel=1e-6)
    assert rod_angle(SliderCrank(43.0, 143.5), 270.0) == pytest.approx(-17.437, abs=1e-3)


CHAMBER = Chamber(
    bore=86.5, stroke=86.0, chamber_cm3=41.3, gasket_bore=87.4, gasket_thickness=1.15,
    deck_gap=-0.12, bowl_cm3=7.2, dome_cm3=1.4, top_land_height=6.5, top_land_gap=0.55,
    recession_change=((38.0, 0.3), (33.0, 0.5)),
)  # fmt: skip


def test_parts_of_the_clearance_volume_written_out() -> None:
    parts = clearance_volume(CHAMBER)
    q = math.pi / 4.0
    assert parts.recession == pytest.approx(q * (38.0**2 * 0.3 + 33.0**2 * 0.5) / 1000.0)
    assert parts.gasket == pytest.approx(q * 87.4**2 * 1.15 / 1000.0)
    assert parts.deck == pytest.approx(-q * 86.5**2 * 0.12 / 1000.0)
    assert parts.dome == -1.4
    assert parts.crevice == pytest.approx(q * (86.5**2 - 85.95**2) * 6.5 / 1000.0)
    assert parts.total == pytest.approx(sum(parts))


FIELDS = [name for name in Chamber._fields if name != "recession_change"]


@pytest.mark.parametrize("name", FIELDS)
def test_slopes_by_finite_differences(name: str) -> None:
    step = 1e-4
    value = getattr(CHAMBER, name)
    up = compression_ratio(CHAMBER._replace(**{name: value + step}))
    down = compression_ratio(CHAMBER._replace(**{name: value - step}))
    assert getattr(ratio_slopes(CHAMBER), name) == pytest.approx((up - down) / (2 * step), rel=1e-5)


def test_slopes_of_valve_recession_by_finite_differences() -> None:
    for place in (0, 1):
        changed = []
        for step in (1e-4, -1e-4):
            valves = list(CHAMBER.recession_change)
            valves[place] = (valves[place][0], valves[place][1] + step)
            changed.append(compression_ratio(CHAMBER._replace(recession_change=tuple(valves))))
        slope = (changed[0] - changed[1]) / 2e-4
        assert ratio_slopes(CHAMBER).valve_recession[place] == pytest.approx(slope, rel=1e-5)


def test_ratio_inverses_come_back() -> None:
    volume = chamber_volume_for_ratio(CHAMBER, 10.0)
    assert compression_ratio(CHAMBER._replace(chamber_cm3=volume)) == pytest.approx(10.0)
    thick = gasket_thickness_for_ratio(CHAMBER, 9.5)
    assert compression_ratio(CHAMBER._replace(gasket_thickness=thick)) == pytest.approx(9.5)


def test_squish_velocity_from_continuity() -> None:
    # Gas of one density; what is inside the bowl's circle gains mass through its rim, height z.
    mechanism, bore, bowl, volume, gap, speed = (
        SliderCrank(60.0, 205.0),
        100.0,
        55.0,
        45e3,
        0.9,
        2200,
    )
    step = 1e-4

    def share_inside(degrees: float) -> tuple[float, float, float]:
        z = gap + piston_drop(mechanism, degrees)
        whole = math.pi / 4.0 * bore**2 * z + volume
        return (math.pi / 4.0 * bowl**2 * z + volume) / whole, whole, z

    for degrees in (-30.0, -10.0, 8.0):
        gained = (share_inside(degrees + step)[0] - share_inside(degrees - step)[0]) / (2 * step)
        _, whole, z = share_inside(degrees)
        rate = gained * speed * 6.0  # of all the mass, a second
        expected = rate * whole / (math.pi * bowl * z) / 1000.0
        got = squish_velocity(mechanism, degrees, speed, bore, bowl, volume / 1000.0, gap)
        assert got == pytest.approx(expected, rel=1e-5)


def test_gap_to_the_head() -> None:
    assert piston_to_head(1.30, -0.48) == pytest.approx(0.82)
    assert squish_share(100.0, math.pi / 4.0 * 50.0**2) == pytest.approx(0.75)


CURVE = [
    LiftPoint(float(a), 9.0 * math.sin(math.pi * (a + 20.0) / 240.0) ** 2)
    for a in range(-20, 221, 2)
]


def brute_valve_gap(
    mechanism: SliderCrank, degrees: float, lift: float, shut_gap: float, tilt: float
) -> float:
    """Distance of the valve's face line from the pocket's floor line, from points in the plane."""
    lean = math.radians(tilt)
    stem = complex(math.sin(lean), -math.cos(lean))  # down the stem: aside + i up
    floor = stem * shut_gap + complex(0.0, -piston_drop(mechanism, degrees))
    face = stem * lift
    across = floor - face
    return across.real * stem.real + across.imag * stem.imag


@pytest.mark.parametrize(("tilt", "retard"), [(0.0, 0.0), (14.0, 0.0), (14.0, 6.0), (22.0, -8.0)])
def test_nearest_approach_against_brute_force(tilt: float, retard: float) -> None:
    angles = np.arange(-30.0, 230.0, 0.01)
    crank = [p.crank_angle + retard for p in CURVE]
    lifts = np.interp(angles, crank, [p.lift for p in CURVE], left=0.0, right=0.0)
    inside = (angles >= crank[0]) & (angles <= crank[-1])
    gaps = [
        brute_valve_gap(OFFSET, a, lift, 4.0, tilt) if ok else math.inf
        for a, lift, ok in zip(angles, lifts, inside, strict=True)
    ]
    near = nearest_approach(OFFSET, CURVE, 4.0, tilt, retard)
    best = int(np.argmin(gaps))
    assert near.gap == pytest.approx(gaps[best], abs=1e-4)
    assert near.gap <= gaps[best] + 1e-9
    assert near.crank_angle == pytest.approx(angles[best], abs=0.2)
    again = valve_gap(OFFSET, near.crank_angle, near.lift, 4.0, tilt)
    assert again == pytest.approx(near.gap)


def test_earlier_intake_comes_nearer() -> None:
    late = nearest_approach(OFFSET, CURVE, 4.0, 0.0, 5.0).gap
    early = nearest_approach(OFFSET, CURVE, 4.0, 0.0, -5.0).gap
    assert early < nearest_approach(OFFSET, CURVE, 4.0).gap < late
    # A head cut of 0.2 with stems square to the face takes 0.2 from the gap.
    assert nearest_approach(OFFSET, CURVE, 3.8).gap == pytest.approx(
        nearest_approach(OFFSET, CURVE, 4.0).gap - 0.2
    )


def test_pocket_side() -> None:
    drop = piston_drop(OFFSET, 15.0)
    side = pocket_side_clearance(OFFSET, 15.0, 1.5, 20.0)
    assert side == pytest.approx(1.5 - drop * math.sin(math.radians(20.0)))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: piston_drop(SliderCrank(43.0, 43.0), 0.0),
         "rod is 43 mm; it has to be above throw and offset together, 43 mm"),
        (lambda: angles_at_drop(OFFSET, 90.0), "drop is 90 mm; it has to lie from 0 to 86"),
        (lambda: compression_ratio(Chamber(86.0, 86.0, 3.0, 86.0, 0.0, -1.0)),
         "clearance volume is -2.8"),
        (lambda: chamber_volume_for_ratio(CHAMBER, 60.0), "gasket, deck and bowl alone"),
        (lambda: gasket_thickness_for_ratio(CHAMBER, 30.0), "without any gasket it is"),
        (lambda: piston_to_head(0.5, -0.6), "piston to head comes out at -0.1 mm: they touch"),
        (lambda: nearest_approach(OFFSET, CURVE[:2], 4.0), "lift curve has 2 points"),
        (lambda: nearest_approach(OFFSET, CURVE[::-1], 4.0), "crank angles have to rise"),
        (lambda: squish_velocity(OFFSET, 0.0, 100.0, 50.0, 60.0, 10.0, 1.0), "bore is 50 mm"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
