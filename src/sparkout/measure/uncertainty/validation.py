"""Whether a budget may be trusted: comparison with random trials (JCGM 101:2008, clause 8)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .budget import Input, budget
from .budget_table import significant
from .formula import Formula, Function
from .montecarlo import monte_carlo, numerical_tolerance

__all__ = ["Validation", "validation"]


@dataclass(frozen=True, slots=True)
class Validation:
    """Interval of the budget beside that of the trials, and the verdict.

    low_gap, high_gap: how far the ends lie apart. tolerance: how far they may.
    """

    validated: bool
    reason: str
    budget_low: float
    budget_high: float
    trials_low: float
    trials_high: float
    low_gap: float
    high_gap: float
    tolerance: float
    trials: int


def validation(
    output: str,
    model: Function,
    inputs: Sequence[Input],
    seed: int,
    coverage: float = 0.95,
    digits: int = 2,
    second_order: bool = False,
    threads: int = 1,
) -> Validation:
    """Say whether a budget's interval agrees with random trials.

    Both ends of y ± U and of the interval with equal tails from trials must lie within
    δ = 10^l/2 of each other, u = c·10^l with c of that many digits. The trials run to δ/5.

    output: name of what is measured [-].
    model: function of the inputs, element by element on arrays [-].
    inputs: the quantities with their estimates, in the order of the model's arguments [-].
    seed: of the trials [-], 0 or more.
    coverage: probability of the intervals [-], above 0 and below 1.
    digits: significant digits of u regarded as meaningful [-], 1 or more.
    second_order: compare the budget with second-order terms instead [-].
    threads: how many draw at once [-], 1 or more; the answer does not depend on it.
    Returns the verdict, its reason in one sentence, both intervals and their gaps.
    Holds for this model at these estimates only.
    Source: JCGM 101:2008, 8.1.
    Raises ValueError as `budget` and `monte_carlo` do.

    >>> from sparkout.measure.estimate import Component, Estimate
    >>> bore = Input("bore", Estimate(86, (Component("bore gauge", 0.003),)))
    >>> validation("area", lambda d: 0.785398 * d * d, (bore,), seed=1, digits=1).validated
    True
    """
    stated = budget(output, model, inputs, coverage, second_order=second_order)
    delta = numerical_tolerance(stated.u, digits)
    formula = Formula(model, tuple(given.estimate for given in inputs))
    trials = monte_carlo(formula, seed, coverage, digits, tolerance=0.2 * delta, threads=threads)
    low, high = stated.value - stated.expanded, stated.value + stated.expanded
    low_gap, high_gap = abs(low - trials.low), abs(high - trials.high)
    good = trials.stable and max(low_gap, high_gap) <= delta
    if not trials.stable:
        reason = f"{trials.trials} trials did not settle to {significant(0.2 * delta)}"
    elif good:
        reason = f"both ends of the interval agree within {significant(delta)}"
    else:
        where = "lower" if low_gap >= high_gap else "upper"
        gap = significant(max(low_gap, high_gap))
        reason = f"the {where} ends lie {gap} apart, more than the {significant(delta)} allowed"
    return Validation(
        good, reason, low, high, trials.low, trials.high, low_gap, high_gap, delta, trials.trials
    )
