"""Guard bands: how far inside a limit a measured value must lie to be accepted."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.measure.estimate import Component
from sparkout.measure.uncertainty.distribution import quantile, quantile_many
from sparkout.measure.uncertainty.special import Floats, normal_quantile
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["expanded_guard", "guard_band", "guard_bands", "iso_guard", "iso_guard_factor"]


def guard_band(components: Sequence[Component], risk: float = 0.05) -> float:
    """Guard band that keeps the risk at the edge of acceptance to what is asked, one limit.

    w with P(error > w) = risk, from the exact distribution of the sum of components.

    components: those that share a source are added up first [unit of the limits], any number.
    risk: probability that a value accepted at the edge does not conform [-], above 0, below 0.5.
    Returns the guard band [unit of the limits]; zero where nothing is uncertain.
    Holds for one limit; for two that lie close take `acceptance`.
    Source: JCGM 106:2012, 8.3.2 and 9.3 (acceptance limits from a specific risk).
    Raises ValueError naming the risk when it is out of range.

    >>> round(guard_band((Component("gauge", 0.004),), 0.05), 5)
    0.00658
    """
    _check_risk(risk)
    return quantile(components, 1.0 - risk)


def guard_bands(sums: Sums, risk: float = 0.05, tolerance: float = 1e-7) -> Floats:
    """Guard bands of many values at once.

    As `guard_band`, row by row.

    sums: errors, one in each row [unit of the limits].
    risk: probability that a value accepted at the edge does not conform [-], above 0, below 0.5.
    tolerance: absolute error of that probability [-], 1e-12 to 1e-3.
    Returns the guard bands [unit of the limits], shape (rows,).
    Holds for one limit each; for two that lie close take `acceptance_many`.
    Source: JCGM 106:2012, 8.3.2 and 9.3.
    Raises ValueError naming the risk when it is out of range.

    >>> rows = Sums.of([(Component("gauge", 0.004),), (Component("gauge", 0.002),)])
    >>> [round(float(w), 5) for w in guard_bands(rows)]
    [0.00658, 0.00329]
    """
    _check_risk(risk)
    return quantile_many(sums, 1.0 - risk, tolerance)


def expanded_guard(expanded: float, ratio: float = 1.0) -> float:
    """Guard band as a share of the expanded uncertainty.

    w = r·U. With U = 2u and r = 1 the risk at the edge is 2.3 %, with r = 0.83 it is 4.9 %.

    expanded: expanded uncertainty U [unit of the limits], zero or more.
    ratio: r [-], zero or more; 0 is simple acceptance.
    Returns the guard band [unit of the limits].
    Holds for any U; the risks stated are for a normal error and one limit.
    Source: JCGM 106:2012, 8.3.2.2.
    Raises ValueError naming what is negative.

    >>> expanded_guard(0.008)
    0.008
    """
    if not expanded >= 0.0 or not ratio >= 0.0:
        raise ValueError(f"expanded uncertainty {expanded} and ratio {ratio} must not be negative")
    return ratio * expanded


def iso_guard_factor(confidence: float = 0.95) -> float:
    """Factor by which u is multiplied for the guard band of ISO 14253-1.

    g_A = 1.65 at 95 %, the quantile of the normal distribution rounded up; others by that quantile.

    confidence: conformance probability to prove [-], above 0.5 and below 1.
    Returns the factor [-].
    Holds where u is small against the tolerance, so that one limit acts at a time.
    Source: ISO 14253-1:2017, 5.3 and annex; the factor 1.65 recalled from memory.
    Raises ValueError naming the confidence when it is out of range.

    >>> iso_guard_factor()
    1.65
    """
    if not 0.5 < confidence < 1.0:
        raise ValueError(f"confidence {confidence} is not between 0.5 and 1")
    if math.isclose(confidence, 0.95):
        return 1.65
    return float(normal_quantile(confidence))


def iso_guard(u: float, confidence: float = 0.95) -> float:
    """Guard band of ISO 14253-1 for proving conformity or non-conformity.

    w = g_A·u.

    u: combined standard uncertainty [unit of the limits], zero or more.
    confidence: conformance probability to prove [-], above 0.5 and below 1.
    Returns the guard band [unit of the limits].
    Holds for a nearly normal error, small against the tolerance.
    Source: ISO 14253-1:2017, 5.3.
    Raises ValueError naming u or the confidence when out of range.

    >>> round(iso_guard(0.004), 6)
    0.0066
    """
    if not (u >= 0.0 and math.isfinite(u)):
        raise ValueError(f"standard uncertainty {u} is not a number of zero or more")
    return iso_guard_factor(confidence) * u


def _check_risk(risk: float) -> None:
    if not 0.0 < risk < 0.5:
        raise ValueError(f"risk {risk} is not between 0 and 0.5")
