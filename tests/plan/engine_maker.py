"""Invented engines of every layout from a seed: data sheet, shop, readings. All figures made up.

Themes say which parts of the engine are worn and can be mended; few themes and coarse steps make an
engine small enough to try every plan. Figures are drawn so that some engines need nothing, most
need something, and some cannot be mended at all.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction as F
from types import MappingProxyType

from sparkout.engine.dimension import Key
from sparkout.engine.frame import Frame
from sparkout.engine.known import with_known
from sparkout.engine.of_sheet import frame_of
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.state import State, measured_state
from sparkout.judge.checks import Check, checks
from sparkout.judge.finding import Finding, judge_all
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.decide import problem_of
from sparkout.plan.problem import Problem
from sparkout.sheet.model import (
    Bounds,
    DataSheet,
    Identity,
    LayoutSpec,
    Limit,
    PartSpec,
)
from sparkout.sheet.shop import OperationRate, Shop, Supply

__all__ = ["LAYOUTS", "THEMES", "Engine", "engine", "shape_of"]

LAYOUTS = ("inline", "V", "flat", "single")
KINDS = ("parent bore", "dry liner", "dry flanged liner", "wet liner")
THEMES = ("mains", "pins", "rods", "bores", "deck", "ledges", "head", "valves", "gear", "rest")


@dataclass(frozen=True, slots=True)
class Engine:
    """One invented engine, as the planner takes it."""

    sheet: DataSheet
    shop: Shop
    state: State
    checks: tuple[Check, ...]
    spots: tuple[Spot, ...]

    @property
    def frame(self) -> Frame:
        return self.state.frame

    @property
    def findings(self) -> tuple[Finding, ...]:
        return judge_all(
            self.checks,
            self.state.sizes,
            confidence=float(self.shop.confidence),
            rule=self.shop.rule,
        )

    @property
    def problem(self) -> Problem:
        return problem_of(self.sheet, self.shop, self.state, self.checks)


def shape_of(layout: str, cylinders: int) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Banks of a layout, numbered alternately from the end of cylinder 1."""
    numbers = range(1, cylinders + 1)
    if layout in ("V", "flat") and cylinders > 1:
        return ("left", tuple(numbers[::2])), ("right", tuple(numbers[1::2]))
    return (("", tuple(numbers)),)


