"""Money in whole hundredths of its currency: rounded once, half up, and shared to the cent."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

__all__ = ["HUNDREDTHS", "half_up", "said", "shared_out"]

HUNDREDTHS = 100
"""The smallest unit of money here. Currencies without cents are written with .00."""


def half_up(value: Fraction) -> int:
    """The nearest whole number, a half going away from zero, as bills are rounded.

    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2)), half_up(Fraction(7, 3))
    (3, -3, 2)
    """
    whole = math.floor(abs(value) + Fraction(1, 2))
    return whole if value >= 0 else -whole


def shared_out(total: int, parts: Sequence[Fraction]) -> tuple[int, ...]:
    """Whole numbers as near to the parts as can be that add up to the total.

    Each part is cut to a whole number; what is then missing goes to those that lost most, the
    first of equals first. Raises ValueError where the total is not the parts' sum rounded: then
    something is not accounted for.

    >>> shared_out(10, [Fraction(10, 3)] * 3)
    (4, 3, 3)
    """
    whole = [math.floor(part) for part in parts]
    missing = total - sum(whole)
    if not 0 <= missing <= len(parts) or abs(sum(parts, Fraction(0)) - total) >= 1:
        raise ValueError(f"{total} is not the sum of {[float(part) for part in parts]} rounded")
    most = sorted(range(len(parts)), key=lambda i: whole[i] - parts[i])
    for i in most[:missing]:
        whole[i] += 1
    return tuple(whole)


def said(hundredths: int, currency: str) -> str:
    """`12.50 EUR`, `-0.05 EUR`.

    >>> said(-5, "EUR")
    '-0.05 EUR'
    """
    sign = "-" if hundredths < 0 else ""
    whole, rest = divmod(abs(hundredths), HUNDREDTHS)
    return f"{sign}{whole}.{rest:02d} {currency}"
