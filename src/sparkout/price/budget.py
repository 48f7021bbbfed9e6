"""What work and parts may come to for a budget in all: reserve and tax taken off it."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.price.money import half_up
from sparkout.sheet.shop import Shop

__all__ = ["firm_within", "one_rate"]


def one_rate(shop: Shop) -> bool:
    """Whether everything is taxed alike, so that a dearer plan always costs more in all."""
    return all(rate == shop.tax for rate in shop.taxes.values())


def firm_within(total: int, shop: Shop) -> int:
    """The most that work and parts can cost, in cents, so that reserve and tax stay within a total.

    Where categories are taxed at different rates the highest counts for all: the result is then on
    the safe side, and a plan that costs a little more may still be within the total.
    """
    rate = max([shop.tax, *shop.taxes.values()])
    firm = math.floor(Fraction(total) / ((1 + shop.contingency) * (1 + rate))) + 2
    while firm > 0 and _in_all(firm, rate, shop) > total:
        firm -= 1
    return firm


def _in_all(firm: int, rate: Fraction, shop: Shop) -> int:
    reserve = half_up(firm * shop.contingency)
    return firm + reserve + half_up(firm * rate) + half_up(reserve * shop.tax)
