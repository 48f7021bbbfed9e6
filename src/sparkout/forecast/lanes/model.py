"""The models of many draws, put together in arrays for the solver."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.state import State
from sparkout.forecast.lanes.bands import edges_of
from sparkout.forecast.lanes.drafts import Drafts, Sizes
from sparkout.forecast.lanes.figures import Figures, NotAlike, Same
from sparkout.forecast.lanes.sizes import Lanes
from sparkout.plan.draft import Draft
from sparkout.plan.problem import Problem
from sparkout.plan.sizes import MICRO, Size
from sparkout.plan.tables import Table, tabled
from sparkout.plan.windows import Closing
from sparkout.solve import NO_BOUND, Model, Window
from sparkout.solve.batch import Stacked, Structure

__all__ = ["Models", "models_of"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

# As in sparkout.plan.compile: a value exactly on its limit must not be lost to the last bit.
_HAIR = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Models:
    """All draws' models. hopeless: names of windows, and draws × windows where none of the options
    to be had keeps one (it is then open in that draw)."""

    problem: Problem
    stacked: Stacked
    names: tuple[str, ...]
    hopeless: Bools


@dataclass(frozen=True, slots=True, eq=False)
class _Window:
    """One window of all draws: axis 0 draws (one where all are alike), then options."""

    name: str
    choices: tuple[str, ...]
    amounts: tuple[str, ...]
    coef: Ints
    lower: Ints
    upper: Ints
    allowed: Bools


def models_of(problem: Problem, state: State, figures: Figures, lanes: Lanes) -> Models:
    """The models of all draws. problem: of the draw that state and figures start from."""
    problem = _with_reach(problem, figures)
    made = Drafts(problem)
    compiled = made.run()
    model = compiled.model
    windows = [_constant(item) for item in model.windows]
    drawn = _drafted(made, Sizes(made, state, figures, lanes), lanes.count)
    windows += [drawn[at] for at in sorted(drawn)]
    had = {
        group.name: np.array([not option.impossible for option in group.options])
        for group in problem.groups
    }
    hopeless = np.zeros((lanes.count, len(windows)), dtype=np.bool_)
    for k, item in enumerate(windows):
        lost = _hopeless(model, item, had)
        if lost.any():
            hopeless[:, k] = lost
            windows[k] = _opened(item, lost, lanes.count)
    stacked = _stacked(model, windows, lanes.count)
    return Models(problem, stacked, tuple(item.name for item in windows), hopeless)


def _with_reach(problem: Problem, figures: Figures) -> Problem:
    """Reaches that differ stand at the most met, where nothing hangs on them."""
    groups = list(problem.groups)
    for place, form in figures.forms.items():
        if place.kind != "reach":
            continue
        group = groups[place.group]
        if place.end != "most" or not isinstance(form, Same):
            raise NotAlike(f"{group.name}: its reach differs between draws")
        amounts = list(group.amounts)
        amounts[place.at] = replace(amounts[place.at], most=Fraction(round(form.value), MICRO))
        groups[place.group] = replace(group, amounts=tuple(amounts))
    return replace(problem, groups=tuple(groups))


def _constant(item: Window) -> _Window:
    return _Window(
        item.name,
        item.choices,
        item.amounts,
        np.asarray(item.coef)[None],
        np.asarray(item.lower)[None],
        np.asarray(item.upper)[None],
        np.asarray(item.allowed)[None],
    )


def _drafted(made: Drafts, sizes: Sizes, count: int) -> dict[int, _Window]:
    tables = tabled([draft.recipe for draft in made.drafts])
    closing = Closing(made.drafts, made.amounts)
    asked = [closing.asked(table) for table in tables]
    lows: list[Floats] = []
    widths: list[Floats] = []
    for table in tables:
        low, high = _sums(made.drafts, table, sizes, count)
        lows.append(low)
        widths.append(np.maximum(high - low, 0.0))
    problem = made.problem
    edges = edges_of(asked, widths, problem.confidence, problem.rule)
    found: dict[int, _Window] = {}
    for table, low, (least, most) in zip(tables, lows, edges, strict=True):
        _windows(made, table, low, least, most, found)
    return found


def _sums(drafts: Sequence[Draft], table: Table, sizes: Sizes, count: int) -> tuple[Floats, Floats]:
    """Low and high of a table: members × draws × cells."""
    members = [drafts[at] for at in table.members]
    first = members[0].recipe
    cells = table.low.shape[1:]
    shape = (len(members), count, *cells)
    low: Floats = np.full((1, 1, *[1] * len(cells)), float(first.constant * MICRO))
    high = low
    for place, (weight, _) in enumerate(first.terms):
        least, most = _part(members, table, place, sizes)
        factor = float(weight)
        low = low + factor * (most if weight < 0 else least)
        high = high + factor * (least if weight < 0 else most)
    whole = all(weight.denominator == 1 for weight, _ in first.terms)
    if not (whole and (first.constant * MICRO).denominator == 1):
        low, high = np.floor(low - 0.5), np.ceil(high + 0.5)
    if first.made is not None:
        least, most = _part(members, table, len(first.terms), sizes)
        known = _known(members, table, len(first.terms))
        low, high = np.where(known, least, low), np.where(known, most, high)
    flat = (len(members), count, -1)
    return (
        np.broadcast_to(low, shape).reshape(flat),
        np.broadcast_to(high, shape).reshape(flat),
    )


def _part(
    members: Sequence[Draft], table: Table, place: int, sizes: Sizes
) -> tuple[Floats, Floats]:
    """One size of every member along the axes of the whole: members × draws × cells."""
    lows, highs = [], []
    for at, draft in enumerate(members):
        size = draft.recipe.sizes[place]
        low, high = sizes.cells(size, sizes.made.rules[draft.name])
        lows.append(_laid(low, size, table, at))
        highs.append(_laid(high, size, table, at))
    return _piled(lows), _piled(highs)


def _known(members: Sequence[Draft], table: Table, place: int) -> Bools:
    rows = []
    for at, draft in enumerate(members):
        size = draft.recipe.sizes[place]
        cells = np.array([[float(value is not None) for value in size.cells]])
        rows.append(_laid(cells, size, table, at))
    return _piled(rows) > 0.5


def _piled(rows: Sequence[Floats]) -> Floats:
    return np.stack(np.broadcast_arrays(*rows))


def _laid(values: Floats, size: Size, table: Table, at: int) -> Floats:
    """Draws × cells of one size, lying along the axes of the whole."""
    array = values.reshape(len(values), *size.shape)
    places = [table.groups[at].index(group) for group, _ in size.axes]
    for axis, (place, (_, mine)) in enumerate(zip(places, size.axes, strict=True)):
        whole = table.classes[place]
        if whole != mine:
            own: dict[int, int] = {}
            for of_all, of_mine in zip(whole, mine, strict=True):
                own.setdefault(of_all, of_mine)
            array = array.take([own[k] for k in range(len(own))], axis + 1)
    turn = sorted(range(len(places)), key=places.__getitem__)
    array = array.transpose(0, *[1 + k for k in turn])
    thin = [len(values), *[1] * table.axes]
    for place in places:
        thin[place + 1] = table.low.shape[place + 1]
    return array.reshape(thin)


def _windows(
    made: Drafts, table: Table, low: Floats, least: Floats, most: Floats, found: dict[int, _Window]
) -> None:
    """As sparkout.plan.compile makes windows, in all draws: members × draws × cells."""
    members, draws, _ = low.shape
    shape = table.low.shape[1:]
    known = np.asarray(table.known).reshape(members, 1, -1)
    least = np.where(known, least, -np.inf)
    most = np.where(known, most, np.inf)
    lower = np.ceil(least - _HAIR) - low
    upper = np.floor(most + _HAIR) - low
    allowed = ~(np.isposinf(least) | np.isneginf(most))
    steps = np.array([[float(made.amounts[n].step) for n in names] for names in table.amounts])
    moves = np.broadcast_to(table.moves, (*table.low.shape, steps.shape[-1]))
    coef = np.rint(moves * steps.reshape((len(steps), *[1] * table.axes, -1)))
    coef = coef.reshape(members, 1, low.shape[2], coef.shape[-1])
    still = ~coef.any(axis=-1)
    allowed = allowed & (~still | ((lower <= 0) & (upper >= 0)))
    bound = allowed & ~still & (np.isfinite(lower) | np.isfinite(upper))
    none = float(NO_BOUND)
    lower = np.where(bound & np.isfinite(lower), lower, -none)
    upper = np.where(bound & np.isfinite(upper), upper, none)
    lines = np.where(bound.any(axis=1)[:, None, :, None], coef, 0.0)
    for k, at in enumerate(table.members):
        if allowed[k].all() and not bound[k].any():
            continue
        used = lines[k].any(axis=(0, 1))
        names = tuple(n for n, use in zip(table.amounts[k], used, strict=True) if use)
        axes = list(zip(table.groups[k], table.classes, strict=True))
        arrays = (
            lower[k].reshape(draws, *shape),
            upper[k].reshape(draws, *shape),
            allowed[k].reshape(draws, *shape),
            lines[k][..., used].reshape(1, *shape, len(names)),
        )
        found[at] = _spread_out(made.drafts[at], axes, names, arrays)


def _spread_out(
    draft: Draft,
    axes: Sequence[tuple[str, tuple[int, ...]]],
    names: tuple[str, ...],
    arrays: tuple[NDArray[Any], ...],
) -> _Window:
    """From classes to options, with the groups that only say when the rule counts."""
    groups: list[str] = []
    for group, classes in axes:
        axis = len(groups) + 1
        if all(_flat(array, axis) for array in arrays):
            arrays = tuple([array.take(0, axis) for array in arrays])
        else:
            groups.append(group)
            arrays = tuple([array.take(list(classes), axis) for array in arrays])
    lower, upper, allowed, coef = arrays
    for gate in draft.gates:
        if gate.group in groups:
            at = groups.index(gate.group)
        else:
            at = len(groups)
            groups.append(gate.group)
            lower, upper, allowed = lower[..., None], upper[..., None], allowed[..., None]
            coef = coef[..., None, :]
        shape = [1] * (len(groups) + 1)
        shape[at + 1] = len(gate.mask)
        counts = np.array(gate.mask).reshape(shape)
        lower = np.where(counts, lower, -float(NO_BOUND))
        upper = np.where(counts, upper, float(NO_BOUND))
        allowed = np.where(counts, allowed, True)
        coef = np.where(counts[..., None], coef, 0.0)
    whole = coef.astype(np.int64)
    free = ((lower == -float(NO_BOUND)) & (upper == float(NO_BOUND))).all(axis=0)
    lines = whole.reshape(-1, len(names))[~free.ravel()] if names else whole.reshape(0, 0)
    if not names:
        whole = np.zeros((1, 0), dtype=np.int64)
    elif len(lines) and (lines == lines[0]).all():
        whole = lines[:1]
    return _Window(
        draft.name,
        tuple(groups),
        names,
        whole,
        np.where(allowed, lower, 0).astype(np.int64) if names else np.zeros(1, dtype=np.int64),
        np.where(allowed, upper, 0).astype(np.int64) if names else np.zeros(1, dtype=np.int64),
        np.asarray(allowed, dtype=np.bool_),
    )


def _flat(array: NDArray[Any], axis: int) -> bool:
    if array.shape[axis] == 1:
        return True
    return bool((array == array.take([0], axis)).all())


def _full(item: _Window) -> tuple[Ints, Ints]:
    """Bounds in the shape of `allowed`."""
    if item.lower.shape[1:] == item.allowed.shape[1:]:
        return item.lower, item.upper
    shape = (1, *item.allowed.shape[1:])
    zero = np.zeros(shape, dtype=np.int64)
    return zero, zero


def _hopeless(model: Model, item: _Window, had: Mapping[str, Bools]) -> Bools:
    """Draws in which no combination of options to be had keeps a window."""
    can = item.allowed
    for axis, name in enumerate(item.choices, start=1):
        shape = [1] * can.ndim
        shape[axis] = -1
        can = can & had[name].reshape(shape)
    if item.amounts:
        spans = [model.amounts[model.amount_at[name]] for name in item.amounts]
        low = np.array([span.low for span in spans])
        high = np.array([span.high for span in spans])
        ends = np.stack([item.coef * low, item.coef * high])
        least, most = ends.min(axis=0).sum(axis=-1), ends.max(axis=0).sum(axis=-1)
        if item.coef.ndim == 2:
            thin = (1,) * can.ndim
            least, most = least.reshape(thin), most.reshape(thin)
        lower, upper = _full(item)
        can = can & ((upper >= least) | (upper >= NO_BOUND))
        can = can & ((lower <= most) | (lower <= -NO_BOUND))
    return np.asarray(~can.reshape(len(can), -1).any(axis=1))


def _opened(item: _Window, lost: Bools, count: int) -> _Window:
    """The window open in the draws where it is lost."""
    lower, upper = _full(item)
    where = np.broadcast_to(lost, (count,)).reshape(count, *[1] * (item.allowed.ndim - 1))
    allowed = np.where(where, True, item.allowed)
    if not item.amounts:
        return replace(item, allowed=allowed)
    return replace(
        item,
        allowed=allowed,
        lower=np.where(where, -NO_BOUND, lower),
        upper=np.where(where, NO_BOUND, upper),
    )


def _stacked(model: Model, windows: Sequence[_Window], count: int) -> Stacked:
    shapes = []
    rows: dict[str, list[NDArray[Any]]] = {
        "lower": [], "upper": [], "allowed": [], "coef": []
    }  # fmt: skip
    for item in windows:
        shape = item.allowed.shape[1:]
        common = item.coef.ndim == 2
        shapes.append((item.name, item.choices, item.amounts, shape, common))
        lower, upper = _full(item)
        for name, array in (("lower", lower), ("upper", upper), ("allowed", item.allowed)):
            rows[name].append(_rows(array, count))
        rows["coef"].append(_rows(item.coef, count))
    structure = Structure(
        tuple((c.name, c.options) for c in model.choices),
        tuple(a.name for a in model.amounts),
        tuple(shapes),
        tuple((s.name, s.when) for s in model.shared),
        tuple((t.name, tuple((c, o) for c, o, _ in t.weights)) for t in model.tallies),
    )

    def same(values: Sequence[int]) -> Ints:
        return np.broadcast_to(np.array(values, dtype=np.int64), (count, len(values)))

    return Stacked(
        structure,
        cost=same([cost for c in model.choices for cost in c.cost]),
        prefer=same([prefer for c in model.choices for prefer in c.prefer]),
        low=same([a.low for a in model.amounts]),
        high=same([a.high for a in model.amounts]),
        step_cost=same([a.cost_per_step for a in model.amounts]),
        step_prefer=same([a.prefer_per_step for a in model.amounts]),
        shared_cost=same([s.cost for s in model.shared]),
        shared_prefer=same([s.prefer for s in model.shared]),
        weight=same([weight for t in model.tallies for _, _, weight in t.weights]),
        at_least=same([-NO_BOUND if t.at_least is None else t.at_least for t in model.tallies]),
        at_most=same([NO_BOUND if t.at_most is None else t.at_most for t in model.tallies]),
        lower=np.concatenate(rows["lower"], axis=1),
        upper=np.concatenate(rows["upper"], axis=1),
        allowed=np.concatenate(rows["allowed"], axis=1).astype(np.bool_),
        coef=np.concatenate(rows["coef"], axis=1),
    )


def _rows(array: NDArray[Any], count: int) -> NDArray[Any]:
    flat = array.reshape(len(array), -1)
    return np.broadcast_to(flat, (count, flat.shape[1]))
