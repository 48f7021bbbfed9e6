"""A block of models laid out, and each handed to the compiled loops."""

from __future__ import annotations

import numpy as np

from sparkout.solve.batch import _kernels as kernels
from sparkout.solve.batch.answers import Answers
from sparkout.solve.batch.ladder import Limit, Task, climb
from sparkout.solve.batch.many import Budget
from sparkout.solve.batch.skeleton import Flat, figures, flat, form_of
from sparkout.solve.batch.structure import Stacked, Structure
from sparkout.solve.model import BoolArray

__all__ = ["Reader"]

WIDE = 1e5
"""Cells, over all options and steps, above which a link strikes out no values at first."""


class Reader:
    """A structure, read once."""

    def __init__(self, structure: Structure) -> None:
        self.form = form_of(structure)
        self.narrow: BoolArray | None = None
        self._block: Stacked | None = None
        self._flat: Flat | None = None

    def solve(self, block: Stacked, at: int, limits: Budget, answers: Answers) -> bool:
        """Fill in one answer. False where it is left open."""
        if block is not self._block or self._flat is None:
            self._block, self._flat = block, flat(self.form, block)
        numbers = self._flat
        if not numbers.fits[at]:
            return False
        fig = figures(self.form, block, numbers, at)
        found = climb(self._task(block, numbers, at, fig), limits)
        if found is None:
            return False
        answers.solved[at] = True
        if found.places is None:
            return True
        answers.found[at] = True
        n_choices, n_amounts = self.form.options.size, block.low.shape[1]
        answers.options[at] = found.places[:n_choices]
        answers.amounts[at] = block.low[at] + found.places[n_choices : n_choices + n_amounts]
        least = int(numbers.least_preference[at])
        cost, rest = divmod(
            int(found.packed) + int(numbers.shift[at]) - least, int(numbers.scale[at])
        )
        answers.cost[at], answers.preference[at] = cost, rest + least
        return True

    def _task(self, block: Stacked, numbers: Flat, at: int, fig: kernels.Figures) -> Task:
        form = self.form
        if self.narrow is None:
            cells = kernels.sizes_of(form.skeleton, np.diff(fig.start))
            self.narrow = cells <= WIDE
            for counted in form.counts:
                self.narrow[counted.links] = False
        limits = tuple(
            [
                Limit(
                    counted.links,
                    numbers.weights[k][at],
                    int(block.at_least[at, k]),
                    int(block.at_most[at, k]),
                    bool(numbers.countable[at, k]),
                )
                for k, counted in enumerate(form.counts)
            ]
        )
        return Task(form.skeleton, fig, self.narrow, limits, form.choice_at[:-1])
