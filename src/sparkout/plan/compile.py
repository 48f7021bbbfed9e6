"""From the decision to the solver's model: every limit a window, exact for each combination.

A limit must hold with its guard band, and the guard band depends on the options: a measured old
journal and a freshly ground one differ. So each window holds one row for every combination of the
options that touch it, with the bounds that are right for just that combination.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sparkout.engine.dimension import Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.plan.draft import Draft, Gate, gate, pair, sides
from sparkout.plan.fitted import Fitted
from sparkout.plan.forms import AmountSpec, Group, HoldsTo, Need
from sparkout.plan.idle import ties_of
from sparkout.plan.problem import Problem
from sparkout.plan.sight import Bands, Ends, at_sight
from sparkout.plan.sizes import MICRO, Size, Value
from sparkout.plan.tables import Recipe
from sparkout.plan.windows import Closing, plain
from sparkout.solve import Amount, Choice, Model, Shared, Tally, Window, table, window

__all__ = ["Compiled", "Unjudged", "compile_problem"]

# Between plans of equal cost a day of waiting counts more than any metal.
_DAY = 1000


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A limit that cannot be part of the plan, and why: not measured, or nothing can change it."""

    check: Check
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class Compiled:
    """The model and what its names mean.

    rules: what each window stands for (a check, a need, …); rules that no combination can break
    have no window. steps: millionths per step of each amount. drafts: what a rule's window was
    made of, where it was not told at sight. touched: groups with options that touch a size.
    """

    problem: Problem
    model: Model
    rules: Mapping[str, Check | Need | HoldsTo | str]
    steps: Mapping[str, int]
    unjudged: tuple[Unjudged, ...]
    drafts: Mapping[str, Draft]
    touched: Mapping[Key, Collection[str]]

    def touching(self, instance: Instance) -> tuple[str, ...]:
        """Groups with an option that changes a fit."""
        found: dict[str, None] = dict.fromkeys(self.touched.get(instance.key, ()))
        for _, key in instance.terms:
            found.update(dict.fromkeys(self.touched.get(key, ())))
        for _, inner in instance.inner:
            found.update(dict.fromkeys(self.touching(inner)))
        return tuple(found)


def compile_problem(problem: Problem) -> Compiled:
    """The solver's model of a problem.

    Limits that no option touches are left out of the model: when they are out, the findings say so.
    """
    return _Compiler(problem).run()


