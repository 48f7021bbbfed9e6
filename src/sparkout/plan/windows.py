"""From drafts to the solver's windows, with the guard band of each combination of options."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sparkout.plan.draft import Draft
from sparkout.plan.forms import AmountSpec
from sparkout.plan.guard import Asked, Edges, accepted
from sparkout.plan.idle import Idle, Ties, filled, idle_in
from sparkout.plan.problem import Problem
from sparkout.plan.sizes import Size
from sparkout.plan.tables import Table, combinations, tabled
from sparkout.solve import NO_BOUND, Window, table, window

__all__ = ["Closing", "plain"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Limits are typed in thousandths or ten-thousandths and reach this place as floats: a value that is
# exactly on its limit must not be lost to the last bit. A thousandth of a nanometre.
_HAIR = 1e-3

# Combinations worked out together: more is no quicker, and each takes some hundred bytes.
_SHARE = 400_000


class Closing:
    """Drafts and the amounts they are about."""

    def __init__(
        self,
        drafts: Sequence[Draft],
        amounts: Mapping[str, AmountSpec],
        ties: Ties | None = None,
    ) -> None:
        self._drafts = drafts
        self._ties = ties or {}
        self._amounts = amounts
        self._most = {
            name: max(0, math.floor(spec.most / spec.step)) * float(spec.step)
            for name, spec in amounts.items()
        }

    def windows(self, problem: Problem) -> list[Window]:
        """Windows of acceptance for all rows of all limits at once, then the solver's windows."""
        made: dict[int, Window] = {}
        for some in self._shares():
            tables = tabled([draft.recipe for draft in self._drafts], some)
            idle = [idle_in(table_, self._ties) for table_ in tables]
            asked = [self.asked(table_, rest) for table_, rest in zip(tables, idle, strict=True)]
            edges = accepted(asked, problem.confidence, problem.rule)
            for table_, ends, rest in zip(tables, edges, idle, strict=True):
                self._windows(*filled(table_, ends, rest), made)
        return [made[at] for at in sorted(made)]

    def _shares(self) -> Iterator[list[int]]:
        """Drafts in shares of so many combinations, so that large engines fit into memory."""
        some: list[int] = []
        together = 0
        for at, draft in enumerate(self._drafts):
            mine = combinations(draft.recipe)
            if some and together + mine > _SHARE:
                yield some
                some, together = [], 0
            some.append(at)
            together += mine
        if some:
            yield some

    def asked(self, whole: Table, idle: Sequence[Idle] = ()) -> Asked:
        """The limits of sums of one look, for the guard bands."""
        drafts = [self._drafts[at] for at in whole.members]
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
        most = np.array([[self._most[name] for name in names] for names in whole.amounts])
        full = whole.moves * most.reshape((len(drafts), *[1] * whole.axes, -1))
        less, more = np.minimum(full, 0.0).sum(axis=-1), np.maximum(full, 0.0).sum(axis=-1)
        nothing: Bools | None = None
        for rest in idle:
            nothing = rest.mask if nothing is None else nothing | rest.mask
        return Asked(whole, less, more, ends[0], ends[1], nothing)

    def _windows(self, whole: Table, ends: Edges, made: dict[int, Window]) -> None:
        """The solver's windows: least ≤ low end + Σ coefficient × amount ≤ most.

        None for a limit that no combination can break.
        """
        lower = np.ceil(ends.least - _HAIR) - whole.low
        upper = np.floor(ends.most + _HAIR) - whole.low
        allowed = ~(np.isposinf(ends.least) | np.isneginf(ends.most))
        steps = np.array([[float(self._amounts[n].step) for n in names] for names in whole.amounts])
        coef = np.rint(whole.moves * steps.reshape((len(steps), *[1] * whole.axes, -1)))
        still = ~coef.any(axis=-1)
        allowed &= ~still | ((lower <= 0) & (upper >= 0))
        bound = allowed & ~still & (np.isfinite(lower) | np.isfinite(upper))
        none = float(NO_BOUND)
        lower = np.where(bound & np.isfinite(lower), lower, -none)
        upper = np.where(bound & np.isfinite(upper), upper, none)
        rest = tuple(range(1, whole.axes + 1))
        breaks: Bools = np.asarray(~allowed.all(axis=rest) | bound.any(axis=rest))
        for k in np.flatnonzero(breaks).tolist():
            draft = self._drafts[whole.members[k]]
            mine = coef[k if len(coef) > 1 else 0]
            used, mine = _used(mine, bound[k])
            names = tuple([n for n, use in zip(whole.amounts[k], used, strict=True) if use])
            made[whole.members[k]] = _spread_out(
                draft,
                list(zip(whole.groups[k], whole.classes, strict=True)),
                names,
                (lower[k], upper[k], allowed[k]),
                mine,
            )


def _used(coef: Floats, bound: Bools) -> tuple[Bools, Floats]:
    """Which amounts a bound hangs on, and their coefficients: one row where all bounds share it.

    coef: along the axes of bound, of length one where it does not change; amounts last.
    """
    alike = tuple([axis for axis in range(bound.ndim) if coef.shape[axis] == 1])
    met = np.asarray(bound.any(axis=alike, keepdims=True))
    rows = np.broadcast_to(coef, (*met.shape, coef.shape[-1]))[met]
    used: Bools = np.asarray(rows.any(axis=0))
    if not len(rows) or bool((rows == rows[0]).all()):
        return used, rows[0][used] if len(rows) else np.zeros(0)
    dense = np.broadcast_to(coef[..., used], (*bound.shape, int(used.sum())))
    return used, np.where(bound[..., None], dense, 0.0)


def _spread_out(
    draft: Draft,
    axes: Sequence[tuple[str, tuple[int, ...]]],
    names: tuple[str, ...],
    arrays: tuple[NDArray[Any], ...],
    coef: Floats,
) -> Window:
    """From classes to options, with the groups that only say when the rule counts.

    Groups that make no difference are left out.
    """
    one_row = coef.ndim == 1
    if not one_row:
        arrays = (*arrays, coef)
    groups: list[str] = []
    for group, classes in axes:
        at = len(groups)
        if _flat(at, *arrays):
            arrays = tuple([array.take(0, at) for array in arrays])
            continue
        groups.append(group)
        if classes != tuple(range(len(classes))):
            arrays = tuple([array.take(classes, at) for array in arrays])
    lower, upper, allowed = arrays[:3]
    coef = coef if one_row else arrays[3]
    for gate in draft.gates:
        if gate.group in groups:
            at = groups.index(gate.group)
        else:
            at = len(groups)
            groups.append(gate.group)
            lower, upper, allowed = lower[..., None], upper[..., None], allowed[..., None]
            coef = coef if one_row else coef[..., None, :]
        shape = [1] * len(groups)
        shape[at] = len(gate.mask)
        counts = np.array(gate.mask).reshape(shape)
        lower = np.where(counts, lower, -float(NO_BOUND))
        upper = np.where(counts, upper, float(NO_BOUND))
        allowed = np.where(counts, allowed, True)
        coef = coef if one_row else np.where(counts[..., None], coef, 0.0)
    if not names:
        return table(draft.name, groups, allowed)
    whole = coef.astype(np.int64)
    if not one_row:
        # rows without a bound may take the coefficients of the others
        free = (lower == -float(NO_BOUND)) & (upper == float(NO_BOUND))
        bound = whole.reshape(-1, len(names))[~free.ravel()]
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


def plain(name: str, size: Size, allowed: Bools) -> Window:
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
