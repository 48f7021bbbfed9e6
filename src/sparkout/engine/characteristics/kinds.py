"""What a characteristic is: one thing that can be measured or worked out about a feature."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Characteristic", "Derive", "Sense"]


class Derive(StrEnum):
    """How the trade gets a characteristic's value from what was read."""

    SIZE = "size"  # lowest and highest local size over all positions
    GAP = "gap"  # the largest of the readings counts (flatness, runout, a gap under a straightedge)
    SMALLEST = "smallest"  # the smallest of the readings counts (wall, margin)
    VALUE = "value"  # lowest and highest over positions; usually one reading
    ENDS = "ends"  # read at both ends, straight line in between (deck height)
    OUT_OF_ROUND = "out of round"  # two-point: largest less smallest within one level
    TAPER = "taper"  # largest less smallest along one direction
    SPREAD = "spread"  # largest less smallest over all positions of one feature
    ACROSS = "across"  # largest less smallest over the features of a set
    NEIGHBOUR = "neighbour"  # largest difference between features next to each other
    FORM = "form"  # worked out over a set of places: roundness, bend
    FIT = "fit"  # worked out from other characteristics
    TEST = "test"  # passed or failed


class Sense(StrEnum):
    """What the number measures across: the commonest slip of the trade is a factor of two here."""

    DIAMETRAL = "diametral"
    RADIAL = "radial"  # per side
    AXIAL = "axial"
    NONE = ""


_WORDS = {
    Derive.SIZE: "lowest and highest over its places",
    Derive.GAP: "the largest counts",
    Derive.SMALLEST: "the smallest counts",
    Derive.VALUE: "as read; lowest and highest where there are several",
    Derive.ENDS: "read at both ends, a straight line between",
    Derive.OUT_OF_ROUND: "two-point: largest less smallest within one level",
    Derive.TAPER: "largest less smallest along one direction",
    Derive.SPREAD: "largest less smallest",
    Derive.ACROSS: "largest difference of any two",
    Derive.NEIGHBOUR: "difference of neighbours",
    Derive.FORM: "worked out over its places",
    Derive.FIT: "worked out from its parts",
    Derive.TEST: "passed or failed",
}


@dataclass(frozen=True, slots=True)
class Characteristic:
    """One thing that can be measured or worked out about a kind of feature.

    wears: +1 when wear makes it larger, −1 when smaller, 0 when neither; lets a data sheet be
    checked for a service limit on the wrong side of the new range.
    basis: the characteristic whose readings (or values) a derived one comes from. how: its way in
    words, where that is more than `derive` says.
    """

    name: str
    feature: str
    mark: str
    derive: Derive
    dimension: str = "length"
    sense: Sense = Sense.NONE
    wears: int = 0
    basis: str = ""
    gauge: str = ""
    places: str = ""
    step: str = "0.01"
    how: str = ""

    @property
    def derivation(self) -> str:
        """How the trade gets its value from what was read, in words."""
        return self.how or _WORDS[self.derive]

    @property
    def key(self) -> str:
        """The name as an identifier: `bore out-of-round` → `bore_out_of_round`."""
        return self.name.replace(" ", "_").replace("-", "_")
