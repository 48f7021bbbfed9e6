"""Crank positions for valve lash, held against a cam that is turned and watched.

The simulation knows nothing of the table: it lays out every opening of every valve as a stretch of
crank angle over several cycles, and a valve is on its base circle where no stretch covers it.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.assembly.base_circle import ASSUMED, clear_of_lobe
from sparkout.assembly.feeler import feeler_pair
from sparkout.assembly.lash import LashTable, lash_table
from sparkout.assembly.phases import firing_phases
from sparkout.engine.frame import Bank, CylinderKind, Frame, Layout, build_frame
from sparkout.sheet.assembly_model import CamEvents, LashSpec, LashValues
from sparkout.sheet.model import Bounds

F = Fraction


def engine(
    order: tuple[int, ...],
    layout: Layout = Layout.INLINE,
    banks: tuple[Bank, ...] = (),
    pins: tuple[tuple[int, ...], ...] = (),
    valves: int = 1,
) -> Frame:
    rows = banks or (Bank("", tuple(sorted(order))),)
    return build_frame(
        layout, rows, main_bearings=len(order) + 1, cylinder_kind=CylinderKind.PARENT_BORE,
        firing_order=order, intakes=valves, exhausts=valves, rods_on_pin=pins,
    )  # fmt: skip


class TurnedCam:
    """A cam whose lift is sin² over each opening, ramps included, for as long as it is turned."""

    def __init__(self, firing: Mapping[int, Fraction], events: CamEvents) -> None:
        self.firing = firing
        ramp = events.ramp or F(0)
        self.stretch = {
            "I": (events.intake_opens - ramp, events.intake_closes + ramp),
            "E": (events.exhaust_opens - ramp, events.exhaust_closes + ramp),
        }

    def lifted(self, valve: str, crank: Fraction) -> bool:
        cylinder = int("".join(ch for ch in valve if ch.isdigit()))
        opens, closes = self.stretch[valve[0]]
        # Firing of this cylinder in five cycles about the one looked at.
        fired = [self.firing[cylinder] + 720 * turn for turn in range(-2, 3)]
        return any(start + opens < crank < start + closes for start in fired)


def held_against(table: LashTable, frame: Frame, cam: TurnedCam) -> None:
    """May be set: exactly what is not lifted there. Set: every valve once, where it may be."""
    for position in table.positions:
        resting = {v for v in frame.valves if not cam.lifted(v, position.angle)}
        # The very end of a ramp is no place to set a valve.
        edge = {
            v for v in resting
            if any(cam.lifted(v, position.angle + by) for by in (F(-1, 100), F(1, 100)))
        }  # fmt: skip
        assert set(position.may_set) == resting - edge
        assert set(position.set_here) <= set(position.may_set)
    every = [valve for position in table.positions for valve in position.set_here]
    assert sorted(every) == sorted(frame.valves)


def fewest(frame: Frame, cam: TurnedCam, firing: Mapping[int, Fraction]) -> int:
    centres = sorted({(a + half) % 720 for a in firing.values() for half in (0, 360)})
    clear = {
        c: {v for v in frame.valves
            if not any(cam.lifted(v, c + d) for d in (F(-1, 100), F(0), F(1, 100)))}
        for c in centres
    }  # fmt: skip
    for size in range(1, len(centres) + 1):
        for group in combinations(centres, size):
            if set().union(*(clear[c] for c in group)) == set(frame.valves):
                return size
    raise AssertionError("no set of top dead centres does all valves")


@st.composite
def events(draw: st.DrawFn) -> CamEvents:
    """Openings from short to very long; opening and closing anywhere a cam has them."""
    return CamEvents(
        F(360 - draw(st.integers(-20, 60))),
        F(540 + draw(st.integers(0, 90))),
        F(180 - draw(st.integers(0, 90))),
        F(360 + draw(st.integers(-20, 60))),
        F(draw(st.integers(0, 40))),
    )


@st.composite
def even_engines(draw: st.DrawFn) -> Frame:
    count = draw(st.integers(1, 12))
    order = tuple(draw(st.permutations(range(1, count + 1))))
    return engine(order, valves=draw(st.sampled_from([1, 2])))


@given(even_engines(), events())
@settings(max_examples=60, deadline=None)
def test_even_firing_of_one_to_twelve_cylinders(frame: Frame, cams: CamEvents) -> None:
    table, faults = lash_table(frame, LashSpec("adjuster", events=cams))
    assert table is not None, faults
    firing = {c: F(720) * k / len(frame.firing_order) for k, c in enumerate(frame.firing_order)}
    cam = TurnedCam(firing, cams)
    held_against(table, frame, cam)
    assert len(table.positions) == fewest(frame, cam, firing)
    angles = [position.angle for position in table.positions]
    assert angles == sorted(angles)
    assert [p.turn_on for p in table.positions[1:]] == [b - a for a, b in pairwise(angles)]


@given(st.data(), events())
@settings(max_examples=60, deadline=None)
def test_odd_firing_by_given_angles(data: st.DataObject, cams: CamEvents) -> None:
    count = data.draw(st.integers(2, 12))
    rest = data.draw(
        st.lists(st.integers(1, 719), min_size=count - 1, max_size=count - 1, unique=True)
    )
    angles = tuple(F(a) for a in sorted([0, *rest]))
    order = tuple(data.draw(st.permutations(range(1, count + 1))))
    frame = engine(order)
    spec = LashSpec("adjuster", events=cams, firing_angles=angles)
    table, faults = lash_table(frame, spec)
    assert table is not None, faults
    firing = dict(zip(order, angles, strict=True))
    held_against(table, frame, TurnedCam(firing, cams))


@given(st.integers(1, 12))
def test_the_assumed_window_holds_any_shorter_cam(count: int) -> None:
    """What may be set with the assumed events may be set with every cam that opens less long."""
    frame = engine(tuple(range(1, count + 1)))
    table, _ = lash_table(frame)
    assert table is not None
    firing = {c: F(720) * k / count for k, c in enumerate(frame.firing_order)}
    for shorter in (0, 25, 60):
        cut = F(shorter)
        less = CamEvents(
            ASSUMED.intake_opens + cut / 2,
            ASSUMED.intake_closes - cut,
            ASSUMED.exhaust_opens + cut,
            ASSUMED.exhaust_closes - cut / 2,
            F(20) - cut / 4,
        )
        cam = TurnedCam(firing, less)
        for position in table.positions:
            assert not any(cam.lifted(valve, position.angle) for valve in position.may_set)
    assert any("rule of thumb" in said for said in table.assumptions)


# Pins and banks


def v_engine(
    order: tuple[int, ...], first: tuple[int, ...], second: tuple[int, ...], shared: bool = True
) -> Frame:
    pins = tuple(zip(first, second, strict=True)) if shared else ()
    return engine(order, Layout.V, (Bank("left", first), Bank("right", second)), pins)


def test_a_v8_of_ninety_degrees_fires_evenly_from_its_pins() -> None:
    """Pins at 0, 90, 270, 180 and a second bank a quarter turn on make 90° intervals, by the
    geometry of top dead centre: pin in line with bank (worked out by hand, pin by pin)."""
    frame = v_engine((1, 8, 4, 3, 6, 5, 7, 2), (1, 3, 5, 7), (2, 4, 6, 8))
    spec = LashSpec(pin_angles=(F(0), F(90), F(270), F(180)))
    phases, faults = firing_phases(frame, spec, F(90))
    assert faults == ()
    assert phases is not None
    assert phases.even
    assert list(phases.firing.items())[:3] == [(1, 0), (8, 90), (4, 180)]


def test_a_v6_of_ninety_degrees_on_common_pins_fires_oddly() -> None:
    """Three common pins 120° apart under a 90° bank: 90 and 150 degrees by turns (90 within a pin,
    240 − 90 to the next)."""
    frame = v_engine((1, 2, 3, 4, 5, 6), (1, 3, 5), (2, 4, 6))
    table, (fault,) = lash_table(frame, bank_angle=F(90))
    assert table is None
    assert "cannot fire evenly" in fault.found
    spec = LashSpec(firing_angles=tuple(F(a) for a in (0, 90, 240, 330, 480, 570)))
    table, faults = lash_table(frame, spec, bank_angle=F(90))
    assert faults == ()
    assert table is not None
    held_against(table, frame, TurnedCam(
        dict(zip(range(1, 7), spec.firing_angles, strict=True)), ASSUMED))  # fmt: skip


def test_an_odd_v6_is_worked_out_from_its_pins() -> None:
    """The same from pin angles: pins follow each other 240° (so 120° back) in firing order."""
    frame = v_engine((1, 2, 3, 4, 5, 6), (1, 3, 5), (2, 4, 6))
    phases, faults = firing_phases(frame, LashSpec(pin_angles=(F(0), F(120), F(240))), F(90))
    assert faults == ()
    assert phases is not None
    assert [int(a) for a in phases.firing.values()] == [0, 90, 240, 330, 480, 570]
    assert not phases.even


def test_flat_fours_and_twins() -> None:
    """Boxer four: opposed cylinders on own pins half a turn apart, banks half a turn apart."""
    four = engine((1, 3, 2, 4), Layout.FLAT, (Bank("a", (1, 3)), Bank("b", (2, 4))))
    table, faults = lash_table(four, bank_angle=F(180))
    assert faults == ()
    assert table is not None
    assert len(table.positions) == 2
    side_by_side = engine((1, 2))
    phases, _ = firing_phases(side_by_side, LashSpec(pin_angles=(F(0), F(0))))
    assert phases is not None
    assert dict(phases.firing) == {1: 0, 2: 360}
    # Pins half a turn apart: 180 and 540, or 540 and 180; only the sheet can say which.
    phases, (fault,) = firing_phases(side_by_side, LashSpec(pin_angles=(F(0), F(180))))
    assert phases is None
    assert fault.found == "pin angles that do not fit the firing order"
    assert "firing angles" in fault.remedy


def test_what_cannot_be_known_is_a_fault() -> None:
    frame = engine((1, 3, 4, 2))
    assert lash_table(frame, cycle="two-stroke diesel")[0] is None
    _, (fault,) = firing_phases(frame, LashSpec(pin_angles=(F(0), F(180))))
    assert (fault.found, fault.expected) == ("2 angles", "one for each of the 4 crankpins")
    vee = v_engine((1, 2), (1,), (2,))
    _, (fault,) = firing_phases(vee, LashSpec(pin_angles=(F(0),)))
    assert fault.expected == "the angle between the banks"


def test_positions_the_sheet_asks_for_are_held_to_the_definition() -> None:
    frame = engine((1, 3, 4, 2))
    one, faults = lash_table(frame, LashSpec(positions=("1 firing", "1 overlap")))
    assert faults == ()
    assert one is not None
    assert [p.angle for p in one.positions] == [0, 360]
    each, _ = lash_table(frame, LashSpec(positions=("each cylinder firing",)))
    assert each is not None
    assert [p.cylinder for p in each.positions] == [1, 3, 4, 2]
    assert all({f"I{p.cylinder}", f"E{p.cylinder}"} <= set(p.may_set) for p in each.positions)
    none, (fault,) = lash_table(frame, LashSpec(positions=("1 firing",)))
    assert none is None
    assert fault.found == "'1 firing', where E2, I3, I4, E4 are never on the base circle"


def test_a_cam_too_long_for_any_mark_is_told() -> None:
    long = CamEvents(F(190), F(700), F(10), F(530), F(40))
    table, (fault,) = lash_table(engine((1,)), LashSpec(events=long))
    assert table is None
    assert "on no base circle" in fault.found


def test_clear_of_lobe_at_its_edges() -> None:
    cam = CamEvents(F(350), F(580), F(140), F(370), F(10))
    assert clear_of_lobe("intake", F(340), cam) == 0  # the ramp begins
    assert clear_of_lobe("intake", F(341), cam) == -1
    assert clear_of_lobe("intake", F(590), cam) == 0  # the ramp ends
    assert clear_of_lobe("intake", F(600), cam) == 10
    assert clear_of_lobe("intake", F(600 - 720), cam) == 10
    with pytest.raises(ValueError, match="'inlet'"):
        clear_of_lobe("inlet", F(0))


# Blades


@given(st.integers(1, 200), st.integers(1, 40), st.sampled_from(["mm", "inch"]))
def test_a_pair_proves_what_it_says(low: int, wide: int, system: str) -> None:
    """Any gap the pair lets pass lies within the limits: go is no thinner than the least, no-go no
    thicker than the largest."""
    step = F(1, 200)  # half a hundredth: limits that fall between blades
    least, most = low * step, (low + wide) * step
    try:
        pair = feeler_pair(least, most, system)
    except ValueError:
        blade = F(1, 100) if system == "mm" else F(254, 10000)
        inside = [k for k in range(1, 400) if least <= k * blade <= most]
        assert len(inside) < 2
        return
    assert least <= pair.go < pair.no_go <= most
    assert not pair.thumb


def test_blades_as_the_shop_calls_them() -> None:
    """TM 5-3820-233-12 (US Army technical manual, read as an excerpt): .011 passes, .013 does not,
    for a lash of .012 in."""
    inch = F(254, 10)
    pair = feeler_pair(inch * F(12, 1000), inch * F(12, 1000), "inch")
    assert (pair.words, pair.thumb) == ("11 goes, 13 does not (thousandths)", True)
    assert feeler_pair(F("0.25"), F("0.25")).words == "23 goes, 27 does not (hundredths)"
    for wrong in ((F(0), F(1)), (F("0.3"), F("0.2")), (F("0.301"), F("0.309"))):
        with pytest.raises(ValueError, match="gap"):
            feeler_pair(*wrong)


def test_figures_are_given_to_each_valve() -> None:
    frame = engine((1, 2), valves=2)
    cold = LashValues(
        Bounds(F("0.30"), F("0.35"), "0.30 to 0.35 mm"), Bounds(F("0.4"), F("0.4"), "0.4")
    )
    table, faults = lash_table(frame, LashSpec("adjuster", cold))
    assert faults == ()
    assert table is not None
    intake, exhaust = table.valve("I2b"), table.valve("E1a")
    assert intake is not None
    assert exhaust is not None
    assert intake.cold_pair is not None
    assert intake.cold_pair.words == "30 goes, 35 does not (hundredths)"
    assert exhaust.cold_pair is not None
    assert exhaust.cold_pair.thumb
    assert any("either side of it (a rule of thumb)" in said for said in table.assumptions)
    narrow = LashValues(Bounds(F("0.301"), F("0.309"), "0.301 to 0.309 mm"))
    table, (fault,) = lash_table(frame, LashSpec("adjuster", narrow))
    assert table is not None
    assert not fault.stops
    assert "no two blades" in fault.found
