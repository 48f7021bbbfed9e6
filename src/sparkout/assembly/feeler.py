"""The pair of feeler blades that proves a gap: one that goes in and one that does not."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["FeelerPair", "feeler_pair"]

_STEPS = {"mm": Fraction(1, 100), "inch": Fraction(254, 10_000)}
_MARKS = {"mm": "hundredths", "inch": "thousandths"}
# Either side of a single figure: a rule of thumb, in blades of one hundredth or one thousandth.
_THUMB = {"mm": 2, "inch": 1}


@dataclass(frozen=True, slots=True)
class FeelerPair:
    """go enters, no_go does not [mm]. thumb: the width of the pair is a rule of thumb."""

    go: Fraction
    no_go: Fraction
    words: str
    thumb: bool = False


def feeler_pair(low: Fraction, high: Fraction, system: str = "mm") -> FeelerPair:
    """The two blades that prove a gap to lie between two limits.

    go = low rounded up, no-go = high rounded down to whole blades (0.01 mm or 0.001 in): a gap that
    lets the first in and not the second is at least low and below high. One figure for both limits
    gets a pair 0.02 mm or 0.001 in either side of it, a rule of thumb.

    low: least gap [mm], above zero.
    high: largest gap [mm], low or more.
    system: blades of the shop, 'mm' or 'inch' [-].
    Returns both blades [mm] and how they are called.
    Holds for blades clean and flat; worn contact faces hide a hollow from a blade.
    Source: a go and no-go pair about the figure, as in TM 5-3820-233-12 (US Army technical manual:
    .011 passes, .013 does not); the widths about a single figure are a rule of thumb.
    Raises ValueError when low is not above zero, high is below it, or no two blades lie between.

    >>> feeler_pair(Fraction("0.30"), Fraction("0.35")).words
    '30 goes, 35 does not (hundredths)'
    """
    if not 0 < low <= high:
        raise ValueError(f"gap {float(low):g} to {float(high):g} mm: least first, above zero")
    step, marks = _STEPS[system], _MARKS[system]
    thumb = low == high
    if thumb:
        low, high = low - _THUMB[system] * step, high + _THUMB[system] * step
    first, last = math.ceil(low / step), math.floor(high / step)
    if not 0 < first < last:
        raise ValueError(
            f"no two blades of whole {marks} prove a gap of {float(low):g} to {float(high):g} mm"
        )
    words = f"{first} goes, {last} does not ({marks})"
    return FeelerPair(first * step, last * step, words, thumb)
