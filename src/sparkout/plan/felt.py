"""An old size as a fit felt it that was read over it.

A fit that was read at one place held the old size at that place, and nobody knows which of its
values that was. So when the size is made anew, what changes the fit is the new size less one value
of the old, known as well as its spread over positions lets it be: the spread is an error of that
one value, not a range that the fit then has over its own positions.
"""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How
from sparkout.measure.estimate import Component, Estimate, Shape

__all__ = ["felt"]


def felt(size: Dimension) -> tuple[Estimate, Estimate]:
    """Lowest and highest that a size can have been where a fit was read.

    Measured: one value, the middle, any value between its extremes being as likely (JCGM 100:2008,
    4.3.7). What is only assumed keeps its range: no position of it was ever read.
    """
    if size.single or size.how is How.ASSUMED:
        return size.low, size.high
    middle = size.low.scaled(Fraction(1, 2)) + size.high.scaled(Fraction(1, 2))
    half = float(size.high.value - size.low.value) / 2
    place = Component(f"place on {size.key} as found", half / math.sqrt(3), Shape.RECTANGULAR)
    value = middle.with_components(place)
    return value, value
