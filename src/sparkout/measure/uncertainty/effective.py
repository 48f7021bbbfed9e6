"""Effective degrees of freedom and the coverage factor that follows from them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ..estimate import Component, combine
from .special import normal_quantile
from .student import student_quantile

__all__ = ["coverage_factor", "effective_dof"]


def effective_dof(components: Sequence[Component]) -> float:
    """Degrees of freedom of a combined standard uncertainty.

    ν_eff = u⁴ / Σ uᵢ⁴/νᵢ (Welch-Satterthwaite).

    components: those that share a source are added up first [unit of the value], any number.
    Returns the effective degrees of freedom [-], infinite where no component has a finite number.
    Holds for independent components, one Student or rectangular one not outweighing all others.
    Source: JCGM 100:2008 (GUM), G.4.1, equation G.2b.
    Raises ValueError when there is no uncertainty at all.

    >>> from sparkout.measure.estimate import Shape
    >>> parts = (Component("repeat", 0.57, Shape.STUDENT, 9), Component("gauge", 0.25))
    >>> round(effective_dof(parts), 1)
    12.8
    """
    parts = combine(components)
    if not parts:
        raise ValueError("no uncertainty at all: effective degrees of freedom have no meaning")
    total = math.fsum(part.u**2 for part in parts) ** 2
    loss = math.fsum(part.u**4 / part.dof for part in parts)
    return total / loss if loss > 0.0 else math.inf


def coverage_factor(coverage: float, dof: float = math.inf, whole: bool = True) -> float:
    """Factor k by which u is multiplied for an interval of the asked coverage.

    k = t_p(ν), the quantile of Student's distribution at (1 + coverage)/2.

    coverage: probability of the interval [-], above 0 and below 1.
    dof: effective degrees of freedom [-], 1 or more; infinity gives the normal factor.
    whole: cut the degrees of freedom to a whole number first [-], as the source advises.
    Returns the factor [-].
    Holds where the output is nearly normal or Student-shaped.
    Source: JCGM 100:2008 (GUM), G.4.1 and table G.2.
    Raises ValueError naming the coverage or the degrees of freedom when out of range.

    >>> round(coverage_factor(0.99, 16.7), 2)
    2.92
    """
    if not 0.0 < coverage < 1.0:
        raise ValueError(f"coverage {coverage} is not between 0 and 1")
    if not dof >= 1.0:
        raise ValueError(f"degrees of freedom {dof} are below 1")
    tail = 0.5 * (1.0 - coverage)
    if math.isinf(dof):
        return -float(normal_quantile(tail))
    return -float(student_quantile(tail, float(math.floor(dof)) if whole else dof))
