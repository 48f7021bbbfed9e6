"""What a step of assembly is: what to do, what to check, and what holds the next one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from sparkout.assembly.fastening import JointWork
from sparkout.engine.dimension import Key
from sparkout.judge.checks import Check as Judged
from sparkout.plan.forms import Group, Option, SetTo
from sparkout.sheet.model import Bounds, DataSheet, Side

__all__ = ["CheckKind", "PlanFacts", "PlannedPart", "Stage", "Step", "StepCheck", "plan_facts"]


class Stage(StrEnum):
    """Which part of the build a step is in."""

    READY = "getting ready"
    TRIAL = "trial assembly"
    BUILD = "final assembly"
    START = "first start and run-in"


class CheckKind(StrEnum):
    """What sort of thing is checked, and so what counts as in order."""

    READING = "reading"  # a characteristic the program knows, read on one feature
    DERIVED = "worked out"  # a characteristic that follows from other readings of the same step
    FIGURE = "figure"  # something else with limits in a unit
    LARGEST = "largest"  # the largest of a characteristic over all its features
    SEEN = "seen"  # to be looked at or done, and confirmed
    FASTENERS = "fasteners"  # a tightening sequence, recorded fastener by fastener
    PARTS = "parts"  # every part accounted for


@dataclass(frozen=True, slots=True)
class StepCheck:
    """One thing that has to be recorded before the next step.

    name: how records name it, after the step and `/`. feature: what it is read on. words: what to
    read or see. how: gauge and places. bounds: None where the sheet gives no limit, and recording
    it is enough. judged: the limit as the judge knows it, for readings. needs_note: a plain `done`
    is not enough.
    """

    name: str
    kind: CheckKind
    words: str
    feature: str = ""
    how: str = ""
    dimension: str = ""
    characteristic: str = ""
    bounds: Bounds | None = None
    side: str = Side.SERVICE
    judged: Judged | None = None
    source: str = ""
    needs_note: bool = False

    @property
    def label(self) -> str:
        if not self.feature or self.feature == self.name:
            return self.name
        return f"{self.name}, {self.feature}"


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """A part the plan uses, how many, and where they go."""

    part: str
    kind: str
    count: int
    features: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanFacts:
    """What assembly has to know of the plan.

    parts: everything chosen or bought. as_new: sizes that the plan makes or replaces, which are
    judged by the new limits.
    """

    parts: tuple[PlannedPart, ...] = ()
    as_new: frozenset[Key] = frozenset()

    def of_kind(self, kind: str) -> tuple[PlannedPart, ...]:
        return tuple(part for part in self.parts if part.kind == kind)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the assembly sheet.

    cautions: names of the safety messages that belong to its operations. after: ids of the steps
    whose checks hold this one. joint: what a tightening step works through. gate: in words, what
    has to be recorded before the next step. second_person: somebody else looks too.
    """

    id: str
    title: str
    stage: Stage
    features: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    lubricant: str = ""
    sealant: str = ""
    orientation: str = ""
    fasteners: str = ""
    marks: str = ""
    align: str = ""
    parts: tuple[PlannedPart, ...] = ()
    checks: tuple[StepCheck, ...] = ()
    joint: JointWork | None = None
    operations: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    gate: str = ""
    second_person: bool = False
    source: str = "common practice"


def plan_facts(chosen: Iterable[tuple[Group, Option]], sheet: DataSheet | None) -> PlanFacts:
    """What assembly has to know of a plan, from its groups and the option chosen in each.

    Parts: those the options use, counts of one part added up. As new: sizes the options set to
    those of a new or machined part.

    chosen: groups with their option (`plan.decide.Plan.chosen`) [-].
    sheet: the data sheet, which knows what kind each part is; None where parts have no kind [-].
    Returns the facts.
    Holds for any plan.
    Source: the plan.

    >>> plan_facts((), None).parts
    ()
    """
    kinds = {} if sheet is None else {part.name: part.kind for part in sheet.parts}
    counts: dict[str, int] = {}
    places: dict[str, list[str]] = {}
    as_new: set[Key] = set()
    for group, option in chosen:
        for use in option.parts:
            counts[use.part] = counts.get(use.part, 0) + use.count
            places.setdefault(use.part, []).extend(group.features)
        as_new.update(e.key for e in option.effects if isinstance(e, SetTo) and e.as_new)
    parts = tuple(
        PlannedPart(name, kinds.get(name, ""), count, tuple(dict.fromkeys(places[name])))
        for name, count in counts.items()
    )
    return PlanFacts(parts, frozenset(as_new))
