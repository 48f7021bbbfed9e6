"""The smaller topics: materials, temperature, ISO fits, springs, rings, gears, cam, seats."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve

from sparkout.mechanics.cam import (
    base_circle_after_regrind,
    lash_bucket,
    lash_fixed_pivot,
    lifter_preload,
    lobe_lift,
    opening,
    shim_for_lash,
    timing_shift,
    valve_lift,
)
from sparkout.mechanics.fits_iso.limits import deviations, fit, tolerance
from sparkout.mechanics.gears import (
    backlash_at_temperature,
    backlash_change,
    centre_distance_for_backlash,
)
from sparkout.mechanics.growth import clearance_at, cold_clearance_for, seizing_temperature
from sparkout.mechanics.honing import cross_hatch, strokes_for_angle
from sparkout.mechanics.leakage import inhg_from_kpa, kpa_from_inhg, leak_down_share
from sparkout.mechanics.materials import material, material_names
from sparkout.mechanics.rings import gap_at_bore, hot_gap, least_cold_gap
from sparkout.mechanics.springs.coil import (
    Spring,
    bergstraesser_factor,
    surge_frequency,
    wahl_factor,
)
from sparkout.mechanics.springs.installed import (
    height_after_head_work,
    installed_spring,
    load_at_height,
    shim_for_height,
)
from sparkout.mechanics.temperature import reading_at_reference, size_at, size_at_reference
from sparkout.mechanics.v_manifold import head_drop, manifold_cuts
from sparkout.mechanics.valve_seat import axial_sink, recession_after_work, seat_contact, seat_width

temperatures = st.floats(-150.0, 400.0)
expansions = st.floats(8e-6, 25e-6)


# Materials and temperature


def test_every_row_is_whole_and_says_where_from() -> None:
    for name in material_names():
        row = material(name)
        for constant in row[1:]:
            if constant is not None:
                assert constant.source
                assert constant.low <= constant.value <= constant.high
        assert 8e-6 < row.expansion.value < 25e-6
        assert 6e4 <= row.youngs_modulus.low <= 2.1e5
        assert row.coldest.value < 20.0 < row.hottest.value


@pytest.mark.parametrize("family", ["grey iron", "Ductile iron", "steel", "aluminium", "bronze"])
def test_a_family_without_its_grade_is_refused(family: str) -> None:
    with pytest.raises(ValueError, match="name the grade, one of"):
        material(family)


def test_grey_iron_grade_is_asked_for_with_the_reason() -> None:
    with pytest.raises(
        ValueError, match="from 66 to 138 GPa by grade; name the grade, one of: grey"
    ):
        material("grey  iron")
    with pytest.raises(ValueError, match="known are: grey iron G1800"):
        material("unobtainium")


@settings(max_examples=60, deadline=None)
@given(size=st.floats(1.0, 500.0), alpha=expansions, t=temperatures)
def test_size_comes_back(size: float, alpha: float, t: float) -> None:
    assert size_at_reference(size_at(size, alpha, t), alpha, t) == pytest.approx(size)
    # A gauge of the part's metal at the part's temperature reads the size at 20 °C.
    assert reading_at_reference(size, alpha, t, alpha, t) == pytest.approx(size)


@settings(max_examples=60, deadline=None)
@given(hot=st.floats(0.0, 0.2), th=st.floats(20, 200), ts=st.floats(20, 300), alpha=expansions)
def test_cold_clearance_leaves_the_hot_one(hot: float, th: float, ts: float, alpha: float) -> None:
    cold = cold_clearance_for(hot, 100.0, 11.4e-6, alpha, th, ts)
    assert clearance_at(100.0, 100.0 - cold, 11.4e-6, alpha, th, ts) == pytest.approx(hot, abs=1e-9)
    t = seizing_temperature(100.0, 99.9, 11.4e-6, alpha, th)
    assert clearance_at(100.0, 99.9, 11.4e-6, alpha, th, t) == pytest.approx(0.0, abs=1e-9)


# ISO 286


@settings(max_examples=150, deadline=None)
@given(
    size=st.floats(0.5, 500.0),
    letter=st.sampled_from(["d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s"]),
    grade=st.integers(5, 11),
)
def test_widths_and_mirror_images(size: float, letter: str, grade: int) -> None:
    shaft = deviations(size, f"{letter}{grade}")
    assert shaft.upper - shaft.lower == tolerance(size, grade)
    if letter == "k" and grade > 8 and size > 3:
        return
    hole = deviations(size, f"{letter.upper()}{grade}")
    assert hole.upper - hole.lower == tolerance(size, grade)
    if letter in "defgh" or letter == "js":
        assert (hole.lower, hole.upper) == (-shaft.upper, -shaft.lower)


def test_hole_basis_and_shaft_basis_give_one_fit() -> None:
    # The delta makes H7/p6 and P7/h6 the same fit (ISO 286-1, 4.3.2.5).
    for size in (5, 25, 60, 130, 300, 480):
        hole_basis, shaft_basis = fit(size, "H7/p6"), fit(size, "P7/h6")
        assert hole_basis.clearance_min == shaft_basis.clearance_min
        assert hole_basis.clearance_max == shaft_basis.clearance_max


def test_edges_of_the_steps() -> None:
    assert tolerance(50, 7) == Fraction(25, 1000)
    assert tolerance(Fraction(5001, 100), 7) == Fraction(30, 1000)
    assert deviations(65, "s6").lower == Fraction(53, 1000)
    assert deviations(65.5, "s6").lower == Fraction(59, 1000)
    assert deviations(300, "M6").upper == Fraction(-9, 1000)
    assert fit(25, "H7/k6").kind == "transition"
    assert fit(25, "H7/s6").kind == "interference"


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: tolerance(50, 4), "grade is IT4; it has to be one of IT5 to IT11"),
        (lambda: tolerance(600, 7), "size is 600 mm; it has to be above 0 and at most 500 mm"),
        (lambda: deviations(50, "H"), "tolerance class is 'H'"),
        (lambda: deviations(50, "Js7"), "tolerance class is 'Js7'"),
        (lambda: deviations(50, "K9"), "K9 is not defined above 3 mm"),
        (lambda: fit(50, "g6/H7"), "it has to be a hole class, / and a shaft class"),
    ],
)
def test_iso_refusals(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)


# Springs


@settings(max_examples=50, deadline=None)
@given(index=st.floats(4.0, 12.0))
def test_two_factors_agree_within_two_per_cent(index: float) -> None:
    assert wahl_factor(index) == pytest.approx(bergstraesser_factor(index), rel=0.02)


def test_surge_frequency_from_the_wave_speed() -> None:
    # A wave runs along the wire at d ÷ D × √(G ÷ 2ρ); fixed ends: f = speed ÷ (2 π D N).
    spring = Spring(4.0, 24.0, 6.0, 8.0, 81370.0)
    speed = 4.0 / 24.0 * math.sqrt(81370.0 * 1e6 / (2.0 * 7850.0))  # m/s
    expected = speed / (2.0 * math.pi * 0.024 * 6.0)
    assert surge_frequency(spring) == pytest.approx(expected)


def test_installed_spring_and_shims() -> None:
    tight = installed_spring(250.0, 40.0, 35.0, 38.5, 11.0, 26.0, least_margin=2.0)
    assert [c.name for c in tight.cautions] == ["coil_bind_margin"]
    assert tight.cautions[0].value == pytest.approx(1.5)
    sunk = height_after_head_work(40.0, seat_sink=0.35, face_grind=0.15)
    assert sunk == pytest.approx(40.5)
    assert shim_for_height(sunk, 40.0) == pytest.approx(0.5)


# Rings


def test_ring_gap_hot_and_cold() -> None:
    gap = least_cold_gap(100.0, 11.4e-6, 200.0, 11.4e-6, 120.0, 0.05)
    assert hot_gap(gap, 100.0, 11.4e-6, 200.0, 11.4e-6, 120.0) == pytest.approx(0.05)
    # A bore that grows more than the ring never needs more than the margin.
    assert least_cold_gap(100.0, 11.4e-6, 60.0, 21.5e-6, 120.0, 0.05) == 0.05
    assert gap_at_bore(0.40, 100.0, 100.03) == pytest.approx(0.40 + math.pi * 0.03)


# Gears


def brute_backlash(teeth: tuple[int, int], module: float, angle: float, apart: float) -> float:
    """Backlash from tooth thicknesses at the working pitch circles (half-pitch teeth)."""
    radii = [module * z / 2.0 for z in teeth]
    centre = sum(radii)
    alpha = math.radians(angle)
    working = math.acos(centre * math.cos(alpha) / (centre + apart))

    def inv(a: float) -> float:
        return math.tan(a) - a

    thick = 0.0
    for radius, z in zip(radii, teeth, strict=True):
        there = radius * (centre + apart) / centre
        thick += there * (math.pi / z + 2.0 * (inv(alpha) - inv(working)))
    pitch = 2.0 * math.pi * radii[0] * (centre + apart) / centre / teeth[0]
    return pitch - thick


@pytest.mark.parametrize("apart", [-0.02, 0.03, 0.5])
def test_backlash_from_tooth_thickness(apart: float) -> None:
    expected = brute_backlash((20, 40), 2.5, 20.0, apart)
    assert backlash_change(75.0, apart, 20.0) == pytest.approx(expected, abs=1e-12)
    if abs(apart) < 0.1:
        # Machinery's Handbook's first-order form (recalled from memory).
        first = 2.0 * apart * math.tan(math.radians(20.0))
        assert backlash_change(75.0, apart, 20.0) == pytest.approx(first, rel=0.005)


def test_backlash_wanted_and_warm() -> None:
    move = centre_distance_for_backlash(75.0, 0.06, 20.0)
    assert backlash_change(75.0, move, 20.0) == pytest.approx(0.06)
    # One metal, one temperature: backlash keeps to within its own growth.
    warm = backlash_at_temperature(0.1, 75.0, 20.0, 11.4e-6, 90.0, 11.4e-6, 90.0)
    assert warm == pytest.approx(0.1)
    helical = backlash_change(75.0, 0.03, 20.0, 25.0)
    assert helical > backlash_change(75.0, 0.03, 20.0)


# Honing


def test_both_conventions_of_the_cross_hatch() -> None:
    # Arithmetic of the trade: bore 100, 150 1/min, stroke 130, 60 double strokes: 36.6°.
    hatch = cross_hatch(100.0, 150.0, 130.0, 60.0)
    assert hatch.about_circumference == pytest.approx(36.6, abs=0.05)
    assert hatch.about_circumference + hatch.about_axis == pytest.approx(180.0)
    again = strokes_for_angle(100.0, 150.0, 130.0, hatch.about_circumference)
    assert again == pytest.approx(60.0)


# Cam and valve train


def test_lash_of_both_trains() -> None:
    # Arithmetic: drop 0.13 + 0.14 − 0.10 = 0.17; at ratio 1.5 the lash loses 0.255.
    assert lash_fixed_pivot(0.30, 1.5, pivot_drop=0.17) == pytest.approx(0.045)
    assert lash_fixed_pivot(0.30, 1.5, tip_rise=0.1, tip_grind=0.1) == pytest.approx(0.30)
    assert lash_fixed_pivot(0.30, 1.5, base_circle_loss=0.2) == pytest.approx(0.60)
    lash = lash_bucket(0.20, tip_rise=0.12)
    shim = shim_for_lash(2.80, lash, 0.20)
    assert lash_bucket(lash, shim_change=shim - 2.80) == pytest.approx(0.20)
    assert lifter_preload(0.8, 1.5, 0.2, 0.15) == pytest.approx(1.1)


def test_lift_and_base_circle() -> None:
    assert valve_lift(lobe_lift(42.61, 36.0), 1.5, 0.3) == pytest.approx(9.615)
    assert valve_lift(0.1, 1.5, 0.3) == 0.0
    after = base_circle_after_regrind(36.0, 0.4)
    assert lobe_lift(42.61 - 0.8, after) == pytest.approx(lobe_lift(42.61, 36.0))


def test_timing_shift_against_a_belt_round_two_sprockets() -> None:
    # The tight run is tangent to both sprockets, the cam's twice the crank's radius. Brute force:
    # the run's length is fixed; the cam turns until the run is that long again.
    cam, crank, distance, drop = 60.0, 30.0, 400.0, 0.4

    def run(centres: float) -> float:
        return math.sqrt(centres**2 - (cam - crank) ** 2)

    lean = math.asin((cam - crank) / distance)
    new_lean = math.asin((cam - crank) / (distance - drop))
    # Belt leaves the cam sprocket at a turned point; less straight run has to wrap the cam.
    spare = run(distance) - run(distance - drop) - (cam - crank) * (new_lean - lean)
    shift = timing_shift(-drop, cam)
    assert shift.cam_degrees == pytest.approx(math.degrees(spare / cam), rel=0.01)
    assert shift.crank_degrees == 2.0 * shift.cam_degrees > 0.0


def test_opening_at_a_checking_lift() -> None:
    curve = [(float(a), 9.0 * math.sin(math.pi * a / 240.0) ** 2) for a in range(241)]
    found = opening(curve, 1.0)
    exact = 240.0 / math.pi * math.asin(1.0 / 3.0)
    assert found.opens == pytest.approx(exact, abs=0.01)
    assert found.duration == pytest.approx(240.0 - 2.0 * exact, abs=0.02)


# Valve seats


def test_seat_width_from_points() -> None:
    # Distance of the two edges of a 45° cone, points on the cone.
    height = (38.0 - 35.5) / 2.0 * math.tan(math.radians(45.0))
    assert seat_width(38.0, 35.5, 45.0) == pytest.approx(math.hypot(1.25, height))
    assert axial_sink(0.1, 45.0) == pytest.approx(0.1 * math.sqrt(2.0))
    contact = seat_contact(38.0, 35.5, 39.0, 34.0, 45.0)
    face = seat_width(39.0, 34.0, 45.0)
    assert contact.width + contact.outer_margin + contact.inner_margin == pytest.approx(face)
    assert recession_after_work(0.95, head_cut=0.14, seat_sink=0.06) == pytest.approx(0.87)


# V manifold


@pytest.mark.parametrize(("bank", "face"), [(45.0, 45.0), (45.0, 30.0), (30.0, 50.0), (60.0, 0.0)])
def test_manifold_cuts_against_solving_the_geometry(bank: float, face: float) -> None:
    drop, beta, phi = 0.35, math.radians(bank), math.radians(face)
    port = (120.0, 200.0)
    moved_port = (port[0] - drop * math.sin(beta), port[1] - drop * math.cos(beta))
    inward = (-math.cos(phi), math.sin(phi))  # from the head's face into the manifold

    def misfit(unknown: list[float]) -> list[float]:
        cut, down = unknown
        x = port[0] + cut * inward[0]
        y = port[1] + cut * inward[1] - down
        return [x - moved_port[0], y - moved_port[1]]

    cut, down = fsolve(misfit, [0.0, 0.0])
    cuts = manifold_cuts(head_drop(0.25, 0.20, 0.10), bank, face)
    assert cuts.face_cut == pytest.approx(cut)
    assert cuts.drop == pytest.approx(down)


def test_right_angle_manifold() -> None:
    # Arithmetic: both angles 45°: 1.00 c off each face and 1.414 c down.
    cuts = manifold_cuts(1.0, 45.0, 45.0)
    assert cuts.face_cut == pytest.approx(1.0)
    assert cuts.drop == pytest.approx(math.sqrt(2.0))


def test_leak_down_and_vacuum() -> None:
    assert leak_down_share(80.0, 60.0) == 0.25
    assert inhg_from_kpa(kpa_from_inhg(18.0)) == pytest.approx(18.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: size_at(100.0, 11.4, 30.0), "expansion is 11.4 1/°C; it has to lie from 0"),
        (lambda: size_at(100.0, 1e-5, -300.0), "temperature is -300 °C; it has to be above"),
        (lambda: load_at_height(420.0, 40.0, 35.0, 55.0), "above the free length of 52 mm"),
        (lambda: installed_spring(0, 52, 35, 36.0, 11.0, 26.0), "below the solid length of 26 mm"),
        (lambda: shim_for_height(39.5, 40.0), "already below the 40 mm wanted"),
        (lambda: gap_at_bore(0.05, 100.0, 99.9), "the ring butts"),
        (lambda: backlash_change(100.0, -8.0, 20.0), "where the base circles meet"),
        (lambda: opening([(0.0, 0.0), (1.0, 1.0), (2.0, 0.0)], 2.0), "its highest lift is 1 mm"),
        (lambda: seat_contact(38.0, 33.0, 39.0, 35.0, 45.0), "wider than the valve face"),
        (lambda: seat_contact(39.5, 37.5, 39.0, 35.0, 45.0), "past the valve face's 39 mm"),
        (lambda: seat_contact(36.5, 34.5, 39.0, 35.0, 45.0), "inside the valve face's 35 mm"),
        (lambda: manifold_cuts(0.2, 45.0, 90.0), "face_angle is 90 °; it has to be below 90 °"),
        (lambda: leak_down_share(80.0, 90.0), "cylinder is 90; it has to lie from 0 to 80"),
        (lambda: lobe_lift(35.0, 36.0), "nose_height is 35 mm; it has to be 36 mm or more"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
