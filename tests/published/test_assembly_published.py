"""Tightening patterns and crank positions for valve lash against what is printed of them."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from sparkout.assembly.lash import lash_table
from sparkout.assembly.tightening import tightening_order
from sparkout.engine.frame import Bank, CylinderKind, Frame, Layout, build_frame
from sparkout.mechanics.bolts.nut_factor import preload_from_nut_factor
from sparkout.sheet.assembly_model import FastenerPlace, Pattern


def flange(bolts: int, radius: float = 120.0) -> list[FastenerPlace]:
    """Bolts numbered clockwise round a flange."""
    turns = [2 * math.pi * k / bolts for k in range(bolts)]
    return [
        FastenerPlace(str(k + 1), Fraction(round(radius * math.sin(t), 3)),
                      Fraction(round(radius * math.cos(t), 3)))
        for k, t in enumerate(turns)
    ]  # fmt: skip


# ASME PCC-1, the star (cross) pattern passes for flanges whose bolts are numbered clockwise:
# recalled from memory.
PCC_1 = {
    4: "1 3 2 4",
    8: "1 5 3 7 2 6 4 8",
    12: "1 7 4 10 2 8 5 11 3 9 6 12",
    16: "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
}


@pytest.mark.parametrize("bolts", PCC_1)
def test_cross_pattern_of_round_flanges(bolts: int) -> None:
    assert " ".join(tightening_order(flange(bolts), Pattern.CROSS)) == PCC_1[bolts]


@pytest.mark.parametrize(
    ("holes", "order"),
    [(3, "1 2 3"), (5, "1 3 5 2 4")],  # star of a five-bolt wheel or flange: common practice
)
def test_odd_numbers_go_as_a_star(holes: int, order: str) -> None:
    assert " ".join(tightening_order(flange(holes), Pattern.CROSS)) == order


def four_or_six(order: tuple[int, ...]) -> Frame:
    return build_frame(
        Layout.INLINE, (Bank("", tuple(sorted(order))),), main_bearings=len(order) + 1,
        cylinder_kind=CylinderKind.PARENT_BORE, firing_order=order,
    )  # fmt: skip


def vee(order: tuple[int, ...]) -> Frame:
    return build_frame(
        Layout.V, (Bank("left", (1, 3, 5, 7)), Bank("right", (2, 4, 6, 8))), main_bearings=5,
        cylinder_kind=CylinderKind.PARENT_BORE, firing_order=order,
    )  # fmt: skip


# Cylinder 1 at top dead centre of compression, then a full turn on: (intake, exhaust) each.
PRINTED = [
    # TM 5-3895-383-24 (US Army technical manual), page 6-60, read in a stored copy.
    (four_or_six((1, 3, 4, 2)), None, ((1, 2), (1, 3)), ((3, 4), (2, 4))),
    # The same manual, the page after: six in line.
    (four_or_six((1, 5, 3, 6, 2, 4)), None, ((1, 2, 4), (1, 3, 5)), ((3, 5, 6), (2, 4, 6))),
    # A maker's manual of a 90° V8, read in a stored copy (maker not named here): rocker bolts
    # tightened at cylinder 1, then 360° on.
    (vee((1, 8, 7, 2, 6, 5, 4, 3)), 90, ((1, 3, 4, 5), (1, 2, 7, 8)), ((2, 6, 7, 8), (3, 4, 5, 6))),
    # The other common V8 order: recalled from memory.
    (vee((1, 8, 4, 3, 6, 5, 7, 2)), 90, ((1, 2, 5, 7), (1, 3, 4, 8)), ((3, 4, 6, 8), (2, 5, 6, 7))),
]  # fmt: skip


@pytest.mark.parametrize(("frame", "angle", "first", "second"), PRINTED)
def test_two_positions_set_every_valve(
    frame: Frame, angle: int | None, first: tuple[tuple[int, ...], ...],
    second: tuple[tuple[int, ...], ...],
) -> None:  # fmt: skip
    table, faults = lash_table(frame, bank_angle=None if angle is None else Fraction(angle))
    assert faults == ()
    assert table is not None
    first_one, second_one = table.positions
    assert (first_one.cylinder, first_one.event) == (1, "firing")
    assert second_one.turn_on == 360
    for position, (intake, exhaust) in zip(table.positions, (first, second), strict=True):
        printed = {*(f"I{n}" for n in intake), *(f"E{n}" for n in exhaust)}
        assert set(position.set_here) == printed
        # At these positions nothing else may be set: the printed tables are complete.
        assert set(position.may_set) == printed


def test_a_bare_torque_is_a_third_uncertain() -> None:
    """Nut factors 0.20 dry and 0.15 oiled (torque-tension summaries, T = K·F·d): the reason a
    torque without its lubrication is refused."""
    dry = preload_from_nut_factor(80.0, 12.0, 0.20)
    oiled = preload_from_nut_factor(80.0, 12.0, 0.15)
    assert round(oiled / dry - 1, 3) == 0.333
