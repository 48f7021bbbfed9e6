"""The route the planner takes: elimination while it is cheap, HiGHS past its budget."""

from __future__ import annotations

import sys

from sparkout.solve.answer import NoPlan, Optimum, OverBudget
from sparkout.solve.eliminate import CELLS, eliminate
from sparkout.solve.highs import highs
from sparkout.solve.model import Model

__all__ = ["best"]


def best(
    model: Model,
    *,
    cells: int = CELLS,
    seconds: float = 600.0,
    compiled: bool | None = False,
) -> Optimum | NoPlan:
    """The proven optimum, or proof that there is none.

    cells: table entries elimination may fill in before HiGHS takes over. compiled: True tries the
    compiled loops of the extra "fast" first, which compile for seconds when they are new and load
    for some tenths of a second after that; None tries them only where this process has used them
    before. Cost and preference are the same either way, but where several plans are equal in both
    another of them may be returned. So a plan that is shown or signed is asked for without them,
    and does not depend on what else the process has done. Raises OverBudget where HiGHS too has not
    finished after `seconds`, ValueError where compiled loops are asked for but not installed.
    """
    if compiled or (compiled is None and _loaded()):
        from sparkout.solve.batch.many import alone

        answer = alone(model)
        if answer is not None:
            return answer
    try:
        return eliminate(model, cells=cells)
    except OverBudget:
        return highs(model, seconds=seconds)


def _loaded() -> bool:
    """Whether the compiled loops have been used, so that they cost nothing to start."""
    loops = sys.modules.get("sparkout.solve.batch._tables")
    return loops is not None and bool(loops.excess.signatures)
