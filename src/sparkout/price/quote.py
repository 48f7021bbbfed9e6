"""The quote of a plan: every line with where it comes from, to the cent the solver counted."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from sparkout.plan.forms import Group, Option
from sparkout.plan.offers.days import days_of, hours_of
from sparkout.plan.pricing import set_ups
from sparkout.plan.problem import SharedCost
from sparkout.price.money import HUNDREDTHS, half_up, said, shared_out
from sparkout.price.tax import RESERVE, TaxLine, taxes_on
from sparkout.sheet.shop import OperationRate, Shop, Supply

__all__ = ["LIKELY", "STATES", "SURE", "Line", "OnlyIf", "Quote", "quote", "version_of"]

STATES = ("estimate", "fixed", "not to exceed")
"""What a price promises: an estimate may change as readings come in, a fixed price stands, and a
price not to exceed is the most a bill by hours and parts may come to."""

SURE, LIKELY = "sure", "likely"

_SET_UP = "set-up: "


@dataclass(frozen=True, slots=True)
class Line:
    """One line: kind is `labour`, `outside` or `part`; amount in cents; note says how made.

    grade: `sure`, or `likely` where it only stands on a reading that does not prove it; chance:
    then, the probability that it is needed, at least.
    """

    kind: str
    title: str
    amount: int
    note: str = ""
    grade: str = SURE
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class OnlyIf:
    """Work that comes only if a limit that nobody has measured yet turns out broken.

    trigger: the limit; words: what would be done to the first of `count` such features; each:
    cents for one of them. Not in the price.
    """

    trigger: str
    words: str
    each: int
    count: int


@dataclass(frozen=True, slots=True)
class Quote:
    """A price in cents. firm: what the plan costs. contingency is only spent on approval.

    tax is on both; taxes has it by category. plan: digest of the plan that is quoted. expires:
    last day the quote can be accepted.
    """

    currency: str
    lines: tuple[Line, ...]
    firm: int
    contingency: int
    tax: int
    total: int
    hours: Fraction
    days: int
    taxes: tuple[TaxLine, ...] = ()
    only_if: tuple[OnlyIf, ...] = ()
    state: str = STATES[0]
    expires: date | None = None
    plan: str = ""

    def money(self, cents: int) -> str:
        return said(cents, self.currency)

    @property
    def firm_total(self) -> int:
        """What is to be paid when nothing of the contingency is spent."""
        return self.firm + sum(tax.amount for tax in self.taxes if tax.category != RESERVE)

    @property
    def version(self) -> str:
        return version_of(self)


def quote(
    chosen: Iterable[tuple[Group, Option]],
    shop: Shop,
    *,
    shared: Iterable[SharedCost] | None = None,
    grades: Mapping[str, tuple[str, float | None]] | None = None,
    only_if: tuple[OnlyIf, ...] = (),
    state: str = STATES[0],
    expires: date | None = None,
    plan: str = "",
) -> Quote:
    """The quote of the chosen options: hours × rate, set-ups once, parts as sold, outside work.

    It adds up to the plan's cost to the cent: each option's cost, as the solver counted it, is
    shared out over what it is made of. shared: costs paid once, of the plan's own problem where it
    is at hand. grades: how sure each group's work is, sure where nothing is said. Raises
    ValueError for a state that is not one of STATES.
    """
    if state not in STATES:
        raise ValueError(f"a quote is one of {STATES}, got {state!r}")
    some = tuple(chosen)
    known = {} if grades is None else grades
    lines: list[Line] = []
    for group, option in some:
        grade, chance = known.get(group.name, (SURE, None))
        lines += [replace(row, grade=grade, chance=chance) for row in _made_of(option, shop)]
    lines = [*_once(some, shop, shared, lines), *lines]
    lines = _merged(lines, some, shop)
    firm = sum(line.amount for line in lines)
    contingency = half_up(firm * shop.contingency)
    bases: dict[str, int] = {}
    for line in lines:
        bases[line.kind] = bases.get(line.kind, 0) + line.amount
    taxes = taxes_on(bases, contingency, shop)
    tax = sum(row.amount for row in taxes)
    return Quote(
        shop.currency,
        tuple(lines),
        firm,
        contingency,
        tax,
        firm + contingency + tax,
        hours_of(some, shop),
        days_of(some, shop),
        taxes,
        only_if,
        state,
        expires,
        plan,
    )


def version_of(price: Quote) -> str:
    """Digest of everything a quote says: whoever accepts this version accepts just that."""
    content = {
        "form": 1,
        "currency": price.currency,
        "state": price.state,
        "expires": "" if price.expires is None else price.expires.isoformat(),
        "plan": price.plan,
        "days": price.days,
        "lines": [[x.kind, x.title, x.amount, x.note, x.grade] for x in price.lines],
        "only if": [[x.trigger, x.words, x.each, x.count] for x in price.only_if],
        "firm": price.firm,
        "contingency": price.contingency,
        "taxes": [[x.category, str(x.rate), x.base, x.amount] for x in price.taxes],
        "total": price.total,
    }
    text = json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _away(rate: OperationRate) -> bool:
    return rate.outside is not None or rate.outside_each is not None


def _made_of(option: Option, shop: Shop) -> list[Line]:
    """An option's cost without set-ups, by operation and part."""
    found: list[tuple[str, str, Fraction, str]] = []
    for work in option.work:
        rate = shop.operations.get(work.operation)
        if rate is None:
            continue
        count = len(work.features)
        if _away(rate):
            money = (rate.outside_each or Fraction(0)) * count
            found.append(("outside", work.operation, money, ""))
        else:
            per_hour = shop.rates.get(rate.rate, Fraction(0)) * (1 + shop.consumables)
            found.append(("labour", work.operation, rate.each * count * per_hour, ""))
    for use in option.parts:
        supply = shop.supply.get(use.part)
        if supply is not None:
            packages = -(-use.count // supply.sold_in)
            note = _sold(packages, supply)
            found.append(("part", use.part, packages * supply.price, note))
    amounts = shared_out(option.cost, [money * HUNDREDTHS for _, _, money, _ in found])
    return [
        Line(kind, title, amount, note)
        for (kind, title, _, note), amount in zip(found, amounts, strict=True)
    ]


def _sold(packages: int, supply: Supply) -> str:
    sold = "each" if supply.sold_in == 1 else f"set of {supply.sold_in}"
    wait = ""
    if not supply.on_hand and supply.lead_days:
        wait = f", {supply.lead_days} days"
    return f"{packages} × {float(supply.price):.2f} ({sold}){wait}"


def _once(
    chosen: tuple[tuple[Group, Option], ...],
    shop: Shop,
    shared: Iterable[SharedCost] | None,
    own: list[Line],
) -> list[Line]:
    """Costs paid once, each as a line of its operation; likely only where all that need it are."""
    if shared is None:
        shared = set_ups([replace(group, options=(option,)) for group, option in chosen], shop)
    picks = {(group.name, option.name) for group, option in chosen}
    grades = {(line.kind, line.title, line.grade): line for line in own}
    found = []
    for item in shared:
        if not picks & set(item.when):
            continue
        operation = item.name.removeprefix(_SET_UP)
        rate = shop.operations.get(operation)
        kind = "part" if rate is None else "outside" if _away(rate) else "labour"
        sure = (kind, operation, SURE) in grades
        likely = grades.get((kind, operation, LIKELY))
        if likely is not None and not sure:
            found.append(Line(kind, operation, item.cost, "", likely.grade, chance=likely.chance))
        else:
            found.append(Line(kind, operation, item.cost))
    return found


def _merged(
    lines: Iterable[Line], chosen: tuple[tuple[Group, Option], ...], shop: Shop
) -> list[Line]:
    """Lines for the same thing as one, work before parts, in the order of the plan."""
    order = [work.operation for _, option in chosen for work in option.work]
    order += [use.part for _, option in chosen for use in option.parts]
    place = {name: i for i, name in reversed(list(enumerate(order)))}
    found: dict[tuple[str, str, str], Line] = {}
    for line in lines:
        key = (line.kind, line.title, line.grade)
        known = found.get(key)
        if known is None:
            found[key] = line
            continue
        chances = [c for c in (known.chance, line.chance) if c is not None]
        found[key] = replace(
            known,
            amount=known.amount + line.amount,
            note=known.note or line.note,
            chance=max(chances) if chances else None,
        )
    counts = _counts(chosen, shop)
    graded = {title for _, title, grade in found if grade == LIKELY}
    rows = []
    for line in found.values():
        note = counts.get((line.kind, line.title), line.note)
        if line.title in graded and line.kind == "labour":
            note = ""  # the hours of one operation, parted by how sure they are
        if line.amount or note:
            rows.append(replace(line, note=note))
    return sorted(
        rows,
        key=lambda x: (x.kind == "part", place.get(x.title, len(order)), x.grade != SURE),
    )


def _counts(chosen: tuple[tuple[Group, Option], ...], shop: Shop) -> dict[tuple[str, str], str]:
    """How each line is made, over all groups: hours and rate, packages and price."""
    features: dict[str, int] = {}
    packages: dict[str, int] = {}
    for _, option in chosen:
        for work in option.work:
            features[work.operation] = features.get(work.operation, 0) + len(work.features)
        for use in option.parts:
            supply = shop.supply.get(use.part)
            if supply is not None:
                bought = -(-use.count // supply.sold_in)
                packages[use.part] = packages.get(use.part, 0) + bought
    notes: dict[tuple[str, str], str] = {}
    for operation, count in features.items():
        rate = shop.operations.get(operation)
        if rate is None:
            continue
        if _away(rate):
            notes["outside", operation] = f"sent out, {rate.outside_days} days"
            continue
        money = shop.rates.get(rate.rate, Fraction(0))
        note = f"{float(rate.set_up + rate.each * count):.1f} h at {float(money):.2f}"
        if shop.consumables:
            note += f", consumables {float(shop.consumables * 100):.0f} %"
        notes["labour", operation] = note
    for part, count in packages.items():
        notes["part", part] = _sold(count, shop.supply[part])
    return notes
