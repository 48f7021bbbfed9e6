"""A small engine from a few lines: its limits, parts, shop, readings; and the plan it comes to."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction as F
from types import MappingProxyType

from brute_engine import brute, count

from sparkout.engine.dimension import Key
from sparkout.engine.known import with_known
from sparkout.engine.of_sheet import frame_of
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.state import State, measured_state
from sparkout.judge.checks import checks
from sparkout.judge.finding import Verdict, judge_all
from sparkout.measure.estimate import Component, Estimate
from sparkout.plan.decide import Plan, Stuck, make_plan, problem_of
from sparkout.plan.forms import Group, Option
from sparkout.plan.options import Context, all_groups
from sparkout.plan.order import Step, order_of_work
from sparkout.plan.problem import Problem
from sparkout.sheet.assembly_model import AssemblySpec, Joint
from sparkout.sheet.model import (
    Bounds,
    DataSheet,
    Identity,
    LayoutSpec,
    Limit,
    PartSpec,
    RepairSpec,
)
from sparkout.sheet.shop import OperationRate, Shop, Supply
from sparkout.units import parse_range

__all__ = ["SmallEngine"]

MOST = 300_000  # plans that are all tried

PASSED = Bounds(None, F(1, 2), "passed")


def bounds(text: str | None, dimension: str = "length") -> Bounds | None:
    """`80.00 to 80.02`, `at most 0.05`, `at least 3`, `± 0.01`, `1.2`; mm unless it says."""
    if text is None:
        return None
    if text == "passed":
        return PASSED
    unit = "mm" if dimension == "length" else ""
    typed = f"0 {text}" if text.startswith("±") else text
    if not any(word in typed for word in (" to ", "at ", "±")):
        return Bounds(F(typed), F(typed), text)
    found = parse_range(typed, "length", unit or "mm")
    return Bounds(found.low, found.high, text)


@dataclass
class SmallEngine:
    """What is said of it; every method adds to it and gives it back."""

    layout: str = "inline"
    cylinders: int = 1
    kind: str = "parent bore"
    mains: int = 2
    heads: str = "per bank"
    camshaft: str = "in the block"
    gears: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    cam_bearings: int = 0
    rate: F = F(60)
    limits: dict[str, Limit] = field(default_factory=dict)
    parts: list[PartSpec] = field(default_factory=list)
    repairs: list[RepairSpec] = field(default_factory=list)
    rates: dict[str, OperationRate] = field(default_factory=dict)
    supply: dict[str, Supply] = field(default_factory=dict)
    spots: list[Spot] = field(default_factory=list)
    tests: list[TestResult] = field(default_factory=list)
    geometry: dict[str, F] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)

    def limit(self, name: str, new: str | None, service: str | None = None, *, of: str = "",
              must: bool = True) -> SmallEngine:  # fmt: skip
        qualifier = name.removesuffix(of).strip() if of else ""
        self.limits[name] = Limit(name, of or name, qualifier, bounds(new), bounds(service),
                                  must=must, source="invented")  # fmt: skip
        return self

    def part(self, name: str, kind: str, price: int | None = 50, *, sold_in: int = 1,
             on_hand: int | None = 40, days: int = 0, sizes: dict[str, str] | None = None,
             **more: object) -> SmallEngine:  # fmt: skip
        """A part on the sheet and, with a price, on the supply list."""
        measures = {key: bounds(text) for key, text in (sizes or {}).items()}
        self.parts.append(PartSpec(name, kind, MappingProxyType(measures), **more))  # type: ignore[arg-type]
        if price is not None:
            self.supply[name] = Supply(name, F(price), sold_in, on_hand, days)
        return self

    def work(self, name: str, hours: str = "1", holds: dict[str, str] | None = None, *,
             step: str | None = None, smallest: str | None = None, set_up: str = "0",
             outside: int | None = None, days: int = 0) -> SmallEngine:  # fmt: skip
        self.rates[name] = OperationRate(
            name,
            "labour",
            F(set_up),
            F(hours),
            step=None if step is None else F(step),
            smallest_cut=None if smallest is None else F(smallest),
            holds=MappingProxyType({key: bounds(text) for key, text in (holds or {}).items()}),
            outside=None if outside is None else F(outside),
            outside_days=days,
        )
        return self

    def read(self, feature: str, name: str, *values: str, u: str = "0", part: str = "",
             levels: tuple[str, ...] = (),
             directions: tuple[str, ...] = ()) -> SmallEngine:  # fmt: skip
        where = levels or tuple(f"place {k + 1}" for k in range(len(values)))
        ways = directions or ("",) * len(values)
        for value, level, way in zip(values, where, ways, strict=True):
            source = f"{feature} {name} {level} {way} {part}"
            errors = (Component(source, float(F(u)) / 2),) if F(u) else ()
            self.spots.append(Spot(Key(feature, name), level, way, Estimate(F(value), errors),
                                   source, phase="new part" if part else "found", gauge="G",
                                   typed=value, part=part))  # fmt: skip
        return self

    def round(self, feature: str, name: str, low: str, high: str) -> SmallEngine:
        """Two readings across one level, at right angles."""
        return self.read(feature, name, low, high, levels=("middle", "middle"),
                         directions=("thrust", "axial"))  # fmt: skip

    def failed(self, feature: str, name: str) -> SmallEngine:
        self.tests.append(TestResult(Key(feature, name), False, "entry"))
        return self

    # What follows ---------------------------------------------------------------------------

    @property
    def sheet(self) -> DataSheet:
        several = self.layout in ("V", "flat") and self.cylinders > 1
        numbers = range(1, self.cylinders + 1)
        banks = (("", tuple(numbers)),)
        if several:
            banks = (("left", tuple(numbers[::2])), ("right", tuple(numbers[1::2])))
        spec = LayoutSpec(self.layout, self.cylinders, banks, tuple(numbers), self.mains,
                          self.kind, heads=self.heads, gears=self.gears, without=self.without,
                          cam_bearings=self.cam_bearings, rings=("top",))  # fmt: skip
        return DataSheet(Identity("invented", camshaft=self.camshaft), spec,
                         MappingProxyType(self.geometry), MappingProxyType(self.limits),
                         tuple(self.parts), MappingProxyType({"invented": "made up"}),
                         tuple(self.repairs),
                         assembly=AssemblySpec(joints={j.name: j for j in self.joints})
                         )  # fmt: skip

    @property
    def shop(self) -> Shop:
        return Shop("invented shop", "EUR", "mm", MappingProxyType({"labour": self.rate}),
                    MappingProxyType(self.rates), MappingProxyType(self.supply))  # fmt: skip

    @property
    def state(self) -> State:
        sheet = self.sheet
        return with_known(measured_state(frame_of(sheet), self.spots, self.tests), sheet)

    @property
    def context(self) -> Context:
        return Context(self.sheet, self.shop, self.state)

    @property
    def groups(self) -> dict[str, Group]:
        return {group.name: group for group in all_groups(self.context)}

    def option(self, group: str, name: str) -> Option:
        return self.groups[group].option(name)

    def options(self, group: str) -> list[str]:
        """Options of a group that can be had."""
        found = self.groups.get(group)
        return [] if found is None else [o.name for o in found.options if not o.impossible]

    @property
    def problem(self) -> Problem:
        sheet = self.sheet
        return problem_of(sheet, self.shop, self.state, checks(sheet, frame_of(sheet)))

    @property
    def outcome(self) -> Plan | Stuck:
        sheet, state = self.sheet, self.state
        to_judge = checks(sheet, state.frame)
        findings = judge_all(to_judge, state.sizes, confidence=0.95, rule="guarded by risk")
        return make_plan(sheet, self.shop, state, to_judge, findings)

    @property
    def plan(self) -> Plan:
        """The plan, held against every other plan of the engine where they can all be tried."""
        found = self.outcome
        assert isinstance(found, Plan), found.sentences
        problem = found.compiled.problem
        if count(problem) <= MOST:
            cheapest = brute(problem)
            assert cheapest is not None
            assert cheapest.cost == found.cost, cheapest.picks
        bad = [f.reason for f in found.after if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]
        assert bad == []
        return found

    @property
    def picks(self) -> dict[str, str]:
        """What the plan does, left-as-it-is left out."""
        return {g.name: o.name for g, o in self.plan.chosen if o.name != g.keep}

    @property
    def cut(self) -> dict[str, F]:
        return {item.name: item.value for item in self.plan.amounts}

    @property
    def steps(self) -> tuple[Step, ...]:
        return order_of_work(self.plan.chosen, self.shop)

    def ordered(self) -> list[str]:
        return [step.operation for step in self.steps if step.operation]
