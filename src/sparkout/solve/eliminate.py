"""The fast route: bounds, a small core, exact elimination."""

from __future__ import annotations

from sparkout.solve.answer import Fixed, NoPlan, Optimum
from sparkout.solve.check import price, violations
from sparkout.solve.model import Model
from sparkout.solve.search import search

__all__ = ["CELLS", "eliminate"]

CELLS = 20_000_000
"""Table entries that one model may take before elimination gives up."""


def eliminate(model: Model, *, cells: int = CELLS) -> Optimum | NoPlan:
    """The optimum by elimination. Raises OverBudget where tables would pass `cells` entries."""
    found, effort = search(model, cells)
    if found is None:
        return NoPlan((), "eliminate", effort=effort)
    options = found[: len(model.choices)]
    picks = {c.name: c.options[at] for c, at in zip(model.choices, options, strict=True)}
    places = found[len(options) : len(options) + len(model.amounts)]
    amounts = {a.name: a.low + at for a, at in zip(model.amounts, places, strict=True)}
    broken = violations(model, picks, amounts)
    if broken:
        raise AssertionError(f"elimination found a plan that is not allowed: {broken[0]}")
    cost, preference = price(model, picks, amounts)
    return Optimum(cost, preference, Fixed(picks), Fixed(amounts), "eliminate", effort=effort)
