"""Records for every picture: usual ones, and empty, single, crowded, long-named and odd ones.

USUAL must also keep its words apart; HARSH only has to stay well-formed and inside its frame.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable
from functools import partial

from sparkout.drawings.bearing import (
    BearingSection,
    Shell,
    ShellPair,
    bearing_section,
    shell_layout,
)
from sparkout.drawings.bore_map import BoreMap, bore_map
from sparkout.drawings.clearance_bars import BeforeAfter, ClearanceTable, clearance_bars
from sparkout.drawings.control_chart import ControlChart, ControlPanel, control_chart
from sparkout.drawings.crankshaft import Crankshaft, Journal, JournalKind, crankshaft
from sparkout.drawings.crosshatch import Crosshatch, crosshatch
from sparkout.drawings.effects import Effect, EffectTable, Move, effect_table
from sparkout.drawings.engine_plan import Bank, EnginePlan, Layout, engine_plan
from sparkout.drawings.fasteners import Fastener, FastenerMap, fastener_map
from sparkout.drawings.lash_strip import LashStep, LashStrip, LashValve, lash_strip
from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.drawings.liner import LinerSection, liner_section
from sparkout.drawings.offers import Offer, OfferTable, offers_picture
from sparkout.drawings.orbit import JournalOrbit, journal_orbit
from sparkout.drawings.palette import Verdict
from sparkout.drawings.piston import PistonView, Pocket, RingGap, piston_view
from sparkout.drawings.price_forecast import Driver, PriceForecast, price_forecast
from sparkout.drawings.roundness import FittedCircle, RoundnessTrace, roundness_trace
from sparkout.drawings.seat import SeatCut, SeatSection, seat_section
from sparkout.drawings.strip import Spot
from sparkout.drawings.surface_map import SurfaceMap, surface_map
from sparkout.drawings.work_order import Operation, Precedence, WorkState, work_order

LONG = 'An uncommonly long name that somebody typed, with <markup> & "quotes" and no end in sight'
WORD = "Donaudampfschifffahrtsgesellschaftskolbenbolzenbuchsenspiel" * 2
ODD = "a]]>&<b>\"'\x00\x07\ud800 測量 مقاس \u202e"
OK, OUT, CHECK, NM, STALE = Verdict

Draw = Callable[[], str]


def spots(count: int, figure: str = "+0.021", note: str = "") -> tuple[Spot, ...]:
    turn = itertools.cycle((OK, OK, OUT, CHECK, NM, STALE))
    return tuple(Spot(str(k + 1), next(turn), figure, note) for k in range(count))


def plan(layout: Layout, *banks: tuple[str, int], figure: str = "+0.021", mains: int = 0) -> Draw:
    made = tuple(Bank(name, spots(count, figure)) for name, count in banks)
    total = sum(count for _, count in banks)
    return partial(
        engine_plan,
        EnginePlan(
            layout,
            made,
            spots(mains, "74.972", "std"),
            spots(total if mains else 0, "64.972", "−0.25"),
            tuple(str(k + 1) for k in range(total)),
            "clockwise seen from the front",
            "Cylinder 1 at the front",
            "Figure: largest wear, mm",
        ),
    )


def crank(mains: int, pins_each: int, size: str = "74.968", note: str = "std") -> Draw:
    journals = []
    for k in range(mains):
        journals.append(Journal(JournalKind.MAIN, Spot(str(k + 1), OK, size, note)))
        if k < mains - 1:
            for j in range(pins_each):
                spot = Spot(str(k * pins_each + j + 1), OUT if k == 2 else CHECK, size, note)
                journals.append(Journal(JournalKind.PIN, spot, 180.0 * (k % 2) + 30 * j))
    return partial(crankshaft, Crankshaft("Crankshaft", tuple(journals), "Runout 0.06 at main 3."))


def bore(rows: int, columns: int, scale: float = 40, name: str = "Bore 2") -> BoreMap:
    values = tuple(
        tuple(
            None if (i, j) == (0, columns - 1) else scale * math.sin(j / 3 + i / 4) - i
            for j in range(columns)
        )
        for i in range(rows)
    )
    step = 180 / columns
    return BoreMap(
        name,
        tuple(10.0 * (i + 1) for i in range(rows)),
        tuple((f"{step * j:.0f}°", step * j) for j in range(columns)),
        values,
        "100.000 mm",
        low=-scale * 0.9,
        high=scale * 0.8,
        ring_travel=(12.0, 10.0 * rows - 2),
    )


def trace(count: int, size: float = 4.0) -> RoundnessTrace:
    rng = random.Random(3)
    angles = tuple(360 * k / count for k in range(count))
    values = tuple(
        None if k == 5 else size * (math.cos(math.radians(2 * a)) + rng.uniform(-0.1, 0.1))
        for k, a in enumerate(angles)
    )
    circles = tuple(
        FittedCircle(kind, size * 0.1, -size * 0.2, radii, "8.1 µm")
        for kind, radii in (
            ("LSC", (0.0,)),
            ("MZC", (-size, size)),
            ("MCC", (size * 1.02,)),
            ("MIC", (-size * 1.01,)),
        )
    )
    marks = ((0.0, "thrust"), (90.0, "flywheel end"), (180.0, "anti-thrust"), (270.0, "front"))
    return RoundnessTrace("Bore 2, 60 mm deep", angles, values, circles, 50.0, marks=marks)


def face(columns: int, rows: int, size: float = 30.0, cut: float | None = 45.0) -> SurfaceMap:
    readings = tuple(
        (
            20 + 440 * i / max(1, columns - 1),
            12 + 176 * j / max(1, rows - 1),
            None if (i, j) == (1, 1) else size * math.sin(i / 2) * math.cos(j),
        )
        for i in range(columns)
        for j in range(rows)
    )
    holes = tuple((60.0 + 120 * k, 100.0, 44.0) for k in range(4))
    return SurfaceMap("Block deck", 480, 200, readings, holes, cut, "minimum zone")


def chart(count: int, labels: tuple[str, ...] = (), scale: float = 0.002) -> ControlChart:
    rng = random.Random(7)
    values = tuple(100.012 + rng.gauss(0, scale) for _ in range(count))
    ranges = (None, *(abs(b - a) for a, b in itertools.pairwise(values)))
    flags = tuple("1" if k == count // 2 else "" for k in range(count))
    return ControlChart(
        "Finished bore size",
        (
            ControlPanel("Individuals", values, 100.012, 100.006, 100.018, flags, 100.0, 100.022),
            ControlPanel("Moving range", ranges[:count], 1.128 * scale, 0.0, 3.686 * scale),
        ),
        labels,
    )


def price(name: str = "Price before teardown", cost: float = 480.0) -> PriceForecast:
    bins = tuple(
        (3000 + 150 * k, 3150 + 150 * k, math.exp(-(((k - 9) / 5) ** 2))) for k in range(28)
    )
    return PriceForecast(
        name,
        3720,
        4480,
        5900,
        "EUR",
        bins,
        (
            Driver("Grind crankshaft −0.25 and new shells", 0.62, cost),
            Driver("Exchange head with valves fitted, because cracked", 0.004, cost * 4),
            Driver("Surface head", 1.0, 120),
        ),
        "Cost of opening and measuring: EUR 380.",
    )


def offer(
    name: str, factor: float, chosen: bool = False, buys: str = "Clearances in limits"
) -> Offer:
    parts = (("labour", 1610 * factor), ("parts", 1120 * factor), ("outside work", 170.0),
             ("tax", 580 * factor))  # fmt: skip
    return Offer(name, sum(amount for _, amount in parts), parts, (buys, "Pistons grade B"), chosen)


def joint(columns: int, rows: int, done: int) -> FastenerMap:
    made = tuple(
        Fastener(40.0 + 90 * i, 20.0 + 130 * j, 1 + i * rows + j, i * rows + j < done)
        for i in range(columns)
        for j in range(rows)
    )
    return FastenerMap("Cylinder head", made, "Stage 2 of 3: 60 N·m", ((85.0, 85.0, 40.0),))


def lash(steps: int, valves: int) -> LashStrip:
    turn = itertools.cycle((OK, OUT, CHECK, NM))
    return LashStrip(
        "Valve lash, cold engine",
        tuple(
            LashStep(
                f"cylinder {k + 1} at firing TDC",
                tuple(
                    LashValve(f"{j + 1} inlet", "0.30", "0.30–0.32" if j % 2 else "", next(turn))
                    for j in range(valves)
                ),
                90.0 * k,
            )
            for k in range(steps)
        ),
        "Check again hot.",
    )


SEAT = SeatSection(
    "Exhaust seat 3",
    (
        SeatCut("throat cut", 60, 36.2, 37.4),
        SeatCut("seat", 45, 37.4, 39.8, True),
        SeatCut("top cut", 15, 39.8, 42.0),
    ),
    41.2,
    36.4,
    45.5,
    (("Contact width", "1.40 to 1.80 allowed", OK), ("Seat runout", "0.06, at most 0.05", OUT)),
)
MOVES = EffectTable(
    "What each cut moves",
    ("deck height", "piston protrusion", "piston-to-head", "liner protrusion", "lash"),
    (
        Effect("Surface deck, liners out", "c = 0.13 mm", (
            ("deck height", Move(-1, "c")), ("piston protrusion", Move(1, "c")),
            ("lash", Move(-1, "R·c")),
        )),
        Effect("Thicker gasket", "g = 0.10 mm", (("piston-to-head", Move(1, "0.100")),)),
    ),
    "R: rocker ratio.",
)  # fmt: skip


def orbit(count: int) -> JournalOrbit:
    points = tuple(
        (0.7 * math.cos(math.tau * k / count), 0.5 * math.sin(2 * math.tau * k / count))
        for k in range(count)
    )
    return JournalOrbit(
        "Rod bearing 2, 3600 rpm",
        points,
        ((0, "0°"),),
        "1.8 µm at 372°",
        (("Radial clearance", "0.030 mm"),),
    )


OPERATIONS = (
    Operation("a", "Crack test", "Block", state=WorkState.DONE),
    Operation("b", "Align-hone mains", "Block", "cap 3 cut 0.03", WorkState.NEXT, True),
    Operation("c", "Surface deck", "Block", "0.13 mm, window 0.120–0.150", stop=True),
    Operation("d", "Grind rod journals", "Crankshaft", "−0.25"),
    Operation("e", "Trial assembly", "Assembly"),
)
ORDER = tuple(
    Precedence(first, then, why)
    for first, then, why in (
        ("a", "b", "no work on a cracked block"),
        ("b", "c", "the mains are the datum"),
        ("a", "c", ""),
        ("a", "d", ""),
        ("d", "e", ""),
        ("c", "e", ""),
    )
)


def big_order(count: int, lanes: int) -> Draw:
    rng = random.Random(5)
    ops = tuple(
        Operation(f"k{k}", f"Operation {k} of the plan", f"Lane {k % lanes}", "to 10.120 mm")
        for k in range(count)
    )
    pairs = {(rng.randrange(k), k) for k in range(1, count) for _ in range(3)}
    before = tuple(Precedence(f"k{a}", f"k{b}", "because") for a, b in sorted(pairs))
    return partial(work_order, "Order of work", ops, before)


BARS = (
    LimitBar("Main journal 3 diameter", OK, 74.972, 74.970, 74.976, 0.002, (74.98, 75.0),
             (74.95, None), "service", 0.003),
    LimitBar("Bore 2", OUT, 100.246, 100.036, 100.246, 0.004, (100.0, 100.02), (None, 100.2),
             "service", 0.006, note="rule of thumb: common practice"),
    LimitBar("Liner protrusion 1", CHECK, 0.031, 0.029, 0.033, 0.005, (0.03, 0.08), guard=0.006),
    LimitBar("Not yet read", NM, new=(1.0, 2.0)),
    LimitBar("No limit", NM, 12.3, expanded=0.2),
    LimitBar("Slipped digit", OUT, 740.972, new=(74.98, 75.0)),
)  # fmt: skip
TABLE = ClearanceTable(
    "Piston clearance (diametral)",
    (
        BeforeAfter("Cylinder 1", 0.182, OUT, 0.092, OK),
        BeforeAfter("Cylinder 2", 0.201, OUT, 0.094, OK),
        BeforeAfter("Cylinder 3", None, NM, 0.111, CHECK),
    ),
    0.08,
    0.115,
)
PISTON = PistonView(
    "Piston, cylinder 1",
    "arrow on the crown",
    0,
    90,
    (Pocket("inlet", 60, 0.45, 0.34), Pocket("exhaust", 130, 0.5, 0.28)),
    (RingGap("top ring", 45), RingGap("second ring", 225), RingGap("oil ring", 135)),
    ("Rod: oil hole to the thrust side.",),
)
LINER = LinerSection("Liner 3", 10.045, 10.120, 0.2, 0.125, 0.03, 0.08, OUT)
MAIN = BearingSection("Main bearing 3", 80.010, 2.478, 74.962, 0.092, 0.055, 0.1, OK,
                      notes=("Crush 0.07 per shell.",))  # fmt: skip
HATCH = Crosshatch("Bore 1 after honing", 36.6, 25, 60, OK, (("Spindle", "150 rpm"),),
                   "common practice, a rule of thumb")  # fmt: skip
SHELLS = tuple(
    ShellPair(str(k), Shell(OK, "yellow", "2.478", "even"), Shell(CHECK, "red", "2.471", "wiped"))
    for k in range(1, 6)
)

USUAL: dict[str, Draw] = {
    "engine in line": plan(Layout.INLINE, ("", 4), mains=5),
    "engine V": plan(Layout.V, ("Right bank", 4), ("Left bank", 4), mains=5),
    "engine flat": plan(Layout.FLAT, ("Right", 3), ("Left", 3), mains=4),
    "engine single": plan(Layout.SINGLE, ("", 1), mains=2),
    "bore map": partial(bore_map, bore(3, 4)),
    "roundness": partial(roundness_trace, trace(72)),
    "surface": partial(surface_map, face(7, 3)),
    "limit bars": partial(limit_bars, BARS),
    "clearances": partial(clearance_bars, TABLE),
    "control chart": partial(control_chart, chart(25)),
    "price": partial(price_forecast, price()),
    "offers": partial(
        offers_picture,
        OfferTable("Offers", (offer("Least cost", 1), offer("Best value", 1.3, True),
                              offer("As new", 2)), "EUR"),
    ),
    "fasteners": partial(fastener_map, joint(6, 2, 4)),
    "piston": partial(piston_view, PISTON),
    "lash": partial(lash_strip, lash(2, 4)),
    "seat": partial(seat_section, SEAT),
    "liner": partial(liner_section, LINER),
    "crankshaft": crank(5, 1),
    "bearing": partial(bearing_section, MAIN),
    "shells": partial(shell_layout, "Main shells as found", SHELLS),
    "orbit": partial(journal_orbit, orbit(180)),
    "crosshatch": partial(crosshatch, HATCH),
    "effects": partial(effect_table, MOVES),
    "work order": partial(work_order, "Order of work", OPERATIONS, ORDER),
}  # fmt: skip

EMPTY: dict[str, Draw] = {
    "engine": partial(engine_plan, EnginePlan(Layout.INLINE, ())),
    "bore map": partial(bore_map, BoreMap("Bore", (), (), ())),
    "roundness": partial(roundness_trace, RoundnessTrace("Trace", (), ())),
    "roundness, nothing read": partial(
        roundness_trace, RoundnessTrace("Trace", (0, 90), (None, None))
    ),
    "surface": partial(surface_map, SurfaceMap("Deck", 480, 200, ())),
    "limit bars": partial(limit_bars, ()),
    "clearances": partial(clearance_bars, ClearanceTable("Clearance", ())),
    "control chart": partial(control_chart, ControlChart("Sizes", ())),
    "control chart, nothing read": partial(
        control_chart, ControlChart("Sizes", (ControlPanel("x", (None, None)),))
    ),
    "price": partial(price_forecast, PriceForecast("Price", 0, 0, 0)),
    "offers": partial(offers_picture, OfferTable("Offers", ())),
    "fasteners": partial(fastener_map, FastenerMap("Head", ())),
    "piston": partial(piston_view, PistonView("Piston")),
    "lash": partial(lash_strip, LashStrip("Lash", ())),
    "lash, step without valves": partial(lash_strip, LashStrip("L", (LashStep("turn", ()),))),
    "seat": partial(seat_section, SeatSection("Seat", ())),
    "liner": partial(liner_section, LinerSection("Liner", None, None)),
    "crankshaft": partial(crankshaft, Crankshaft("Crankshaft", ())),
    "bearing": partial(bearing_section, BearingSection("Bearing", None, None, None, None)),
    "shells": partial(shell_layout, "Shells", ()),
    "orbit": partial(journal_orbit, JournalOrbit("Orbit", ())),
    "crosshatch": partial(crosshatch, Crosshatch("Bore", None)),
    "effects": partial(effect_table, EffectTable("Moves", (), ())),
    "work order": partial(work_order, "Order", (), ()),
}


def _named(name: str) -> dict[str, Draw]:
    """Every picture with one text everywhere a text can go."""
    spot = (Spot(name, OUT, name, name),) * 3
    journals = tuple(
        Journal(kind, Spot(name, OK, name, name)) for kind in (*JournalKind, JournalKind.MAIN)
    )
    return {
        "engine": partial(
            engine_plan,
            EnginePlan(Layout.V, (Bank(name, spot), Bank(name, spot)), spot, spot, (name,) * 6,
                       name, name, name),
        ),
        "bore map": partial(
            bore_map,
            BoreMap(name, (1.0, 2.0), ((name, 0), (name, 90)), ((1, 2), (3, -4)), name, name,
                    depth_unit=name),
        ),
        "roundness": partial(
            roundness_trace,
            RoundnessTrace(name, (0, 90, 180, 270), (1, 2, 3, 4),
                           (FittedCircle(name, 0, 0, (2,), name),), 50, name,
                           marks=tuple((a, name) for a in range(0, 360, 90))),
        ),
        "surface": partial(
            surface_map, SurfaceMap(name, 9, 9, ((1, 1, 1.0), (8, 8, 2.0)), plane=name, unit=name)
        ),
        "limit bars": partial(
            limit_bars, (LimitBar(name, NM, 1.0, new=(0.5, 1.5), unit=name, note=name),), name
        ),
        "clearances": partial(
            clearance_bars,
            ClearanceTable(name, (BeforeAfter(name, 1, NM, 2, NM),), unit=name),
        ),
        "control chart": partial(
            control_chart,
            ControlChart(name, (ControlPanel(name, (1, 2, 3), 2, 0, 4, ("", name, "")),),
                         (name,) * 3, name),
        ),
        "price": partial(
            price_forecast,
            PriceForecast(name, 1, 2, 3, name[:12], (), (Driver(name, 0.5, 9),), name),
        ),
        "offers": partial(
            offers_picture,
            OfferTable(name, tuple(offer(name, k, buys=name) for k in (1, 2, 3)), name[:12]),
        ),
        "fasteners": partial(
            fastener_map, FastenerMap(name, (Fastener(0, 0, 1), Fastener(9, 9, 2)), name,
                                      ends=(name, name))
        ),
        "piston": partial(
            piston_view,
            PistonView(name, name, 45, 90, (Pocket(name, 0),), (RingGap(name, 9),) * 6, (name,)),
        ),
        "lash": partial(
            lash_strip,
            LashStrip(name, (LashStep(name, (LashValve(name, name, name, NM),) * 7, 0),), name),
        ),
        "seat": partial(
            seat_section,
            SeatSection(name, (SeatCut(name, 45, 10, 12, True),), 13, 9, 45, ((name, name, NM),),
                        name[:8]),
        ),
        "liner": partial(liner_section, LinerSection(name, 1, 2, 3, 2, unit=name[:8])),
        "crankshaft": partial(crankshaft, Crankshaft(name, journals, name)),
        "bearing": partial(
            bearing_section, BearingSection(name, 1, 2, 3, 4, unit=name[:8], notes=(name, name))
        ),
        "shells": partial(
            shell_layout, name, (ShellPair(name, Shell(NM, name, name, name), Shell(NM, name)),) * 9
        ),
        "orbit": partial(
            journal_orbit,
            JournalOrbit(name, ((0, 0), (1, 0), (0, 1)), ((1, name),), name, ((name, name),)),
        ),
        "crosshatch": partial(crosshatch, Crosshatch(name, 40, facts=((name, name),), source=name)),
        "effects": partial(
            effect_table,
            EffectTable(name, (name, "b"), (Effect(name, name, ((name, Move(1, name)),)),), name),
        ),
        "work order": partial(
            work_order,
            name,
            (Operation("a", name, name, name), Operation("b", name, "b", name, stop=True)),
            (Precedence("a", "b", name),),
        ),
    }  # fmt: skip


def _sized(value: float) -> dict[str, Draw]:
    """Every picture with one number, and its negative, everywhere a number can go."""
    v, big = value, abs(value)
    return {
        "bore map": partial(
            bore_map,
            BoreMap("B", (v, v), (("a", v), ("b", -v)), ((v, -v), (None, v)), low=-v, high=v,
                    ring_travel=(v, -v)),
        ),
        "roundness": partial(
            roundness_trace,
            RoundnessTrace("R", (0, 120, 240), (v, -v, v), (FittedCircle("LSC", v, v, (v,)),), v),
        ),
        "surface": partial(
            surface_map,
            SurfaceMap("S", big or 1, big or 1, ((0, 0, v), (big, 0, -v)), ((v, v, v),), v),
        ),
        "limit bars": partial(
            limit_bars, (LimitBar("L", OK, v, -v, v, abs(v), (-v, v), (v, v), guard=v),)
        ),
        "clearances": partial(
            clearance_bars, ClearanceTable("C", (BeforeAfter("1", v, OUT, -v, OK),), -v, v)
        ),
        "control chart": partial(
            control_chart, ControlChart("C", (ControlPanel("p", (v, -v, v), v, -v, v),))
        ),
        "price": partial(
            price_forecast,
            PriceForecast("P", -v, v, v, "EUR", ((-v, v, v),), (Driver("d", v, v),)),
        ),
        "offers": partial(
            offers_picture, OfferTable("O", (Offer("a", abs(v), (("x", abs(v)),)), Offer("b", 0.0)))
        ),
        "fasteners": partial(
            fastener_map,
            FastenerMap("F", (Fastener(v, v, 1), Fastener(-v, v, 10**9)), holes=((v, v, abs(v)),)),
        ),
        "piston": partial(
            piston_view, PistonView("P", "m", v, -v, (Pocket("p", v, v, v),), (RingGap("r", v),))
        ),
        "lash": partial(lash_strip, LashStrip("L", (LashStep("c", (), v),))),
        "seat": partial(
            seat_section, SeatSection("S", (SeatCut("c", v, v, v + 1, True),), v, v, v)
        ),
        "liner": partial(liner_section, LinerSection("L", v, -v, v, -v, -v, v)),
        "bearing": partial(bearing_section, BearingSection("B", v, v / 4, -v, v, -v, v)),
        "crankshaft": partial(
            crankshaft,
            Crankshaft("K", (Journal(JournalKind.PIN, Spot("1", OK, str(v)), v),) * 2),
        ),
        "orbit": partial(journal_orbit, JournalOrbit("O", ((v, -v), (v, v), (0, 0)))),
        "crosshatch": partial(crosshatch, Crosshatch("H", v, -v, v)),
    }  # fmt: skip


ALTERNATING = tuple((f"quantity {k}", Move(1 - 2 * (k % 2), "0.130")) for k in range(17))

CROWDED: dict[str, Draw] = {
    "engine, 20 in line": plan(Layout.INLINE, ("", 20), mains=21),
    "engine, V 20": plan(Layout.V, ("Right", 10), ("Left", 10), mains=11),
    "engine, 20 with wide figures": plan(Layout.INLINE, ("", 20), figure="+0.0213 mm max"),
    "bore map, 14 by 24": partial(bore_map, bore(14, 24)),
    "bore map, 1 by 1": partial(bore_map, bore(1, 1)),
    "roundness, 3600": partial(roundness_trace, trace(3600)),
    "surface, 200": partial(surface_map, face(20, 10)),
    "surface, one reading": partial(surface_map, face(1, 1)),
    "limit bars, 40": partial(limit_bars, BARS * 7),
    "clearances, 20": partial(
        clearance_bars,
        ClearanceTable("C", tuple(BeforeAfter(f"Cylinder {k}", 0.2, OUT, 0.1, OK)
                                  for k in range(20)), 0.08, 0.11),
    ),
    "control chart, 200": partial(
        control_chart, chart(200, tuple(f"2026-01-{k % 28 + 1:02}" for k in range(200)))
    ),
    "control chart, 1": partial(control_chart, chart(1)),
    "fasteners, 60": partial(fastener_map, joint(20, 3, 20)),
    "fasteners, 1": partial(fastener_map, joint(1, 1, 0)),
    "fasteners, all done": partial(fastener_map, joint(4, 2, 8)),
    "lash, 10 by 12": partial(lash_strip, lash(10, 12)),
    "crankshaft, 21 mains": crank(21, 1),
    "crankshaft, split pins": crank(11, 2),
    "shells, 21": partial(shell_layout, "Shells", (*SHELLS, *SHELLS, *SHELLS, *SHELLS, SHELLS[0])),
    "orbit, 2000": partial(journal_orbit, orbit(2000)),
    "orbit, 1": partial(journal_orbit, orbit(1)),
    "effects, 17 quantities": partial(
        effect_table,
        EffectTable("Moves", tuple(f"quantity {k}" for k in range(17)),
                    (Effect("Cut", "0.13 mm", ALTERNATING),)),
    ),
    "offers, 6": partial(
        offers_picture, OfferTable("O", tuple(offer(f"Offer {k}", 1 + k) for k in range(6)), "EUR")
    ),
    "work order, 60 in 6": big_order(60, 6),
    "work order, 60 in 12": big_order(60, 12),
}  # fmt: skip

HARSH: dict[str, Draw] = {
    **{f"empty: {name}": draw for name, draw in EMPTY.items()},
    **{f"crowded: {name}": draw for name, draw in CROWDED.items()},
    **{f"long names: {name}": draw for name, draw in _named(LONG).items()},
    **{f"one long word: {name}": draw for name, draw in _named(WORD).items()},
    **{f"odd characters: {name}": draw for name, draw in _named(ODD).items()},
    **{f"no names: {name}": draw for name, draw in _named("").items()},
    **{
        f"number {value:g}: {name}": draw
        for value in (0.0, 1e-300, 1e-9, -1e7, 123456789.123456, 1e30, 1e150)
        for name, draw in _sized(value).items()
    },
}
EVERY: dict[str, Draw] = {**{f"usual: {name}": draw for name, draw in USUAL.items()}, **HARSH}
