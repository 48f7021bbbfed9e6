"""Zero of a function between two ends, for formulas that have no inverse in closed form."""

from __future__ import annotations

from collections.abc import Callable


def root_between(
    miss: Callable[[float], float], low: float, high: float, close: float = 1e-12
) -> float:
    """Where miss changes sign: false position with the stale end halved (Illinois), or halving.

    miss has to differ in sign at the two ends; close is how near the ends have to come.
    """
    at_low, at_high = miss(low), miss(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if (at_low > 0.0) == (at_high > 0.0):
        raise ArithmeticError(
            f"no change of sign from {low:g} ({at_low:g}) to {high:g} ({at_high:g})"
        )
    stale = 0
    for turn in range(200):
        width = high - low
        if abs(width) <= close:
            break
        # Every fourth time halve, so that a lopsided curve cannot creep.
        middle = (low + high) / 2.0 if turn % 4 == 3 else low + width * at_low / (at_low - at_high)
        at_middle = miss(middle)
        if at_middle == 0.0:
            return middle
        if (at_middle > 0.0) == (at_low > 0.0):
            low, at_low = middle, at_middle
            if stale == 1:
                at_high /= 2.0
            stale = 1
        else:
            high, at_high = middle, at_middle
            if stale == -1:
                at_low /= 2.0
            stale = -1
    return (low + high) / 2.0