@dataclass(slots=True)
class _Making:
    """What is gathered for one engine. fine: steps as a shop has them; else coarse ones."""

    draw: random.Random
    layout: LayoutSpec
    fine: bool
    limits: dict[str, Limit] = field(default_factory=dict)
    parts: list[PartSpec] = field(default_factory=list)
    rates: dict[str, OperationRate] = field(default_factory=dict)
    supply: dict[str, Supply] = field(default_factory=dict)
    spots: list[Spot] = field(default_factory=list)
    tests: list[TestResult] = field(default_factory=list)
    geometry: dict[str, F] = field(default_factory=dict)

    @property
    def cylinders(self) -> range:
        return range(1, self.layout.cylinders + 1)

    @property
    def suffixes(self) -> list[str]:
        several = len(self.layout.banks) > 1
        return [f" {name}" if several else "" for name, _ in self.layout.banks]

    def limit(
        self,
        name: str,
        new: tuple[str | F | None, str | F | None] | None,
        service: tuple[str | F | None, str | F | None] | None = None,
        *,
        of: str = "",
        must: bool = True,
        judged: str = "always",
    ) -> None:
        qualifier = name.removesuffix(of).strip() if of else ""
        self.limits[name] = Limit(
            name,
            of or name,
            qualifier,
            _bounds(new),
            _bounds(service),
            must=must,
            judged=judged,
            source="invented",
        )

    def part(
        self,
        name: str,
        kind: str,
        sizes: dict[str, tuple[str | F, str | F]] | None = None,
        *,
        price: int = 0,
        sold_in: int = 1,
        on_hand: int | None = 40,
        days: int = 0,
        **more: object,
    ) -> None:
        bounds = {key: Bounds(F(low), F(high)) for key, (low, high) in (sizes or {}).items()}
        self.parts.append(PartSpec(name, kind, MappingProxyType(bounds), **more))  # type: ignore[arg-type]
        cost = F(price or self.draw.randrange(5, 200))
        self.supply[name] = Supply(name, cost, sold_in, on_hand, days)

    def work(
        self,
        name: str,
        holds: dict[str, tuple[str | None, str]] | None = None,
        *,
        step: str | None = None,
        smallest: str | None = None,
        outside: int | None = None,
    ) -> None:
        """An operation of this shop; now and then one it has not."""
        if self.draw.random() < 0.04:
            return
        self.rates[name] = OperationRate(
            name,
            "labour",
            F(self.draw.randrange(0, 5), 4),
            F(self.draw.randrange(1, 6), 4),
            step=None if step is None else F(step),
            smallest_cut=None if smallest is None else F(smallest),
            holds=MappingProxyType(
                {key: Bounds(None if low is None else F(low), F(high)) for key, (low, high) in
                 (holds or {}).items()}
            ),
            outside=None if outside is None else F(outside),
            outside_days=0 if outside is None else 3,
        )  # fmt: skip

    def read(
        self, feature: str, name: str, *values: F | str, u: str = "0.002", gauge: str = "G-1",
        part: str = "", levels: Iterable[str] = (), directions: Iterable[str] = (),
    ) -> None:  # fmt: skip
        """Readings of one size, with the errors a gauge brings."""
        where = list(levels) or [f"place {k + 1}" for k in range(len(values))]
        ways = list(directions) or [""] * len(values)
        for value, level, way in zip(values, where, ways, strict=True):
            source = f"{feature} {name} {level} {way} {part}"
            parts = (
                Component(f"{gauge} calibration", float(F(u)) / 2),
                Component(f"resolution, {source}", float(F(u)) / 6, Shape.RECTANGULAR),
                Component(f"repeatability, {source}", float(F(u)) / 3, Shape.STUDENT, 19),
            )
            phase = "new part" if part else "found"
            estimate = Estimate(F(value), parts if F(u) else ())
            self.spots.append(Spot(Key(feature, name), level, way, estimate, source, phase=phase,
                                   gauge=gauge, typed=str(float(F(value))), part=part))  # fmt: skip

    def gap(self, feature: str, name: str, low: F, high: F) -> None:
        """A gap known between two blades."""
        half = float(high - low) / 2 / 3**0.5
        part = Component(f"blades, {feature} {name}", half, Shape.RECTANGULAR)
        estimate = Estimate((low + high) / 2, (part,))
        self.spots.append(Spot(Key(feature, name), "", "", estimate, f"{feature} {name}"))

    def some(self, low: str, high: str, step: str = "0.001") -> F:
        """A figure between two, on a step."""
        first, last, by = F(low), F(high), F(step)
        return first + by * self.draw.randrange(int((last - first) / by) + 1)

    def chance(self, share: float) -> bool:
        return self.draw.random() < share

    def step(self, fine: str, coarse: str) -> str:
        return fine if self.fine else coarse


def _bounds(pair: tuple[str | F | None, str | F | None] | None) -> Bounds | None:
    if pair is None:
        return None
    low, high = (None if end is None else F(end) for end in pair)
    return Bounds(low, high, f"{low} to {high}")


def engine(
    seed: int,
    *,
    cylinders: int = 0,
    layout: str = "",
    kind: str = "",
    themes: tuple[str, ...] = (),
    fine: bool = False,
    valves: int = 1,
    rule: str = "guarded by risk",
) -> Engine:
    """An invented engine. What is not given is drawn."""
    draw = random.Random(f"{seed} {cylinders} {layout} {kind} {themes} {fine}")
    layout = layout or draw.choice(LAYOUTS)
    if layout == "single":
        cylinders = 1
    cylinders = cylinders or draw.choice((1, 2))
    kind = kind or draw.choice(KINDS)
    mains = cylinders // 2 + 1 if layout == "V" and cylinders > 1 else cylinders + 1
    if layout == "single":
        mains = 0
    spec = LayoutSpec(
        layout,
        cylinders,
        shape_of(layout, cylinders),
        tuple(range(1, cylinders + 1)),
        mains,
        kind,
        intakes=valves,
        exhausts=valves,
        cam_bearings=3,
        gears=("crank-idler",),
        rings=("top", "oil"),
        without=() if draw.random() < 0.6 else ("pushrod",),
    )
    making = _Making(draw, spec, fine)
    making.geometry |= {"bore": F(100), "stroke": F(120), "seat angle": F(45),
                        "rocker ratio": F(3, 2), "liner closing": F(4, 5)}  # fmt: skip
    wanted = themes or tuple(draw.sample(THEMES, draw.choice((1, 2, 2, 3))))
    for theme in THEMES:
        if theme in wanted:
            _MAKERS[theme](making)
    sheet = DataSheet(
        Identity("invented"),
        spec,
        MappingProxyType(making.geometry),
        MappingProxyType(making.limits),
        tuple(making.parts),
        MappingProxyType({"invented": "Figures made up"}),
    )
    shop = Shop(
        "invented shop",
        "EUR",
        draw.choice(("mm", "inch")),
        MappingProxyType({"labour": F(80)}),
        MappingProxyType(making.rates),
        MappingProxyType(making.supply),
        rule=rule,
    )
    frame = frame_of(sheet)
    state = with_known(measured_state(frame, making.spots, making.tests), sheet)
    return Engine(sheet, shop, state, checks(sheet, frame), tuple(making.spots))


