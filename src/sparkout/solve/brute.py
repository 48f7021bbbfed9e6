"""Every plan tried, one after the other: the yardstick for tiny models."""

from __future__ import annotations

from itertools import product

from sparkout.solve.answer import Effort, Fixed, NoPlan, Optimum, OverBudget
from sparkout.solve.check import price, violations
from sparkout.solve.model import Model

__all__ = ["brute"]


def brute(model: Model, *, at_most: int = 200_000) -> Optimum | NoPlan:
    """The optimum by trying all plans. Raises OverBudget where there are more than `at_most`."""
    size = 1
    for choice in model.choices:
        size *= len(choice.options)
    for amount in model.amounts:
        size *= max(0, amount.high - amount.low + 1)
    if size > at_most:
        raise OverBudget(f"{size} plans are more than {at_most}")
    names = [choice.name for choice in model.choices]
    amount_names = [amount.name for amount in model.amounts]
    best: tuple[int, int] | None = None
    plan: tuple[dict[str, str], dict[str, int]] = ({}, {})
    for picks in product(*(choice.options for choice in model.choices)):
        picked = dict(zip(names, picks, strict=True))
        for steps in product(*(range(a.low, a.high + 1) for a in model.amounts)):
            amounts = dict(zip(amount_names, steps, strict=True))
            value = price(model, picked, amounts)
            if (best is None or value < best) and not violations(model, picked, amounts):
                best, plan = value, (picked, amounts)
    effort = Effort(nodes=size)
    if best is None:
        return NoPlan((), "brute", effort=effort)
    return Optimum(*best, Fixed(plan[0]), Fixed(plan[1]), "brute", effort=effort)
