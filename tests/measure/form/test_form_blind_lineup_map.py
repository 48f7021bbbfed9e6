"""What readings cannot show, line-up of bores, and the bore map."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.measure.form.blind import (
    blind_spots,
    directions_to_see,
    lobe_visibility,
    straightedge_blind_spots,
)
from sparkout.measure.form.bore_map import BoreCell, bore_map, wear_map
from sparkout.measure.form.lineup import line_up
from sparkout.measure.form.records import UndeterminedError


@settings(max_examples=60, deadline=None)
@given(
    directions=st.lists(st.integers(0, 35).map(lambda k: 5.0 * k), min_size=1, max_size=6),
    lobes=st.integers(2, 9),
    two_point=st.booleans(),
)
def test_visibility_against_a_fine_scan(
    directions: list[float], lobes: int, two_point: bool
) -> None:
    """Readings of the shape itself, turned in steps of half a degree of its own period."""
    shares = []
    for turn in np.arange(0.0, 360.0, 0.5) / lobes:

        def height(angle: float, turn: float = turn) -> float:
            return math.cos(lobes * math.radians(angle - turn))

        readings = [
            0.5 * (height(a) + height(a + 180.0)) if two_point else height(a) for a in directions
        ]
        shares.append(0.5 * (max(readings) - min(readings)))
    found = lobe_visibility(directions, lobes, two_point)
    assert found.least <= min(shares) + 1e-9
    assert found.least == pytest.approx(min(shares), abs=0.02)
    assert found.greatest >= max(shares) - 1e-9
    assert found.greatest == pytest.approx(max(shares), abs=0.02)


def test_directions_needed() -> None:
    """Three directions over the half turn see an oval by at least 3/4: phases 120 degrees apart."""
    assert directions_to_see(2, 0.74) == 3
    assert lobe_visibility([0, 60, 120], 2).least == pytest.approx(0.75)
    for lobes in (2, 4, 6, 8):
        need = directions_to_see(lobes)
        spread = [180.0 * k / need for k in range(need)]
        assert lobe_visibility(spread, lobes).least >= 0.7
    with pytest.raises(UndeterminedError, match="no number of two-point readings shows 3 lobes"):
        directions_to_see(3)
    with pytest.raises(ValueError, match="share is 1"):
        directions_to_see(2, 1.0)


def test_two_directions_square_to_each_other() -> None:
    """Thrust and axial, three levels: an oval at 45 degrees and four lobes hide."""
    words = blind_spots([0, 90], [10, 60, 110])
    assert any("never show 4 and 8 lobes" in one for one in words)
    assert any("can miss 2 and 6 lobes" in one for one in words)
    assert any("5 directions evenly spread" in one for one in words)
    spread = [36.0 * k for k in range(5)]
    assert all(lobe_visibility(spread, lobes).least >= 0.7 for lobes in (2, 4, 6, 8))
    assert blind_spots(spread, [10, 60, 110])[1].startswith("Two-point readings do not show where")
    assert any("wear all on one side" in one for one in words)
    assert any("before 10 mm and after 110 mm" in one for one in words)
    assert not any("hour-glass" in one for one in words)


def test_few_levels_and_directions_are_named() -> None:
    words = blind_spots([0], [10])
    assert any("One direction shows no out-of-round" in one for one in words)
    assert any("One level (10 mm)" in one for one in words)
    assert any("hour-glass" in one for one in blind_spots([0, 45, 90, 135], [10, 100]))
    single = blind_spots([0, 45, 90, 135, 180, 225, 270, 315], [10, 60, 100], two_point=False)
    assert not any("Two-point" in one for one in single)
    with pytest.raises(ValueError, match="no levels"):
        blind_spots([0], [])
    with pytest.raises(ValueError, match="no direction"):
        lobe_visibility([], 2)
    with pytest.raises(ValueError, match="lobes is 1"):
        lobe_visibility([0], 1)


def test_a_three_lobed_part_reads_round_by_two_points() -> None:
    """Made and measured: 3 lobes of 0.02 peak to valley, every diameter the same."""
    for angle in range(0, 180, 7):
        opposite = [
            50.0 + 0.01 * math.cos(math.radians(3.0 * turn)) for turn in (angle, angle + 180)
        ]
        assert sum(opposite) == pytest.approx(100.0, abs=1e-12)
    assert lobe_visibility([0, 60, 120], 3) == (0.0, 0.0)


def test_straightedge_words_follow_the_lines() -> None:
    assert straightedge_blind_spots(2, 2, 0)[0].startswith("Twist does not show")
    assert "on one diagonal" in straightedge_blind_spots(2, 2, 1)[0]
    assert not any("Twist" in one for one in straightedge_blind_spots(2, 2, 2))
    assert any("Bow along" in one for one in straightedge_blind_spots(0, 2, 2))
    assert any("Bow across" in one for one in straightedge_blind_spots(2, 0, 2))
    with pytest.raises(ValueError, match="across is -1"):
        straightedge_blind_spots(2, -1, 2)


def test_a_twisted_face_is_straight_along_its_edges() -> None:
    """z = x·y on a grid: every row and column a straight line, both diagonals bent 0.25."""
    grid = [k / 4.0 for k in range(5)]
    for y in grid:
        heights = [x * y for x in grid]
        ends = [heights[0] + x * (heights[-1] - heights[0]) for x in grid]
        assert heights == pytest.approx(ends)
    assert max(x - x * x for x in grid) == 0.25


def test_line_up_by_hand() -> None:
    """Five bores, the middle one 0.03 low: deviations, steps and kinks written out."""
    found = line_up([0, 100, 200, 300, 400], [0, 0, -0.03, 0, 0.04])
    deviations = [0.0, -0.01, -0.05, -0.03, 0.0]
    assert [one.height for one in found.saddles] == pytest.approx(deviations, abs=1e-12)
    assert found.steps == pytest.approx((0.01, 0.04, 0.02, 0.03))
    assert found.kinks == pytest.approx((0.015, 0.03, 0.005))
    assert (found.worst, found.worst_step) == (2, 1)
    assert found.upright == found.straightness
    assert found.sideways == 0.0
    assert any("sideways" in words for words in found.warnings)


def test_line_up_in_space() -> None:
    """0.03 low and 0.04 to the side: 0.05 off, and a cylinder of half the deviation of one of
    three: the middle point of three equally spaced halves the offset."""
    found = line_up([0, 100, 200], [0, -0.03, 0], [0, 0.04, 0])
    assert found.saddles[1].off == pytest.approx(0.05)
    assert found.kinks == pytest.approx((0.05,))
    assert found.straightness == pytest.approx(0.05, abs=1e-9)
    assert (found.upright, found.sideways) == (pytest.approx(0.03), pytest.approx(0.04))
    assert found.deciders == (0, 1, 2)
    assert any("which of them" in words for words in found.warnings)


def test_line_up_faults() -> None:
    with pytest.raises(UndeterminedError, match="3 bores or more; found 2"):
        line_up([0, 1], [0, 0])
    with pytest.raises(ValueError, match="station 1 follows 1"):
        line_up([0, 1, 1], [0, 0, 0])
    with pytest.raises(ValueError, match="3 stations, 2 heights"):
        line_up([0, 1, 2], [0, 0])


READINGS = [
    (10, 0, 100.10), (10, 90, 100.06), (60, 0, 100.06), (60, 90, 100.05), (110, 0, 100.03),
]  # fmt: skip


def test_bore_map_of_a_worn_bore() -> None:
    table = bore_map(reversed(READINGS))
    assert table.levels == (10, 60, 110)
    assert table.directions == (0, 90)
    assert table.missing == ((110, 90),)
    assert table.largest == BoreCell(10, 0, 100.10)
    assert table.smallest == BoreCell(110, 0, 100.03)
    rounds = table.out_of_round()
    assert [level for level, _ in rounds] == [10, 60]
    assert [out for _, out in rounds] == pytest.approx([0.04, 0.01])
    tapers = table.tapers()
    assert [direction for direction, _ in tapers] == [0, 90]
    assert [found.amount for _, found in tapers] == pytest.approx([0.07, 0.01])


def test_wear_map_of_bore_and_journal() -> None:
    worn = wear_map(bore_map(READINGS), 100.02)
    assert worn.largest.value == pytest.approx(0.08)
    shaft = wear_map(bore_map([(10, 0, 49.98), (10, 90, 50.01)]), 50.0, journal=True)
    assert [cell.value for cell in shaft.cells] == pytest.approx([0.02, -0.01])
    with pytest.raises(ValueError, match="unworn diameter is 0"):
        wear_map(worn, 0)


def test_bore_map_faults() -> None:
    with pytest.raises(ValueError, match=r"level 10 mm, direction 0 degrees is read twice"):
        bore_map([(10, 0, 100.1), (10, 0, 100.2)])
    with pytest.raises(UndeterminedError, match="found none"):
        bore_map([])