# Themes -----------------------------------------------------------------------------------------


def _mains(m: _Making) -> None:
    if not m.layout.main_bearings:
        return
    m.limit("main housing diameter", ("80.000", "80.019"), ("80.000", "80.019"))
    m.limit("main housing out-of-round", (None, "0.015"))
    m.limit("main journal diameter", ("74.980", "75.000"), ("74.950", None))
    m.limit("main journal out-of-round", (None, "0.006"), (None, "0.020"))
    m.limit("main oil clearance", ("0.055", "0.100"), ("0.055", "0.120"))
    m.limit("main line straightness", (None, "0.03"), (None, "0.04"))
    m.limit("journal texture", (None, "0.0003"))
    m.part("main shells, standard", "main shells", {"main shell wall": ("2.475", "2.481")},
           undersize=F(0), sold_in=m.layout.main_bearings)  # fmt: skip
    m.part("main shells, 0.25 under", "main shells", {"main shell wall": ("2.600", "2.606")},
           undersize=F(1, 4), sold_in=m.layout.main_bearings)  # fmt: skip
    if m.fine:
        m.part("main shells, 0.50 under", "main shells", {"main shell wall": ("2.725", "2.731")},
               undersize=F(1, 2), sold_in=m.layout.main_bearings)  # fmt: skip
    m.work("align-hone mains", {
        "main housing diameter": ("-0.004", "0.004"), "main housing out-of-round": (None, "0.006"),
        "main line straightness": (None, "0.01"), "crank lift": ("0.003", "0.007")})  # fmt: skip
    m.work("polish journals", {"journal texture": (None, "0.0002")})
    m.work("grind main journals", {
        "main journal diameter": ("-0.004", "0.004"), "main journal out-of-round": (None, "0.004"),
        "journal texture": (None, "0.0002")}, outside=220)  # fmt: skip
    m.work("crack-test crankshaft")
    bad_line = m.chance(0.3)
    worn = m.chance(0.4)
    for number in range(1, m.layout.main_bearings + 1):
        low = m.some("79.995", "80.008") if bad_line else m.some("80.003", "80.008")
        high = low + (m.some("0.004", "0.03") if bad_line else m.some("0.002", "0.008"))
        m.read(f"main housing {number}", "main housing diameter", low, high,
               levels=("middle", "middle"), directions=("vertical", "45"))  # fmt: skip
        size = m.some("74.935", "74.99") if worn else m.some("74.962", "74.99")
        m.read(f"main journal {number}", "main journal diameter", size,
               size + m.some("0.000", "0.025" if worn else "0.008"), levels=("front", "front"),
               directions=("vertical", "horizontal"), gauge="G-2")  # fmt: skip
    m.gap("block", "main line straightness", F("0.02"), m.some("0.025", "0.05", "0.005"))
    m.read("crankshaft", "journal texture", m.some("0.0002", "0.0005", "0.0001"), u="0.00002")


