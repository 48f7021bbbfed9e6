"""Uncertainty budgets: every source with its estimate, sensitivity and share, and their sum."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..estimate import Component, Estimate, Shape, combine
from .effective import coverage_factor, effective_dof
from .formula import Function, gradient
from .second_order import SecondOrder, second_order_terms

__all__ = ["Budget", "BudgetRow", "Input", "budget"]


@dataclass(frozen=True, slots=True)
class Input:
    """One quantity of a measurement model: what it is called, its estimate and its unit."""

    name: str
    estimate: Estimate
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class BudgetRow:
    """One source of uncertainty of one input.

    u is in the unit of the input (Student: the tabulated standard uncertainty); contribution is
    sensitivity × u in the unit of the output, with its sign; share is of the combined variance, of
    all the rows with this source together, because they are one error.
    """

    quantity: str
    value: float
    unit: str
    source: str
    u: float
    shape: Shape
    dof: float
    sensitivity: float
    contribution: float
    share: float
    shared: bool


@dataclass(frozen=True, slots=True)
class Budget:
    """A measurement result with everything it was combined from.

    components: contributions by source, those of one source added up. expanded: U = k·u.
    second: what first order leaves out, where that was asked for; u then includes it.
    """

    output: str
    unit: str
    value: float
    rows: tuple[BudgetRow, ...]
    components: tuple[Component, ...]
    u: float
    dof: float
    coverage: float
    k: float
    expanded: float
    second: SecondOrder | None = None


def budget(
    output: str,
    model: Function | Sequence[float],
    inputs: Sequence[Input],
    coverage: float = 0.95,
    unit: str = "mm",
    second_order: bool = False,
) -> Budget:
    """Combine the uncertainties of the inputs of a measurement model.

    u² = Σ (c·u)² over sources, contributions of one source added first; c = ∂f/∂x at the estimates;
    U = k·u with k from the effective degrees of freedom.

    output: name of what is measured [-].
    model: function of the inputs, or the sensitivities of a linear model [unit out per unit in].
    inputs: the quantities in the order of the model's arguments [-], 1 or more.
    coverage: probability of the expanded uncertainty [-], above 0 and below 1.
    unit: of the output, for display [-].
    second_order: add the second-order terms to u [-].
    Returns the budget, one row for each source of each input.
    Holds where the model is nearly straight over the uncertainties (`validation` tells).
    Source: JCGM 100:2008 (GUM), 5.1, 5.2, G.4 and clause 8.
    Raises ValueError when there are no inputs or the sensitivities are not one for each.

    >>> from fractions import Fraction
    >>> bore = Input("bore", Estimate(Fraction("86.020"), (Component("bore gauge", 0.003),)))
    >>> piston = Input("piston", Estimate(Fraction("85.975"), (Component("micrometer", 0.004),)))
    >>> found = budget("clearance", (1.0, -1.0), (bore, piston))
    >>> round(found.value, 3), round(found.u, 4), round(found.expanded, 4)
    (0.045, 0.005, 0.0098)
    """
    if not inputs:
        raise ValueError(f"budget of {output!r} has no inputs")
    values = np.array([[float(given.estimate.value) for given in inputs]])
    steps = np.array([[given.estimate.u or 1.0 for given in inputs]])
    if callable(model):
        found, slopes = gradient(model, values, steps)
        value, sensitivity = float(found[0]), slopes[0].tolist()
    else:
        sensitivity = [float(slope) for slope in model]
        if len(sensitivity) != len(inputs):
            raise ValueError(
                f"budget of {output!r} has {len(inputs)} inputs and {len(sensitivity)}"
                " sensitivities; expected one for each"
            )
        exact = sum(
            c * float(given.estimate.value) for c, given in zip(sensitivity, inputs, strict=True)
        )
        value = float(exact)
    parts = [
        (given, c, part)
        for given, c in zip(inputs, sensitivity, strict=True)
        for part in combine(given.estimate.components)
    ]
    components = combine(part.scaled(c) for _, c, part in parts)
    variance = math.fsum(part.u**2 for part in components)
    total = {part.source: part.u for part in components}
    often = [part.source for _, _, part in parts]
    rows = tuple(
        BudgetRow(
            given.name,
            float(given.estimate.value),
            given.unit,
            part.source,
            abs(part.u),
            part.shape,
            part.dof,
            c,
            c * part.u,
            total.get(part.source, 0.0) ** 2 / variance if variance else 0.0,
            often.count(part.source) > 1,
        )
        for given, c, part in parts
    )
    dof = effective_dof(components) if components else math.inf
    second = None
    if second_order and callable(model):
        second = second_order_terms(model, tuple(given.estimate for given in inputs))
        variance += second.variance
    u = math.sqrt(max(variance, 0.0))
    k = coverage_factor(coverage, dof)
    return Budget(output, unit, value, rows, components, u, dof, coverage, k, k * u, second)
