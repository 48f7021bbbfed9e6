"""Many models of one structure in this process.

The structure is read once: links, scopes, and which links are wide. Numbers are laid out and packed
for a block of models at a time, in numpy; each model is then eliminated in compiled loops where
numba (the extra "fast") is installed. What those leave open, and everything where it is not
installed, goes to `best`, one by one: the answers are the same, only later.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sparkout.solve.answer import NoPlan, Optimum, OverBudget
from sparkout.solve.batch.answers import Answers, joined, unsolved
from sparkout.solve.batch.structure import (
    Stacked,
    Structure,
    numbers_of,
    put_together,
    structure_of,
)
from sparkout.solve.best import best
from sparkout.solve.eliminate import CELLS
from sparkout.solve.model import IntArray, Model

__all__ = ["Budget", "alone", "batch", "compiles"]

BLOCK = 64
"""Models whose numbers are laid out at a time: enough to share the work, few enough for memory."""


@dataclass(frozen=True, slots=True)
class Budget:
    """What one model may take.

    links: a relaxation leaves out links with larger tables than this; the first that gives no more
    than `first` table entries in all is taken, or else the last, if it gives no more than `last`.
    core, whole: entries of a core, and of what is eliminated whole rather than parted. branches:
    parts looked at; past that, `best` takes over with its own `cells` and `seconds`.
    """

    links: tuple[float, ...] = (1e9, 1e5, 2e4, 4e3, 8e2)
    first: float = 200_000.0
    core: float = 50_000.0
    whole: float = 400_000.0
    branches: int = 40
    last: float = 12_000_000.0
    cells: int = CELLS
    seconds: float = 600.0


def compiles() -> bool:
    """Whether compiled loops can be had."""
    from importlib.util import find_spec

    return find_spec("numba") is not None


def batch(
    models: Sequence[Model] | Stacked,
    *,
    budget: Budget | None = None,
    compiled: bool | None = None,
) -> Answers:
    """Each model's proven optimum, or that there is no plan.

    models: of one structure, or their numbers already put together. compiled: None takes compiled
    loops where they can be had. Raises ValueError where structures differ or there is no model,
    and where compiled loops are asked for but numba is not installed.
    """
    if compiled is None:
        compiled = compiles()
    elif compiled:
        _need_compiler()
    limits = budget or Budget()
    if isinstance(models, Stacked):
        structure = models.structure
    elif models:
        structure = structure_of(models[0])
    else:
        raise ValueError("no models: there is no structure to read")
    parts = list(_blocks(models, structure, limits, compiled))
    return joined(parts) if parts else unsolved(structure, 0)


def alone(model: Model, *, budget: Budget | None = None) -> Optimum | NoPlan | None:
    """One model by the compiled loops; None where they leave it open.

    Raises ValueError where numba is not installed.
    """
    _need_compiler()
    from sparkout.solve.batch.block import Reader

    structure = structure_of(model)
    reader, numbers = Reader(structure), put_together([model], structure)
    answers = unsolved(structure, 1)
    source = reader.source([model])
    if not reader.solve(numbers, reader.flat(numbers), 0, source, budget or Budget(), answers):
        return None
    return replace(answers, method=("batch",))[0]


def _need_compiler() -> None:
    if not compiles():
        raise ValueError(
            "compiled loops need numba, which is not installed; install sparkout with the extra "
            '"fast", or leave `compiled` out for the same answers'
        )


def _blocks(
    models: Sequence[Model] | Stacked, structure: Structure, limits: Budget, compiled: bool
) -> Iterator[Answers]:
    if compiled:
        from sparkout.solve.batch.block import Reader

        reader = Reader(structure)
    for first in range(0, len(models), BLOCK):
        final = min(first + BLOCK, len(models))
        some = models.part(first, final) if isinstance(models, Stacked) else models[first:final]
        small = some if isinstance(some, Stacked) else numbers_of(some, structure, first)
        answers = unsolved(structure, final - first)
        method = [""] * len(answers)
        if compiled:
            numbers, source = reader.flat(small), reader.source(some)
        for at in range(len(answers)):
            if compiled and reader.solve(small, numbers, at, source, limits, answers):
                method[at] = "batch"
                continue
            model = some.model(at) if isinstance(some, Stacked) else some[at]
            method[at] = _alone(model, limits, answers, at)
        yield replace(answers, method=tuple(method))


def _alone(model: Model, limits: Budget, answers: Answers, at: int) -> str:
    """One model by `best`; the route's name, or '' where it gave up."""
    try:
        answer = best(model, cells=limits.cells, seconds=limits.seconds)
    except OverBudget:
        return ""
    answers.solved[at] = True
    if isinstance(answer, NoPlan):
        return answer.method
    answers.found[at] = True
    answers.cost[at], answers.preference[at] = answer.cost, answer.preference
    answers.options[at] = _places(model, answer.picks)
    answers.amounts[at] = [answer.amounts[a.name] for a in model.amounts]
    return answer.method


def _places(model: Model, picks: Mapping[str, str]) -> IntArray:

    return np.array([c.options.index(picks[c.name]) for c in model.choices], dtype=np.int64)
