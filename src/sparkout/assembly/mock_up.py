"""Readings taken while the engine goes together, turned back into readings of the engine."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.assembly.records import Record
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.frame import Frame
from sparkout.engine.readings import Typed, read_typed
from sparkout.engine.spots import Spot, TestResult
from sparkout.faults import Fault
from sparkout.sheet.shop import Shop

__all__ = ["MockUp", "latest", "mock_up"]


@dataclass(frozen=True, slots=True)
class MockUp:
    """What was read of the engine in assembly: spots of phase `mock-up`, tests, and what could not
    be read."""

    spots: tuple[Spot, ...]
    tests: tuple[TestResult, ...]
    faults: tuple[Fault, ...]


def latest(recorded: Iterable[Record]) -> tuple[Record, ...]:
    """The last record of each check, feature and position: what was done again replaces itself.

    recorded: in the order of the log [-].
    Returns the last of each, in that order; what was waived stays out.
    Holds for checks; tightening records are a sequence and all count (`next_fastener`).
    Source: a step done again is recorded again; the log keeps both.

    >>> one = Record("fit-crankshaft", "end play", "", "crankshaft", "0.35", number=1)
    >>> two = Record("fit-crankshaft", "end play", "", "crankshaft", "0.24", number=2)
    >>> [record.result for record in latest((one, two))]
    ['0.24']
    """
    found: dict[tuple[str, str, str], Record] = {}
    for record in recorded:
        if record.waived:
            continue
        key = (record.check, record.feature, record.position)
        found.pop(key, None)
        found[key] = record
    return tuple(found.values())


def mock_up(recorded: Iterable[Record], frame: Frame, shop: Shop) -> MockUp:
    """Check entries that are readings of a characteristic, turned into located readings.

    A record whose check is the name of a characteristic is read as `engine.readings.read_typed`
    reads any reading: unit, feeler pair, gauge. The last one of each place counts; the step it was
    recorded under does not matter, so that a final reading replaces that of the trial.

    recorded: in the order of the log [-].
    frame: the engine's features [-].
    shop: units and gauges; `tool` is the gauge [-].
    Returns spots of phase `mock-up`, tests, and faults.
    Holds for characteristics the program knows; others are figures of a step alone.
    Source: the log.

    >>> mock_up((), None, None).spots
    ()
    """
    spots: list[Spot] = []
    tests: list[TestResult] = []
    faults: list[Fault] = []
    readings = [record for record in recorded if record.check in BY_NAME]
    for record in latest(readings):
        found, wrong = read_typed(_typed(record), frame, shop)
        faults.extend(wrong)
        if isinstance(found, TestResult):
            tests.append(found)
        elif found is not None:
            spots.append(found)
    return MockUp(tuple(spots), tuple(tests), tuple(faults))


def _typed(record: Record) -> Typed:
    return Typed(
        record.feature,
        record.check,
        record.result,
        record.place,
        level=record.position,
        unit=record.unit,
        gauge=record.tool,
        phase="mock-up",
        entry=record.entry,
        at=record.at,
        note=record.note,
    )
