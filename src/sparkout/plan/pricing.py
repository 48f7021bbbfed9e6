"""What an option costs this shop: hours × rate, parts as they are sold, work sent out.

Set-ups are paid once a job however many options need them; they are shared costs of the plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from sparkout.plan.forms import Group, Option, Work
from sparkout.plan.problem import SharedCost, StockLimit
from sparkout.sheet.shop import OperationRate, Shop

__all__ = ["CENTS", "own_cost", "priced", "set_ups", "stock_limits"]

CENTS = 100


def priced(groups: Iterable[Group], shop: Shop) -> tuple[Group, ...]:
    """The groups with the cost of every option filled in, in cents."""
    return tuple(
        replace(
            group,
            options=tuple(
                replace(option, cost=own_cost(option, shop), days=_days(option, shop))
                for option in group.options
            ),
        )
        for group in groups
    )


def own_cost(option: Option, shop: Shop) -> int:
    """Everything but the shared set-ups, in cents, consumables on labour included."""
    total = sum((_each(work, shop) for work in option.work), Fraction(0))
    for use in option.parts:
        supply = shop.supply.get(use.part)
        if supply is not None:
            packages = -(-use.count // supply.sold_in)
            total += packages * supply.price
    return round(total * CENTS)


def _each(work: Work, shop: Shop) -> Fraction:
    rate = shop.operations.get(work.operation)
    if rate is None:
        return Fraction(0)
    count = len(work.features)
    if rate.outside is not None or rate.outside_each is not None:
        return (rate.outside_each or Fraction(0)) * count
    return _labour(rate, rate.each * count, shop)


def _labour(rate: OperationRate, hours: Fraction, shop: Shop) -> Fraction:
    return hours * shop.rates.get(rate.rate, Fraction(0)) * (1 + shop.consumables)


def _days(option: Option, shop: Shop) -> int:
    away = [
        rate.outside_days
        for work in option.work
        if (rate := shop.operations.get(work.operation)) is not None
    ]
    return max([option.days, *away])


def set_ups(groups: Iterable[Group], shop: Shop) -> tuple[SharedCost, ...]:
    """One shared cost for every operation that has a set-up (or a price per job outside)."""
    users: dict[str, list[tuple[str, str]]] = {}
    for group in groups:
        for option in group.options:
            for operation in dict.fromkeys(work.operation for work in option.work):
                users.setdefault(operation, []).append((group.name, option.name))
    found = []
    for operation, when in users.items():
        rate = shop.operations.get(operation)
        if rate is None:
            continue
        once = rate.outside if rate.outside is not None else _labour(rate, rate.set_up, shop)
        cents = round(once * CENTS)
        if cents:
            found.append(SharedCost(f"set-up: {operation}", cents, tuple(when)))
    return tuple(found)


def stock_limits(groups: Iterable[Group], shop: Shop) -> tuple[StockLimit, ...]:
    """Parts that several groups may want more of than there are, and that cannot be ordered.

    A piece that was measured by itself there is one of, whatever the shelf holds.
    """
    groups = tuple(groups)
    uses: dict[str, list[tuple[str, str, int]]] = {}
    for group in groups:
        for option in group.options:
            for use in option.parts:
                uses.setdefault(use.part, []).append((group.name, option.name, use.count))
    found = []
    for part, rows in uses.items():
        supply = shop.supply.get(part)
        if supply is None or supply.on_hand is None or supply.lead_days:
            continue
        pieces = supply.on_hand * supply.sold_in
        most = sum(max(n for g, _, n in rows if g == group) for group in {g for g, _, _ in rows})
        if most > pieces:
            found.append(StockLimit(f"stock: {part}", pieces, tuple(rows)))
    return (*found, *_one_of_each(groups))


def _one_of_each(groups: Iterable[Group]) -> tuple[StockLimit, ...]:
    takers: dict[str, list[tuple[str, str, int]]] = {}
    for group in groups:
        for option in group.options:
            for piece in option.takes:
                takers.setdefault(piece, []).append((group.name, option.name, 1))
    return tuple(
        StockLimit(f"one of each: {piece}", 1, tuple(rows))
        for piece, rows in takers.items()
        if len({group for group, _, _ in rows}) > 1
    )
