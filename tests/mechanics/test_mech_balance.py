"""Shaking forces and couples against a brute sum over the turn, and known layouts."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.mechanics.balance.bob_weight import bob_weight, permissible_unbalance, rod_ends
from sparkout.mechanics.balance.shaking import Cylinder, Shaking, rotating_unbalance, shaking
from sparkout.mechanics.slider_crank import SliderCrank, piston_acceleration

THROW, ROD, SPEED = 40.0, 140.0, 3000.0
OMEGA = SPEED * math.pi / 30.0
UNIT = 1.0 * THROW * OMEGA**2 * 1e-6  # force of one gram, N


def line(angles: list[float], spacing: float = 100.0, bank: float = 0.0) -> list[Cylinder]:
    middle = (len(angles) - 1) / 2.0
    return [
        Cylinder(angle, (number - middle) * spacing, bank, 1.0)
        for number, angle in enumerate(angles)
    ]


def run(cylinders: list[Cylinder]) -> Shaking:
    return shaking(cylinders, THROW, ROD, SPEED)


def brute(cylinders: list[Cylinder], order: int, couple: bool) -> np.ndarray:
    """The vector at every half degree of the crank, added up cylinder by cylinder."""
    crank = np.radians(np.arange(0.0, 720.0, 0.5))
    total = np.zeros_like(crank, dtype=complex)
    for c in cylinders:
        phase = crank + math.radians(c.throw_angle - c.bank_angle)
        size = c.mass * UNIT * (1.0 if order == 1 else THROW / ROD)
        along = size * np.cos(order * phase)
        arm = c.position / 1000.0 if couple else 1.0
        total += along * arm * np.exp(1j * math.radians(c.bank_angle))
    return total


def assert_matches(cylinders: list[Cylinder]) -> None:
    result = run(cylinders)
    for order, couple, got in (
        (1, False, result.primary_force),
        (2, False, result.secondary_force),
        (1, True, result.primary_couple),
        (2, True, result.secondary_couple),
    ):
        vectors = brute(cylinders, order, couple)
        scale = max(np.abs(vectors).max(), 1e-9)
        assert got.largest == pytest.approx(np.abs(vectors).max(), rel=1e-4, abs=1e-9)
        assert got.smallest == pytest.approx(np.abs(vectors).min(), abs=2e-2 * scale)
        turned = [got.at(order * 0.5 * i) for i in range(0, 1440, 37)]
        assert np.allclose(turned, vectors[::37], atol=1e-9 * scale + 1e-12)


cylinder = st.builds(
    Cylinder,
    throw_angle=st.floats(0.0, 360.0),
    position=st.floats(-400.0, 400.0),
    bank_angle=st.sampled_from([-90.0, -45.0, -30.0, 0.0, 30.0, 36.0, 45.0, 90.0]),
    mass=st.floats(100.0, 2000.0),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(cylinder, min_size=1, max_size=8))
def test_any_layout_against_the_brute_sum(cylinders: list[Cylinder]) -> None:
    assert_matches(cylinders)


def v_engine(pins: list[float], bank: float, spacing: float = 100.0, split: float = 0.0) -> list:
    middle = (len(pins) - 1) / 2.0
    return [
        Cylinder(pin + (split if side > 0 else 0.0), (n - middle) * spacing, side * bank / 2.0, 1.0)
        for n, pin in enumerate(pins)
        for side in (-1, 1)
    ]


def test_two_terms_are_close_to_the_true_acceleration() -> None:
    mechanism = SliderCrank(THROW, ROD)
    single = run([Cylinder(0.0, 0.0)])
    for degrees in range(0, 360, 15):
        # The inertia force of a gram is outwards where the piston accelerates downwards.
        true = piston_acceleration(mechanism, degrees, SPEED) * 1e-3
        two = single.primary_force.at(degrees) + single.secondary_force.at(2 * degrees)
        # The next terms of the series are λ³ ÷ 4 (cos 2φ − cos 4φ).
        assert two.real == pytest.approx(true, abs=0.6 * (THROW / ROD) ** 3 * UNIT)


# Known results of balancing theory (recalled from memory; each also follows from the brute sum),
# in units of one cylinder's m a ω² [force] or that times the spacing [couple], λ = a ÷ l.
def test_inline_three() -> None:
    r = run(line([0.0, 240.0, 120.0]))
    assert r.primary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert r.secondary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert r.primary_couple.largest / UNIT / 0.1 == pytest.approx(math.sqrt(3.0))
    assert r.secondary_couple.largest / UNIT / 0.1 == pytest.approx(math.sqrt(3.0) * THROW / ROD)


def test_inline_four_has_four_secondaries() -> None:
    r = run(line([0.0, 180.0, 180.0, 0.0]))
    assert r.primary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert r.primary_couple.largest == pytest.approx(0.0, abs=1e-9)
    assert r.secondary_force.largest / UNIT == pytest.approx(4.0 * THROW / ROD)


def test_inline_six_is_balanced() -> None:
    r = run(line([0.0, 120.0, 240.0, 240.0, 120.0, 0.0]))
    assert max(order.largest for order in r) == pytest.approx(0.0, abs=1e-9)


def test_flat_twin_leaves_a_couple() -> None:
    r = run([Cylinder(0.0, 20.0, 90.0), Cylinder(180.0, -20.0, -90.0)])
    assert r.primary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert r.secondary_force.largest == pytest.approx(0.0, abs=1e-9)
    assert r.primary_couple.largest / UNIT == pytest.approx(0.040)


def test_cross_plane_v_eight() -> None:
    # 90° V, pins 0, 90, 270, 180: no forces; the primary couple turns with the crank, √10 of a
    # cylinder's times the spacing, so counterweights take all of it. No secondaries.
    r = run(v_engine([0.0, 90.0, 270.0, 180.0], 90.0))
    for order in (r.primary_force, r.secondary_force, r.secondary_couple):
        assert order.largest == pytest.approx(0.0, abs=1e-9)
    assert abs(r.primary_couple.backward) == pytest.approx(0.0, abs=1e-9)
    assert abs(r.primary_couple.forward) / UNIT / 0.1 == pytest.approx(math.sqrt(10.0))


def test_half_the_reciprocating_weight_leaves_nothing_on_a_right_angle_twin() -> None:
    twin = v_engine([0.0], 90.0)
    forward = run(twin).primary_force.forward
    # Counterweight opposite the pin at crank radius that undoes the forward phasor, in grams.
    assert abs(forward) / UNIT == pytest.approx(bob_weight(1e-12, 1.0, 2, 0.5))
    assert abs(run(twin).primary_force.backward) == pytest.approx(0.0, abs=1e-9)


def test_rotating_unbalance() -> None:
    force, couple = rotating_unbalance(
        ((500.0, 40.0, 0.0, 10.0), (500.0, 40.0, 120.0, 20.0), (500.0, 40.0, 240.0, 30.0))
    )
    assert abs(force) == pytest.approx(0.0, abs=1e-9)
    # Arithmetic: 20000 × |10 + 20 e^(i120°) + 30 e^(i240°)| = 20000 × √300.
    assert abs(couple) == pytest.approx(20000.0 * math.sqrt(300.0))


def test_permissible_unbalance_and_its_planes() -> None:
    # Arithmetic: 1000 × 6.3 × 20 ÷ (6000 × π ÷ 30) = 200.5 g·mm; nearer plane takes more.
    allowed = permissible_unbalance(6.3, 20.0, 6000.0, 100.0, 300.0)
    assert allowed.whole == pytest.approx(126000.0 / (200.0 * math.pi))
    assert allowed.left == pytest.approx(0.75 * allowed.whole)
    assert allowed.left + allowed.right == pytest.approx(allowed.whole)
    assert rod_ends(640.0, 450.0) == (450.0, 190.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: shaking([], 40.0, 140.0, 3000.0), "cylinders is empty"),
        (lambda: shaking(line([0.0]), 40.0, 40.0, 3000.0), "rod is 40 mm"),
        (lambda: rod_ends(400.0, 450.0), "total is 400 g; it has to be above 450 g"),
        (lambda: bob_weight(500.0, 700.0, 3, 0.5), "rods_per_pin is 3"),
        (lambda: permissible_unbalance(0.0, 20.0, 6000.0), "grade is 0 mm/s"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
