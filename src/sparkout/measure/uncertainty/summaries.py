"""Means, standard uncertainties and coverage intervals of the outputs of one engine."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .conditional import Draws, dimensions, moments
from .law import quantiles
from .outputs import Outputs
from .reduced import reduced
from .risk import Risk, not_above
from .special import Floats
from .tangent import Group, flat_sums

__all__ = ["Summaries", "summaries"]

_MOMENT_POINTS = 256
_ENDS_MOST = 20
_ENDS_NEAR = 6e-3  # of half of u; the next step would then be about the square of this


@dataclass(frozen=True, slots=True)
class Summaries:
    """For each output its mean, standard uncertainty and coverage interval.

    low and high leave equal probabilities outside; for a linear output that is also the shortest
    interval. u is a standard deviation: infinite where a Student part has 2 degrees of freedom.
    """

    mean: Floats
    u: Floats
    low: Floats
    high: Floats


def summaries(
    outputs: Outputs, coverage: float = 0.95, tolerance: float = 1e-5, seed: int = 1
) -> Summaries:
    """Mean, standard uncertainty and coverage interval of each output.

    Linear outputs exactly; a formula by its tangent at the estimates and what that misses, the ends
    of its interval by the secant method on the probability.

    outputs: made ready by Outputs.of [units of the outputs].
    coverage: probability of the interval [-], above 0 and below 1.
    tolerance: standard error of probability wanted at the ends [-], 1e-9 to 1e-3.
    seed: of the sampling [-], 0 or more; the same seed gives the same answer.
    Returns means, standard uncertainties and ends of the intervals [units of the outputs].
    Holds for formulas that rise or fall steadily over the range of their errors.
    Source: JCGM 101:2008, 3.12 to 3.16 and 7.7.
    Raises ValueError naming the coverage when it is not between 0 and 1, or the output whose
    formula turns within the range of its errors (ask `monte_carlo`).

    >>> from fractions import Fraction
    >>> from sparkout.measure.estimate import Component, Estimate
    >>> bore = Estimate(Fraction("86.02"), (Component("bore gauge", 0.004),))
    >>> told = summaries(Outputs.of([bore]))
    >>> [round(float(v[0]), 5) for v in (told.mean, told.u, told.low, told.high)]
    [86.02, 0.004, 86.01216, 86.02784]
    """
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage {coverage} is not between 0 and 1")
    mean, u = np.empty(outputs.count), np.empty(outputs.count)
    low, high = np.empty(outputs.count), np.empty(outputs.count)
    rows = np.array(outputs.linear, dtype=int)
    probability = 0.5 + 0.5 * coverage
    if rows.size:
        half = quantiles(outputs.sums, np.full(len(rows), probability), tolerance)
        mean[rows], u[rows] = outputs.values, outputs.sums.deviation
        low[rows], high[rows] = outputs.values - half, outputs.values + half
    if outputs.groups:
        sums = [
            flat_sums(group, np.arange(len(value)), slope)
            for group, (value, slope) in zip(outputs.groups, outputs.centres, strict=True)
        ]
        ends = []
        for group, (value, slope), flat in zip(outputs.groups, outputs.centres, sums, strict=True):
            place = list(group.rows)
            part = reduced(group, slope)[0]
            errors = Draws(dimensions(part), seed).errors(part, _MOMENT_POINTS)
            shift, square = moments(part, slope, value, errors)
            mean[place] = value + shift
            u[place] = np.sqrt(flat.deviation**2 + square - shift * shift)
            half = quantiles(flat, np.full(len(value), probability), tolerance)
            ends.append(np.stack([value - half, value + half], axis=1))
        wanted = np.array([1.0 - probability, probability])
        before: list[tuple[Floats, Floats]] = []
        for _ in range(_ENDS_MOST):
            _, found = not_above(outputs, None, ends, tolerance, seed)
            worst, now = 0.0, []
            for number, (group, risk) in enumerate(zip(outputs.groups, found, strict=True)):
                _refuse_unsteady(group, risk)
                slope = risk.density
                if before:  # the tangent's density is near, the secant nearer
                    end, chance = before[number]
                    run = ends[number] - end
                    steep = (risk.chance - chance) / np.where(run == 0.0, 1.0, run)
                    slope = np.where(steep > 0.1 * slope, steep, slope)
                near = 0.5 * u[list(group.rows), None]
                step = (wanted - risk.chance) / np.maximum(slope, 1e-300)
                step = np.clip(step, -near, near)
                now.append((ends[number], risk.chance))
                ends[number] = ends[number] + step
                worst = max(worst, float((np.abs(step) / near).max()))
            before = now
            if worst < _ENDS_NEAR:
                break
        for group, end in zip(outputs.groups, ends, strict=True):
            low[list(group.rows)], high[list(group.rows)] = end.T
    return Summaries(mean, u, low, high)


def _refuse_unsteady(group: Group, risk: Risk) -> None:
    if not risk.clear.all():
        row = group.rows[int(np.argmin(risk.clear))]
        raise ValueError(
            f"output {row} turns within the range of its errors; its interval needs monte_carlo"
        )
