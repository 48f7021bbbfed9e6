"""Consumer's and producer's risks, of one item and of a process."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from sparkout.judge.conformity.chance import conformance
from sparkout.measure.estimate import Component, Estimate
from sparkout.measure.uncertainty.inversion import reach
from sparkout.measure.uncertainty.law import Law, law
from sparkout.measure.uncertainty.special import Floats
from sparkout.measure.uncertainty.sums import Sums

__all__ = ["GlobalRisks", "consumer_risk", "global_risks", "producer_risk", "with_process"]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)
_PANELS_MOST = 4000
_TAIL = 1e-9


class GlobalRisks(NamedTuple):
    """Shares of all items of a process.

    consumer: accepted and not conforming. producer: conforming and rejected. conforming: share that
    conforms. accepted: share that is accepted.
    """

    consumer: float
    producer: float
    conforming: float
    accepted: float


def consumer_risk(value: Estimate, lower: Fraction | None, upper: Fraction | None) -> float:
    """Risk that this item, accepted on this value, does not conform.

    R = 1 − P(lower <= Y <= upper).

    value: estimate of what is judged [unit of the limits].
    lower: lower limit, None for none [unit of the value].
    upper: upper limit, None for none [unit of the value].
    Returns the specific consumer's risk [-].
    Holds without knowledge of the process; take `with_process` first where there is some.
    Source: JCGM 106:2012, 9.3.2.
    Raises ValueError as `conformance` does.

    >>> edge = Estimate(Fraction("9.992"), (Component("gauge", 0.004),))
    >>> round(consumer_risk(edge, None, Fraction(10)), 4)
    0.0228
    """
    return 1.0 - conformance(value, lower, upper).inside


def producer_risk(value: Estimate, lower: Fraction | None, upper: Fraction | None) -> float:
    """Risk that this item, rejected on this value, conforms after all.

    R = P(lower <= Y <= upper).

    value: estimate of what is judged [unit of the limits].
    lower: lower limit, None for none [unit of the value].
    upper: upper limit, None for none [unit of the value].
    Returns the specific producer's risk [-].
    Holds without knowledge of the process; take `with_process` first where there is some.
    Source: JCGM 106:2012, 9.3.2.
    Raises ValueError as `conformance` does.

    >>> outside = Estimate(Fraction("10.004"), (Component("gauge", 0.004),))
    >>> round(producer_risk(outside, None, Fraction(10)), 4)
    0.1587
    """
    return conformance(value, lower, upper).inside


def with_process(value: Estimate, process: Estimate) -> Estimate:
    """What is known of an item from its reading and from the process that made it, together.

    Mean weighted by 1/u² of both, 1/u² adds up (normal distributions).

    value: estimate from the reading [any unit].
    process: mean and spread of the process, as an estimate with that spread [unit of the value].
    Returns the estimate with one normal component.
    Holds for nearly normal errors; both spreads above zero.
    Source: JCGM 106:2012, annex A, equations A.5 to A.9.
    Raises ValueError when either has no uncertainty.

    >>> spread = Estimate(Fraction(10), (Component("process", 0.01),))
    >>> reading = Estimate(Fraction("10.02"), (Component("gauge", 0.01),))
    >>> both = with_process(reading, spread)
    >>> round(float(both.value), 4), round(both.u, 5)
    (10.01, 0.00707)
    """
    u_value, u_process = value.u, process.u
    if u_value == 0.0 or u_process == 0.0:
        raise ValueError(f"spreads {u_value} and {u_process} must both be above zero")
    total = 1.0 / u_value**2 + 1.0 / u_process**2
    weight = Fraction(1.0 / u_value**2 / total)
    mean = weight * value.value + (1 - weight) * process.value
    return Estimate(mean, (Component("reading and process together", total**-0.5),))


def global_risks(
    process: Estimate,
    errors: Sequence[Component],
    lower: float | None,
    upper: float | None,
    accept_lower: float | None,
    accept_upper: float | None,
) -> GlobalRisks:
    """Risks over all items a process makes, judged by one measurement each.

    Consumer: ∫ outside of g(η)·P(accepted | η) dη; producer: ∫ inside of g(η)·P(rejected | η) dη.

    process: mean of the process and its spread, of any shape [unit of the limits].
    errors: components of the measurement's error [unit of the limits].
    lower: lower limit, None for none [unit of the process].
    upper: upper limit, None for none [unit of the process].
    accept_lower: lowest measured value accepted, None for none [unit of the process].
    accept_upper: highest measured value accepted, None for none [unit of the process].
    Returns the consumer's and producer's risk and the shares conforming and accepted [-].
    Holds for a stable process; absolute error about 1e-8 where a normal part smooths it.
    Source: JCGM 106:2012, 9.4 and 9.5.
    Raises ValueError naming limits in the wrong order, or a process without spread.

    >>> process = Estimate(Fraction(0), (Component("process", 4.0),))
    >>> found = global_risks(process, (Component("meter", 1.0),), -8.0, 8.0, -8.0, 8.0)
    >>> round(found.consumer, 3), round(found.producer, 3)
    (0.008, 0.015)
    """
    floor, ceiling = _ordered("limit", lower, upper)
    accept_floor, accept_ceiling = _ordered("acceptance limit", accept_lower, accept_upper)
    made, measured = Sums.of([process.components]), Sums.of([errors])
    if made.scale[0] == 0.0:
        raise ValueError("the process has no spread; ask for the risk of its one value instead")
    centre = float(process.value)
    far = float(reach(made, _TAIL)[0])
    fine = min(made.scale[0], measured.scale[0] or made.scale[0])
    edges = np.array([floor, ceiling, accept_floor, accept_ceiling])
    points, weights = _grid(centre - far, centre + far, edges, 0.5 * float(fine))
    density = law(made, np.array([far]), _TAIL).at(points[None, :] - centre)[1][0] * weights
    widest = np.abs(edges[np.isfinite(edges)][:, None] - points).max(initial=0.0)
    error = law(measured, np.array([widest]), _TAIL)
    accepted = _between(error, points, accept_floor, accept_ceiling)
    conforms = (points >= floor) & (points <= ceiling)
    return GlobalRisks(
        float(density[~conforms] @ accepted[~conforms]),
        float(density[conforms] @ (1.0 - accepted[conforms])),
        float(density[conforms].sum()),
        float(density @ accepted),
    )


def _between(error: Law, true: Floats, low: float, high: float) -> Floats:
    """Probability that the measured value of each true value lies between."""
    below = error.at(np.where(np.isfinite(low), low - true, 0.0)[None, :])[0][0]
    above = error.at(np.where(np.isfinite(high), true - high, 0.0)[None, :])[0][0]
    below = below if math.isfinite(low) else np.zeros_like(true)
    above = above if math.isfinite(high) else np.zeros_like(true)
    inside: Floats = np.clip(1.0 - below - above, 0.0, 1.0)
    return inside


def _grid(low: float, high: float, edges: Floats, step: float) -> tuple[Floats, Floats]:
    """Gauss-Legendre panels no wider than `step` with the edges between them."""
    inner = edges[np.isfinite(edges) & (edges > low) & (edges < high)]
    cuts = np.unique(np.concatenate([[low, high], inner]))
    pieces = []
    for start, end in itertools.pairwise(cuts.tolist()):
        count = min(max(math.ceil((end - start) / step), 1), _PANELS_MOST)
        pieces.append(np.linspace(start, end, count + 1))
    starts = np.concatenate([piece[:-1] for piece in pieces])[:, None]
    ends = np.concatenate([piece[1:] for piece in pieces])[:, None]
    half = 0.5 * (ends - starts)
    return (starts + half * (1.0 + _NODES)).ravel(), (half * _WEIGHTS).ravel()


def _ordered(name: str, low: float | None, high: float | None) -> tuple[float, float]:
    floor = -math.inf if low is None else low
    ceiling = math.inf if high is None else high
    if not floor <= ceiling:
        raise ValueError(f"upper {name} {high} lies below lower {name} {low}")
    return floor, ceiling
