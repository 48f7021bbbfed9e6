"""The least-cost plan of a model of choices, amounts and windows, proven."""

from sparkout.solve.answer import Effort, NoPlan, Optimum, OverBudget
from sparkout.solve.best import best
from sparkout.solve.brute import brute
from sparkout.solve.check import price, violations
from sparkout.solve.conflict import smallest_conflict
from sparkout.solve.eliminate import eliminate
from sparkout.solve.highs import highs
from sparkout.solve.model import (
    NO_BOUND,
    Amount,
    Choice,
    Model,
    Shared,
    Tally,
    Window,
    table,
    window,
)

__all__ = [
    "NO_BOUND",
    "Amount",
    "Choice",
    "Effort",
    "Model",
    "NoPlan",
    "Optimum",
    "OverBudget",
    "Shared",
    "Tally",
    "Window",
    "best",
    "brute",
    "eliminate",
    "highs",
    "price",
    "smallest_conflict",
    "table",
    "violations",
    "window",
]
