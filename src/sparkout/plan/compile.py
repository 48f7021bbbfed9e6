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
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.dimension import Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.plan.forms import AmountSpec, Group, HoldsTo, Need
from sparkout.plan.guard import Asked, Edges, accepted
from sparkout.plan.problem import Problem
from sparkout.plan.sight import Bands, Ends, at_sight
from sparkout.plan.sizes import MICRO, Size, Value, changed, sized, touched_by
from sparkout.plan.tables import Recipe, Table, tabled
from sparkout.sheet.model import Bounds, Side
from sparkout.solve import NO_BOUND, Amount, Choice, Model, Shared, Tally, Window, table, window

__all__ = ["Compiled", "Draft", "Gate", "Unjudged", "compile_problem"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Limits are typed in thousandths or ten-thousandths and reach this place as floats: a value that is
# exactly on its limit must not be lost to the last bit. A thousandth of a nanometre.
_HAIR = 1e-3

# Between plans of equal cost a day of waiting counts more than any metal.
_DAY = 1000


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A limit that cannot be part of the plan, and why: not measured, or nothing can change it."""

    check: Check
    why: str


@dataclass(frozen=True, slots=True)
class Gate:
    """A rule counts only with these options of a group."""

    group: str
    mask: tuple[bool, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A window before its guard bands are known.

    new, service: limits of what is as new and of what is used again. single: about one size, whose
    limits move with its over- or undersize, and which is not judged where it is made to another.
    """

    name: str
    recipe: Recipe
    new: Ends
    service: Ends
    single: bool = False
    gates: tuple[Gate, ...] = ()


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
        self.most = {
            spec.name: max(0, math.floor(spec.most / spec.step)) * float(spec.step)
            for spec in self.amounts.values()
        }
        self.bands = Bands.of(problem.rule, problem.confidence)
        self.touched = touched_by(problem.groups)
        self.sizes: dict[Key, Size] = {}
        self.changes: dict[Key, Size] = {}
        self.recipes: dict[Key, Recipe | None] = {}
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
            self.touched,
        )

    # Sizes ---------------------------------------------------------------------------------

    def size(self, key: Key) -> Size:
        found = self.sizes.get(key)
        if found is None:
            found = sized(self.problem.sizes.get(key), self.touched.get(key, {}))
            self.sizes[key] = found
        return found

    def change(self, key: Key) -> Size:
        found = self.changes.get(key)
        if found is None:
            found = changed(self.problem.sizes.get(key), self.touched.get(key, {}))
            self.changes[key] = found
        return found

    def fit(self, instance: Instance) -> Recipe | None:
        """What a fit is made of: its sizes, or its reading and what changes in its sizes.

        Options that make the fit itself (honed to the piston in hand) stand over both.
        """
        if instance.key in self.recipes and not instance.inner:
            return self.recipes[instance.key]
        found = self._from_sizes(instance) or self._by_change(instance)
        if instance.key in self.touched and instance.key not in [key for _, key in instance.terms]:
            made = sized(None, self.touched[instance.key])
            found = Recipe((), made=made) if found is None else found._replace(made=made)
        if not instance.inner:
            self.recipes[instance.key] = found
        return found

    def _from_sizes(self, instance: Instance) -> Recipe | None:
        if instance.constant is None:
            return None
        known = self.problem.sizes
        for _, key in instance.terms:
            if key not in known and key not in self.touched:
                return None
        terms = [(weight, self.size(key)) for weight, key in instance.terms]
        constant = instance.constant
        for weight, inner in instance.inner:
            found = self.fit(inner)
            if found is None:
                return None
            assert found.made is None  # no option makes a volume
            terms += [(weight * own, size) for own, size in found.terms]
            constant += weight * found.constant
        return Recipe(tuple(terms), constant)

    def _by_change(self, instance: Instance) -> Recipe | None:
        read = self.problem.sizes.get(instance.key)
        if read is None or not instance.by_change:
            return None
        terms = [(Fraction(1), sized(read))]
        terms += [(w, self.change(key)) for w, key in instance.terms if key in self.touched]
        return Recipe(tuple(terms))

    def _is_touched(self, instance: Instance) -> bool:
        if instance.key in self.touched:
            return True
        for _, key in instance.terms:
            if key in self.touched:
                return True
        return any(self._is_touched(inner) for _, inner in instance.inner)

    # Windows -------------------------------------------------------------------------------

    def _check(self, check: Check) -> None:
        if not self._is_touched(check.instance):
            if check.key not in self.problem.sizes and not self._known(check.instance):
                self.unjudged.append(Unjudged(check, "not measured"))
            return  # as it stands: the judge's business, no option touches it
        if self._single(check):
            return
        recipe = self.fit(check.instance)
        if recipe is None:
            self.unjudged.append(Unjudged(check, "not measured"))
            return
        single = len(check.instance.terms) == 1 and not check.instance.inner
        self._draft(check.name, recipe, *_sides(check), check, single=single)

    def _single(self, check: Check) -> bool:
        """A limit of one size, where that is decided at sight."""
        instance = check.instance
        if (
            instance.inner
            or len(instance.terms) != 1
            or instance.terms[0] != (Fraction(1), check.key)
        ):
            return False
        size = self.size(check.key)
        if all(value is None for value in size.cells):
            self.unjudged.append(Unjudged(check, "not measured"))
            return True
        kept = at_sight(size, *_sides(check), self.bands)
        if kept is None:
            return False
        name = self._unique(check.name)
        self.rules[name] = check
        if not all(kept):
            allowed = np.array(kept).reshape(size.shape)
            self.windows.append(_plain(name, size, allowed))
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
        gates = [_gate(group, (option,))]
        for other, excused in need.unless:
            if other in self.by_name:
                rest = [o.name for o in self.by_name[other].options if o.name != excused]
                gates.append(_gate(self.by_name[other], rest))
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
        recipe = self.fit(hold.instance)
        if recipe is None:
            return
        ends = _pair(hold.bounds)
        name = f"{option}: {hold.words}, {hold.feature}"
        self._draft(name, recipe, ends, ends, hold, gates=(_gate(group, (option,)),))

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
        """Windows of acceptance for all rows of all limits at once, then the solver's windows."""
        tables = tabled([draft.recipe for draft in self.drafts])
        asked = [self._asked(table_) for table_ in tables]
        edges = accepted(asked, self.problem.confidence, self.problem.rule)
        made: dict[int, Window] = {}
        for table_, ends in zip(tables, edges, strict=True):
            self._windows(table_, ends, made)
        self.windows += [made[at] for at in sorted(made)]

    def _asked(self, whole: Table) -> Asked:
        drafts = [self.drafts[at] for at in whole.members]
        thin = (len(drafts), *[1] * whole.axes)

        def each(values: list[float]) -> Floats:
            return np.array(values).reshape(thin)

        ends = []
        single = np.array([draft.single for draft in drafts]).reshape(thin)
        for side in (0, 1):
            new = each([draft.new[side] for draft in drafts])
            service = each([draft.service[side] for draft in drafts])
            limit = np.where(whole.new, new, service) + np.where(single, whole.size, 0.0)
            none = np.inf if side else -np.inf
            ends.append(np.where(whole.known & ~(single & whole.free), limit, none))
        most = np.array([[self.most[name] for name in names] for names in whole.amounts])
        full = whole.moves * most.reshape((len(drafts), *[1] * whole.axes, -1))
        less, more = np.minimum(full, 0.0).sum(axis=-1), np.maximum(full, 0.0).sum(axis=-1)
        return Asked(whole, less, more, ends[0], ends[1])

    def _windows(self, whole: Table, ends: Edges, made: dict[int, Window]) -> None:
        """The solver's windows: least ≤ low end + Σ coefficient × amount ≤ most.

        None for a limit that no combination can break.
        """
        lower = np.ceil(ends.least - _HAIR) - whole.low
        upper = np.floor(ends.most + _HAIR) - whole.low
        allowed = ~(np.isposinf(ends.least) | np.isneginf(ends.most))
        steps = np.array([[float(self.amounts[n].step) for n in names] for names in whole.amounts])
        coef = np.rint(whole.moves * steps.reshape((len(steps), *[1] * whole.axes, -1)))
        still = ~coef.any(axis=-1)
        allowed &= ~still | ((lower <= 0) & (upper >= 0))
        bound = allowed & ~still & (np.isfinite(lower) | np.isfinite(upper))
        none = float(NO_BOUND)
        lower = np.where(bound & np.isfinite(lower), lower, -none)
        upper = np.where(bound & np.isfinite(upper), upper, none)
        coef = np.where(bound[..., None], coef, 0.0)
        rest = tuple(range(1, whole.axes + 1))
        breaks: Bools = np.asarray(~allowed.all(axis=rest) | bound.any(axis=rest))
        used: Bools = np.asarray(coef.any(axis=rest))
        for k in np.flatnonzero(breaks).tolist():
            draft = self.drafts[whole.members[k]]
            names = [n for n, use in zip(whole.amounts[k], used[k], strict=True) if use]
            made[whole.members[k]] = _spread_out(
                draft,
                list(zip(whole.groups[k], whole.classes, strict=True)),
                tuple(names),
                (lower[k], upper[k], allowed[k], coef[k][..., used[k]]),
            )

    def _choice(self, group: Group) -> Choice:
        return Choice(
            group.name,
            tuple(option.name for option in group.options),
            tuple(option.cost for option in group.options),
            tuple(_DAY * option.days + option.prefer for option in group.options),
        )


