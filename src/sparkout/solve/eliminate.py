"""The fast route: drop what cannot be, then eliminate variable by variable, exactly.

Eliminating a variable joins the tables that mention it, minimises it away and passes the rest on;
at the end one number is left, the least packed cost. Walking back gives the plan.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sparkout.solve.answer import Effort, Fixed, NoPlan, Optimum, OverBudget
from sparkout.solve.check import price, violations
from sparkout.solve.model import BoolArray, IntArray, Model
from sparkout.solve.network import Link, Network, network
from sparkout.solve.objective import BIG
from sparkout.solve.order import elimination_order
from sparkout.solve.propagate import Domains, propagate

__all__ = ["CELLS", "eliminate"]

CELLS = 20_000_000
"""Table entries that one elimination may fill in before it gives up."""

Factor = tuple[tuple[int, ...], IntArray]
"""Variables in order of elimination, and a table with an axis for each."""


def eliminate(model: Model, *, cells: int = CELLS) -> Optimum | NoPlan:
    """The optimum by elimination. Raises OverBudget where tables would pass `cells` entries."""
    net = network(model)
    if not net.complete:
        raise OverBudget("a tally has too many different sums to be counted in a table")
    if not net.possible:
        return NoPlan((), "eliminate")
    domains = propagate(net)
    if isinstance(domains, int):
        return NoPlan((), "eliminate", effort=Effort(rounds=1))
    found, filled = _solve(net, domains, cells)
    effort = Effort(rounds=1, cells=filled)
    if found is None:
        return NoPlan((), "eliminate", effort=effort)
    return answer(model, net, found, "eliminate", effort)


def answer(model: Model, net: Network, found: list[int], method: str, effort: Effort) -> Optimum:
    """The plan behind the places found in the lists of values, checked against the model."""
    at = [int(net.values[v][place]) for v, place in enumerate(found)]
    picks = {c.name: c.options[k] for c, k in zip(model.choices, at, strict=False)}
    steps = at[net.n_choices : net.n_choices + net.n_amounts]
    amounts = {a.name: k for a, k in zip(model.amounts, steps, strict=True)}
    broken = violations(model, picks, amounts)
    if broken:
        raise AssertionError(f"{method} returned a plan that is not allowed: {broken[0]}")
    cost, preference = price(model, picks, amounts)
    return Optimum(cost, preference, Fixed(picks), Fixed(amounts), method, effort=effort)


def _solve(net: Network, domains: Domains, cells: int) -> tuple[list[int] | None, int]:
    sizes = [keep.size for keep in domains]
    # A variable with one value left ties nothing together.
    scopes = [[v for v in link.choices + link.amounts if sizes[v] > 1] for link in net.links]
    order, _, total = elimination_order(sizes, scopes)
    if total > cells:
        raise OverBudget(f"elimination would fill {total} table entries, more than {cells}")
    rank = [0] * len(order)
    for place, v in enumerate(order):
        rank[v] = place
    buckets: list[list[tuple[tuple[int, ...], IntArray | BoolArray]]] = [[] for _ in order]
    for link in net.links:
        scope, bad = forbidden(net, link, domains, rank)
        if not scope:
            if bad:
                return None, 0
        else:
            buckets[scope[0]].append((scope, bad))
    kept = []
    for v in order:
        own = net.cost[v][domains[v]]
        joined, total_table = join(v, own - own.min(), buckets[v], sizes, rank)
        kept.append((joined, total_table))
        message = total_table.min(axis=0)
        if joined[1:]:
            np.minimum(message, BIG, out=message)
            buckets[joined[1]].append((joined[1:], message))
        elif message >= BIG:
            return None, total
    found = [0] * len(order)
    for joined, total_table in reversed(kept):
        cell: Any = (..., *[found[v] for v in joined[1:]])
        row = total_table[cell]
        found[joined[0]] = int(row.argmin())
    return [int(domains[v][place]) for v, place in enumerate(found)], total


def forbidden(
    net: Network, link: Link, domains: Domains, rank: list[int]
) -> tuple[tuple[int, ...], BoolArray]:
    """Where a link is broken, over the values that stand; axes in order of elimination.

    Variables with a single value left are looked up and get no axis.
    """
    cut = np.ix_(*[domains[v] for v in link.choices])
    lower, upper, allowed = link.lower[cut], link.upper[cut], link.allowed[cut]
    rows = lower.ndim
    tail = (1,) * len(link.amounts)
    if link.amounts:
        total: IntArray = np.zeros((), dtype=np.int64)
        for place, v in enumerate(link.amounts):
            shape = [1] * (rows + len(link.amounts))
            shape[rows + place] = -1
            steps = net.values[v][domains[v]].reshape(shape)
            if link.coef.ndim == 1:
                each = link.coef[place]
            else:
                each = link.coef[..., place][cut].reshape(lower.shape + tail)
            total = total + each * steps
        bad = total < lower.reshape(lower.shape + tail)
        bad = bad | (total > upper.reshape(upper.shape + tail))
        bad |= ~allowed.reshape(allowed.shape + tail)
    else:
        bad = ~(allowed & (lower <= 0) & (upper >= 0))
    axes = link.choices + link.amounts
    free = [(rank[v], axis, v) for axis, v in enumerate(axes) if domains[v].size > 1]
    free.sort()
    single = tuple([axis for axis, v in enumerate(axes) if domains[v].size == 1])
    if single:
        bad = bad.reshape([size for axis, size in enumerate(bad.shape) if axis not in single])
        seen = sorted(axis for _, axis, _ in free)
        place_of = {axis: place for place, axis in enumerate(seen)}
        turn = [place_of[axis] for _, axis, _ in free]
    else:
        turn = [axis for _, axis, _ in free]
    return tuple([v for _, _, v in free]), bad.transpose(turn)


def join(
    v: int,
    table: IntArray,
    factors: list[tuple[tuple[int, ...], IntArray | BoolArray]],
    sizes: list[int],
    rank: list[int],
) -> tuple[tuple[int, ...], IntArray]:
    """One table over v and everything its factors mention; v is the first axis."""
    members = {v}
    for scope, _ in factors:
        members.update(scope)
    joined = tuple(sorted(members, key=rank.__getitem__))
    total = np.empty([sizes[u] for u in joined], dtype=np.int64)
    total[...] = table.reshape([-1] + [1] * (len(joined) - 1))
    for scope, array in factors:
        shaped = array.reshape([sizes[u] if u in scope else 1 for u in joined])
        if array.dtype == np.bool_:
            np.copyto(total, BIG, where=shaped)
        else:
            total += shaped
    return joined, total
