"""From the decision to the solver's model: every limit a window, exact for each combination.

A limit must hold with its guard band, and the guard band depends on the options: a measured old
journal and a freshly ground one differ. So each window holds one row for every combination of the
options that touch it, with the bounds that are right for just that combination.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.dimension import Dimension, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.plan.forms import AmountSpec, Group, HoldsTo, Need
from sparkout.plan.guard import Asked, accepted
from sparkout.plan.problem import Problem
from sparkout.plan.tables import MICRO, Sources, Table, add, override, size_table
from sparkout.sheet.model import Bounds, Side
from sparkout.solve import NO_BOUND, Amount, Choice, Model, Shared, Tally, Window, table, window

__all__ = ["Compiled", "Unjudged", "compile_problem"]

Floats = NDArray[np.float64]

# Limits are typed in thousandths or ten-thousandths and reach this place as floats: a value that is
# exactly on its limit must not be lost to the last bit. A thousandth of a millionth of a millimetre.
_HAIR = 1e-9

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

    rules: what each window stands for (a check, a need, …). tables: the summed table behind each
    check's window, before limits. steps: millionths per step of each amount.
    """

    problem: Problem
    model: Model
    rules: Mapping[str, Check | Need | HoldsTo | str]
    tables: Mapping[str, Table]
    steps: Mapping[str, int]
    bounds: Mapping[str, tuple[Floats, Floats]]
    unjudged: tuple[Unjudged, ...]
    sources: Sources


@dataclass(slots=True)
class _Draft:
    """A window before its guard bands are known."""

    name: str
    table: Table
    lower: Floats
    upper: Floats
    active: NDArray[np.bool_]


def compile_problem(problem: Problem) -> Compiled:
    """The solver's model of a problem.

    Limits that no option touches are left out of the model: when they are out, `unjudged` says so.
    """
    return _Compiler(problem).run()


