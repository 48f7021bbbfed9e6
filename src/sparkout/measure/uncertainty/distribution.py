"""Distribution of a linear sum of components: probability, density, quantile, interval.

The sum is about zero: put the estimate's value beside it. Functions on a tuple of components answer
for one sum; those that end in `_many` take `Sums` and answer for every row at once. All shapes are
symmetric and single-peaked, so a sum is too, and its shortest coverage interval is the symmetric
one.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from ..estimate import Component
from .law import law, quantiles
from .special import Floats
from .sums import Sums

__all__ = [
    "cdf",
    "cdf_many",
    "density",
    "interval",
    "interval_many",
    "quantile",
    "quantile_many",
]

# Absolute error of probability that functions on one tuple of components keep to.
_FINE = 1e-11


def cdf(components: Sequence[Component], x: float) -> float:
    """Probability that a sum of components is not above x.

    Closed form for normal parts, normal parts with one rectangular, rectangular parts, one Student
    part; otherwise F(x) = 1/2 + (1/π)·∫ sin(tx)·φ(t)/t dt with the characteristic function φ.

    components: those that share a source are added up first [unit of the value], any number.
    x: distance from the value the components belong to [unit of the value], any number.
    Returns the probability [-], absolute error about 1e-11.
    Holds for components that are independent unless their source is the same.
    Source: Gil-Pelaez, Note on the inversion theorem, Biometrika 38 (1951) 481-482.

    >>> round(cdf((Component("gauge", 0.002), Component("ring", 0.001)), 0.003), 4)
    0.9101
    """
    return float(cdf_many(Sums.of([components]), np.array([float(x)]), _FINE)[0])


def density(components: Sequence[Component], x: float) -> float:
    """Density of a sum of components.

    The derivative of the distribution function: f(x) = (1/π)·∫ cos(tx)·φ(t) dt.

    components: those that share a source are added up first [unit of the value], any number.
    x: distance from the value the components belong to [unit of the value], any number.
    Returns the density [1/unit of the value]; zero where there is no uncertainty at all.
    Holds for components that are independent unless their source is the same.
    Source: Gil-Pelaez, Note on the inversion theorem, Biometrika 38 (1951) 481-482.

    >>> round(density((Component("gauge", 0.5),), 0.0), 4)
    0.7979
    """
    sums = Sums.of([components])
    place = np.array([float(x)])
    return float(law(sums, np.abs(place), _FINE).at(place)[1][0])


def quantile(components: Sequence[Component], p: float) -> float:
    """Distance that a sum of components stays below with probability p.

    The inverse of `cdf`, by Newton's method inside a bracket.

    components: those that share a source are added up first [unit of the value], any number.
    p: probability [-], above 0 and below 1.
    Returns the distance from the value [unit of the value].
    Holds for components that are independent unless their source is the same.
    Source: JCGM 101:2008, 3.8 (definition); tested against SciPy.
    Raises ValueError naming the probability when it is not between 0 and 1.

    >>> round(quantile((Component("gauge", 0.004),), 0.95), 5)
    0.00658
    """
    return float(quantile_many(Sums.of([components]), p, _FINE)[0])


def interval(components: Sequence[Component], coverage: float = 0.95) -> tuple[float, float]:
    """Interval about zero that holds a sum of components with the asked probability.

    From −d to d with F(d) = (1 + coverage)/2. The sum is symmetric with one peak, so no shorter
    interval has this coverage.

    components: those that share a source are added up first [unit of the value], any number.
    coverage: probability of the interval [-], above 0 and below 1.
    Returns the two ends [unit of the value].
    Holds for components that are independent unless their source is the same.
    Source: JCGM 101:2008, 3.12 to 3.16.
    Raises ValueError naming the coverage when it is not between 0 and 1.

    >>> parts = tuple(Component(name, 0.001) for name in ("bore gauge", "ring"))
    >>> [round(end, 5) for end in interval(parts)]
    [-0.00277, 0.00277]
    """
    end = float(interval_many(Sums.of([components]), coverage, _FINE)[0])
    return -end, end


def cdf_many(sums: Sums, x: ArrayLike, tolerance: float = 1e-9) -> Floats:
    """Probability, for many sums at once, that each is not above its x.

    As `cdf`, row by row.

    sums: the sums, one in each row [unit of the value].
    x: distances, shape (rows,) or (rows, points) [unit of the value], any numbers.
    tolerance: absolute error of probability allowed [-], 1e-12 to 1e-3.
    Returns the probabilities [-], shape of x; the error found in tests is a tenth of the tolerance.
    Holds for rows whose components are independent.
    Source: Gil-Pelaez (1951) and Davies, Biometrika 60 (1973) 415-417, for the error of the sum.

    >>> from sparkout.measure.estimate import Shape
    >>> two = Sums.of([(Component("gauge", 1.0),), (Component("gap", 1.0, Shape.RECTANGULAR),)])
    >>> [round(float(p), 4) for p in cdf_many(two, [1.0, 1.0])]
    [0.8413, 0.7887]
    """
    place = np.asarray(x, dtype=np.float64)
    extent = np.abs(place).reshape(len(sums), -1).max(axis=1)
    total, _ = law(sums, extent, tolerance).at(place)
    return np.clip(total, 0.0, 1.0)


def quantile_many(sums: Sums, p: ArrayLike, tolerance: float = 1e-9) -> Floats:
    """Distance, for many sums at once, that each stays below with its probability p.

    As `quantile`, row by row.

    sums: the sums, one in each row [unit of the value].
    p: probability, one for all rows or one for each [-], above 0 and below 1.
    tolerance: absolute error of probability allowed [-], 1e-12 to 1e-3.
    Returns the distances [unit of the value], shape (rows,).
    Holds for rows whose components are independent.
    Source: JCGM 101:2008, 3.8 (definition); tested against SciPy.
    Raises ValueError naming a probability not between 0 and 1.

    >>> from sparkout.measure.estimate import Shape
    >>> two = Sums.of([(Component("gauge", 1.0),), (Component("gap", 1.0, Shape.RECTANGULAR),)])
    >>> [round(float(x), 4) for x in quantile_many(two, 0.975)]
    [1.96, 1.6454]
    """
    prob = np.broadcast_to(np.asarray(p, dtype=np.float64), (len(sums),))
    if not ((prob > 0.0) & (prob < 1.0)).all():
        raise ValueError(f"probability {p!r} is not between 0 and 1")
    return quantiles(sums, prob, tolerance)


def interval_many(sums: Sums, coverage: float = 0.95, tolerance: float = 1e-9) -> Floats:
    """Half-length, for many sums at once, of the interval with the asked coverage.

    As `interval`, row by row: each sum lies between −d and d with the asked probability.

    sums: the sums, one in each row [unit of the value].
    coverage: probability of the interval [-], above 0 and below 1.
    tolerance: absolute error of probability allowed [-], 1e-12 to 1e-3.
    Returns d [unit of the value], shape (rows,).
    Holds for rows whose components are independent.
    Source: JCGM 101:2008, 3.12 to 3.16.
    Raises ValueError naming the coverage when it is not between 0 and 1.

    >>> from sparkout.measure.estimate import Shape
    >>> rows = Sums.of([(Component("gauge", 1.0),), (Component("mic", 1.0, Shape.STUDENT, 4),)])
    >>> [round(float(d), 3) for d in interval_many(rows)]
    [1.96, 2.776]
    """
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage {coverage} is not between 0 and 1")
    return quantile_many(sums, 0.5 + 0.5 * coverage, tolerance)
