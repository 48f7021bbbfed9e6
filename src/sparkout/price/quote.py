"""The quote of a plan: every line with where it comes from, to the cent the solver counted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from sparkout.plan.forms import Group, Option
from sparkout.plan.pricing import CENTS
from sparkout.sheet.shop import Shop

__all__ = ["Line", "Quote", "quote"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: kind is `labour`, `outside` or `part`; amount in cents; note says how made."""

    kind: str
    title: str
    amount: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class Quote:
    """A price in cents. firm: what the plan costs. contingency is only spent on approval."""

    currency: str
    lines: tuple[Line, ...]
    firm: int
    contingency: int
    tax: int
    total: int
    hours: Fraction
    days: int

    def money(self, cents: int) -> str:
        sign = "-" if cents < 0 else ""
        return f"{sign}{abs(cents) // CENTS}.{abs(cents) % CENTS:02d} {self.currency}"


def quote(chosen: Iterable[tuple[Group, Option]], shop: Shop) -> Quote:
    """The quote of the chosen options: hours × rate, set-ups once, parts as sold, outside work."""
    options = [option for _, option in chosen]
    count: dict[str, int] = {}
    for option in options:
        for work in option.work:
            count[work.operation] = count.get(work.operation, 0) + len(work.features)
    lines: list[Line] = []
    hours = Fraction(0)
    for operation, number in count.items():
        rate = shop.operations.get(operation)
        if rate is None:
            continue
        if rate.outside is not None or rate.outside_each is not None:
            price = (rate.outside or Fraction(0)) + (rate.outside_each or Fraction(0)) * number
            note = f"sent out, {rate.outside_days} days"
            lines.append(Line("outside", operation, round(price * CENTS), note))
            continue
        spent = rate.set_up + rate.each * number
        hours += spent
        money = shop.rates.get(rate.rate, Fraction(0))
        price = spent * money * (1 + shop.consumables)
        note = f"{float(spent):.1f} h at {float(money):.2f}"
        if shop.consumables:
            note += f", consumables {float(shop.consumables * 100):.0f} %"
        if price:
            lines.append(Line("labour", operation, round(price * CENTS), note))
    for option in options:
        for use in option.parts:
            supply = shop.supply.get(use.part)
            if supply is None:
                continue
            packages = -(-use.count // supply.sold_in)
            sold = "each" if supply.sold_in == 1 else f"set of {supply.sold_in}"
            note = f"{packages} × {float(supply.price):.2f} ({sold})"
            if not supply.on_hand and supply.lead_days:
                note += f", {supply.lead_days} days"
            lines.append(Line("part", use.part, round(packages * supply.price * CENTS), note))
    firm = sum(line.amount for line in lines)
    contingency = round(firm * shop.contingency)
    tax = round((firm + contingency) * shop.tax)
    wait = max([option.days for option in options], default=0)
    days = wait + -(-hours // shop.day_hours) if hours else wait
    return Quote(
        shop.currency,
        tuple(_merged(lines)),
        firm,
        contingency,
        tax,
        firm + contingency + tax,
        hours,
        int(days),
    )


def _merged(lines: Iterable[Line]) -> list[Line]:
    """Lines for the same part on several features as one."""
    found: dict[tuple[str, str], Line] = {}
    for line in lines:
        key = (line.kind, line.title)
        known = found.get(key)
        if known is None:
            found[key] = line
        else:
            note = known.note if known.note == line.note else f"{known.note}; {line.note}"
            if known.note == line.note or known.note.startswith("together"):
                note = "together"
            found[key] = Line(line.kind, line.title, known.amount + line.amount, note)
    return list(found.values())