def _gate(group: Group, options: Sequence[str]) -> Gate:
    return Gate(group.name, tuple(item.name in options for item in group.options))


def _spread_out(
    draft: Draft,
    axes: Sequence[tuple[str, tuple[int, ...]]],
    names: tuple[str, ...],
    arrays: tuple[NDArray[Any], ...],
) -> Window:
    """From classes to options, with the groups that only say when the rule counts.

    Groups that make no difference are left out.
    """
    groups: list[str] = []
    picks: list[tuple[int, ...]] = []
    for group, classes in axes:
        if _flat(len(groups), *arrays):
            arrays = tuple([array.take(0, len(groups)) for array in arrays])
        else:
            groups.append(group)
            picks.append(classes)
    if groups:
        cell = np.ix_(*picks)
        arrays = tuple([array[cell] for array in arrays])
    lower, upper, allowed, coef = arrays
    for gate in draft.gates:
        if gate.group in groups:
            at = groups.index(gate.group)
        else:
            at = len(groups)
            groups.append(gate.group)
            lower, upper, allowed = lower[..., None], upper[..., None], allowed[..., None]
            coef = coef[..., None, :]
        shape = [1] * len(groups)
        shape[at] = len(gate.mask)
        counts = np.array(gate.mask).reshape(shape)
        lower = np.where(counts, lower, -float(NO_BOUND))
        upper = np.where(counts, upper, float(NO_BOUND))
        allowed = np.where(counts, allowed, True)
        coef = np.where(counts[..., None], coef, 0.0)
    if not names:
        return table(draft.name, groups, allowed)
    whole = coef.astype(np.int64)
    flat = whole.reshape(-1, len(names))
    # rows without a bound may take the coefficients of the others
    free = (lower == -float(NO_BOUND)) & (upper == float(NO_BOUND))
    bound = flat[~free.ravel()]
    if (bound == bound[0]).all():
        whole = bound[0]
    return window(
        draft.name,
        groups,
        names,
        whole,
        np.where(allowed, lower, 0).astype(np.int64),
        np.where(allowed, upper, 0).astype(np.int64),
        allowed,
    )