def _pins(m: _Making) -> None:
    m.limit("rod housing diameter", ("69.000", "69.019"), ("69.000", "69.019"))
    m.limit("rod housing out-of-round", (None, "0.012"))
    m.limit("rod journal diameter", ("64.980", "65.000"), ("64.950", None))
    m.limit("rod journal out-of-round", (None, "0.006"), (None, "0.020"))
    m.limit("rod oil clearance", ("0.045", "0.090"))
    m.part("rod shells, standard", "rod shells", {"rod shell wall": ("1.972", "1.978")},
           undersize=F(0), sold_in=len(m.cylinders))  # fmt: skip
    m.part("rod shells, 0.25 under", "rod shells", {"rod shell wall": ("2.098", "2.102")},
           undersize=F(1, 4), sold_in=len(m.cylinders))  # fmt: skip
    if m.fine:
        m.part("rod shells, 0.50 under", "rod shells", {"rod shell wall": ("2.223", "2.227")},
               undersize=F(1, 2), sold_in=len(m.cylinders), on_hand=0, days=5)  # fmt: skip
    m.work("polish journals", {"journal texture": (None, "0.0002")})
    m.work("grind rod journals", {
        "rod journal diameter": ("-0.004", "0.004"), "rod journal out-of-round": (None, "0.004"),
        "throw": ("-0.006", "0.006")}, outside=260)  # fmt: skip
    m.work("crack-test crankshaft")
    m.work("resize rod", {
        "rod housing diameter": ("-0.004", "0.004"), "rod housing out-of-round": (None, "0.006"),
        "rod length": ("0", "0.020")})  # fmt: skip
    pins = {(n + 1) // 2 if m.layout.layout == "V" and len(m.cylinders) > 1 else n
            for n in m.cylinders}  # fmt: skip
    worn = m.chance(0.5)
    for number in sorted(pins):
        size = m.some("64.935", "64.98") if worn else m.some("64.955", "64.98")
        m.read(f"rod journal {number}", "rod journal diameter", size,
               size + m.some("0.000", "0.03" if worn else "0.01"), levels=("front", "front"),
               directions=("vertical", "horizontal"), gauge="G-2")  # fmt: skip
        m.read(f"rod journal {number}", "throw", m.some("59.985", "60.015"), u="0.004")
    for number in m.cylinders:
        low = m.some("69.002", "69.010")
        high = low + m.some("0.002", "0.03" if m.chance(0.3) else "0.007")
        m.read(f"rod {number}", "rod housing diameter", low, high, levels=("middle", "middle"),
               directions=("vertical", "45"))  # fmt: skip
        m.read(f"rod {number}", "rod length", m.some("204.980", "205.010"), u="0.004")


def _rods(m: _Making) -> None:
    m.limit("small end clearance", ("0.020", "0.036"), (None, "0.060"))
    m.limit("rod bend", (None, "0.02"), (None, "0.03"))
    m.limit("rod twist", (None, "0.03"), (None, "0.05"))
    m.part("rod bush", "rod bush")
    m.work("straighten rod", {"rod bend": (None, "0.01"), "rod twist": (None, "0.02"),
                              "rod length": ("-0.004", "0.004")})  # fmt: skip
    m.work("crack-test rod")
    m.work("re-bush rod", {"small end clearance": ("-0.003", "0.003")})
    for number in m.cylinders:
        m.read(f"rod {number}", "rod bush diameter", m.some("35.030", "35.065"))
        m.read(f"piston {number}", "piston pin diameter", m.some("34.990", "34.998"), gauge="G-2")
        m.read(f"rod {number}", "rod bend", m.some("0", "0.05", "0.01"), u="0.004")