class _Compiler:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.by_name = {group.name: group for group in problem.groups}
        self.amounts = {spec.name: spec for group in problem.groups for spec in group.amounts}
        self.sources = Sources()
        self.touching = _touching(problem.groups)
        self.cache: dict[tuple[Key, bool], Table] = {}
        self.rules: dict[str, Check | Need | HoldsTo | str] = {}
        self.drafts: list[_Draft] = []
        self.windows: list[Window] = []
        self.unjudged: list[Unjudged] = []

    def run(self) -> Compiled:
        for check in self.problem.checks:
            self._check(check)
        for group in self.problem.groups:
            self._group(group)
        bounds = self._close_drafts()
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
            {draft.name: draft.table for draft in self.drafts},
            {name: int(spec.step * MICRO) for name, spec in self.amounts.items()},
            bounds,
            tuple(self.unjudged),
            self.sources,
        )

    # Sizes ---------------------------------------------------------------------------------

    def size(self, key: Key, *, change_only: bool = False) -> Table:
        found = self.cache.get((key, change_only))
        if found is None:
            groups = self.touching.get(key, ())
            base = self.problem.sizes.get(key)
            found = size_table(key, base, groups, self.sources, change_only=change_only)
            self.cache[key, change_only] = found
        return found

    def fit(self, instance: Instance) -> Table | None:
        """The table of a fit: from its sizes, or from its reading and what changes in its sizes.

        Options that make the fit itself (honed to the piston in hand) stand over both.
        """
        whole = self._from_sizes(instance) or self._by_change(instance)
        if instance.key not in {key for _, key in instance.terms} and self.touching.get(
            instance.key
        ):
            made = size_table(instance.key, None, self.touching[instance.key], self.sources)
            whole = made if whole is None else override(whole, made)
        return whole

    def _from_sizes(self, instance: Instance) -> Table | None:
        if instance.constant is None:
            return None
        known = self.problem.sizes
        if not all(key in known or self.touching.get(key) for _, key in instance.terms):
            return None
        parts = [(weight, self.size(key)) for weight, key in instance.terms]
        for weight, inner in instance.inner:
            table_ = self.fit(inner)
            if table_ is None:
                return None
            parts.append((weight, table_))
        whole = add(parts, instance.constant)
        return whole if whole.known.any() else None

    def _by_change(self, instance: Instance) -> Table | None:
        sizes = self.problem.sizes
        read = sizes.get(instance.key)
        if read is None or not instance.by_change:
            return None
        parts = [(Fraction(1), size_table(instance.key, read, (), self.sources))]
        for weight, key in instance.terms:
            if not self.touching.get(key):
                continue
            if key in sizes:
                found = size_table(key, sizes[key], (), self.sources)
                parts += [(weight, self.size(key)), (-weight, found)]
            else:
                parts.append((weight, self.size(key, change_only=True)))
        return add(parts)

    # Windows -------------------------------------------------------------------------------

    def _check(self, check: Check) -> None:
        whole = self.fit(check.instance)
        if whole is None or not whole.known.any():
            self.unjudged.append(Unjudged(check, "not measured"))
            return
        if not whole.groups:
            return  # as it stands: the judge's business, no option touches it
        lower, upper = _limit_rows(check, whole)
        self._draft(check.name, whole, lower, upper, whole.known, check)

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
        key = Key("", need.name)
        base = size_table(key, Dimension(key, need.margin, need.margin), (), self.sources)
        gates = [self._gate(group, [option])]
        for other, excused in need.unless:
            if other in self.by_name:
                rest = [o.name for o in self.by_name[other].options if o.name != excused]
                gates.append(self._gate(self.by_name[other], rest))
        whole = add([(Fraction(1), base), *((Fraction(0), gate) for gate, _ in gates)])
        active = self._all_active(whole, gates)
        moves = {amount: np.where(active, float(per * MICRO), 0.0) for amount, per in need.amounts}
        whole = replace(whole, moves=moves)
        lower = np.where(active, 0.0, -np.inf)
        upper = np.full(whole.shape, np.inf)
        self._draft(f"{option}: {need.name}", whole, lower, upper, active, need)

    def _gate(self, group: Group, options: Sequence[str]) -> tuple[Table, NDArray[np.bool_]]:
        """An empty table over one group, and which of its options are meant."""
        n = len(group.options)
        nothing = np.zeros(n, np.int64)
        yes = np.ones(n, np.bool_)
        mask = np.array([item.name in options for item in group.options])
        return Table((group.name,), nothing, nothing, yes, yes, ~yes, nothing), mask

    def _all_active(
        self, whole: Table, gates: Sequence[tuple[Table, NDArray[np.bool_]]]
    ) -> NDArray[np.bool_]:
        active = whole.known.copy()
        for gate, mask in gates:
            shape = [1] * len(whole.groups)
            shape[whole.groups.index(gate.groups[0])] = len(mask)
            active &= mask.reshape(shape)
        return active

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
        check = next(
            (
                item
                for item in self.problem.checks
                if item.instance.name == hold.fit and item.instance.feature == hold.feature
            ),
            None,
        )
        if check is None:
            return
        whole = self.fit(check.instance)
        if whole is None:
            return
        gate = self._gate(group, [option])
        both = add([(Fraction(1), whole), (Fraction(0), gate[0])])
        active = self._all_active(both, [gate])
        low = -math.inf if hold.bounds.low is None else float(hold.bounds.low * MICRO)
        high = math.inf if hold.bounds.high is None else float(hold.bounds.high * MICRO)
        lower = np.where(active, low, -np.inf)
        upper = np.where(active, high, np.inf)
        self._draft(f"{option}: {hold.words}, {hold.feature}", both, lower, upper, active, hold)

    def _draft(
        self,
        name: str,
        whole: Table,
        lower: Floats,
        upper: Floats,
        active: NDArray[np.bool_],
        rule: Check | Need | HoldsTo,
    ) -> None:
        name = self._unique(name)
        self.rules[name] = rule
        self.drafts.append(_Draft(name, whole, lower, upper, active))

    def _unique(self, name: str) -> str:
        if name not in self.rules:
            return name
        return next(f"{name} ({k})" for k in range(2, 10_000) if f"{name} ({k})" not in self.rules)

    def _close_drafts(self) -> dict[str, tuple[Floats, Floats]]:
        """Windows of acceptance for all rows of all limits at once, then the solver's windows."""
        asked = [
            Asked(
                draft.table.low_parts,
                draft.table.high_parts,
                np.maximum((draft.table.high - draft.table.low) / MICRO - _HAIR, 0.0),
                np.where(draft.active, draft.lower, -np.inf) / MICRO,
                np.where(draft.active, draft.upper, np.inf) / MICRO,
            )
            for draft in self.drafts
        ]
        windows = accepted(asked, self.sources, self.problem.confidence, self.problem.rule)
        for draft, (least, most) in zip(self.drafts, windows, strict=True):
            self.windows.append(self._window(draft, least, most))
        return {draft.name: window for draft, window in zip(self.drafts, windows, strict=True)}

    def _window(self, draft: _Draft, least: Floats, most: Floats) -> Window:
        """The solver's window: least ≤ low end + Σ coefficient × amount ≤ most."""
        whole = draft.table
        none = float(NO_BOUND)
        lower = np.where(np.isneginf(least), -none, np.ceil((least - _HAIR) * MICRO) - whole.low)
        upper = np.where(np.isposinf(most), none, np.floor((most + _HAIR) * MICRO) - whole.low)
        never = np.isposinf(least) | np.isneginf(most)
        amounts = tuple(whole.moves)
        if not amounts:
            allowed = (lower <= 0) & (upper >= 0) & ~never
            return table(draft.name, whole.groups, allowed)
        coef = np.stack(
            [
                np.rint(whole.moves[name] * float(self.amounts[name].step)).astype(np.int64)
                for name in amounts
            ],
            axis=-1,
        )
        flat = coef.reshape(-1, len(amounts))
        if (flat == flat[0]).all():
            coef = flat[0]
        return window(
            draft.name,
            whole.groups,
            amounts,
            coef,
            np.where(never, 0, lower).astype(np.int64),
            np.where(never, 0, upper).astype(np.int64),
            ~never,
            shape=whole.shape,
        )

    def _choice(self, group: Group) -> Choice:
        return Choice(
            group.name,
            tuple(option.name for option in group.options),
            tuple(option.cost for option in group.options),
            tuple(_DAY * option.days + option.prefer for option in group.options),
        )


