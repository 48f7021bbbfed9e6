"""Chances that the outputs of one engine lie inside their limits.

Linear outputs are estimates; curved ones are formulas of estimates. Sources that outputs share do
not matter here, because every answer is about one output.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .outputs import Outputs
from .risk import not_above
from .special import Flags, Floats
from .trials import count_outside

__all__ = ["Chances", "chances"]

_TRIALS = 1_000_000


@dataclass(frozen=True, slots=True)
class Chances:
    """For each output the probability of lying below its lower limit, inside, above its upper one.

    error: standard error of these from sampling plus what the exact part may err by.
    counted: outputs whose formula does not rise or fall steadily, answered by plain trials.
    """

    below: Floats
    inside: Floats
    above: Floats
    error: Floats
    counted: Flags


def chances(
    outputs: Outputs, lower: ArrayLike, upper: ArrayLike, tolerance: float = 2e-6, seed: int = 1
) -> Chances:
    """Probability that each output lies inside its limits.

    P(lower <= Y <= upper) from the exact distribution of a linear output; for a formula from its
    tangent at each limit plus what that misses, averaged over Sobol points until its standard error
    is below the tolerance.

    outputs: made ready by Outputs.of [units of the outputs].
    lower: limits, one for each output, minus infinity for none [units of the outputs].
    upper: limits, one for each output, infinity for none [units of the outputs].
    tolerance: standard error wanted [-], 1e-9 to 1e-3.
    seed: of the sampling [-], 0 or more; the same seed gives the same answer.
    Returns the chances below, inside and above, and their errors [-].
    Holds for formulas that rise or fall steadily over the range of their errors; others are counted
    in a million trials and say so.
    Source: JCGM 106:2012, 7.4 (conformance probability); JCGM 101:2008 (propagation).
    Raises ValueError naming the counts when there is not one pair of limits for each output.

    >>> from fractions import Fraction
    >>> from sparkout.measure.estimate import Component, Estimate
    >>> from sparkout.measure.uncertainty.formula import Formula
    >>> bore = Estimate(Fraction("86.02"), (Component("bore gauge", 0.004),))
    >>> ready = Outputs.of([bore, Formula(lambda d: d * d, (bore,))])
    >>> [round(float(p), 4) for p in chances(ready, [86.01, 7398.5], [86.03, 7400.0]).inside]
    [0.9876, 0.7061]
    """
    low, high = np.asarray(lower, dtype=np.float64), np.asarray(upper, dtype=np.float64)
    if low.shape != (outputs.count,) or high.shape != low.shape:
        raise ValueError(
            f"{low.size} lower and {high.size} upper limits for {outputs.count} outputs"
        )
    below, above = np.zeros(outputs.count), np.zeros(outputs.count)
    error = np.full(outputs.count, 0.1 * tolerance)
    counted = np.zeros(outputs.count, dtype=bool)
    rows = np.array(outputs.linear, dtype=int)
    limits = [np.stack([low[list(g.rows)], high[list(g.rows)]], axis=1) for g in outputs.groups]
    away = np.stack([low[rows] - outputs.values, outputs.values - high[rows]], axis=1)
    tails, risks = not_above(outputs, away, limits, tolerance, seed)
    below[rows], above[rows] = tails.T
    for group, risk in zip(outputs.groups, risks, strict=True):
        place = list(group.rows)
        below[place], above[place] = risk.chance[:, 0], 1.0 - risk.chance[:, 1]
        error[place] += risk.error
        counted[place] = ~risk.clear
    formulas = dict(outputs.curved)
    for row in np.flatnonzero(counted).tolist():
        trial = count_outside(formulas[row], low[row], high[row], _TRIALS, seed)
        below[row], above[row] = trial
        error[row] = np.sqrt(0.25 / _TRIALS)
    inside = np.clip(1.0 - below - above, 0.0, 1.0)
    return Chances(below, inside, above, error, counted)