def _bores(m: _Making) -> None:
    lined = m.layout.cylinder_kind != "parent bore"
    m.limit("bore diameter", ("100.000", "100.020"), (None, "100.20"))
    m.limit("bore out-of-round", (None, "0.012"), (None, "0.05"))
    m.limit("bore taper", (None, "0.012"), (None, "0.15"))
    m.limit("piston clearance", ("0.09", "0.13"), (None, "0.25"))
    m.limit("top ring gap", ("0.40", "0.60"), (None, "1.20"), of="ring gap")
    m.work("deglaze cylinder")
    m.work("bore cylinder")
    m.work("hone cylinder", {
        "bore diameter": ("-0.004", "0.004"), "bore out-of-round": (None, "0.006"),
        "bore taper": (None, "0.006")})  # fmt: skip
    count = len(m.cylinders)
    m.part("ring set", "ring set", price=30)
    pin = {"piston pin diameter": ("34.994", "34.998")} if m.chance(0.5) else {}
    heights = {"compression height": ("62.98", "63.02")}
    low_heights = {"compression height": ("62.78", "62.82")}
    if lined:
        m.limit("parent bore diameter", ("104.000", "104.022"), (None, "104.04"))
        m.limit("liner fit", ("-0.012", "0.020"))
        m.work("fit dry liner")
        m.work("fit wet liner")
        rough = m.chance(0.3)
        m.part("liner", "liner", {
            "liner outside diameter": ("104.010", "104.020"),
            "liner inside diameter": ("100.010", "100.025"),
            "liner flange thickness": ("10.03", "10.05")},
            supplied="rough" if rough else "finished", price=85)  # fmt: skip
        m.part("kit A", "piston", {"piston skirt diameter": ("99.900", "99.910"), **heights, **pin},
               for_bore=F(100), with_parts=("liner",), price=156)  # fmt: skip
        m.part("kit B", "piston",
               {"piston skirt diameter": ("99.900", "99.910"), **low_heights, **pin},
               for_bore=F(100), with_parts=("liner",), price=168)  # fmt: skip
    else:
        m.limit("bore wall", None, ("4.0", None))
        m.part("pistons, standard", "piston",
               {"piston skirt diameter": ("99.900", "99.910"), **heights, **pin},
               for_bore=F(100), sold_in=count)  # fmt: skip
        m.part("sleeve", "repair sleeve", {"sleeve outside diameter": ("105.00", "105.02")})
        m.work("sleeve cylinder")
        m.limit("wall behind sleeve", None, ("1.5", None))
    for over in (F(1, 2), F(1)) if m.fine or m.chance(0.5) else (F(1, 2),):
        m.part(f"pistons +{float(over):.2f}", "piston",
               {"piston skirt diameter": (F("99.900") + over, F("99.910") + over), **heights,
                **pin}, for_bore=100 + over, sold_in=count)  # fmt: skip
    wear = m.draw.choice(("0.05", "0.16", "0.26"))
    for number in m.cylinders:
        top = m.some("0.02", wear)
        across = max(top - m.some("0.00", "0.07"), F("0.005"))
        bottom = min(across, m.some("0.002", "0.04"))
        sizes = (100 + top, 100 + across, 100 + bottom)
        m.read(f"bore {number}", "bore diameter", *sizes, levels=("top", "top", "bottom"),
               directions=("thrust", "axial", "thrust"))  # fmt: skip
        m.read(f"piston {number}", "piston skirt diameter", m.some("99.86", "99.91"), gauge="G-2")
        m.read(f"piston {number}", "compression height", m.some("62.98", "63.02"), u="0.01")
        m.read(f"top ring {number}", "ring gap", m.some("0.5", "1.3", "0.05"), u="0.02")
        if lined:
            m.read(f"parent bore {number}", "parent bore diameter", m.some("104.002", "104.018"))
        else:
            m.read(f"bore {number}", "bore wall", m.some("4.1", "6.0", "0.1"), u="0.1")
            if m.chance(0.15):
                m.limit("bore score depth", None, (None, "0.02"))
                m.read(f"bore {number}", "bore score depth", m.some("0.05", "0.6", "0.05"),
                       u="0.02")  # fmt: skip
    if m.chance(0.4):
        name = next(part.name for part in m.parts if part.kind == "piston")
        for number in m.cylinders:
            m.read(f"piston {number}", "piston skirt diameter", m.some("99.901", "99.909"),
                   part=name)  # fmt: skip
            m.read(f"piston {number}", "compression height", m.some("62.985", "63.015"), part=name,
                   u="0.01")  # fmt: skip


