"""As new: as many limits as can be met as for a new engine, then at least cost; proven.

Every limit that asks more of a new part than of a used one becomes a choice of its own: met as new,
or only as used at a price above any plan's. What the solver then leaves as used cannot be had in
fewer limits, whatever is done.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sparkout.judge.checks import Check
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.offers.front import Solver
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Bounds, Side
from sparkout.solve import NO_BOUND, Amount, Choice, Model, NoPlan, Optimum, Shared, Window

__all__ = ["AsNew", "as_new", "asked_as_new"]

_SOFT = "as new: "


@dataclass(frozen=True, slots=True, eq=False)
class AsNew:
    """The answer and the limits that stay as used. compiled: with all other limits as new."""

    compiled: Compiled
    optimum: Optimum
    as_used: tuple[str, ...]


def asked_as_new(check: Check) -> Check:
    """The check with its new limit in place of its service limit, where it has both."""
    limit = check.limit
    if not limit.must or limit.new is None or limit.judged == "when new":
        return check
    service = limit.side(Side.SERVICE)
    both = limit.new if service is None else _both(limit.new, service)
    return check if both == service else Check(check.instance, replace(limit, service=both))


def _both(one: Bounds, other: Bounds) -> Bounds:
    """What lies within both."""
    lows = [b.low for b in (one, other) if b.low is not None]
    highs = [b.high for b in (one, other) if b.high is not None]
    low, high = max(lows, default=None), min(highs, default=None)
    if (low, high) == (other.low, other.high):
        return other
    return Bounds(low, high, one.typed)


def as_new(problem: Problem, solve: Solver) -> AsNew | NoPlan:
    """The plan in which the fewest limits stay as used, and of these the cheapest."""
    strict = replace(problem, checks=tuple(asked_as_new(check) for check in problem.checks))
    whole = compile_problem(strict)
    found = solve(whole)
    if isinstance(found, Optimum):
        return AsNew(whole, found, ())
    base = compile_problem(problem)
    soft = _soft(base, whole, strict)
    first = solve(soft)
    if isinstance(first, NoPlan):
        return first
    used = tuple(
        name.removeprefix(_SOFT)
        for name, pick in first.picks.items()
        if name.startswith(_SOFT) and pick == "no"
    )
    settled = compile_problem(
        replace(
            problem,
            checks=tuple(
                check if check.name in used else asked_as_new(check) for check in problem.checks
            ),
        )
    )
    second = solve(settled)
    if isinstance(second, NoPlan):
        raise AssertionError(f"no plan with {used} as used, though the solver had one")
    return AsNew(settled, second, used)


def _soft(base: Compiled, whole: Compiled, strict: Problem) -> Compiled:
    """The base model with every stricter limit as a choice: met at no cost, or not at a high one.

    Waiting and depth of cut do not count here; they decide between equals once it is known which
    limits stay as used.
    """
    changed = {
        after.name
        for before, after in zip(base.problem.checks, strict.checks, strict=True)
        if after is not before
    }
    model = base.model
    dear = 1 + sum(max(choice.cost) - min(choice.cost) for choice in model.choices)
    dear += sum(shared.cost for shared in model.shared)
    choices, windows = [], []
    for window in whole.model.windows:
        if window.name in changed:
            name = _SOFT + window.name
            choices.append(Choice(name, ("yes", "no"), (0, dear)))
            windows.append(_either(window, name))
    softened = Model(
        (*(Choice(c.name, c.options, c.cost) for c in model.choices), *choices),
        tuple(Amount(a.name, a.low, a.high) for a in model.amounts),
        (*model.windows, *windows),
        tuple(Shared(s.name, s.cost, s.when) for s in model.shared),
        model.tallies,
    )
    return replace(base, model=softened)


def _either(window: Window, soft: str) -> Window:
    """The window where the choice is yes, anything where it is no."""
    lower = np.stack([window.lower, np.full_like(window.lower, -NO_BOUND)], axis=-1)
    upper = np.stack([window.upper, np.full_like(window.upper, NO_BOUND)], axis=-1)
    allowed = np.stack([window.allowed, np.ones_like(window.allowed)], axis=-1)
    coef = window.coef
    if coef.ndim > 1:
        coef = np.stack([coef, coef], axis=-2)
    return Window(
        soft + " window", (*window.choices, soft), window.amounts, coef, lower, upper, allowed
    )
