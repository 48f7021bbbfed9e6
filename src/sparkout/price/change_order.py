"""A change order: what was found, what can be done about it at what price, and what if nothing is.

The customer approves money before it is spent; what the shop itself caused it writes off.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sparkout.price.money import said
from sparkout.price.quote import Quote

__all__ = ["ChangeOption", "ChangeOrder", "change_option"]


@dataclass(frozen=True, slots=True)
class ChangeOption:
    """One way on. price: cents beyond what was agreed, before tax (below zero: less); days: more or
    fewer; goodwill: cents of it the shop bears itself, because it was the cause."""

    words: str
    price: int
    days: int
    goodwill: int = 0

    @property
    def to_approve(self) -> int:
        """What the customer is asked for."""
        return self.price - self.goodwill


@dataclass(frozen=True, slots=True)
class ChangeOrder:
    """A question to whoever may approve money.

    trigger: the reading or the work that raised it. nothing: what follows from doing nothing.
    expires: last day for an answer, after which prices and parts are asked for anew. reserve: cents
    of contingency in the quote it changes. Work on what it is about waits for the answer.
    """

    trigger: str
    options: tuple[ChangeOption, ...]
    nothing: str
    currency: str
    expires: date | None = None
    reserve: int = 0
    quote_version: str = ""

    def share_of_reserve(self, option: ChangeOption) -> Fraction | None:
        """How much of the contingency an option takes; None where there is none."""
        return Fraction(option.price, self.reserve) if self.reserve else None

    def says(self, option: ChangeOption) -> str:
        """One sentence for an option: price, what of it is asked for, days."""
        days = "no more days"
        if option.days:
            many = abs(option.days)
            days = (
                f"{many} {'day' if many == 1 else 'days'} {'more' if option.days > 0 else 'less'}"
            )
        money = said(option.price, self.currency)
        share = self.share_of_reserve(option)
        of = "" if share is None or option.price <= 0 else (
            f" ({float(share * 100):.0f} % of the contingency)"
        )  # fmt: skip
        ask = ""
        if option.goodwill:
            ask = (
                f"; the shop bears {said(option.goodwill, self.currency)}, to approve: "
                f"{said(option.to_approve, self.currency)}"
            )
        return f"{option.words}: {money}{of}, {days}{ask}"


def change_option(words: str, agreed: Quote, new: Quote, goodwill: int = 0) -> ChangeOption:
    """What a new quote asks beyond the agreed one. Raises ValueError for two currencies."""
    if agreed.currency != new.currency:
        raise ValueError(f"quotes in {agreed.currency} and {new.currency} cannot be compared")
    return ChangeOption(words, new.firm - agreed.firm, new.days - agreed.days, goodwill)
