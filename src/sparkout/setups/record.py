"""What one set-up is: all that is dialled in, checked and read for one thing in one step."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.engine.dimension import Key
from sparkout.setups.number import Given, Number
from sparkout.sheet.model import Bounds

__all__ = ["After", "Pass", "SetUp"]


@dataclass(frozen=True, slots=True)
class Pass:
    """Cuts of one kind: how many of how much. A spark-out or a look takes nothing.

    marks: where the depths come from, unless the shop's own.
    """

    name: str
    each: Fraction
    count: int = 1
    sense: Sense = Sense.NONE
    note: str = ""
    marks: tuple[str, ...] = ()

    @property
    def taken(self) -> Fraction:
        return self.each * self.count


@dataclass(frozen=True, slots=True)
class After:
    """What to read when it is done: where, what the plan counts on, and the limit.

    limit: moved with the size where the part is meant to be over or under. allowed: the same in
    words, empty where nothing limits it. again: the step that changes it once more, 0 for none.
    """

    key: Key
    places: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    limit: Bounds | None = None
    allowed: str = ""
    again: int = 0

    @property
    def against(self) -> str:
        """What it is held against now, in words; empty where nothing limits it."""
        if self.again:
            return f"changed again in step {self.again}, judged then"
        if not self.allowed or self.allowed == "must pass":
            return self.allowed
        return f"limit {self.allowed}"


@dataclass(frozen=True, slots=True)
class SetUp:
    """One thing set up in one step of the order of work.

    kind: what kind of set-up. numbers: to dial in, in the order they are wanted. passes: cuts from
    the first to the last. looks: where to stop and look. dry_run: before the spindle starts.
    after: what to read then. notes: what else to know. read_first: what has to be read or said
    before the number it names can be given. refused: what cannot be, naming the number that broke
    it; inputs: what it was to be made from. cautions: names of safety messages. source: where the
    way of working comes from.
    """

    kind: str
    operation: str = ""
    features: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    passes: tuple[Pass, ...] = ()
    looks: tuple[str, ...] = ()
    dry_run: tuple[str, ...] = ()
    after: tuple[After, ...] = ()
    notes: tuple[str, ...] = ()
    read_first: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    inputs: tuple[Given, ...] = ()
    cautions: tuple[str, ...] = ()
    source: str = "common practice"
    step: int = 0

    @property
    def marks(self) -> tuple[str, ...]:
        """Everything that is not certain about any of its numbers."""
        return tuple(dict.fromkeys(mark for number in self.numbers for mark in number.marks))

    @property
    def stopped(self) -> bool:
        """Whether the work must not start: something cannot be, or no number could be given."""
        return bool(self.refused) or bool(self.read_first and not self.numbers)

    def number(self, label: str) -> Number:
        """The number of that label. Raises KeyError where there is none."""
        for item in self.numbers:
            if item.label == label:
                return item
        raise KeyError(f"{self.kind}: no number {label!r}, only {[n.label for n in self.numbers]}")
