"""What many plausible engines say together: ranges, chances, what is left to a person."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sparkout.forecast.outcome import Outcome

__all__ = ["Item", "Range", "Summary", "quantile", "summary", "ticket"]

# An item is a big ticket from this share of the middle price on.
_BIG = 0.03


@dataclass(frozen=True, slots=True)
class Range:
    """One job in ten stays below p10, half below p50, nine in ten below p90."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class Item:
    """Work that may be needed. chance: of at least one; cost: cents on average when it is, with its
    set-ups; count: of so many features on average then."""

    words: str
    chance: float
    cost: int
    count: float


@dataclass(frozen=True, slots=True)
class Summary:
    """draws: worked out; planned: of them with a plan. bins: lower and upper end and share of each
    bar, in cents. hopeless: limits that nothing on the lists mends, with their chance. no_plan:
    chance that the limits cannot all be kept together."""

    draws: int
    planned: int
    price: Range | None
    hours: Range | None
    days: Range | None
    items: tuple[Item, ...]
    hopeless: tuple[tuple[str, float], ...]
    no_plan: float
    bins: tuple[tuple[float, float, float], ...]


def quantile(values: Sequence[float], share: float) -> float:
    """The value that a share of all new ones stay below: the ⌈(n + 1)·share⌉-th smallest.

    Of n values and one more of the same kind, the chance that the new one is no larger than the
    k-th smallest is k / (n + 1) where no two are alike (order statistics of a continuous law: David
    and Nagaraja, Order Statistics, 3rd ed., 2003, recalled from memory).

    >>> quantile([4.0, 1.0, 3.0, 2.0], 0.5)
    3.0
    """
    ordered = sorted(values)
    k = math.ceil((len(ordered) + 1) * share)
    return ordered[min(max(k, 1), len(ordered)) - 1]


def _below(values: Sequence[float], share: float) -> float:
    ordered = sorted(values)
    k = math.floor((len(ordered) + 1) * share)
    return ordered[min(max(k, 1), len(ordered)) - 1]


def spread_of(values: Sequence[float]) -> Range:
    """P10 rounded outwards down, P90 outwards up, between values that were drawn."""
    return Range(_below(values, 0.1), quantile(values, 0.5), quantile(values, 0.9))


def summary(outcomes: Iterable[Outcome]) -> Summary:
    """The forecast of some draws."""
    some = tuple(outcomes)
    planned = [outcome for outcome in some if outcome.cost is not None]
    costs = [float(outcome.cost or 0) for outcome in planned]
    hopeless: dict[str, int] = {}
    for outcome in some:
        for name in outcome.hopeless:
            hopeless[name] = hopeless.get(name, 0) + 1
    rows = sorted(hopeless.items(), key=lambda row: -row[1])
    return Summary(
        len(some),
        len(planned),
        spread_of(costs) if costs else None,
        spread_of([outcome.hours for outcome in planned]) if planned else None,
        spread_of([float(outcome.days) for outcome in planned]) if planned else None,
        _items(planned),
        tuple((name, count / len(some)) for name, count in rows),
        1 - len(planned) / len(some) if some else 0.0,
        _bins(costs),
    )


def _items(planned: Sequence[Outcome]) -> tuple[Item, ...]:
    found: dict[str, list[tuple[int, int]]] = {}
    for outcome in planned:
        for chosen in outcome.chosen:
            found.setdefault(chosen.words, []).append((chosen.cost, chosen.count))
    items = [
        Item(
            words,
            len(rows) / len(planned),
            round(sum(cost for cost, _ in rows) / len(rows)),
            sum(count for _, count in rows) / len(rows),
        )
        for words, rows in found.items()
    ]
    return tuple(sorted(items, key=lambda item: -item.cost))


def ticket(found: Summary) -> tuple[Item, ...]:
    """The big-ticket items, the dearest first."""
    if found.price is None:
        return ()
    return tuple(item for item in found.items if item.cost >= _BIG * found.price.p50)


def _bins(costs: Sequence[float]) -> tuple[tuple[float, float, float], ...]:
    """Bars of a whole round width, about twenty over the range; one bar for a point."""
    if not costs:
        return ()
    low, high = min(costs), max(costs)
    if low == high:
        return ((low, high, 1.0),)
    rough = (high - low) / 20
    step = 10 ** math.floor(math.log10(rough))
    step *= next(times for times in (1, 2, 5, 10) if times * step >= rough)
    first = math.floor(low / step)
    count = math.floor(high / step) - first + 1
    held = [0] * count
    for cost in costs:
        held[math.floor(cost / step) - first] += 1
    return tuple(
        ((first + k) * step, (first + k + 1) * step, n / len(costs)) for k, n in enumerate(held)
    )
