"""Many models of one structure, each to its proven optimum."""

from sparkout.solve.batch.answers import Answers
from sparkout.solve.batch.many import Budget, batch
from sparkout.solve.batch.spread import Carrier, Job, Workers, here, spread
from sparkout.solve.batch.structure import Stacked, Structure, stacked, structure_of

__all__ = [
    "Answers",
    "Budget",
    "Carrier",
    "Job",
    "Stacked",
    "Structure",
    "Workers",
    "batch",
    "here",
    "spread",
    "stacked",
    "structure_of",
]
