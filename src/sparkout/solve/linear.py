"""The model as a mixed-integer linear program, for the general solvers.

A 0/1 column per option, an integer column per amount, one column per shared cost. A window becomes
the tightest sum of one number per option that its bounds never go below (or above); where bounds
are not such a sum, or combinations are forbidden, the rows that a found plan breaks are added and
the program is solved again. What is left out is only ever too little, so a plan that breaks nothing
is an optimum. Rows carry exact integers; big-M values come from the propagated ranges of amounts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from sparkout.solve.model import NO_BOUND, BoolArray, IntArray, Model, Window
from sparkout.solve.network import network
from sparkout.solve.objective import Objective
from sparkout.solve.propagate import Deadlock, stands
from sparkout.solve.tables import kept

__all__ = ["Program", "Row", "cuts", "program"]


class Row(NamedTuple):
    """lower ≤ Σ value · column ≤ upper; None: no bound."""

    columns: tuple[int, ...]
    values: tuple[int, ...]
    lower: int | None
    upper: int | None


@dataclass(slots=True)
class Program:
    """Columns with packed cost and bounds, and rows; columns count options, amounts, the rest."""

    cost: list[int]
    lower: list[int]
    upper: list[int]
    rows: list[Row]
    # First column of every choice; column of every amount.
    option_at: list[int]
    amount_at: list[int]
    pairs: dict[tuple[int, ...], list[tuple[tuple[int, ...], int]]] = field(default_factory=dict)

    def column(self, cost: int, lower: int, upper: int) -> int:
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        return len(self.cost) - 1


def program(model: Model, objective: Objective) -> Program | None:
    """The starting program; None where propagation alone shows that there is no plan."""
    net = network(model)
    if not net.possible:
        return None
    try:
        net, standing = stands(net)
    except Deadlock:
        return None
    domains = kept(net, standing)
    made = Program([], [], [], [], [], [])
    for at, packed in enumerate(objective.choices):
        made.option_at.append(len(made.cost))
        for option, each in enumerate(packed.tolist()):
            made.column(each, 0, int(option in domains[at]))
        first, final = made.option_at[at], len(made.cost)
        columns = tuple(range(first, final))
        made.rows.append(Row(columns, (1,) * len(columns), 1, 1))
    for at, step in enumerate(objective.steps):
        v = net.n_choices + at
        made.amount_at.append(made.column(step, int(standing.low[v]), int(standing.high[v])))
    for shared, cost in zip(model.shared, objective.shared, strict=True):
        asked: dict[int, list[int]] = {}
        for name, picked in shared.when:
            at = model.choice_at[name]
            place = made.option_at[at] + model.choices[at].options.index(picked)
            asked.setdefault(at, []).append(place)
        if asked:
            column = made.column(cost, 0, 1)
            for places in asked.values():
                mine = sorted(set(places))
                made.rows.append(Row((column, *mine), (1, *[-1] * len(mine)), 0, None))
    for tally in model.tallies:
        weights: dict[int, int] = {}
        for name, picked, weight in tally.weights:
            at = model.choice_at[name]
            place = made.option_at[at] + model.choices[at].options.index(picked)
            weights[place] = weights.get(place, 0) + weight
        if (
            tally.at_least is not None
            and tally.at_most is not None
            and tally.at_least > tally.at_most
        ):
            return None
        weights = {place: weight for place, weight in weights.items() if weight}
        if not weights:
            if (tally.at_least or 0) > 0 or (0 if tally.at_most is None else tally.at_most) < 0:
                return None
            continue
        made.rows.append(
            Row(tuple(weights), tuple(weights.values()), tally.at_least, tally.at_most)
        )
    for part in model.windows:
        _add_window(made, model, part, domains)
    return made


def _add_window(made: Program, model: Model, part: Window, domains: list[IntArray]) -> None:
    at = [model.choice_at[name] for name in part.choices]
    keep = [domains[v] for v in at]
    cut = np.ix_(*keep)
    allowed = part.allowed[cut]
    if part.amounts:
        coef = part.coef if part.coef.ndim == 1 else part.coef[cut]
        lower, upper = part.lower[cut], part.upper[cut]
        columns = [made.amount_at[model.amount_at[name]] for name in part.amounts]
        for vector, mask, owner in _groups(coef, allowed):
            for side, bound in ((1, lower), (-1, upper)):
                _add_side(made, at, keep, columns, vector, mask, owner, side, bound)
    else:
        allowed = allowed & (part.lower[cut] <= 0) & (part.upper[cut] >= 0)
    if not allowed.all():
        _add_table(made, at, keep, allowed)


def _groups(
    coef: IntArray, allowed: BoolArray
) -> list[tuple[IntArray, BoolArray, tuple[int, BoolArray] | None]]:
    """Rows with one vector of coefficients each; the axis and options that tell them apart.

    Rows that no single axis tells apart are left to cuts.
    """
    if coef.ndim == 1:
        return [(coef, allowed, None)]
    vectors = np.unique(coef[allowed], axis=0)
    if len(vectors) == 1:
        return [(vectors[0], allowed, None)]
    found: list[tuple[IntArray, BoolArray, tuple[int, BoolArray] | None]] = []
    for vector in vectors:
        mask = allowed & (coef == vector).all(axis=-1)
        for axis in range(allowed.ndim):
            rest = tuple(a for a in range(allowed.ndim) if a != axis)
            inside, outside = mask.any(axis=rest), (allowed & ~mask).any(axis=rest)
            if not (inside & outside).any():
                found.append((vector, mask, (axis, inside)))
                break
    return found


def _add_side(
    made: Program,
    at: list[int],
    keep: list[IntArray],
    columns: list[int],
    vector: IntArray,
    mask: BoolArray,
    owner: tuple[int, BoolArray] | None,
    side: int,
    bound: IntArray,
) -> None:
    """side·Σ coef·amount ≥ Σ of one number per option, never more than side·bound."""
    bounded = mask & (np.abs(bound) != NO_BOUND)
    if not bounded.any():
        return
    signed = [side * int(c) for c in vector]
    least = sum(
        min(c * made.lower[k], c * made.upper[k]) for c, k in zip(signed, columns, strict=True)
    )
    # Rows without a bound ask for no more than what always holds; other rows do not count.
    need = np.where(bounded, np.maximum(side * bound, least), least)
    if (need[mask] <= least).all():
        return
    rest = np.where(mask, need, NO_BOUND)
    names: list[int] = list(columns)
    values: list[int] = list(signed)
    constant = 0
    for axis, v in enumerate(at):
        others = tuple(a for a in range(mask.ndim) if a != axis)
        each = rest.min(axis=others)
        each = np.where(each >= NO_BOUND // 2, 0, each)
        shape = [1] * mask.ndim
        shape[axis] = -1
        rest = np.where(mask, rest - each.reshape(shape), NO_BOUND)
        floor = int(each.min())
        constant += floor
        for option, number in zip(keep[axis].tolist(), (each - floor).tolist(), strict=True):
            if number:
                names.append(made.option_at[v] + option)
                values.append(-number)
    if not at:
        constant = int(need)
    if owner is not None:
        axis, inside = owner
        # Elsewhere the whole row must hold by itself: take off what the others could ask for.
        most = constant + sum(-min(0, value) for value in values[len(columns) :])
        slack = max(0, most - least)
        for option, own in zip(keep[axis].tolist(), inside.tolist(), strict=True):
            if not own:
                names.append(made.option_at[at[axis]] + option)
                values.append(slack)
    merged: dict[int, int] = {}
    for name, value in zip(names, values, strict=True):
        merged[name] = merged.get(name, 0) + value
    made.rows.append(Row(tuple(merged), tuple(merged.values()), constant, None))


def _add_table(made: Program, at: list[int], keep: list[IntArray], allowed: BoolArray) -> None:
    """Allowed combinations: one side picked asks for a partner on the other side."""
    if allowed.ndim == 1:
        for option, good in zip(keep[0].tolist(), allowed.tolist(), strict=True):
            if not good:
                made.upper[made.option_at[at[0]] + option] = 0
        return
    middle = allowed.ndim // 2 if allowed.ndim <= 4 else 0
    if middle == 0:
        return  # left to cuts
    sides = []
    for part in (slice(0, middle), slice(middle, allowed.ndim)):
        sides.append(_combinations(made, at[part], keep[part]))
    flat = allowed.reshape(len(sides[0]), len(sides[1]))
    for one, other, matrix in ((sides[0], sides[1], flat), (sides[1], sides[0], flat.T)):
        seen: dict[bytes, list[int]] = {}
        for place, line in enumerate(matrix):
            if not line.all():
                seen.setdefault(line.tobytes(), []).append(place)
        for places in seen.values():
            partners = [other[k] for k in np.flatnonzero(matrix[places[0]]).tolist()]
            mine = [one[k] for k in places]
            made.rows.append(
                Row((*mine, *partners), (-1,) * len(mine) + (1,) * len(partners), 0, None)
            )


def _combinations(made: Program, at: list[int], keep: list[IntArray]) -> list[int]:
    """A column per combination of options; made once and shared between windows."""
    if len(at) == 1:
        return [made.option_at[at[0]] + option for option in keep[0].tolist()]
    key = tuple(at)
    if key not in made.pairs:
        columns: list[tuple[tuple[int, ...], int]] = []
        options = [part.tolist() for part in keep]
        for one in options[0]:
            for two in options[1]:
                columns.append(((one, two), made.column(0, 0, 1)))
        for side in (0, 1):
            for option in options[side]:
                mine = [column for combo, column in columns if combo[side] == option]
                made.rows.append(
                    Row(
                        (*mine, made.option_at[at[side]] + option),
                        (1,) * len(mine) + (-1,),
                        0,
                        0,
                    )
                )
        made.pairs[key] = columns
    return [column for _, column in made.pairs[key]]


def cuts(made: Program, model: Model, options: list[int], amounts: list[int]) -> list[Row]:
    """Rows that the plan breaks: one per window and side that it breaks."""
    found = []
    for part in model.windows:
        row = tuple([options[model.choice_at[name]] for name in part.choices])
        at = [model.choice_at[name] for name in part.choices]
        if not part.allowed[row]:
            found.append(_forbid(made, at, row, ~part.allowed))
            continue
        coef = (part.coef if part.coef.ndim == 1 else part.coef[row]).tolist()
        columns = [made.amount_at[model.amount_at[name]] for name in part.amounts]
        steps = [amounts[model.amount_at[name]] for name in part.amounts]
        total = sum(c * k for c, k in zip(coef, steps, strict=True))
        for side, bound in ((1, part.lower), (-1, part.upper)):
            asked = side * int(bound[row])
            if abs(asked) == NO_BOUND or side * total >= asked:
                continue
            if not part.amounts:
                found.append(_forbid(made, at, row, (part.lower > 0) | (part.upper < 0)))
                continue
            found.append(_conditional(made, part, at, row, columns, coef, side, bound, total))
    return found


def _forbid(made: Program, at: list[int], row: tuple[int, ...], bad: BoolArray) -> Row:
    """Not all of these picks together; picks that do not matter are left out."""
    kept = _shrink(row, lambda cell: bool(bad[cell].all()))
    columns = tuple([made.option_at[at[axis]] + row[axis] for axis in kept])
    return Row(columns, (1,) * len(columns), None, len(columns) - 1)


def _conditional(
    made: Program,
    part: Window,
    at: list[int],
    row: tuple[int, ...],
    columns: list[int],
    coef: list[int],
    side: int,
    bound: IntArray,
    total: int,
) -> Row:
    """With these picks the sum must reach its bound; big-M from the ranges of the amounts."""
    signed = [side * c for c in coef]
    least = sum(
        min(c * made.lower[k], c * made.upper[k]) for c, k in zip(signed, columns, strict=True)
    )
    same = np.ones(part.allowed.shape, dtype=np.bool_)
    if part.coef.ndim > 1:
        same = (part.coef == np.array(coef, dtype=np.int64)).all(axis=-1)
    need = np.where(np.abs(bound) == NO_BOUND, least, side * bound)
    need = np.where(part.allowed, need, NO_BOUND)
    need = np.where(same, need, least)
    kept = _shrink(row, lambda cell: bool((need[cell] > side * total).all()))
    cell = tuple([row[axis] if axis in kept else slice(None) for axis in range(len(row))])
    asked = int(need[cell].min())
    slack = asked - least
    names = [*columns, *[made.option_at[at[axis]] + row[axis] for axis in kept]]
    values = [*signed, *[-slack] * len(kept)]
    return Row(tuple(names), tuple(values), asked - slack * len(kept), None)


def _shrink(row: tuple[int, ...], holds: Callable[[Any], bool]) -> list[int]:
    """The axes that are needed for `holds` to be true of the whole slice."""
    kept = list(range(len(row)))
    for axis in range(len(row)):
        tried = [a for a in kept if a != axis]
        cell = tuple([row[a] if a in tried else slice(None) for a in range(len(row))])
        if holds(cell):
            kept = tried
    return kept
