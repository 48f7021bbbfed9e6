"""Draws worked out together: compiled in arrays, solved in one batch, told like single ones.

Before that is trusted, two states are planned alone as well: the same optimum to the cent, or all
draws are worked out one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.state import State
from sparkout.forecast.case import Case
from sparkout.forecast.draws import BLOCK, Drawn, Draws
from sparkout.forecast.lanes.figures import Figures, NotAlike, figures_of
from sparkout.forecast.lanes.model import Models, models_of
from sparkout.forecast.lanes.sizes import lanes_of
from sparkout.forecast.laws import MOST
from sparkout.forecast.outcome import Chosen, Outcome, limits_said, outcome_of, said
from sparkout.plan.decide import problem_of
from sparkout.plan.forms import Group, Option
from sparkout.plan.offers.days import sent_out
from sparkout.plan.problem import Problem
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve.batch import Answers, batch

__all__ = ["NotAlike", "Template", "compiled", "template_of", "together"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Where all readings stand in their laws, in the states that options are made for, and how many more
# states there are in which each stands somewhere of its own.
_LEVELS = (
    0.0, -2.6, -2.4, -2.2, -2.0, -1.8, -1.6, -1.4, -1.2, -1.0, -0.7, -0.4, 0.3, 0.6, 0.9, 1.2, 1.5,
    1.8, 2.1, 2.4, 2.6,
)  # fmt: skip
_WILD = 4


@dataclass(frozen=True, slots=True, eq=False)
class Template:
    """What all draws of a case share. probes: states the options
    were made for; least, most: their readings, in steps."""

    case: Case
    draws: Draws
    sheet: DataSheet
    state: State
    problem: Problem
    figures: Figures
    groups: tuple[Group, ...]
    probes: Drawn
    least: NDArray[np.int64]
    most: NDArray[np.int64]


def template_of(case: Case, sheet: DataSheet, draws: Draws) -> Template:
    """What all draws share, whatever their seed. Raises NotAlike where they share too little."""
    rows = len(draws.plan.rows)
    random = np.random.Generator(np.random.PCG64(0))
    z = np.concatenate(
        [
            np.repeat(np.array([*_LEVELS, -MOST, -MOST, MOST, MOST])[:, None], rows, 1),
            random.uniform(-MOST, MOST, (_WILD, rows)),
        ]
    )
    jitter = np.zeros(len(z))
    jitter[len(_LEVELS) :] = np.resize([-1.0, 1.0], 4 + _WILD)
    probes = draws.standing(z, jitter)
    made = []
    for at in range(len(z)):
        state = case.state(*draws.readings(probes, at))
        made.append((state, problem_of(sheet, case.shop, state, case.checks)))
    state, problem = made[0]
    lanes = lanes_of(draws.plan, [probes], state)
    held = {check.key for check in case.checks if check.limit.must}
    figures = figures_of([(s, p.groups) for s, p in made], lanes.sizes, held)
    groups = _wordless(problem.groups, [p.groups for _, p in made])
    shared = Template(
        case,
        draws,
        sheet,
        state,
        problem,
        figures,
        groups,
        probes,
        probes.steps.min(axis=0),
        probes.steps.max(axis=0),
    )
    return checked(shared)


def compiled(shared: Template, first: int, count: int) -> Models:
    """The models of draws first, first + 1, …. Raises NotAlike where one is out of the ordinary."""
    blocks = range(first // BLOCK, (first + count - 1) // BLOCK + 1)
    some = [shared.draws.block(number) for number in blocks]
    start = first % BLOCK
    values = np.concatenate([block.values for block in some])[start : start + count]
    steps = np.concatenate([block.steps for block in some])[start : start + count]
    if (steps < shared.least).any() or (steps > shared.most).any():
        raise NotAlike("a reading beyond what the options were made for")
    lanes = lanes_of(shared.draws.plan, [Drawn(values, steps)], shared.state)
    return models_of(shared.problem, shared.state, shared.figures, lanes)


def _wordless(groups: Sequence[Group], others: Sequence[Sequence[Group]]) -> tuple[Group, ...]:
    """The groups with `…` for every word that differs between draws (a depth, a size)."""
    found = []
    for g, group in enumerate(groups):
        options = []
        for o, option in enumerate(group.options):
            texts = [other[g].options[o].words.split() for other in others]
            if len({tuple(text) for text in texts}) > 1 and len({len(t) for t in texts}) == 1:
                words = [
                    column[0] if len(set(column)) == 1 else "…"
                    for column in zip(*texts, strict=True)
                ]
                option = replace(option, words=" ".join(words))
            options.append(option)
        found.append(replace(group, options=tuple(options)))
    return tuple(found)


def together(shared: Template, first: int, count: int) -> tuple[Outcome, ...]:
    """The outcomes of draws first, first + 1, …, each proven. Raises NotAlike."""
    models = compiled(shared, first, count)
    return _Told(shared, models).outcomes(batch(models.stacked), first)


def checked(shared: Template) -> Template:
    """The template again, if some states planned together come out as they do alone."""
    drawn = shared.probes
    lanes = lanes_of(shared.draws.plan, [drawn], shared.state)
    models = models_of(shared.problem, shared.state, shared.figures, lanes)
    places = (0, len(drawn.steps) - 1)
    for at in places:
        one = models.stacked.part(at, at + 1)
        told = _Told(shared, replace(models, hopeless=models.hopeless[at : at + 1]))
        mine = told.outcomes(batch(one), at)[0]
        state = shared.case.state(*shared.draws.readings(drawn, at))
        alone = outcome_of(shared.case, shared.sheet, state, at)
        if (alone.cost, alone.hopeless) != (mine.cost, mine.hopeless):
            raise NotAlike(f"planned alone, state {at} comes to {alone.cost}, not {mine.cost}")
    return shared


class _Told:
    """Optima as outcomes: money, hours, days and work, for all draws at once."""

    def __init__(self, shared: Template, models: Models) -> None:
        self.models = models
        shop = shared.case.shop
        picks = [(group, option) for group in shared.groups for option in group.options]
        self.first = np.cumsum([0, *[len(group.options) for group in shared.groups]])[:-1]
        operations = dict.fromkeys(w.operation for _, option in picks for w in option.work)
        self.used = np.array(
            [[any(w.operation == name for w in o.work) for name in operations] for _, o in picks],
            dtype=np.bool_,
        ).reshape(len(picks), len(operations))
        rates = [shop.operations.get(name) for name in operations]
        own = [rate if rate is not None and not sent_out(rate) else None for rate in rates]
        self.set_up_hours = [Fraction(0) if rate is None else rate.set_up for rate in own]
        self.set_up_cost = [_set_up(shop, name) for name in operations]
        self.hours = [_hours(option, shop) for _, option in picks]
        self.days = np.array([option.days for _, option in picks], dtype=np.int64)
        self.day_hours = shop.day_hours
        self.cost = np.array([option.cost for _, option in picks], dtype=np.int64)
        words: dict[str, int] = {}
        self.item = np.array(
            [
                words.setdefault(said(group, option), len(words))
                if option.name != group.keep and option.cost
                else -1
                for group, option in picks
            ],
            dtype=np.int64,
        )
        self.words = tuple(words)

    def outcomes(self, answers: Answers, first: int) -> tuple[Outcome, ...]:
        places = answers.options + self.first
        parts = np.lcm.reduce(
            [v.denominator for v in (*self.hours, *self.set_up_hours, self.day_hours)]
        )
        each = np.array([int(v * int(parts)) for v in self.hours], dtype=np.int64)
        once = np.array([int(v * int(parts)) for v in self.set_up_hours], dtype=np.int64)
        used = self.used[places].any(axis=1)
        hours = each[places].sum(axis=1) + used @ once
        a_day = int(self.day_hours * int(parts))
        days = self.days[places].max(axis=1) + -(-hours // a_day)
        models = self.models
        left: dict[bytes, tuple[str, ...]] = {}
        found = []
        for at in range(len(answers)):
            row = models.hopeless[at]
            key = row.tobytes()
            if key not in left:
                lost = [models.names[k] for k in np.flatnonzero(row)]
                left[key] = limits_said(tuple(lost))
            draw = first + at
            if not answers.solved[at]:
                raise NotAlike("a draw went over its budget")
            if not answers.found[at]:
                found.append(Outcome(draw, None, hopeless=left[key]))
                continue
            found.append(
                Outcome(
                    draw,
                    int(answers.cost[at]),
                    float(Fraction(int(hours[at]), int(parts))),
                    int(days[at]),
                    self._chosen(places[at]),
                    left[key],
                )
            )
        return tuple(found)

    def _chosen(self, places: NDArray[np.int64]) -> tuple[Chosen, ...]:
        items = self.item[places]
        found = []
        for item in dict.fromkeys(items[items >= 0].tolist()):
            mine = places[items == item]
            calls = self.used[mine].any(axis=0)
            cost = int(self.cost[mine].sum())
            total = sum((self.set_up_cost[k] for k in np.flatnonzero(calls)), Fraction(0))
            found.append(
                Chosen(self.words[item], cost + int(total * 100 + Fraction(1, 2)), len(mine))
            )
        return tuple(found)


def _set_up(shop: Shop, operation: str) -> Fraction:
    rate = shop.operations.get(operation)
    if rate is None:
        return Fraction(0)
    if rate.outside is not None:
        return rate.outside
    return rate.set_up * shop.rates.get(rate.rate, Fraction(0)) * (1 + shop.consumables)


def _hours(option: Option, shop: Shop) -> Fraction:
    """Hours of an option without set-ups."""
    rates = ((shop.operations.get(w.operation), len(w.features)) for w in option.work)
    return sum((r.each * n for r, n in rates if r is not None and not sent_out(r)), Fraction(0))
