"""Monte Carlo propagation with the number of trials found on the way (JCGM 101:2008, 7.9)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from ..estimate import Component, Estimate
from .coverage import shortest_interval, symmetric_interval
from .formula import Formula
from .sampling import draw, generator, sources_of, tried
from .special import Floats

__all__ = ["MonteCarlo", "monte_carlo", "numerical_tolerance"]

_LEAST_BLOCK = 10_000
_AT_ONCE = 8  # blocks handed to threads before the stopping rule is looked at


@dataclass(frozen=True, slots=True)
class MonteCarlo:
    """What a Monte Carlo run says about one output.

    mean, u: of the trials. low, high: coverage interval. trials: how many were drawn.
    tolerance: numerical tolerance asked for. stable: whether mean, u and both ends kept within it
    (twice their standard deviation between blocks) before the most trials allowed.
    """

    mean: float
    u: float
    low: float
    high: float
    coverage: float
    trials: int
    tolerance: float
    stable: bool


def numerical_tolerance(u: float, digits: int = 2) -> float:
    """Half a unit in the last digit of a standard uncertainty worth stating.

    u = c·10^l with a whole c of that many digits; the tolerance is 10^l/2.

    u: standard uncertainty [any unit], above zero.
    digits: significant digits regarded as meaningful [-], 1 or more.
    Returns the tolerance [unit of u].
    Holds for the rounding of u to nearest, so 0.0996 with two digits is 0.10.
    Source: JCGM 101:2008, 7.9.2.
    Raises ValueError naming u or the digits when they are out of range.

    >>> numerical_tolerance(0.35)
    0.005
    """
    if not (u > 0.0 and math.isfinite(u)):
        raise ValueError(f"standard uncertainty {u} is not above zero and finite")
    if digits < 1:
        raise ValueError(f"{digits} significant digits are fewer than 1")
    exponent = int(f"{u:.{digits - 1}e}".partition("e")[2]) - (digits - 1)
    return 0.5 * float(f"1e{exponent}")


def monte_carlo(
    output: Estimate | Formula,
    seed: int,
    coverage: float = 0.95,
    digits: int = 2,
    shortest: bool = False,
    tolerance: float | None = None,
    most: int = 20_000_000,
    threads: int = 1,
) -> MonteCarlo:
    """Propagate distributions by random trials until the result no longer moves.

    Blocks of M = max(10 000, 100/(1 − coverage)) trials are drawn until twice the standard
    deviation of the averages over blocks of mean, u and both interval ends is below the tolerance;
    the result then comes from all trials together.

    output: a formula of estimates, or an estimate [unit of the output].
    seed: of the generator [-], 0 or more; the same seed gives the same answer on any machine and
    with any number of threads.
    coverage: probability of the interval [-], above 0 and below 1.
    digits: significant digits of u wanted [-], 1 or more; they set the tolerance if none is given.
    shortest: the shortest interval instead of the one with equal tails [-].
    tolerance: numerical tolerance [unit of the output], above zero, or None.
    most: trials at which to stop unstable [-], at least two blocks.
    threads: how many draw at once [-], 1 or more.
    Returns mean, standard uncertainty, interval, trials and whether the result is stable.
    Holds for formulas that work element by element on arrays.
    Source: JCGM 101:2008, 7.9.4.
    Raises ValueError naming the coverage, or the trials when fewer than two blocks are allowed.

    >>> from fractions import Fraction
    >>> bore = Estimate(Fraction(86), (Component("bore gauge", 0.004),))
    >>> round(monte_carlo(bore, seed=1, digits=1).u, 3)
    0.004
    """
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage {coverage} is not between 0 and 1")
    size = max(_LEAST_BLOCK, math.ceil(100.0 / (1.0 - coverage)))
    if most < 2 * size:
        raise ValueError(f"most {most} trials is fewer than two blocks of {size}")
    interval = shortest_interval if shortest else symmetric_interval
    blocks: list[Floats] = []
    figures: list[tuple[float, float, float, float]] = []
    wanted = math.inf
    for block in _blocks(output, seed, size, most // size, threads):
        blocks.append(block)
        figures.append((block.mean(), block.std(ddof=1), *interval(block, coverage)))
        if len(blocks) < 2:
            continue
        table = np.array(figures)
        wanted = tolerance or numerical_tolerance(float(table[:, 1].mean()), digits)
        scatter = table.std(axis=0, ddof=1) / math.sqrt(len(blocks))
        if 2.0 * scatter.max() <= wanted:
            return _told(blocks, interval, coverage, wanted, stable=True)
    return _told(blocks, interval, coverage, wanted, stable=False)


def _told(
    blocks: list[Floats],
    interval: Callable[[Floats, float], tuple[float, float]],
    coverage: float,
    tolerance: float,
    stable: bool,
) -> MonteCarlo:
    values = np.concatenate(blocks)
    low, high = interval(values, coverage)
    return MonteCarlo(
        float(values.mean()),
        float(values.std(ddof=1)),
        low,
        high,
        coverage,
        len(values),
        tolerance,
        stable,
    )


def _blocks(
    output: Estimate | Formula, seed: int, size: int, most: int, threads: int
) -> Iterator[Floats]:
    """Trials block by block, in order, whatever thread drew them."""
    estimates = output.arguments if isinstance(output, Formula) else (output,)
    sources: tuple[Component, ...] = sources_of(estimates)

    def block(number: int) -> Floats:
        return tried(output, draw(generator(seed, number), sources, size), size)

    if threads <= 1:
        yield from map(block, range(most))
        return
    with ThreadPoolExecutor(threads) as pool:
        for first in range(0, most, _AT_ONCE):
            yield from pool.map(block, range(first, min(first + _AT_ONCE, most)))