def _touching(groups: Sequence[Group]) -> dict[Key, tuple[Group, ...]]:
    found: dict[Key, dict[str, Group]] = {}
    for group in groups:
        for option in group.options:
            for effect in option.effects:
                found.setdefault(effect.key, {})[group.name] = group
    return {key: tuple(some.values()) for key, some in found.items()}


def _limit_rows(check: Check, whole: Table) -> tuple[Floats, Floats]:
    """The limit's bounds for every row: new ones where all is new, service ones otherwise."""
    new = _pair(check.limit.side(Side.NEW))
    service = _pair(check.limit.side(Side.SERVICE))
    if check.limit.judged == "when new":
        service = (-math.inf, math.inf)
    # The limit of a single size moves with its over- or undersize; that of a fit does not.
    single = len(check.instance.terms) == 1 and not check.instance.inner
    moved = whole.size if single else np.zeros(whole.shape, np.int64)
    lower: Floats = np.where(whole.new, new[0], service[0]) + moved.astype(np.float64)
    upper: Floats = np.where(whole.new, new[1], service[1]) + moved.astype(np.float64)
    if single:
        return np.where(whole.free, -np.inf, lower), np.where(whole.free, np.inf, upper)
    return lower, upper


def _pair(bounds: Bounds | None) -> tuple[float, float]:
    if bounds is None:
        return -math.inf, math.inf
    return (
        -math.inf if bounds.low is None else float(bounds.low * MICRO),
        math.inf if bounds.high is None else float(bounds.high * MICRO),
    )


def _amount(spec: AmountSpec) -> Amount:
    """Of two plans that cost the same, the one that takes less metal."""
    return Amount(spec.name, 0, max(0, math.floor(spec.most / spec.step)), prefer_per_step=1)
