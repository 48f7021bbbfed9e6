"""Bolts: inverses, a numerical pressure cone, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from sparkout.mechanics.bolts.angle import angle_for_preload, preload_after_angle
from sparkout.mechanics.bolts.nut_factor import (
    nut_factor,
    preload_from_nut_factor,
    torque_from_nut_factor,
)
from sparkout.mechanics.bolts.stages import stage_torques, wrench_setting
from sparkout.mechanics.bolts.stiffness import (
    Layer,
    bolt_compliance,
    clamped_compliance,
    preload_from_stretch,
    stretch,
)
from sparkout.mechanics.bolts.threads import metric_thread, thread_of, unified_thread
from sparkout.mechanics.bolts.tightening import (
    friction_from_test,
    preload_for_torque,
    preload_range,
    tightening_torque,
)
from sparkout.mechanics.bolts.yielding import preload_at_share, yield_share

M10 = metric_thread("M10")


@settings(max_examples=80, deadline=None)
@given(
    preload=st.floats(1e3, 1e5),
    thread_friction=st.floats(0.005, 0.3),
    bearing_friction=st.floats(0.005, 0.3),
)
def test_torque_preload_and_friction_come_back(
    preload: float, thread_friction: float, bearing_friction: float
) -> None:
    torque = tightening_torque(M10, preload, thread_friction, bearing_friction, 13.0)
    back = preload_for_torque(M10, torque.total, thread_friction, bearing_friction, 13.0)
    assert back == pytest.approx(preload)
    found = friction_from_test(M10, preload, torque.total, torque.in_shank, 13.0)
    assert found.thread == pytest.approx(thread_friction, abs=1e-9)
    assert found.bearing == pytest.approx(bearing_friction, abs=1e-9)


def test_iso_16047_form_written_out() -> None:
    # The standard's own form with its rounded 1.154, friction 0.12.
    d2, p, mu, force, bearing = M10.pitch_diameter, 1.5, 0.12, 30000.0, 13.0
    thread = 0.5 * (p + 1.154 * math.pi * mu * d2) / (math.pi - 1.154 * mu * p / d2)
    expected = force * (thread + mu * bearing / 2.0) / 1000.0
    assert tightening_torque(M10, force, mu, mu, bearing).total == pytest.approx(expected, rel=1e-3)


def test_frictionless_torque_only_lifts_the_pitch() -> None:
    torque = tightening_torque(M10, 10000.0, 0.0, 0.0, 13.0)
    assert torque.total == pytest.approx(10000.0 * 1.5 / (2 * math.pi) / 1000.0)
    assert torque.thread == pytest.approx(0.0, abs=1e-12)


def test_same_torque_with_less_friction_loads_more() -> None:
    both = preload_range(M10, 50.0, 0.10, 0.16, 13.0)
    assert both.low < preload_for_torque(M10, 50.0, 0.13, 0.13, 13.0) < both.high
    # Common practice: K 0.20 to 0.15 at the same torque is a third more load.
    dry, oiled = preload_from_nut_factor(50, 10, 0.2), preload_from_nut_factor(50, 10, 0.15)
    assert oiled / dry == pytest.approx(4 / 3)
    assert nut_factor(torque_from_nut_factor(dry, 10, 0.2), dry, 10) == pytest.approx(0.2)


def test_share_of_yield() -> None:
    force = preload_at_share(M10, 0.12, 640.0)
    assert yield_share(M10, force, 0.12, 640.0).share == pytest.approx(0.9)
    assert yield_share(M10, force, 0.12, 640.0).cautions == ()
    assert [c.name for c in yield_share(M10, force * 1.05, 0.12, 640.0).cautions] == ["near_yield"]
    past = yield_share(M10, force * 1.2, 0.12, 640.0)
    assert [c.name for c in past.cautions] == ["past_yield"]
    assert past.cautions[0].value == pytest.approx(past.share * 640.0)


def test_bolt_compliance_written_out() -> None:
    # Head 0.5 d and nut 0.4 d on the nominal, engaged thread 0.5 d and free thread on the root.
    root, nominal = math.pi / 4 * M10.root_diameter**2, math.pi / 4 * 100.0
    expected = (60.0 / nominal + 25.0 / root + 9.0 / nominal) / 205e3
    assert bolt_compliance(M10, ((60.0, 10.0),), 20.0, 205e3) == pytest.approx(expected)


@pytest.mark.parametrize("tapped", [False, True])
@pytest.mark.parametrize("outside", [math.inf, 30.0])
def test_pressure_cone_against_quadrature(tapped: bool, outside: float) -> None:
    layers = (Layer(12.0, 72e3, outside), Layer(3.0, 207e3, outside), Layer(35.0, 105e3, outside))
    grip, head, hole = 50.0, 17.0, 11.0
    slope = math.tan(math.radians(30.0))

    def inverse_stiffness(z: float) -> float:
        depth = z if tapped else min(z, grip - z)
        wide = min(head + 2.0 * slope * depth, outside)
        modulus = 72e3 if z < 12.0 else 207e3 if z < 15.0 else 105e3
        return 4.0 / (math.pi * modulus * (wide**2 - hole**2))

    expected = quad(
        inverse_stiffness, 0.0, grip, points=[11.25833, 12.0, 15.0, 25.0, 38.74167], limit=200
    )[0]
    assert clamped_compliance(layers, head, hole, tapped) == pytest.approx(expected, rel=1e-8)


def test_angle_and_stretch_come_back() -> None:
    result = preload_after_angle(M10, 8000.0, 60.0, 6.62e-6, 1.21e-6)
    assert angle_for_preload(M10, 8000.0, result.preload, 6.62e-6, 1.21e-6) == pytest.approx(60.0)
    # The turn goes into stretch and squeeze: 60° of 1.5 mm pitch is 0.25 mm.
    gained = result.preload - 8000.0
    assert gained * (6.62e-6 + 1.21e-6) == pytest.approx(0.25)
    assert result.stretch == pytest.approx(stretch(result.preload, 6.62e-6))
    assert preload_from_stretch(result.stretch, 6.62e-6, M10, 940.0) == pytest.approx(
        result.preload
    )


def test_angle_past_yield_is_a_caution() -> None:
    limit = preload_at_share(M10, 0.12, 640.0, 1.0)
    result = preload_after_angle(M10, 8000.0, 120.0, 6.62e-6, 1.21e-6, yield_load=limit)
    assert [c.name for c in result.cautions] == ["past_yield"]
    assert "torque-to-yield" in result.cautions[0].text


def test_wrench_with_adaptor() -> None:
    assert wrench_setting(100.0, 400.0, 0.0) == 100.0
    assert wrench_setting(100.0, 400.0, 50.0, 90.0) == pytest.approx(100.0)
    assert wrench_setting(100.0, 400.0, 50.0, 180.0) == pytest.approx(100.0 * 400.0 / 350.0)


def test_numbered_size() -> None:
    # ASME B1.1: #10 is 0.190 in.
    assert unified_thread("#10-32").major == pytest.approx(0.190 * 25.4)
    assert unified_thread("#10 UNF").pitch == pytest.approx(25.4 / 32)
    assert unified_thread("1-8").major == pytest.approx(25.4)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: metric_thread("10x1.5"), "it has to look like M10 or M10x1.25"),
        (lambda: metric_thread("M9"), "no coarse pitch here; write it: M9x…"),
        (lambda: unified_thread("3/8"), "size and threads per inch or series"),
        (lambda: unified_thread("3/8-16 UNF"), "3/8 UNF has 24 threads per inch, not 16"),
        (lambda: unified_thread("11/32 UNC"), "UNC sizes here are"),
        (lambda: thread_of(3.0, 2.0), "pitch is 2 mm; it has to be below 1 mm"),
        (lambda: tightening_torque(M10, 1e4, 1.2, 0.1, 13.0), "thread_friction is 1.2"),
        (lambda: friction_from_test(M10, 3e4, 49.0, 60.0, 13.0), "thread_torque is 60 N·m"),
        (lambda: preload_from_stretch(0.5, 6.62e-6, M10, 640.0), "so it is past yield"),
        (lambda: stage_torques(100.0, (0.3, 0.7)), "last of shares is 0.7; it has to be 1"),
        (lambda: stage_torques(100.0, (0.7, 0.3, 1.0)), "shares hold 0.3 after 0.7"),
        (lambda: clamped_compliance((), 17.0, 11.0), "layers is empty"),
        (lambda: clamped_compliance((Layer(5.0, 1e5, 9.0),), 17.0, 11.0), "layer outside is 9 mm"),
        (lambda: preload_at_share(M10, 0.12, 640.0, 1.1), "share is 1.1"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError) as refusal:
        call()
    assert words in str(refusal.value)
