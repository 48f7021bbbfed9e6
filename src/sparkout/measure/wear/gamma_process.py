"""Wear as a stationary gamma process: it only grows, in steps whose scatter is part of the model.

Over t hours wear grows by a gamma-distributed amount of shape a·t and scale b: mean a·b·t, variance
a·b²·t. That makes both the scatter between units and the uneven progress of one unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from sparkout.faults import Fault, Place
from sparkout.measure.studies.special import (
    digamma,
    gamma_ratio,
    gamma_ratio_upper,
    root,
    trigamma,
)
from sparkout.measure.wear.inspections import Increment, Inspection, increments

__all__ = [
    "GammaProcess",
    "fit_gamma_process",
    "hours_quantile",
    "hours_quantile_with_doubt",
    "wear_probability",
]

# From fewer steps than _LEAST nothing is fitted; below _ADVISED a warning says how little it is.
# Rules of thumb: the shape of a scatter takes ten values to be seen at all.
_LEAST, _ADVISED = 3, 10


@dataclass(frozen=True, slots=True)
class GammaProcess:
    """A fitted process.

    shape: per hour [1/h]; scale: [mm]; rate: mean wear per hour [mm/h], their product.
    u_log_shape, u_log_rate: standard uncertainties of their logarithms, independent of each other.
    log_likelihood: of the steps. growth: exponent c of the best process with wear as hours^c, 1 for
    steady; growth_p: probability of so much departure from steady wear by chance.
    """

    shape: float
    scale: float
    rate: float
    u_log_shape: float
    u_log_rate: float
    log_likelihood: float
    steps: tuple[Increment, ...]
    units: int
    growth: float
    growth_p: float
    warnings: tuple[str, ...]


def _log_likelihood(times: Sequence[float], wears: Sequence[float], a: float, b: float) -> float:
    return math.fsum(
        (a * t - 1.0) * math.log(x) - x / b - a * t * math.log(b) - math.lgamma(a * t)
        for t, x in zip(times, wears, strict=True)
    )


def _most_likely_shape(times: Sequence[float], wears: Sequence[float]) -> float | None:
    """Shape per unit of time where the profile likelihood peaks; None when it never turns down."""
    total_time, total_wear = math.fsum(times), math.fsum(wears)
    logs = [math.log(x) for x in wears]

    def score(log_a: float) -> float:
        a = math.exp(log_a)
        log_b = math.log(total_wear / (a * total_time))
        return math.fsum(t * (y - digamma(a * t) - log_b) for t, y in zip(times, logs, strict=True))

    low = high = math.log(len(times) / total_time)
    while score(low) < 0.0:
        low -= 2.0
    while score(high) > 0.0:
        high += 2.0
        if high > 30.0 + math.log(len(times) / total_time):
            return None
    return math.exp(root(score, low, high, 1e-13) if low < high else low)


def _peak(times: Sequence[float], wears: Sequence[float]) -> float:
    a = _most_likely_shape(times, wears)
    if a is None:
        return -math.inf
    return _log_likelihood(times, wears, a, math.fsum(wears) / (a * math.fsum(times)))


def _growth(steps: Sequence[Increment], steady: float) -> tuple[float, float]:
    """Exponent of hours that fits best, and the p-value of the steady process against it."""
    wears = [s.wear for s in steps]
    longest = max(s.end for s in steps)

    def peak(c: float) -> float:
        return _peak([(s.end / longest) ** c - (s.start / longest) ** c for s in steps], wears)

    # The likelihood in c has one hump; golden section closes in on its top. Time was scaled, which
    # moves the shape and leaves the likelihood as it is.
    ratio = 0.5 * (math.sqrt(5.0) - 1.0)
    low, high = 0.1, 4.0
    left, right = high - ratio * (high - low), low + ratio * (high - low)
    at_left, at_right = peak(left), peak(right)
    while high - low > 1e-4:
        if at_left > at_right:
            high, right, at_right = right, left, at_left
            left = high - ratio * (high - low)
            at_left = peak(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + ratio * (high - low)
            at_right = peak(right)
    best = 0.5 * (low + high)
    gain = max(0.0, 2.0 * (peak(best) - steady))
    return best, gamma_ratio_upper(0.5, 0.5 * gain)  # chi-square with one degree of freedom


def _check_steps(steps: Sequence[Increment], place: Place) -> list[Fault]:
    faults = [
        Fault(
            place,
            f"no wear of {s.unit} between {s.start:g} h and {s.end:g} h"
            if s.wear == 0.0
            else f"wear of {s.unit} falling between {s.start:g} h and {s.end:g} h",
            "wear that grows from inspection to inspection",
            "Leave out the less certain of the two readings, or use the linear rate, which allows "
            "for gauge error.",
        )
        for s in steps
        if s.wear <= 0.0
    ]
    if len(steps) < _LEAST:
        faults.append(
            Fault(
                place,
                f"{len(steps)} step(s) of wear",
                f"{_LEAST} at the very least, {_ADVISED} to be of use",
                "The data are too few for a scatter: use this engine's own rate with a stated "
                "assumption.",
            )
        )
    return faults


def _warnings(steps: Sequence[Increment], units: int, growth: float, p: float) -> tuple[str, ...]:
    warnings = []
    if len(steps) < _ADVISED:
        warnings.append(
            f"Only {len(steps)} steps of wear: the scatter itself is hardly known, and so are the "
            "ends of any range."
        )
    if units == 1:
        warnings.append("All from one unit: nothing here shows how units differ.")
    if p < 0.05:
        word = "slows down" if growth < 1.0 else "speeds up"
        warnings.append(
            f"Wear {word} with hours (about hours to the power {growth:.2f}, p = {p:.1g}): a "
            f"steady process foretells too {'short' if growth < 1.0 else 'long'} a life."
        )
    return tuple(warnings)


def fit_gamma_process(
    inspections: Sequence[Inspection], place: Place | None = None
) -> tuple[GammaProcess | None, tuple[Fault, ...]]:
    """Stationary gamma process that makes the inspections most likely.

    Steps x over t: log-likelihood sum (a t - 1) ln x - x/b - a t ln b - ln Gamma(a t); b = sum x /
    (a sum t); a where sum t (ln x - psi(a t) - ln b) = 0. u(ln rate)^2 = 1/(a sum t).

    inspections: readings of one or more units [h, mm], wear growing in each.
    place: where the readings stand, named in faults [-].
    Returns the process with its warnings, or nothing with the faults that stopped it [-].
    Holds for units used alike, wear steady in the mean, gauge error small beside the steps.
    Source: van Noortwijk, Reliability Engineering and System Safety 94 (2009) 2-21.

    >>> data = [Inspection("a", 1000.0, 0.09), Inspection("a", 2000.0, 0.21)]
    >>> data += [Inspection("b", 1500.0, 0.13), Inspection("c", 800.0, 0.10)]
    >>> round(fit_gamma_process(data)[0].rate * 1000, 4)
    0.1023
    """
    place = place or Place(key="inspections")
    steps, faults = increments(inspections, place)
    if any(f.stops for f in faults):
        return None, faults
    wrong = _check_steps(steps, place)
    if wrong:
        return None, tuple(wrong)
    times, wears = [s.end - s.start for s in steps], [s.wear for s in steps]
    a = _most_likely_shape(times, wears)
    if a is None:
        return None, (
            Fault(
                place,
                "steps of wear exactly in proportion to hours",
                "readings with the scatter that real wear has",
                "Check that the readings were measured and not worked out.",
            ),
        )
    total = math.fsum(times)
    b = math.fsum(wears) / (a * total)
    curvature = math.fsum(t * t * trigamma(a * t) - t / a for t in times)
    likelihood = _log_likelihood(times, wears, a, b)
    growth, p = _growth(steps, likelihood)
    units = len({s.unit for s in steps})
    return (
        GammaProcess(
            shape=a,
            scale=b,
            rate=a * b,
            u_log_shape=1.0 / (a * math.sqrt(curvature)),
            u_log_rate=1.0 / math.sqrt(a * total),
            log_likelihood=likelihood,
            steps=steps,
            units=units,
            growth=growth,
            growth_p=p,
            warnings=_warnings(steps, units, growth, p),
        ),
        (),
    )


def wear_probability(process: GammaProcess, hours: float, wear: float) -> float:
    """Probability that a further stretch of running wears away no more than an amount.

    P(a t, x / b), the regularised incomplete gamma function.

    process: fitted process [-].
    hours: the stretch [h], above zero.
    wear: the amount [mm], not below zero.
    Returns the probability [-], 0 to 1.
    Holds with the parameters taken as known.
    Source: van Noortwijk, Reliability Engineering and System Safety 94 (2009) 2-21.
    Raises ValueError naming the values when out of range.

    >>> data = [Inspection(u, 1000.0, w) for u, w in (("a", 0.09), ("b", 0.12), ("c", 0.10))]
    >>> wear_probability(fit_gamma_process(data)[0], 1000.0, 1.0)
    1.0
    """
    if not (hours > 0.0 and wear >= 0.0):
        raise ValueError(f"hours above zero and wear not below it, got {hours!r} and {wear!r}")
    return gamma_ratio(process.shape * hours, wear / process.scale)


def _time_quantile(
    weights: Sequence[tuple[float, float, float]], room: float, share: float, start: float
) -> float:
    """Time at which a mixture of processes (weight, shape, scale) has used the room up with a
    probability of share."""

    def over(log_t: float) -> float:
        t = math.exp(log_t)
        return math.fsum(w * gamma_ratio_upper(a * t, room / b) for w, a, b in weights) - share

    low = high = math.log(start)
    while over(low) > 0.0:
        low -= 0.5
    while over(high) < 0.0:
        high += 0.5
    return math.exp(root(over, low, high, 1e-9) if low < high else low)


def _check_room(room: float, share: float) -> None:
    if not room > 0.0:
        raise ValueError(f"there must be room left before the limit, got {room!r}")
    if not 0.0 < share < 1.0:
        raise ValueError(f"a share lies between 0 and 1, got {share!r}")


def hours_quantile(process: GammaProcess, room: float, share: float) -> float:
    """Hours by which a share of units will have worn through the room that is left.

    t with Q(a t, room / b) = share.

    process: fitted process [-].
    room: wear left before the limit [mm], above zero.
    share: of the units [-], between 0 and 1.
    Returns the hours [h].
    Holds with the parameters taken as known; see hours_quantile_with_doubt.
    Source: van Noortwijk, Reliability Engineering and System Safety 94 (2009) 2-21.
    Raises ValueError naming the value when out of range.

    >>> data = [Inspection(u, 1000.0, w) for u, w in (("a", 0.09), ("b", 0.12), ("c", 0.10))]
    >>> round(hours_quantile(fit_gamma_process(data)[0], 1.0, 0.5), -1)
    9680.0
    """
    _check_room(room, share)
    one = [(1.0, process.shape, process.scale)]
    return _time_quantile(one, room, share, room / process.rate)


def _doubt(process: GammaProcess) -> list[tuple[float, float, float]]:
    """Weights, shapes and scales over a grid of parameters, by their likelihood.

    The logarithms of shape and mean rate are the coordinates: their estimates are independent and
    nearly normal, and a flat prior on them prefers no unit of time or length.
    """
    times = [s.end - s.start for s in process.steps]
    wears = [s.wear for s in process.steps]
    marks = [0.6 * k for k in range(-7, 8)]  # to 4.2 standard uncertainties either side
    points = []
    for x, y in product(marks, marks):
        a = process.shape * math.exp(x * process.u_log_shape)
        b = process.rate * math.exp(y * process.u_log_rate) / a
        points.append((_log_likelihood(times, wears, a, b) - process.log_likelihood, a, b))
    weights = [(math.exp(gain), a, b) for gain, a, b in points if gain > -30.0]
    total = math.fsum(w for w, _, _ in weights)
    return [(w / total, a, b) for w, a, b in weights]


def hours_quantile_with_doubt(
    process: GammaProcess, room: float, shares: Sequence[float]
) -> tuple[float, ...]:
    """Hours by which one more unit wears through its room, the doubt of the fit included.

    t with mean over the parameters' likelihood of Q(a t, room / b) = share, flat in ln shape and
    ln rate.

    process: fitted process [-].
    room: wear left before the limit [mm], above zero.
    shares: probabilities wanted [-], each between 0 and 1.
    Returns the hours for each share [h].
    Holds for the fitted model; wider than hours_quantile, the more the fewer the data.
    Source: posterior predictive distribution, Gelman and others, Bayesian Data Analysis, 1.3.
    Raises ValueError naming the value when out of range.

    >>> data = [Inspection(u, 1000.0, w) for u, w in (("a", 0.09), ("b", 0.12), ("c", 0.10))]
    >>> p10, p90 = hours_quantile_with_doubt(fit_gamma_process(data)[0], 1.0, (0.1, 0.9))
    >>> p10 < 9000 < p90
    True
    """
    for share in shares:
        _check_room(room, share)
    weights = _doubt(process)
    return tuple(_time_quantile(weights, room, share, room / process.rate) for share in shares)