def _deck(m: _Making) -> None:
    m.limit("deck flatness", (None, "0.05"), (None, "0.05"))
    m.limit("deck height", ("327.55", "327.65"), ("327.30", None))
    m.limit("piston to head", ("0.80", None), ("0.80", None))
    m.work("surface deck", {"deck flatness": (None, "0.02"), "deck height": ("-0.005", "0.005"),
                            "ledge depth": ("-0.005", "0.005")},
           step=m.step("0.01", "0.05"), smallest=m.step("0.03", "0.05"))  # fmt: skip
    ranges = m.chance(0.7)
    grades = (("1.20", "0.30"), ("1.30", "0.40"), ("1.40", "0.50")) if m.fine or m.chance(0.5) \
        else (("1.20", "0.30"), ("1.40", "0.45"))  # fmt: skip
    width = F("0.10") if len(grades) == 3 else F("0.15")
    for thick, low in grades:
        more = {"protrusion": Bounds(F(low), F(low) + width)} if ranges else {}
        m.part(f"gasket {thick}", "gasket", {"gasket thickness": (thick, thick)}, price=62, **more)
    for suffix in m.suffixes:
        low = m.some("0.00", "0.10", "0.02")
        m.gap(f"deck{suffix}", "deck flatness", low, low + F("0.02"))
        front = m.some("327.36", "327.66", "0.005")
        m.read(f"deck{suffix}", "deck height", front, front - m.some("-0.01", "0.01", "0.005"),
               levels=("front", "rear"), u="0.007")  # fmt: skip
    known = {spot.key for spot in m.spots}
    pins = {(n + 1) // 2 if m.layout.layout == "V" and len(m.cylinders) > 1 else n
            for n in m.cylinders}  # fmt: skip
    by_parts = m.chance(0.6)
    for number in sorted(pins):
        if Key(f"rod journal {number}", "throw") not in known and by_parts:
            m.read(f"rod journal {number}", "throw", m.some("59.985", "60.015"), u="0.004")
    for number in m.cylinders:
        if not by_parts:
            m.read(f"bore {number}", "piston to head", m.some("0.70", "1.20", "0.01"), u="0.02")
            m.read(f"bore {number}", "piston protrusion", m.some("0.25", "0.55", "0.01"),
                   u="0.01")  # fmt: skip
            continue
        if Key(f"rod {number}", "rod length") not in known:
            m.read(f"rod {number}", "rod length", m.some("204.980", "205.010"), u="0.004")
        if Key(f"piston {number}", "compression height") not in known:
            m.read(f"piston {number}", "compression height", m.some("62.78", "63.02"), u="0.01")
    if ranges:
        m.limit("piston protrusion", ("0.20", "0.75"), ("0.20", "0.75"))
    if m.chance(0.3):
        m.limit("compression ratio", ("15.0", "19.0"))
        m.geometry |= {"bowl volume": F(49_800), "crevice volume": F(1200), "gasket bore": F(102)}
        for number in m.cylinders:
            if not any(s.key == Key(f"bore {number}", "bore diameter") for s in m.spots):
                m.read(f"bore {number}", "bore diameter", m.some("100.01", "100.05"))


def _ledges(m: _Making) -> None:
    if m.layout.cylinder_kind not in ("dry flanged liner", "wet liner"):
        return
    m.limit("ledge depth", ("9.97", "10.00"), judged="when new")
    m.limit("ledge spread", (None, "0.02"))
    m.limit("liner protrusion", ("0.03", "0.10"))
    m.limit("liner protrusion step", (None, "0.04"))
    m.work("recut ledge", {"ledge depth": ("-0.005", "0.005"), "ledge spread": (None, "0.008")},
           step=m.step("0.01", "0.05"))  # fmt: skip
    m.part("liner shim 0.05", "liner shim", {"liner shim thickness": ("0.05", "0.05")}, price=6)
    if m.fine:
        m.part("liner shim 0.20", "liner shim", {"liner shim thickness": ("0.20", "0.20")}, price=6)
    for number in m.cylinders:
        depth = m.some("9.96", "10.06", "0.005")
        spread = m.some("0", "0.03" if m.chance(0.4) else "0.01", "0.005")
        m.read(f"ledge {number}", "ledge depth", depth, depth + spread, u="0.003")
        m.read(f"liner {number}", "liner flange thickness", m.some("10.02", "10.05", "0.005"),
               u="0.003")  # fmt: skip


def _head(m: _Making) -> None:
    m.limit("head flatness", (None, "0.05"), (None, "0.10"))
    m.limit("head height", ("94.90", "95.10"), ("94.60", None))
    m.work("surface head", {"head flatness": (None, "0.02"), "head height": ("-0.01", "0.01"),
                            "valve recession": ("-0.01", "0.01")},
           step=m.step("0.01", "0.1"), smallest=m.step("0.03", "0.1"))  # fmt: skip
    for suffix in m.suffixes:
        low = m.some("0", "0.14", "0.02")
        m.gap(f"head{suffix}", "head flatness", low, low + F("0.04"))
        m.read(f"head{suffix}", "head height", m.some("94.80", "95.00", "0.01"), u="0.01")