def _plain(name: str, size: Size, allowed: Bools) -> Window:
    """A table of options from one of classes, without the groups that make no difference."""
    groups: list[str] = []
    picks: list[tuple[int, ...]] = []
    for group, classes in size.axes:
        if _flat(len(groups), allowed):
            allowed = np.asarray(allowed.take(0, len(groups)))
        else:
            groups.append(group)
            picks.append(classes)
    return table(name, groups, allowed[np.ix_(*picks)] if groups else allowed)


def _flat(axis: int, *arrays: NDArray[Any]) -> bool:
    """Whether arrays do not change along an axis."""
    if arrays[0].shape[axis] == 1:
        return True
    for array in arrays:
        first = array.take([0], axis)
        if not bool((array == first).all()):
            return False
    return True


def _sides(check: Check) -> tuple[Ends, Ends]:
    """The limits of what is as new and of what is used again."""
    new = _pair(check.limit.side(Side.NEW))
    if check.limit.judged == "when new":
        return new, (-math.inf, math.inf)
    return new, _pair(check.limit.side(Side.SERVICE))


def _pair(bounds: Bounds | None) -> Ends:
    if bounds is None:
        return -math.inf, math.inf
    return (
        -math.inf if bounds.low is None else float(bounds.low * MICRO),
        math.inf if bounds.high is None else float(bounds.high * MICRO),
    )


def _amount(spec: AmountSpec) -> Amount:
    """Of two plans that cost the same, the one that takes less metal."""
    return Amount(spec.name, 0, max(0, math.floor(spec.most / spec.step)), prefer_per_step=1)
