"""Drift of a gauge or setting master between calibrations, and when to send it again."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from sparkout.faults import Fault, Place
from sparkout.measure.studies.distributions import student_quantile
from sparkout.measure.studies.special import root

__all__ = [
    "DriftFit",
    "days_to_limit",
    "days_to_uncertainty",
    "drift_at",
    "drift_uncertainty",
    "fit_drift",
]

# Nothing is foretold further ahead than this; a rule of thumb against runaway extrapolation.
_HORIZON_DAYS = 36_525.0


@dataclass(frozen=True, slots=True)
class DriftFit:
    """A polynomial through zero. coefficients: of t, t², … [unit per day, per day², …].

    covariance: of the coefficients, row by row; residual: standard deviation about the curve; dof.
    """

    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    residual: float
    dof: int


def fit_drift(
    days: Sequence[float], changes: Sequence[float], order: int = 1, place: Place | None = None
) -> tuple[DriftFit | None, tuple[Fault, ...]]:
    """Polynomial of drift over time since calibration, zero at the start.

    Least squares of change = b1 t + b2 t^2 + ...; covariance s^2 (X'X)^-1, s^2 from the residuals.

    days: since the calibration before [d], above zero.
    changes: found at the calibration after [any].
    order: highest power [-], one or more.
    place: where the record stands, named in faults [-].
    Returns the fit, or nothing with the faults that stopped it [-].
    Holds for gauges that drift alike in every interval.
    Source: NASA-HDBK-8739.19-5 (2010), chapter 7, variables data.
    Raises ValueError naming the order when it is below one.

    >>> fit, _ = fit_drift([100.0, 200.0, 300.0], [1.0, 2.1, 2.9])
    >>> round(fit.coefficients[0], 5)
    0.00993
    """
    if order < 1:
        raise ValueError(f"the order is one or more, got {order!r}")
    place = place or Place(key="calibrations")
    faults = []
    if len(days) != len(changes):
        faults.append(Fault(place, f"{len(days)} times and {len(changes)} changes", "as many"))
    faults += [
        Fault(place, f"{t!r} d and {c!r} (calibration {i})", "days above zero and a finite change")
        for i, (t, c) in enumerate(zip(days, changes, strict=False), 1)
        if not (math.isfinite(t) and t > 0.0 and math.isfinite(c))
    ]
    if not faults and len(set(days)) < order + 1:
        faults.append(
            Fault(
                place,
                f"{len(set(days))} different interval(s)",
                f"{order + 1} or more for a curve of order {order}",
                "Use a lower order, or wait for more calibrations.",
            )
        )
    if faults:
        return None, tuple(faults)
    # Times in units of the longest: powers of hundreds of days would spoil the inversion.
    longest = max(days)
    x = np.array([[(t / longest) ** k for k in range(1, order + 1)] for t in days])
    y = np.array(changes, dtype=np.float64)
    inverse = np.linalg.inv(x.T @ x)
    b = inverse @ (x.T @ y)
    dof = len(days) - order
    s = math.sqrt(float(((y - x @ b) ** 2).sum()) / dof)
    powers = longest ** np.arange(1.0, order + 1.0)
    covariance = s * s * inverse / np.outer(powers, powers)
    return (
        DriftFit(
            tuple((b / powers).tolist()),
            tuple(tuple(row) for row in covariance.tolist()),
            s,
            dof,
        ),
        (),
    )


def drift_at(fit: DriftFit, days: float) -> float:
    """Drift to be expected after a time.

    b1 t + b2 t^2 + ...

    fit: the fitted curve [-].
    days: since calibration [d].
    Returns the drift [as changes].
    Holds within and a little beyond the intervals seen.
    Source: NASA-HDBK-8739.19-5 (2010), chapter 7.

    >>> round(drift_at(DriftFit((0.01,), ((0.0,),), 0.1, 3), 50.0), 9)
    0.5
    """
    return math.fsum(b * days ** (k + 1) for k, b in enumerate(fit.coefficients))


def drift_uncertainty(fit: DriftFit, u_start: float, days: float) -> float:
    """Standard uncertainty of a gauge's bias a time after its calibration.

    sqrt(u_start^2 + s^2 + x' C x), x = (t, t^2, ...): calibration, scatter about the curve, the
    curve itself.

    fit: the fitted curve [-].
    u_start: standard uncertainty at calibration [as changes], not below zero.
    days: since calibration [d].
    Returns the standard uncertainty [as changes].
    Holds within and a little beyond the intervals seen.
    Source: NASA-HDBK-8739.19-5 (2010), chapter 7.

    >>> round(drift_uncertainty(DriftFit((0.01,), ((0.0,),), 0.3, 3), 0.4, 50.0), 9)
    0.5
    """
    x = [days ** (k + 1) for k in range(len(fit.coefficients))]
    curve = math.fsum(
        fit.covariance[i][j] * x[i] * x[j] for i in range(len(x)) for j in range(len(x))
    )
    return math.sqrt(u_start**2 + fit.residual**2 + max(0.0, curve))


def _first_crossing(over: Callable[[float], float]) -> float:
    """First time a margin is used up: walk by days growing by a tenth, then close in."""
    if over(0.0) >= 0.0:
        return 0.0
    low, high = 0.0, 1.0
    while over(high) < 0.0:
        low, high = high, high * 1.1
        if high > _HORIZON_DAYS:
            return math.inf
    return root(over, low, high, 1e-10)


def days_to_uncertainty(fit: DriftFit, u_start: float, allowed: float) -> float:
    """Time after which the uncertainty of a gauge's bias exceeds what is allowed.

    t with drift_uncertainty(t) = allowed.

    fit: the fitted curve [-].
    u_start: standard uncertainty at calibration [as changes], not below zero.
    allowed: largest standard uncertainty allowed [as changes], above zero.
    Returns the time [d]; 0 when it is exceeded at once, infinite when not within a hundred years.
    Holds within and a little beyond the intervals seen.
    Source: NASA-HDBK-8739.19-5 (2010), chapter 7, uncertainty target.
    Raises ValueError naming the value when allowed is not above zero.

    >>> round(days_to_uncertainty(DriftFit((0.0,), ((1e-6,),), 0.0, 3), 0.3, 0.5), 3)
    400.0
    """
    if not allowed > 0.0:
        raise ValueError(f"the allowed uncertainty must be above zero, got {allowed!r}")

    def over(t: float) -> float:
        return drift_uncertainty(fit, u_start, t) - allowed

    return _first_crossing(over)


def days_to_limit(
    fit: DriftFit, start: float, u_start: float, lower: float, upper: float, confidence: float
) -> float:
    """Time for which a gauge's bias stays between limits with a stated confidence.

    t where start + drift(t) +- k u(t) first meets a limit, k Student's two-sided factor for the
    confidence and the fit's degrees of freedom.

    fit: the fitted curve [-].
    start: bias found at calibration [as changes], between the limits.
    u_start: standard uncertainty at calibration [as changes], not below zero.
    lower: lower limit [as changes].
    upper: upper limit [as changes], above lower.
    confidence: two-sided [-], between 0 and 1.
    Returns the time [d]; 0 when a limit is met at once, infinite when not within a hundred years.
    Holds within and a little beyond the intervals seen.
    Source: NASA-HDBK-8739.19-5 (2010), chapter 7, reliability target.
    Raises ValueError naming the values when limits or confidence are out of range.

    >>> round(days_to_limit(DriftFit((0.01,), ((0.0,),), 0.0, 3), 0.0, 0.0, -1.0, 1.0, 0.95), 3)
    100.0
    """
    if not lower < upper:
        raise ValueError(f"the lower limit must be below the upper, got {lower!r} and {upper!r}")
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence lies between 0 and 1, got {confidence!r}")
    k = student_quantile(0.5 * (1.0 + confidence), fit.dof)

    def over(t: float) -> float:
        middle, reach = start + drift_at(fit, t), k * drift_uncertainty(fit, u_start, t)
        return max(middle + reach - upper, lower - middle + reach)

    return _first_crossing(over)
