"""Each picture shows what its record says, in the right place."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import pytest
from drawing_samples import EVERY, USUAL

from sparkout.drawings.bore_map import BoreMap, bore_map
from sparkout.drawings.clearance_bars import BeforeAfter, ClearanceTable, clearance_bars
from sparkout.drawings.control_chart import ControlChart, ControlPanel, control_chart
from sparkout.drawings.crosshatch import Crosshatch, crosshatch
from sparkout.drawings.effects import Effect, EffectTable, Move, effect_table
from sparkout.drawings.engine_plan import Bank, EnginePlan, Layout, engine_plan
from sparkout.drawings.fasteners import Fastener, FastenerMap, fastener_map
from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.drawings.liner import LinerSection, liner_section
from sparkout.drawings.offers import Offer, OfferTable, offers_picture
from sparkout.drawings.palette import ORANGE, Verdict, colour_of
from sparkout.drawings.price_forecast import PriceForecast, price_forecast
from sparkout.drawings.roundness import FittedCircle, RoundnessTrace, roundness_trace
from sparkout.drawings.seat import SeatCut, contact_width
from sparkout.drawings.strip import Spot
from sparkout.drawings.surface_map import SurfaceMap, surface_map
from sparkout.drawings.work_order import Operation, Precedence, WorkState, work_order

SVG = "{http://www.w3.org/2000/svg}"


def read(picture: str) -> ET.Element:
    return ET.fromstring(picture)


def texts(picture: str) -> list[str]:
    return ["".join(node.itertext()) for node in read(picture).iter(f"{SVG}text")]


def text_at(picture: str, words: str) -> tuple[float, float]:
    """Where the first text with these words stands."""
    for node in read(picture).iter(f"{SVG}text"):
        if "".join(node.itertext()) == words:
            return float(node.attrib["x"]), float(node.attrib["y"])
    raise AssertionError(f"no text {words!r}")


def desc(picture: str) -> str:
    found = read(picture).findtext(f"{SVG}desc")
    assert found
    return found


def shapes(picture: str, tag: str, **look: str) -> list[ET.Element]:
    wanted = {key.replace("_", "-"): value for key, value in look.items()}
    return [
        node
        for node in read(picture).iter(SVG + tag)
        if all(node.get(key) == value for key, value in wanted.items())
    ]


def test_cylinders_run_from_the_front_on_the_left() -> None:
    made = engine_plan(
        EnginePlan(
            Layout.V,
            (
                Bank("Right", (Spot("2", Verdict.OK), Spot("4", Verdict.OUT))),
                Bank("Left", (Spot("1", Verdict.OK), Spot("3", Verdict.OK))),
            ),
            firing_order=("1", "3", "4", "2"),
        )
    )
    assert text_at(made, "FRONT")[0] < text_at(made, "2")[0] < text_at(made, "4")[0]
    assert text_at(made, "4")[0] < text_at(made, "FLYWHEEL END")[0]
    assert text_at(made, "2")[1] < text_at(made, "1")[1]
    assert "Firing order 1–3–4–2" in texts(made)
    assert "4 OUT" in desc(made)


def test_bore_map_marks_what_is_outside_and_what_is_missing() -> None:
    made = bore_map(
        BoreMap("B", (10, 60), (("thrust", 0), ("axial", 90)), ((21, None), (-3, 20)),
                low=-2, high=20)
    )  # fmt: skip
    assert "2 of 3 readings outside the limits" in desc(made)
    frames = shapes(made, "rect", stroke_width="2.5")
    assert len(frames) == 2
    shown = texts(made)
    assert {"+21", "−3", "+20", "–"} <= set(shown)
    x, y = text_at(made, "+21")
    assert (x, y) != text_at(made, "−3")
    assert x < text_at(made, "+20")[0]
    assert y < text_at(made, "−3")[1]


def test_limit_bar_places_reading_between_its_limits() -> None:
    made = limit_bars(
        (LimitBar("d", Verdict.OK, 5.0, expanded=1.0, new=(0.0, 10.0), guard=1.0, decimals=1),)
    )
    low, high = text_at(made, "new 0.0")[0], text_at(made, "new 10.0")[0]
    assert low < high
    diamonds = shapes(made, "polygon", fill=colour_of(Verdict.OK))
    middle = float(diamonds[0].attrib["points"].split(",")[0])
    # Lines of the limits are drawn at the limits: the reading is halfway between them.
    edges = sorted(
        float(n.attrib["x1"]) for n in shapes(made, "line", stroke_width="2") if "x1" in n.attrib
    )
    assert middle == pytest.approx((edges[0] + edges[-1]) / 2, abs=0.02)
    whiskers = sorted({float(n.attrib["x1"]) for n in shapes(made, "line", stroke_width="1.4")})
    per_unit = (edges[-1] - edges[0]) / 10
    assert whiskers[0] == pytest.approx(middle - per_unit, abs=0.02)


def test_a_limit_that_is_not_given_is_said() -> None:
    made = limit_bars((LimitBar("d", Verdict.NOT_MEASURED, 5.0),))
    assert "no limit given" in texts(made)
    assert "no limit given" in desc(made)


def test_clearances_show_both_states() -> None:
    made = clearance_bars(
        ClearanceTable(
            "Clearance",
            (BeforeAfter("Cylinder 1", 0.2, Verdict.OUT, None, Verdict.NOT_MEASURED),),
            0.08,
            0.11,
        )
    )
    assert {"0.200", "–", "limit 0.080", "limit 0.110", "OUT", "NOT MEASURED"} <= set(texts(made))


def test_control_chart_flags_the_right_point() -> None:
    made = control_chart(
        ControlChart("C", (ControlPanel("x", (1.0, 2.0, 9.0), 2, 0, 4, ("", "", "1")),))
    )
    assert "1 flagged: point 3 (rule 1)" in desc(made)
    assert len(shapes(made, "circle")) == 2
    with pytest.raises(ValueError, match="3 flags for 2 points"):
        control_chart(ControlChart("C", (ControlPanel("x", (1.0, 2.0), flags=("", "", "1")),)))


def test_forecast_says_what_the_percentiles_mean() -> None:
    made = price_forecast(PriceForecast("P", 100, 200, 400, "EUR"))
    xs = [
        text_at(made, f"{p} EUR\u00a0{v}")[0] for p, v in (("P10", 100), ("P50", 200), ("P90", 400))
    ]
    assert xs == sorted(xs)
    assert "one job in ten below EUR\u00a0100" in desc(made)


def test_offers_state_the_difference_to_the_cheapest() -> None:
    made = offers_picture(
        OfferTable("O", (Offer("A", 900.0), Offer("B", 1500.0, chosen=True)), "EUR")
    )
    assert {"least cost", "EUR\u00a0600 more", "CHOSEN"} <= set(texts(made))


def test_the_next_fastener_is_the_lowest_not_done() -> None:
    joint = (Fastener(0, 0, 3), Fastener(10, 0, 1, True), Fastener(20, 0, 2))
    made = fastener_map(FastenerMap("Head", joint))
    assert "1 of 3 done; next is 2" in desc(made)
    ringed = [n for n in shapes(made, "circle", fill=ORANGE) if n.get("stroke") == "#000000"]
    number = text_at(made, "2")
    assert any(abs(float(n.attrib["cx"]) - number[0]) < 0.1 for n in ringed)
    done = fastener_map(
        FastenerMap("Head", tuple(Fastener(f.x, f.y, f.order, True) for f in joint))
    )
    assert "all are done" in desc(done)
    assert "NEXT" not in texts(done)


def test_contact_width_follows_from_diameters_and_angle() -> None:
    # (39.8 − 37.4) / (2 · cos 45°) = 1.2 · √2 = 1.697
    cut = SeatCut("seat", 45, 37.4, 39.8, True)
    assert contact_width(cut) == pytest.approx(1.2 * math.sqrt(2))
    assert "1.70 mm" in texts(USUAL["seat"]())


def test_seat_is_drawn_at_its_real_angle() -> None:
    made = USUAL["seat"]()
    seat = next(n for n in shapes(made, "line", stroke=ORANGE))
    dx = float(seat.attrib["x2"]) - float(seat.attrib["x1"])
    dy = float(seat.attrib["y1"]) - float(seat.attrib["y2"])
    assert math.degrees(math.atan2(dy, dx)) == pytest.approx(45, abs=0.1)


def test_a_sunk_liner_is_drawn_below_the_deck() -> None:
    up = liner_section(LinerSection("L", 10.05, 10.0, None, 0.05, verdict=Verdict.OK))
    down = liner_section(LinerSection("L", 9.95, 10.0, None, -0.05, verdict=Verdict.OUT))
    assert "PROTRUSION" in texts(up)
    assert "RECESSED" in texts(down)

    def top(picture: str) -> float:
        outline = shapes(picture, "polygon", stroke_width="1.6")[0].attrib["points"]
        return min(float(point.split(",")[1]) for point in outline.split())

    deck = float(shapes(up, "line", stroke_dasharray="6 4")[0].attrib["y1"])
    assert top(up) < deck < top(down)


def test_hone_marks_are_drawn_at_half_the_angle_each_way() -> None:
    made = crosshatch(Crosshatch("B", 40.0))
    marks = shapes(made, "line", stroke_width="3")
    angles = sorted(
        math.degrees(
            math.atan2(
                float(n.attrib["y2"]) - float(n.attrib["y1"]),
                float(n.attrib["x2"]) - float(n.attrib["x1"]),
            )
        )
        for n in marks
    )
    assert angles == pytest.approx([-20, 20], abs=0.1)


def test_an_offset_circle_is_drawn_as_the_trace_would_show_it() -> None:
    """A perfect circle off centre, read at many angles, lies under its own least-squares circle."""
    angles = tuple(float(a) for a in range(0, 360, 3))
    x, y = 2.0, -1.0
    values = tuple(
        x * math.sin(math.radians(a)) + y * math.cos(math.radians(a)) + 0.5 for a in angles
    )
    made = roundness_trace(
        RoundnessTrace("R", angles, values, (FittedCircle("LSC", x, y, (0.5,)),), 50)
    )
    lines = [n for n in shapes(made, "polyline") if len(n.attrib["points"].split()) > 100]
    fitted, trace = (n.attrib["points"].split() for n in lines)
    for one, two in zip(fitted, trace, strict=True):
        x1, y1 = map(float, one.split(","))
        x2, y2 = map(float, two.split(","))
        assert math.hypot(x1 - x2, y1 - y2) < 0.03


def test_roundness_states_how_much_it_enlarges() -> None:
    found = re.search(r"drawn ([\d.]+) times larger", desc(USUAL["roundness"]()))
    assert found
    assert 500 < float(found.group(1)) < 10_000


def test_surface_says_what_a_cut_leaves() -> None:
    readings = ((10.0, 10.0, 20.0), (90.0, 10.0, 0.0), (90.0, 40.0, -20.0), (10.0, 40.0, None))
    deep = surface_map(SurfaceMap("D", 100, 50, readings, cut=40.0))
    shallow = surface_map(SurfaceMap("D", 100, 50, readings, cut=39.0))
    assert "every reading cleans up" in desc(deep)
    assert "1 of 3 readings stay below it" in desc(shallow)
    assert "Highest +20 µm at 10, 10 mm; lowest −20 µm at 90, 40 mm" in desc(deep)


def test_effects_show_the_sign_twice() -> None:
    made = effect_table(
        EffectTable("E", ("H", "PP"), (Effect("Deck", "0.1", (("H", Move(-1, "c")),)),))
    )
    assert "−c" in texts(made)
    assert "H down c" in desc(made)
    assert len(shapes(made, "polygon")) == 1


def test_order_of_work_numbers_follow_the_precedences() -> None:
    ops = (
        Operation("late", "Late", "Block"),
        Operation("early", "Early", "Head", state=WorkState.DONE),
    )
    made = work_order("W", ops, (Precedence("early", "late", "datum"),))
    assert text_at(made, "Early")[1] < text_at(made, "Late")[1]
    assert "1. Head: Early (done). 2. Block: Late (waiting); after Early (datum)." in desc(made)
    with pytest.raises(ValueError, match="circle"):
        work_order("W", ops, (Precedence("early", "late"), Precedence("late", "early")))


@pytest.mark.parametrize("name", [n for n in EVERY if n.startswith("empty: ")])
def test_nothing_to_show_is_said_in_words(name: str) -> None:
    made = EVERY[name]()
    assert texts(made)
    assert len(desc(made)) > 3
