"""What a batch answers: arrays with the models along axis 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sparkout.solve.answer import Fixed, NoPlan, Optimum, OverBudget
from sparkout.solve.batch.structure import Structure
from sparkout.solve.model import BoolArray, IntArray

__all__ = ["Answers", "joined", "unsolved"]


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """For every model its optimum or that there is none; both proven.

    solved: False where nothing is known, because the batch was stopped or a budget ran out. found:
    whether there is a plan. cost, preference: of the plan. options: the place of the option picked
    of every choice. amounts: steps of every amount. method: which route gave the answer. Without a
    plan the numbers are 0.
    """

    structure: Structure
    solved: BoolArray
    found: BoolArray
    cost: IntArray
    preference: IntArray
    options: IntArray
    amounts: IntArray
    method: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.solved)

    def __getitem__(self, at: int) -> Optimum | NoPlan:
        """One answer in names. Raises OverBudget where nothing is known."""
        if not self.solved[at]:
            raise OverBudget(f"model {at} was not solved")
        if not self.found[at]:
            return NoPlan((), self.method[at])
        picks = {
            name: options[k]
            for (name, options), k in zip(
                self.structure.choices, self.options[at].tolist(), strict=True
            )
        }
        steps = dict(zip(self.structure.amounts, self.amounts[at].tolist(), strict=True))
        return Optimum(
            int(self.cost[at]),
            int(self.preference[at]),
            Fixed(picks),
            Fixed(steps),
            self.method[at],
        )


def unsolved(structure: Structure, count: int) -> Answers:
    """Nothing known yet of so many models: arrays to fill in."""
    return Answers(
        structure,
        np.zeros(count, dtype=np.bool_),
        np.zeros(count, dtype=np.bool_),
        np.zeros(count, dtype=np.int64),
        np.zeros(count, dtype=np.int64),
        np.zeros((count, len(structure.choices)), dtype=np.int64),
        np.zeros((count, len(structure.amounts)), dtype=np.int64),
        ("",) * count,
    )


def joined(parts: Sequence[Answers]) -> Answers:
    """Answers of one structure one after the other."""
    return Answers(
        parts[0].structure,
        np.concatenate([part.solved for part in parts]),
        np.concatenate([part.found for part in parts]),
        np.concatenate([part.cost for part in parts]),
        np.concatenate([part.preference for part in parts]),
        np.concatenate([part.options for part in parts]),
        np.concatenate([part.amounts for part in parts]),
        tuple([method for part in parts for method in part.method]),
    )
