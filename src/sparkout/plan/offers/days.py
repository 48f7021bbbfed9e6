"""How long a plan takes: working days at the bench, and before them the longest wait.

The wait (a part on its way, work sent out) is counted before the work. That is the safe side: some
work can be done while waiting.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

import numpy as np

from sparkout.plan.compile import Compiled
from sparkout.plan.forms import Group, Option
from sparkout.sheet.shop import OperationRate, Shop
from sparkout.solve import Choice, Model, NoPlan, Optimum, Tally, Window, best, table
from sparkout.solve.answer import Fixed

__all__ = [
    "Deadline",
    "cheapest_within",
    "days_of",
    "hours_of",
    "quickest",
    "ready_on",
    "wait_of",
]

_WEEKEND = (5, 6)

Chosen = Iterable[tuple[Group, Option]]


def hours_of(chosen: Chosen, shop: Shop) -> Fraction:
    """Hours of this shop's own work: set-ups once a job, the rest for every feature."""
    count: dict[str, int] = {}
    for _, option in chosen:
        for work in option.work:
            count[work.operation] = count.get(work.operation, 0) + len(work.features)
    rates = ((shop.operations.get(name), number) for name, number in count.items())
    return sum(
        (r.set_up + r.each * number for r, number in rates if r is not None and not sent_out(r)),
        Fraction(0),
    )


def sent_out(rate: OperationRate) -> bool:
    return rate.outside is not None or rate.outside_each is not None


def wait_of(chosen: Chosen) -> int:
    """Longest wait of what is chosen, in days."""
    return max((option.days for _, option in chosen), default=0)


def days_of(chosen: Iterable[tuple[Group, Option]], shop: Shop) -> int:
    """Days a plan takes: the longest wait and the working days after it."""
    some = tuple(chosen)
    return wait_of(some) + _working(hours_of(some, shop), shop)


def _working(hours: Fraction, shop: Shop) -> int:
    return math.ceil(hours / shop.day_hours)


@dataclass(frozen=True, slots=True)
class Deadline:
    """The day on whose evening the work is to be ready. today: work begins the day after.

    Holidays are not known and count as working days.
    """

    today: date
    by: date

    def room(self, wait: int) -> int:
        """Working days between the end of a wait and the deadline; below zero where it ends
        after it."""
        come = self.today + timedelta(wait)
        left = (self.by - come).days
        if left < 0:
            return -1
        weeks, rest = divmod(left, 7)
        odd = (come + timedelta(weeks * 7 + k) for k in range(1, rest + 1))
        return weeks * 5 + sum(day.weekday() not in _WEEKEND for day in odd)


def ready_on(chosen: Iterable[tuple[Group, Option]], shop: Shop, today: date) -> date:
    """The day on whose evening a plan is done, where work or waiting begins today."""
    some = tuple(chosen)
    day = today + timedelta(wait_of(some))
    left = _working(hours_of(some, shop), shop)
    while left:
        day += timedelta(1)
        left -= day.weekday() not in _WEEKEND
    return day


def _room(within: int | Deadline, wait: int) -> int:
    return within - wait if isinstance(within, int) else within.room(wait)


def _in_time(chosen: Chosen, shop: Shop, within: int | Deadline) -> bool:
    some = tuple(chosen)
    return _working(hours_of(some, shop), shop) <= _room(within, wait_of(some))


def cheapest_within(
    compiled: Compiled, shop: Shop, within: int | Deadline | None
) -> Optimum | NoPlan:
    """The plan of least cost that takes at most so many days or meets a deadline, proven; any time
    for None.

    For every wait that occurs, what waits longer is ruled out and the hours at the bench are
    limited to the days that remain; the cheapest of these is the cheapest of all.
    """
    if within is None:
        return best(compiled.model)
    found: Optimum | None = None
    for wait in _waits(compiled.problem.groups):
        room = _room(within, wait)
        if room < 0:
            break
        waiting = _waiting_at_most(compiled, wait)
        answer = best(waiting)
        if isinstance(answer, Optimum) and not _in_time(_chosen(compiled, answer), shop, within):
            answer = best(_within_hours(waiting, compiled, shop, room * shop.day_hours))
        if isinstance(answer, Optimum):
            answer = _only(answer, compiled.model.choice_at)
            if found is None or (answer.cost, answer.preference) < (found.cost, found.preference):
                found = answer
    return NoPlan((), "deadline") if found is None else found


