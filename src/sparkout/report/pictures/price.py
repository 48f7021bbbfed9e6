"""Offers as columns: what each costs and of what that is made."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from sparkout.drawings.offers import Offer, OfferTable, offers_picture
from sparkout.price.quote import Quote

__all__ = ["Priced", "draw_offers", "offers_of"]

_CENTS = 100
_KINDS = (("labour", "work here"), ("outside", "work sent out"), ("part", "parts"))


class Priced(Protocol):
    """An offer as far as the picture needs it."""

    @property
    def name(self) -> str: ...
    @property
    def price(self) -> Quote: ...
    @property
    def buys(self) -> tuple[str, ...]: ...
    @property
    def chosen(self) -> bool: ...


def draw_offers(offers: Sequence[Priced]) -> str:
    return offers_picture(offers_of(offers))


def offers_of(offers: Sequence[Priced]) -> OfferTable:
    """The record behind `draw_offers`: what each may cost at most, by what it is spent on."""
    columns = []
    for offer in offers:
        price = offer.price
        shares = [
            (name, sum(line.amount for line in price.lines if line.kind == kind) / _CENTS)
            for kind, name in _KINDS
        ]
        shares += [("reserve", price.contingency / _CENTS), ("tax", price.tax / _CENTS)]
        known = tuple((name, amount) for name, amount in shares if amount)
        columns.append(Offer(offer.name, price.total / _CENTS, known, offer.buys, offer.chosen))
    currency = offers[0].price.currency if offers else ""
    return OfferTable("What the offers cost at most", tuple(columns), currency)
