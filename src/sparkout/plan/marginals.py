"""What the cheapest plan with each option costs over the cheapest of all."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from sparkout.solve import Model, NoPlan, Optimum, OverBudget, highs
from sparkout.solve.again import Again
from sparkout.solve.marginals import Value, cost_with_each
from sparkout.solve.pins import with_fixed

__all__ = ["Extras"]

# Table entries worth filling in for one question: past that HiGHS answers it sooner.
_CELLS = 1_500_000


class Extras:
    """Extra costs over an optimum, worked out for all options at once when one is first asked."""

    def __init__(self, model: Model, optimum: Optimum) -> None:
        self._model = model
        self._optimum = optimum

    def of(self, choice: str, option: str) -> int | None:
        """Extra cost of the best plan with this option, None where there is none."""
        found = self._all
        if found is None:
            cost = self._alone(choice, option)
        else:
            value = found[choice][option]
            cost = None if value is None else value[0]
        return None if cost is None else cost - self._optimum.cost

    @cached_property
    def _all(self) -> Mapping[str, Mapping[str, Value]] | None:
        try:
            return cost_with_each(self._model)
        except OverBudget:
            return None

    @cached_property
    def _again(self) -> Again:
        return Again(self._model)

    def _alone(self, choice: str, option: str) -> int | None:
        """The long way round, where a model is too large to be told all at once."""
        try:
            return self._again.cost_with_option(choice, option, cells=_CELLS)
        except OverBudget:
            answer = highs(with_fixed(self._model, {choice: option}))
            return None if isinstance(answer, NoPlan) else answer.cost