def quickest(compiled: Compiled, shop: Shop, today: date | None = None) -> Optimum | NoPlan:
    """The plan that takes the fewest days, the cheapest of those: what a deadline can be at all.

    today: given, the plan that is ready first from that day on.
    """
    least: int | None = None
    for wait in _waits(compiled.problem.groups):
        if least is not None and wait >= least:
            break
        fewest = best(_by_hours(_waiting_at_most(compiled, wait), compiled, shop))
        if isinstance(fewest, Optimum):
            chosen = _chosen(compiled, fewest)
            days = days_of(chosen, shop)
            if today is not None:
                days = (ready_on(chosen, shop, today) - today).days
            least = days if least is None else min(least, days)
    if least is None:
        return NoPlan((), "deadline")
    within = least if today is None else Deadline(today, today + timedelta(least))
    return cheapest_within(compiled, shop, within)


def _waits(groups: Iterable[Group]) -> list[int]:
    return sorted({0, *(option.days for group in groups for option in group.options)})


def _chosen(compiled: Compiled, optimum: Optimum) -> tuple[tuple[Group, Option], ...]:
    return tuple(
        (group, group.option(optimum.picks[group.name])) for group in compiled.problem.groups
    )


def _only(optimum: Optimum, own: Collection[str]) -> Optimum:
    """The answer without the choices that were added to count hours."""
    picks = Fixed({name: pick for name, pick in optimum.picks.items() if name in own})
    return replace(optimum, picks=picks)


def _waiting_at_most(compiled: Compiled, wait: int) -> Model:
    """The model with every option ruled out that waits longer."""
    model = compiled.model
    late: list[Window] = []
    for group in compiled.problem.groups:
        if any(option.days > wait for option in group.options):
            mask = np.array([option.days <= wait for option in group.options])
            late.append(table(f"waits too long: {group.name}", (group.name,), mask))
    return Model(model.choices, model.amounts, (*model.windows, *late), model.shared, model.tallies)


_USED = "used here: "


def _set_ups(compiled: Compiled, shop: Shop) -> tuple[list[Choice], list[Window]]:
    """For every operation with a set-up of its own, whether it is used, as a choice."""
    choices: list[Choice] = []
    ties: list[Window] = []
    names = dict.fromkeys(
        work.operation
        for group in compiled.problem.groups
        for option in group.options
        for work in option.work
    )
    for name in names:
        rate = shop.operations.get(name)
        if rate is None or sent_out(rate) or not rate.set_up:
            continue
        choices.append(Choice(_USED + name, ("no", "yes"), (0, 0)))
        for group in compiled.problem.groups:
            needs = [any(w.operation == name for w in o.work) for o in group.options]
            if any(needs):
                mask = np.array([[not need, True] for need in needs])
                ties.append(table(f"{_USED}{name}, {group.name}", (group.name, _USED + name), mask))
    return choices, ties


def _hours(compiled: Compiled, shop: Shop) -> dict[tuple[str, str], Fraction]:
    """Hours of every option without set-ups, and of every set-up under its own choice."""
    hours: dict[tuple[str, str], Fraction] = {}
    for group in compiled.problem.groups:
        for option in group.options:
            rates = ((shop.operations.get(w.operation), len(w.features)) for w in option.work)
            hours[group.name, option.name] = sum(
                (r.each * n for r, n in rates if r is not None and not sent_out(r)), Fraction(0)
            )
    for name, rate in shop.operations.items():
        if not sent_out(rate) and rate.set_up:
            hours[_USED + name, "yes"] = rate.set_up
    return hours


def _scaled(hours: Iterable[Fraction]) -> int:
    """Parts of an hour in which every figure is whole."""
    return math.lcm(*(value.denominator for value in hours), 1)


def _within_hours(model: Model, compiled: Compiled, shop: Shop, most: Fraction) -> Model:
    choices, ties = _set_ups(compiled, shop)
    known = {choice.name for choice in (*model.choices, *choices)}
    hours = {pick: h for pick, h in _hours(compiled, shop).items() if h and pick[0] in known}
    parts = _scaled((*hours.values(), most))
    weights = tuple((choice, option, int(h * parts)) for (choice, option), h in hours.items())
    limit = Tally("hours at the bench", weights, None, int(most * parts))
    return Model(
        (*model.choices, *choices),
        model.amounts,
        (*model.windows, *ties),
        model.shared,
        (*model.tallies, limit),
    )


def _by_hours(model: Model, compiled: Compiled, shop: Shop) -> Model:
    """The model with hours in place of money."""
    choices, ties = _set_ups(compiled, shop)
    hours = _hours(compiled, shop)
    parts = _scaled(hours.values())

    def costs(choice: Choice) -> Sequence[int]:
        return [int(hours.get((choice.name, o), Fraction(0)) * parts) for o in choice.options]

    return Model(
        tuple(
            Choice(choice.name, choice.options, tuple(costs(choice)))
            for choice in (*model.choices, *choices)
        ),
        model.amounts,
        (*model.windows, *ties),
        (),
        model.tallies,
    )
