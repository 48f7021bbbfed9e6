"""The value of one characteristic of one feature: a range over its positions, with uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from sparkout.measure.estimate import Estimate

__all__ = ["Dimension", "How", "Key"]


class Key(NamedTuple):
    """Which characteristic of which feature: (`bore 2`, `bore diameter`)."""

    feature: str
    characteristic: str

    def __str__(self) -> str:
        words = self.characteristic
        kind = self.feature.rstrip("0123456789abIE ")
        if kind and words.startswith(kind + " "):
            words = words[len(kind) + 1 :]
        return f"{self.feature} {words}"


class How(StrEnum):
    """How a value was got. What is assumed or stale never decides without saying so."""

    MEASURED = "measured"
    NEW_PART = "new part, measured"
    MACHINED = "machined to"
    WORKED_OUT = "worked out from readings"
    ASSUMED = "assumed from the data sheet"
    STALE = "stale: later work moved its datum"


@dataclass(frozen=True, slots=True)
class Dimension:
    """Lowest and highest local value over the positions of a feature.

    low and high are the two extremes that exist on the part (both are real), each with its own
    uncertainty. A gap known only as an interval has low = high = its middle with a rectangular
    component of half its width. entries: ids of the log entries it rests on. size: how far from
    standard it is meant to be (+0.50, −0.25), which moves its limits along. free: made to another
    part in hand, so that only the fit is judged, not the size.
    """

    key: Key
    low: Estimate
    high: Estimate
    how: How = How.MEASURED
    entries: tuple[str, ...] = ()
    where_low: str = ""
    where_high: str = ""
    note: str = ""
    as_new: bool = False
    size: Fraction = Fraction(0)
    free: bool = False

    @property
    def single(self) -> bool:
        return self.low.value == self.high.value
