"""From the log's entries to located readings: what was read, what was left by work, what parts are.

Readings that cannot be right are questioned: they stay in the log as typed and are left out of the
state until someone confirms or corrects them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from sparkout.engine.doubts import crowds, doubt
from sparkout.engine.frame import Frame
from sparkout.engine.readings import Typed, read_typed
from sparkout.engine.spots import Spot, TestResult
from sparkout.faults import Fault
from sparkout.job.bodies import Measured, Part, Reading, Work
from sparkout.job.replay import Standing
from sparkout.measure.intake.plausible import Question
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["Located", "Questioned", "locate"]


@dataclass(frozen=True, slots=True)
class Questioned:
    """A reading in doubt: where it stands and what is likely to have happened."""

    typed: Typed
    question: Question


@dataclass(frozen=True, slots=True)
class Located:
    """Everything the log says that has a place on the engine."""

    spots: tuple[Spot, ...]
    tests: tuple[TestResult, ...]
    questioned: tuple[Questioned, ...]
    work: tuple[tuple[Standing, Work], ...]
    faults: tuple[Fault, ...]


def locate(standing: Iterable[Standing], frame: Frame, sheet: DataSheet, shop: Shop) -> Located:
    """Readings, results of work and sizes of parts, in the order of the log."""
    read: list[tuple[Standing, Typed, Spot]] = []
    tests: list[TestResult] = []
    asked: list[Questioned] = []
    work: list[tuple[Standing, Work]] = []
    faults: list[Fault] = []
    for entry in standing:
        if isinstance(entry.body, Work):
            work.append((entry, entry.body))
        for typed in _typed(entry):
            found, wrong = read_typed(_of_metal(typed, frame, shop), frame, shop)
            faults.extend(wrong)
            if isinstance(found, TestResult):
                tests.append(found)
            elif found is not None:
                read.append((entry, typed, found))
    others = crowds(found for _, _, found in read)
    spots: list[Spot] = []
    for entry, typed, found in read:
        inch = shop.units == "inch" if not typed.unit else typed.unit in ("in", "thou", "tenth")
        why = None if entry.confirmed else doubt(found, frame, sheet, others, inch)
        if why is None:
            spots.append(found)
        else:
            asked.append(Questioned(typed, why))
    return Located(tuple(spots), tuple(tests), tuple(asked), tuple(work), tuple(faults))


# Which of the shop's metals a kind of feature is made of; the others are steel or not known.
_METAL = MappingProxyType(
    {"bore": "bore", "liner": "liner", "rod": "rod", "guide": "guide", "piston": "piston"}
    | dict.fromkeys(("block", "deck", "parent bore", "main housing", "ledge"), "block")
    | dict.fromkeys(("head", "chamber", "seat"), "head")
    | dict.fromkeys(("crankshaft", "main journal", "rod journal"), "crankshaft")
)


def _of_metal(typed: Typed, frame: Frame, shop: Shop) -> Typed:
    """The reading with what its part is made of, where the shop's file says."""
    feature = frame.feature(typed.feature)
    kind = "" if feature is None else feature.kind
    metal = shop.practice.metals.get(_METAL.get(kind, ""), "")
    return replace(typed, material=metal) if metal else typed


def _typed(entry: Standing) -> Iterator[Typed]:
    body = entry.body
    if isinstance(body, Reading):
        yield Typed(
            body.feature,
            body.characteristic,
            body.typed,
            entry.place,
            body.level,
            body.direction,
            body.unit,
            body.gauge,
            body.master,
            body.polarity,
            body.phase or "found",
            "",
            entry.id,
            entry.at,
            body.note,
            body.part_temperature,
            body.gauge_temperature,
        )
    elif isinstance(body, Work):
        for row in body.results:
            feature = row.feature or body.features[0]
            yield _measured(entry, row, feature, "left", "")
    elif isinstance(body, Part):
        for row in body.sizes:
            feature = row.feature or body.for_feature
            yield _measured(entry, row, feature, "new part", body.part)


def _measured(entry: Standing, row: Measured, feature: str, phase: str, part: str) -> Typed:
    return Typed(
        feature,
        row.characteristic,
        row.typed,
        entry.place,
        row.level,
        row.direction,
        row.unit,
        row.gauge,
        row.master,
        row.polarity,
        phase,
        part,
        entry.id,
        entry.at,
        row.note,
        row.part_temperature,
        row.gauge_temperature,
    )