class _Compiler:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.by_name = {group.name: group for group in problem.groups}
        self.amounts = {spec.name: spec for group in problem.groups for spec in group.amounts}
        self.bands = Bands.of(problem.rule, problem.confidence)
        self.fitted = Fitted(problem)
        self.rules: dict[str, Check | Need | HoldsTo | str] = {}
        self.drafts: list[Draft] = []
        self.windows: list[Window] = []
        self.unjudged: list[Unjudged] = []

    def run(self) -> Compiled:
        for check in self.problem.checks:
            if check.limit.must:
                self._check(check)
        for group in self.problem.groups:
            self._group(group)
        self._close_drafts()
        model = Model(
            tuple(self._choice(group) for group in self.problem.groups),
            tuple(_amount(spec) for spec in self.amounts.values()),
            tuple(self.windows),
            tuple(Shared(item.name, item.cost, item.when) for item in self.problem.shared),
            tuple(Tally(s.name, s.uses, None, s.at_most) for s in self.problem.stock),
        )
        return Compiled(
            self.problem,
            model,
            self.rules,
            {name: int(spec.step * MICRO) for name, spec in self.amounts.items()},
            tuple(self.unjudged),
            {draft.name: draft for draft in self.drafts},
            self.fitted.touched,
        )

    # Windows -------------------------------------------------------------------------------

    def _check(self, check: Check) -> None:
        if not self.fitted.is_touched(check.instance):
            if check.key not in self.problem.sizes and not self._known(check.instance):
                self.unjudged.append(Unjudged(check, "not measured"))
            return  # as it stands: the judge's business, no option touches it
        if self._single(check):
            return
        recipe = self.fitted.fit(check.instance)
        if recipe is None:
            self.unjudged.append(Unjudged(check, "not measured"))
            return
        single = len(check.instance.terms) == 1 and not check.instance.inner
        self._draft(check.name, recipe, *sides(check), check, single=single)

    def _single(self, check: Check) -> bool:
        """A limit of one size, where that is decided at sight."""
        instance = check.instance
        if (
            instance.inner
            or len(instance.terms) != 1
            or instance.terms[0] != (Fraction(1), check.key)
        ):
            return False
        size = self.fitted.size(check.key)
        if all(value is None for value in size.cells):
            self.unjudged.append(Unjudged(check, "not measured"))
            return True
        kept = at_sight(size, *sides(check), self.bands)
        if kept is None:
            return False
        name = self._unique(check.name)
        self.rules[name] = check
        if not all(kept):
            allowed = np.array(kept).reshape(size.shape)
            self.windows.append(plain(name, size, allowed))
        return True

    def _known(self, instance: Instance) -> bool:
        sizes = self.problem.sizes
        return (
            instance.constant is not None
            and all(key in sizes for _, key in instance.terms)
            and all(inner.key in sizes or self._known(inner) for _, inner in instance.inner)
        )

    def _group(self, group: Group) -> None:
        for spec in group.amounts:
            self._tie(group, spec)
        for option in group.options:
            for need in option.needs:
                self._need(group, option.name, need)
            for tie in option.together:
                self._together(group, option.name, tie.group, tie.options, tie.words)
            for hold in option.holds:
                self._hold(group, option.name, hold)
        if any(option.impossible for option in group.options):
            allowed = [not option.impossible for option in group.options]
            name = f"{group.name}: cannot be had"
            self.rules[name] = name
            self.windows.append(table(name, (group.name,), allowed))

    def _tie(self, group: Group, spec: AmountSpec) -> None:
        """The amount is within its reach with its own option and zero with any other."""
        own = [option.name == spec.option for option in group.options]
        least, most = math.ceil(spec.least / spec.step), math.floor(spec.most / spec.step)
        name = f"{spec.name}: {'' if spec.words else 'reach'}{spec.words}"
        self.rules[name] = name
        self.windows.append(
            window(
                name,
                (group.name,),
                (spec.name,),
                [1],
                [least if mine else 0 for mine in own],
                [most if mine else 0 for mine in own],
            )
        )

    def _need(self, group: Group, option: str, need: Need) -> None:
        value = Value(need.margin, need.margin, moves=dict(need.amounts))
        gates = [gate(group, (option,))]
        for other, excused in need.unless:
            if other in self.by_name:
                rest = [o.name for o in self.by_name[other].options if o.name != excused]
                gates.append(gate(self.by_name[other], rest))
        recipe = Recipe(((Fraction(1), Size((), (value,))),))
        ends = (0.0, math.inf)
        self._draft(f"{option}: {need.name}", recipe, ends, ends, need, gates=tuple(gates))

    def _together(
        self, group: Group, option: str, other: str, allowed: Sequence[str], words: str
    ) -> None:
        partner = self.by_name.get(other)
        if partner is None:
            return
        mask = np.ones((len(group.options), len(partner.options)), np.bool_)
        row = [item.name for item in group.options].index(option)
        mask[row] = [item.name in allowed for item in partner.options]
        name = self._unique(f"{group.name}, {option}: {words}")
        self.rules[name] = words
        self.windows.append(table(name, (group.name, other), mask))

    def _hold(self, group: Group, option: str, hold: HoldsTo) -> None:
        recipe = self.fitted.fit(hold.instance)
        if recipe is None:
            return
        ends = pair(hold.bounds)
        name = f"{option}: {hold.words}, {hold.feature}"
        self._draft(name, recipe, ends, ends, hold, gates=(gate(group, (option,)),))

    def _draft(
        self,
        name: str,
        recipe: Recipe,
        new: Ends,
        service: Ends,
        rule: Check | Need | HoldsTo,
        *,
        single: bool = False,
        gates: tuple[Gate, ...] = (),
    ) -> None:
        name = self._unique(name)
        self.rules[name] = rule
        self.drafts.append(Draft(name, recipe, new, service, single, gates))

    def _unique(self, name: str) -> str:
        if name not in self.rules:
            return name
        return next(f"{name} ({k})" for k in range(2, 10_000) if f"{name} ({k})" not in self.rules)

    def _close_drafts(self) -> None:
        ties = ties_of(self.problem.groups)
        self.windows += Closing(self.drafts, self.amounts, ties).windows(self.problem)

    def _choice(self, group: Group) -> Choice:
        return Choice(
            group.name,
            tuple(option.name for option in group.options),
            tuple(option.cost for option in group.options),
            tuple(_DAY * option.days + option.prefer for option in group.options),
        )


def _amount(spec: AmountSpec) -> Amount:
    """Of two plans that cost the same, the one that takes less metal."""
    return Amount(spec.name, 0, max(0, math.floor(spec.most / spec.step)), prefer_per_step=1)
