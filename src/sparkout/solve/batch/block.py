"""A block of models laid out, and each handed to the compiled loops."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sparkout.solve.batch._figures import MOST_AXES
from sparkout.solve.batch._strike import sizes_of
from sparkout.solve.batch.answers import Answers
from sparkout.solve.batch.ladder import Limit, Room, Task, climb
from sparkout.solve.batch.many import Budget
from sparkout.solve.batch.rows import OfModels, OfStack, Source
from sparkout.solve.batch.skeleton import Flat, figures, flat, form_of
from sparkout.solve.batch.structure import Numbers, Stacked, Structure
from sparkout.solve.model import BoolArray, Model

__all__ = ["Reader"]

WIDE = 1e5
"""Cells, over all options and steps, above which a link strikes out no values at first."""


class Reader:
    """A structure, read once."""

    def __init__(self, structure: Structure) -> None:
        self.form = form_of(structure)
        self.narrow: BoolArray | None = None
        self.room = Room()
        self.small = np.ones(len(self.form.skeleton.choices), dtype=np.bool_)
        self.small[self.form.small : len(structure.windows)] = False
        # The compiled loops count along so many axes.
        self.fits = bool((np.diff(self.form.skeleton.axis_at) <= MOST_AXES).all())

    def flat(self, block: Numbers) -> Flat:
        """A block of models laid out."""
        return flat(self.form, block)

    def source(self, models: Sequence[Model] | Stacked) -> Source:
        """Where the rows of their windows stand."""
        if isinstance(models, Stacked):
            return OfStack(self.form, models)
        return OfModels(self.form, models)

    def solve(
        self,
        block: Numbers,
        numbers: Flat,
        at: int,
        source: Source,
        limits: Budget,
        answers: Answers,
    ) -> bool:
        """Fill in one answer. False where it is left open."""
        if not (self.fits and numbers.fits[at]):
            return False
        found = climb(self._task(block, numbers, at, source), limits)
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

    def _task(self, block: Numbers, numbers: Flat, at: int, source: Source) -> Task:
        form = self.form
        fig = figures(form, block, numbers, at)
        if self.narrow is None:
            cells = sizes_of(form.skeleton, np.diff(fig.start))
            self.narrow = (cells <= WIDE) & self.small
            for counted in form.counts:
                self.narrow[counted.links] = False
        source.write(at, fig)
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
        return Task(form, fig, self.narrow, limits, source.large(at), self.small.copy(), self.room)
