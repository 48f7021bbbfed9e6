"""One reading at its place, already turned into an estimate: the atom of the measured state."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Component, Estimate

__all__ = ["Spot", "TestResult", "extremes", "highest", "lowest"]


@dataclass(frozen=True, slots=True)
class Spot:
    """A reading of one characteristic at one level and direction of one feature.

    phase: `found`, `left`, `mock-up` or `new part`. part: the part it was read on, by its name in
    the data sheet, when it is not yet fitted. entry: id of the log entry; also: of the repeats it
    is the mean of. above: what is open above a gap that only has a least value. blamed: a gauge or
    master it was read with that may not be used.
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
    above: Component | None = None
    also: tuple[str, ...] = ()
    blamed: str = ""

    @property
    def highest(self) -> Estimate:
        """What it may be at most: open upwards where no blade was tried that does not go."""
        return self.estimate if self.above is None else self.estimate.with_components(self.above)

    @property
    def entries(self) -> tuple[str, ...]:
        return (*self.also, self.entry) if self.entry else self.also

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


def extremes(spots: Sequence[Spot]) -> tuple[Spot, Spot]:
    """Lowest and highest reading: two readings wherever there are two, even where all are equal.

    One reading less itself would be a difference known without any doubt.
    """
    low, high = lowest(spots), highest(spots)
    if low is high:
        high = next((spot for spot in spots if spot is not low), low)
    return low, high
