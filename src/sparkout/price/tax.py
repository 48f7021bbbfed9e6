"""Tax: a rate for each category, on the sum of the category, rounded once and half up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from sparkout.price.money import half_up
from sparkout.sheet.shop import Shop

__all__ = ["ALL", "RESERVE", "TaxLine", "taxes_on"]

ALL, RESERVE = "work and parts", "contingency"

_CALLED = MappingProxyType({"labour": "labour", "part": "parts", "outside": "sent out"})


@dataclass(frozen=True, slots=True)
class TaxLine:
    """Tax of one category: its rate, what it is on, and the amount; both in cents."""

    category: str
    rate: Fraction
    base: int
    amount: int


def taxes_on(bases: Mapping[str, int], reserve: int, shop: Shop) -> tuple[TaxLine, ...]:
    """The tax of a quote.

    bases: sums by kind of line. reserve: the contingency, which is taxed apart because it may never
    be spent; at the general rate, since nobody knows yet what it would be spent on. Kinds with a
    rate of their own are categories; all others are one.
    """
    rows: dict[str, tuple[Fraction, int]] = {}
    for kind, base in bases.items():
        own = shop.taxes.get(kind)
        name, rate = (ALL, shop.tax) if own is None else (_CALLED[kind], own)
        rows[name] = (rate, rows.get(name, (rate, 0))[1] + base)
    rows[RESERVE] = (shop.tax, reserve)
    return tuple(
        TaxLine(name, rate, base, half_up(base * rate))
        for name, (rate, base) in rows.items()
        if base and rate
    )
