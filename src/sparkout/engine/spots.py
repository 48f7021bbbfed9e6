"""One reading at its place, already turned into an estimate: the atom of the measured state."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Estimate

__all__ = ["Spot", "TestResult", "highest", "lowest"]


@dataclass(frozen=True, slots=True)
class Spot:
    """A reading of one characteristic at one level and direction of one feature.

    phase: `found`, `left`, `mock-up` or `new part`. part: the part it was read on, by its name in
    the data sheet, when it is not yet fitted. entry: id of the log entry.
    """

    key: Key
    level: str
    direction: str
    estimate: Estimate
    entry: str = ""
    at: str = ""
    phase: str = "found"
    gauge: str = ""
    typed: str = ""
    part: str = ""
    note: str = ""

    @property
    def place(self) -> str:
        return ", ".join(word for word in (self.level, self.direction) if word)


@dataclass(frozen=True, slots=True)
class TestResult:
    """A test that is passed or failed: cracks, leaks, a concave follower."""

    __test__ = False  # not a test case, whatever its name

    key: Key
    passed: bool
    entry: str = ""
    at: str = ""
    note: str = ""


def lowest(spots: Iterable[Spot]) -> Spot:
    return min(spots, key=lambda spot: spot.estimate.value)


def highest(spots: Iterable[Spot]) -> Spot:
    return max(spots, key=lambda spot: spot.estimate.value)
