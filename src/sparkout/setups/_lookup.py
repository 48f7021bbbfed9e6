"""Where the makers of set-ups look things up: the job, its plan, the bench; each with its marks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol

from sparkout.engine.characteristics import BY_NAME, Sense
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import Frame
from sparkout.engine.state import State
from sparkout.judge.finding import Finding, Verdict
from sparkout.mechanics.materials import Material, material
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Group, MoveBy, Option, SetTo
from sparkout.setups._practice import Cuts, cuts_of, passes_by_habit, thumb
from sparkout.setups.bench import KNOWN, Bench
from sparkout.setups.number import FINE, Given
from sparkout.setups.record import Pass
from sparkout.setups.words import Said
from sparkout.sheet.model import Bounds, DataSheet, Limit
from sparkout.sheet.practice import PASSES
from sparkout.sheet.shop import Shop

__all__ = ["PLANNED", "JobFacts", "Lookup", "Missing", "marks_of"]

PLANNED = "planned, not yet cut"


class JobFacts(Protocol):
    """What a job has to say: its data sheet, the shop, the measured state and the findings."""

    @property
    def sheet(self) -> DataSheet: ...
    @property
    def shop(self) -> Shop: ...
    @property
    def state(self) -> State: ...
    @property
    def findings(self) -> tuple[Finding, ...]: ...


@dataclass(frozen=True, slots=True)
class Missing:
    """Something a number needs and nobody has read or said yet."""

    what: str


def marks_of(size: Dimension, *, not_proven: bool = False) -> tuple[str, ...]:
    """What is not certain about a size: assumed, stale, only planned, or not proven."""
    marks = []
    if size.how is How.ASSUMED:
        marks.append(f"{size.key} assumed from the data sheet: measure it first")
    elif size.how is How.STALE:
        marks.append(f"{size.key} stale: read it again, later work moved its datum")
    elif size.how is How.MACHINED:
        marks.append(f"{size.key} {PLANNED}")
    if not_proven:
        marks.append(f"{size.key} not proven: too near its limit for the gauge it was read with")
    return tuple(marks)


@dataclass(frozen=True, slots=True)
class Lookup:
    """One job, its plan and what was said at the bench. operation: the one in hand."""

    facts: JobFacts
    plan: Plan
    bench: Bench = field(default_factory=Bench)
    operation: str = ""

    @property
    def sheet(self) -> DataSheet:
        return self.facts.sheet

    @property
    def shop(self) -> Shop:
        return self.facts.shop

    @property
    def state(self) -> State:
        return self.facts.state

    @property
    def frame(self) -> Frame:
        return self.facts.state.frame

    @property
    def system(self) -> str:
        return self.facts.shop.units

    @property
    def said(self) -> Said:
        return Said(self.system)

    @property
    def dial(self) -> Fraction:
        """The division a size is set to: a micron, or a tenth of a thou in an inch shop."""
        return Fraction(254, 100_000) if self.system == "inch" else Fraction(1, 1000)

    # Sizes -------------------------------------------------------------------------------------

    def now(self, feature: str, characteristic: str, end: str = "high") -> Given | Missing:
        """A size as it stands: its lowest, highest, or the middle between them."""
        size = self.state.size(feature, characteristic)
        return self._given(Key(feature, characteristic), size, end, self.facts.findings)

    def planned(self, feature: str, characteristic: str, end: str = "high") -> Given | Missing:
        """A size as the plan leaves it; a part in hand as measured."""
        key = Key(feature, characteristic)
        return self._given(key, self.plan.sizes.get(key), end, self.plan.after)

    def _given(
        self, key: Key, size: Dimension | None, end: str, findings: Iterable[Finding]
    ) -> Given | Missing:
        if size is None:
            return self.unread(key)
        doubtful = any(f.verdict is Verdict.NOT_PROVEN and f.key == key for f in findings)
        value = {
            "low": size.low.value,
            "high": size.high.value,
            "middle": (size.low.value + size.high.value) / 2,
        }[end]
        dimension, step = _kind_of(key.characteristic)
        marks = marks_of(size, not_proven=doubtful)
        if size.how is How.ASSUMED and not size.single:
            low, high = (
                self.said.bare(edge.value, dimension, step) for edge in (size.low, size.high)
            )
            range_ = f"{low} to {high}"
            marks = (f"{key} assumed from the data sheet, {range_}: measure it first", *marks[1:])
        return Given(value, str(key), dimension, step, marks)

    def unread(self, key: Key) -> Missing:
        """What to read, with what and where."""
        known = BY_NAME.get(key.characteristic)
        how = f" with {known.gauge}" if known is not None and known.gauge else ""
        where = f" ({known.places})" if known is not None and known.places else ""
        return Missing(f"{key}: read it{how}{where}")

    # What the sheet, the shop and the bench say ---------------------------------------------------

    def limit(self, characteristic: str, feature: str = "") -> Limit | None:
        own = self.frame.feature(feature)
        return self.sheet.limit_for(characteristic, own.tags if own is not None else ())

    def new_bounds(self, characteristic: str, feature: str = "") -> Bounds | None:
        limit = self.limit(characteristic, feature)
        return None if limit is None else limit.side("new")

    def aim(self, characteristic: str, feature: str = "", words: str = "") -> Given | Missing:
        """The middle of a new limit, on the nearest division of the dial that lies inside it."""
        limit = self.limit(characteristic, feature)
        bounds = None if limit is None else limit.side("new")
        if limit is None or bounds is None or bounds.width is None:
            return Missing(f"{characteristic}: the data sheet gives no new range for it")
        value = bounds.middle
        known = BY_NAME[characteristic]
        if known.dimension == "length":
            near = round(value / self.dial) * self.dial
            if bounds.low is not None and bounds.high is not None and (
                bounds.low <= near <= bounds.high
            ):  # fmt: skip
                value = near
        marks = (f"rule of thumb ({limit.thumb})",) if limit.thumb else ()
        said = f"{words or characteristic} (middle of {bounds.typed})"
        return Given(value, said, known.dimension, Fraction(known.step), marks)

    def nominal(self, name: str, words: str = "") -> Given | Missing:
        value = self.sheet.geometry.get(name)
        if value is None:
            return Missing(f"{name}: the data sheet gives none under `geometry`")
        kind = "angle" if "angle" in name else "ratio" if "ratio" in name else "length"
        step = Fraction(1, 100) if kind != "length" else Fraction(1, 1000)
        return Given(value, words or name, kind, step)

    def known(self, name: str, feature: str = "") -> Given | Missing:
        """What was said at the bench, for this feature or for all of its kind."""
        number = feature.rsplit(" ", 1)[-1]
        for key in (f"{name} {number}", name):
            value = self.bench.values.get(key)
            if value is not None:
                return Given(value, name, KNOWN[name][0])
        own = self.shop.practice.cutters.get(name)
        if own is not None:
            return Given(own, f"{name}, shop file", KNOWN[name][0])
        where = f" {number}" if number else ""
        return Missing(f"{name}{where}: {KNOWN[name][1]}")

    def grade(self, part: str) -> Material | Missing:
        name = self.bench.grades.get(part) or self.shop.practice.metals.get(part)
        if name is None:
            return Missing(f"grade of the {part}: which iron, steel or aluminium it is")
        return material(name)

    def hold(self, operation: str, characteristic: str) -> Fraction | None:
        """How well this shop hits a size, either way (k = 2); None where its file does not say."""
        rate = self.shop.operations.get(operation)
        bounds = None if rate is None else rate.holds.get(characteristic)
        return None if bounds is None or bounds.width is None else bounds.width / 2

    def thumb(self, name: str) -> Given:
        """The shop's own allowance where its file sets one, else common practice, marked so."""
        usual = thumb(name, self.system)
        own = self.shop.practice.allowances.get(name)
        return usual if own is None else Given(own, f"{usual.words}, shop file")

    def own_cuts(self, work: str) -> Cuts | None:
        """Depths of cut said at the bench, or the shop's for the operation in hand."""
        said = self.bench.cuts.get(work)
        if said is not None:
            return said
        # sleeving bores as its own machine does, or else as the boring bar does
        own = (self.operation,) if PASSES.get(self.operation) == work else ()
        for name in (*own, work):
            rate = self.shop.operations.get(name)
            if rate is not None and rate.passes is not None:
                return cuts_of(work, rate.passes)
        return None

    def cuts(self, work: str, stock: Given | Fraction, sense: Sense) -> tuple[Pass, ...]:
        return passes_by_habit(work, stock, self.system, sense, self.own_cuts(work))

    # The plan ------------------------------------------------------------------------------------

    def chosen(self, operation: str, feature: str) -> tuple[Group, Option] | None:
        """The option that has this operation done on this feature."""
        for group, option in self.plan.chosen:
            for work in option.work:
                if work.operation == operation and feature in work.features:
                    return group, option
        return None

    def set_to(self, feature: str, characteristic: str, operation: str) -> SetTo | None:
        """The size the plan has an operation make."""
        found = self.chosen(operation, feature)
        if found is None:
            return None
        key = Key(feature, characteristic)
        return next((e for e in found[1].effects if isinstance(e, SetTo) and e.key == key), None)

    def amount(self, name: str) -> Fraction:
        """A depth the plan chose, zero where it takes nothing."""
        return next((item.value for item in self.plan.amounts if item.name == name), Fraction(0))

    def head_cut(self, feature: str) -> Given:
        """What comes off the head face over a feature since it was read: as planned."""
        for group, option in self.plan.chosen:
            cut = f"{group.name} cut"
            if group.name.startswith("head") and any(
                isinstance(effect, MoveBy) and effect.amount == cut
                and effect.key.feature == feature
                for effect in option.effects
            ):  # fmt: skip
                return Given(self.amount(cut), cut, step=Fraction(1, 100))
        return Given(Fraction(0), "head cut")

    def change(self, feature: str, characteristic: str) -> Given | Missing:
        """What the plan changes a size by: after less before."""
        key = Key(feature, characteristic)
        after, before = self.plan.sizes.get(key), self.state.sizes.get(key)
        if after is None or before is None:
            return self.unread(key)
        middle = [(size.low.value + size.high.value) / 2 for size in (after, before)]
        known = BY_NAME[characteristic]
        marks = tuple(dict.fromkeys((*marks_of(after), *marks_of(before))))
        return Given(middle[0] - middle[1], f"change of {key}", known.dimension,
                     Fraction(known.step), marks)  # fmt: skip

    def in_hand(self, feature: str, characteristic: str) -> Given | Missing:
        """A size of the part that will be fitted: as measured on it, else as the feature stands."""
        key = Key(feature, characteristic)
        for _, option in self.plan.chosen:
            for use in option.parts:
                size = self.state.new_parts.get(use.part, {}).get(key)
                if size is not None:
                    return self._given(key, size, "middle", ())
        return self.now(feature, characteristic, "middle")

    def brought(
        self, operation: str, feature: str, characteristic: str
    ) -> tuple[Given, Given] | None:
        """Least and most of a size the new part comes with: as measured on it, else as sold."""
        found = self.chosen(operation, feature)
        key = Key(feature, characteristic)
        for use in () if found is None else found[1].parts:
            size = self.state.new_parts.get(use.part, {}).get(key)
            if size is not None:
                words = f"{use.part} in hand"
                marks = marks_of(size)
                return (
                    Given(size.low.value, words, marks=marks),
                    Given(size.high.value, words, marks=marks),
                )
            part = next((part for part in self.sheet.parts if part.name == use.part), None)
            sold = None if part is None else part.sizes.get(characteristic)
            if sold is not None and sold.low is not None and sold.high is not None:
                mark = f"{use.part} as sold: measure the one that goes in"
                return (
                    Given(sold.low, "least bore as sold", marks=(mark,)),
                    Given(sold.high, "largest bore as sold", marks=(mark,)),
                )
        return None

    def to_dial(self, value: Fraction) -> Fraction:
        return round(value / self.dial) * self.dial


def _kind_of(characteristic: str) -> tuple[str, Fraction]:
    """Dimension and step of a size; clean-up sizes are lengths, worked out and not listed."""
    known = BY_NAME.get(characteristic)
    return ("length", FINE) if known is None else (known.dimension, Fraction(known.step))
