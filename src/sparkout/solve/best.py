"""The route the planner takes: elimination while it is cheap, HiGHS past its budget."""

from __future__ import annotations

from sparkout.solve.answer import NoPlan, Optimum, OverBudget
from sparkout.solve.eliminate import CELLS, eliminate
from sparkout.solve.highs import highs
from sparkout.solve.model import Model

__all__ = ["best"]


def best(model: Model, *, cells: int = CELLS, seconds: float = 600.0) -> Optimum | NoPlan:
    """The proven optimum, or proof that there is none.

    cells: table entries elimination may fill in before HiGHS takes over. Raises OverBudget where
    HiGHS too has not finished after `seconds`.
    """
    try:
        return eliminate(model, cells=cells)
    except OverBudget:
        return highs(model, seconds=seconds)
