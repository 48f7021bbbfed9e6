"""What the cheapest plan with each option costs over the cheapest of all."""

from __future__ import annotations

from collections.abc import Mapping

from sparkout.solve import Model, NoPlan, Optimum, best, table

__all__ = ["Extras"]


class Extras:
    """Extra costs over an optimum, worked out as they are asked for."""

    def __init__(self, model: Model, optimum: Optimum) -> None:
        self._model = model
        self._optimum = optimum
        self._known: Mapping[tuple[str, str], int | None] = {}

    def of(self, choice: str, option: str) -> int | None:
        """Extra cost of the best plan with this option, None where there is none."""
        pick = choice, option
        if pick not in self._known:
            self._known = {**self._known, pick: self._solved(choice, option)}
        return self._known[pick]

    def _solved(self, choice: str, option: str) -> int | None:
        model = self._model
        options = model.choices[model.choice_at[choice]].options
        forced = table(f"forced: {choice}", (choice,), [name == option for name in options])
        windows = (*model.windows, forced)
        answer = best(
            Model(model.choices, model.amounts, windows, model.shared, model.tallies)
        )  # fmt: skip
        return None if isinstance(answer, NoPlan) else answer.cost - self._optimum.cost