def _valves(m: _Making) -> None:
    m.limit("intake stem clearance", ("0.030", "0.060"), (None, "0.10"), of="stem clearance")
    m.limit("exhaust stem clearance", ("0.045", "0.075"), (None, "0.12"), of="stem clearance")
    m.limit("valve recession", ("0.80", "1.10"), ("0.80", "1.50"))
    m.limit("seat runout", (None, "0.05"))
    m.work("replace guide", {"stem clearance": ("-0.004", "0.004")})
    m.work("fit seat insert")
    m.work("cut seat", {"valve recession": ("0.06", "0.10"), "seat runout": (None, "0.03")},
           step=m.step("0.02", "0.2"))  # fmt: skip
    for side in ("intake", "exhaust"):
        m.part(f"guide, {side}", "guide", fits=side)
        if m.fine or m.chance(0.6):
            m.part(f"seat insert, {side}", "seat insert", fits=side)
    few = m.layout.cylinders > 1 and not m.fine
    for number in m.cylinders:
        for letter, count in (("I", m.layout.intakes), ("E", m.layout.exhausts)):
            if few and letter == "E":
                continue
            for k in range(count):
                valve = f"{letter}{number}" + (chr(97 + k) if count > 1 else "")
                m.read(f"seat {valve}", "valve recession", m.some("0.80", "1.25", "0.01"), u="0.01")
                m.read(f"seat {valve}", "seat runout", m.some("0.01", "0.07", "0.01"), u="0.004")
                m.read(f"guide {valve}", "guide diameter", m.some("9.015", "9.080"))
                m.read(f"valve {valve}", "stem diameter", m.some("8.945", "8.970"), gauge="G-2")
                m.read(f"valve {valve}", "tip height", m.some("38.0", "38.2", "0.02"), u="0.02")
                m.read(f"spring {valve}", "spring installed height",
                       m.some("41.9", "42.3", "0.1"), u="0.05")  # fmt: skip
    m.limit("tip height", ("37.8", "38.2"), (None, "38.5"))
    m.limit("spring installed height", ("41.7", "42.3"), (None, "42.5"))


def _gear(m: _Making) -> None:
    m.limit("follower clearance", ("0.02", "0.05"), (None, "0.10"))
    m.limit("follower foot", ("0", "0.5"))
    m.limit("cam clearance", ("0.04", "0.085"), (None, "0.12"))
    m.limit("gear backlash", ("0.08", "0.18"), ("0.08", "0.25"))
    m.part("follower", "follower", sold_in=2 * len(m.cylinders))
    m.part("cam bush", "cam bush")
    m.part("gears", "gears")
    m.work("fit cam bushes")
    for number in m.cylinders:
        valve = f"I{number}" + ("a" if m.layout.intakes > 1 else "")
        m.read(f"follower {valve}", "follower bore diameter", m.some("22.00", "22.05"))
        m.read(f"follower {valve}", "follower diameter", m.some("21.94", "21.98"), gauge="G-2")
    m.read("cam bush 1", "cam bush diameter", m.some("50.02", "50.06"))
    m.read("cam journal 1", "cam journal diameter", m.some("49.92", "49.96"), gauge="G-2")
    m.read("gear mesh crank-idler", "gear backlash", m.some("0.10", "0.30", "0.01"), u="0.01")


def _rest(m: _Making) -> None:
    m.limit("spring free length", ("51.5", "52.5"), ("50.5", None))
    m.limit("oil pump end clearance", ("0.03", "0.08"), (None, "0.10"))
    m.limit("flywheel runout", (None, "0.10"), (None, "0.20"), must=False)
    m.limit("damper mark offset", None, (None, "1.0"))
    m.part("spring", "spring", {"spring free length": ("51.5", "52.5")},
           sold_in=2 * len(m.cylinders))  # fmt: skip
    m.part("damper", "damper")
    if m.chance(0.6):
        m.part("oil pump", "oil pump")
    m.work("lap oil pump")
    m.work("skim flywheel")
    for number in m.cylinders:
        valve = f"I{number}" + ("a" if m.layout.intakes > 1 else "")
        m.read(f"spring {valve}", "spring free length", m.some("50.0", "52.0", "0.1"), u="0.1")
    m.read("oil pump", "oil pump end clearance", m.some("0.04", "0.14", "0.01"), u="0.01")
    m.read("flywheel", "flywheel runout", m.some("0.05", "0.30", "0.01"), u="0.01")
    m.read("damper", "damper mark offset", m.some("0", "2", "0.5"), u="0.2")


_MAKERS = MappingProxyType(
    {
        "mains": _mains,
        "pins": _pins,
        "rods": _rods,
        "bores": _bores,
        "deck": _deck,
        "ledges": _ledges,
        "head": _head,
        "valves": _valves,
        "gear": _gear,
        "rest": _rest,
    }
)
