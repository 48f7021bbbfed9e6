"""Forms the trade's way from raw readings, each with what its readings' errors leave of it."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from engine_makers import by_source, good_shop

from sparkout.engine.dimension import Key
from sparkout.engine.frame import Bank, CylinderKind, Layout, build_frame
from sparkout.engine.readings import Typed, read_typed
from sparkout.engine.state import measured_state
from sparkout.faults import Place

FOUR = build_frame(
    Layout.INLINE,
    (Bank("", (1, 2, 3, 4)),),
    main_bearings=5,
    cylinder_kind=CylinderKind.PARENT_BORE,
    firing_order=(1, 3, 4, 2),
)


@pytest.fixture
def sizes_of(tmp_path):
    shop = good_shop(tmp_path)

    def sizes(*rows, gauge="OM-2"):
        spots = []
        for n, (feature, characteristic, typed, level, direction) in enumerate(rows):
            row = Typed(feature, characteristic, typed, Place(), level=level, direction=direction,
                        gauge=gauge, entry=f"entry{n:02}", at="2026-06-15T08:00:00Z")  # fmt: skip
            spot, faults = read_typed(row, FOUR, shop)
            assert faults == (), faults
            spots.append(spot)
        return measured_state(FOUR, spots).sizes

    return sizes


def test_the_line_of_the_mains_is_told_from_its_ends(sizes_of):
    """Heights 5.00 5.03 5.02 5.01 5.04: the ends' line rises 0.01 a bore, so the bores lie off by
    0 0.02 0 −0.02 0: the worst 0.02, neighbours differ by at most 0.02."""
    heights = ("5.00", "5.03", "5.02", "5.01", "5.04")
    sizes = sizes_of(*((f"main housing {n}", "main line height", h, "", "")
                       for n, h in enumerate(heights, 1)))  # fmt: skip
    straight = sizes[Key("block", "main line straightness")]
    step = sizes[Key("block", "main line step")]
    assert float(straight.high.value) == pytest.approx(0.02)
    assert float(step.high.value) == pytest.approx(0.02)
    assert "OM-2 calibration" not in by_source(straight.high)  # all of them from one bar
    # bore 2 less 3/4 of the first less 1/4 of the last: √(1 + 9/16 + 1/16) steps of the scale
    assert straight.high.u == pytest.approx(
        0.001 / math.sqrt(12) * math.sqrt(1 + 10 / 16), rel=0.01
    )


def test_sideways_counts_with_upright(sizes_of):
    """Bore 3 off by 0.03 up and 0.04 sideways: 0.05 in all."""
    rows = [(f"main housing {n}", "main line height", h, "", way)
            for way, heights in (("upright", ("5", "5", "5.03", "5", "5")),
                                 ("sideways", ("7", "7", "7.04", "7", "7")))
            for n, h in enumerate(heights, 1)]  # fmt: skip
    found = sizes_of(*rows)[Key("block", "main line straightness")]
    assert float(found.high.value) == pytest.approx(0.05)
    assert found.where_high == "main housing 3"


def test_flatness_from_a_grid_of_heights(sizes_of):
    """Four corners of one plane however tilted, and the middle 0.05 above it."""
    rows = [("deck", "deck surface height", h, f"{x} mm", f"{y} mm")
            for x, y, h in ((0, 0, "1.00"), (400, 0, "1.10"), (0, 150, "1.20"), (400, 150, "1.30"),
                            (200, 75, "1.20"))]  # fmt: skip
    found = sizes_of(*rows)[Key("deck", "deck flatness")]
    assert float(found.high.value) == pytest.approx(0.05, abs=1e-6)
    assert found.high.u < 0.001
    assert by_source(found.high).get("OM-2 calibration", 0.0) < 1e-6  # of 0.001: a plane turns


def test_a_bend_is_half_its_reading_and_neighbours_add_by_sides(sizes_of):
    """TIR 0.04 at mains 2 and 3, highs opposite: centres 0.02 off to either side, 0.04 apart."""
    opposite = sizes_of(
        ("crankshaft", "crankshaft runout", "0.04", "main 2", "0 deg"),
        ("crankshaft", "crankshaft runout", "0.04", "main 3", "180 deg"),
    )
    assert opposite[Key("crankshaft", "crankshaft bend")].high.value == Fraction("0.02")
    apart = opposite[Key("crankshaft", "crankshaft neighbour bend")].high.value
    assert float(apart) == pytest.approx(0.04)
    same = sizes_of(
        ("crankshaft", "crankshaft runout", "0.04", "main 2", "90 deg"),
        ("crankshaft", "crankshaft runout", "0.03", "main 3", "90 deg"),
    )
    apart = same[Key("crankshaft", "crankshaft neighbour bend")].high.value
    assert float(apart) == pytest.approx(0.005)


def test_a_trace_parts_eccentricity_from_roundness(sizes_of):
    """0.02·cos a + 0.005·cos 3a every 30°: a centre 0.02 off; three lobes left, 0.01 in all."""
    rows = []
    for angle in range(0, 360, 30):
        a = math.radians(angle)
        typed = f"{0.02 * math.cos(a) + 0.005 * math.cos(3 * a):.6f}"
        rows.append(("main journal 3", "main journal trace", typed, "", f"{angle} deg"))
    sizes = sizes_of(*rows)
    centre = sizes[Key("main journal 3", "main journal eccentricity")]
    form = sizes[Key("main journal 3", "main journal roundness")]
    assert float(centre.high.value) == pytest.approx(0.02, abs=1e-5)
    assert float(form.high.value) == pytest.approx(0.01, abs=1e-5)
    runout = sizes[Key("crankshaft", "crankshaft runout")]
    assert float(runout.high.value) == pytest.approx(0.05, abs=1e-5)
    assert "OM-2 calibration" not in by_source(form.high)


def test_a_rod_turned_round_loses_the_fixtures_error(sizes_of):
    """0.05 as set and −0.01 turned: bend 0.03, and the fixture leans by 0.02."""
    sizes = sizes_of(
        ("rod 2", "rod bend", "0.05", "", "as set"), ("rod 2", "rod bend", "-0.01", "", "reversed")
    )
    bend = sizes[Key("rod 2", "rod bend")]
    assert bend.high.value == Fraction("0.03")
    assert "OM-2 calibration" not in by_source(bend.high)
    plain = sizes_of(("rod 2", "rod bend", "0.05", "", ""))
    assert plain[Key("rod 2", "rod bend")].high.value == Fraction("0.05")


def test_a_vacuum_drop_is_start_less_end(sizes_of):
    sizes = sizes_of(("seat I1", "vacuum level", "70 kPa", "start", ""),
                     ("seat I1", "vacuum level", "62 kPa", "end", ""), gauge="")  # fmt: skip
    assert sizes[Key("seat I1", "vacuum drop")].high.value == Fraction(8, 1000)


def test_a_piston_rocks_about_its_pin(sizes_of):
    """0.42 and 0.50 over the pin: it stands out 0.46."""
    sizes = sizes_of(("bore 1", "piston protrusion", "0.42", "front", ""),
                     ("bore 1", "piston protrusion", "0.50", "rear", ""))  # fmt: skip
    assert sizes[Key("bore 1", "piston protrusion")].high.value == Fraction("0.46")
