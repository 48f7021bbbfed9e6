"""A value with what is not known about it: the one number type that judging and planning share.

An estimate carries an exact value and its uncertainty components. Components are named by where
they come from, so that two readings taken from one setting master share its error, and a sum or
difference of estimates adds or cancels it as it should (JCGM 100:2008, 5.2, full correlation
through a common source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

__all__ = ["Component", "Estimate", "Shape", "combine"]

# What is left of a shared error after it cancels is rounding, not a component.
_ROUNDING = 1e-12


class Shape(StrEnum):
    """The distribution of one component of uncertainty."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    STUDENT = "student"


@dataclass(frozen=True, slots=True)
class Component:
    """One component of uncertainty.

    source: what it comes from; the same source is the same error ("ring RM-100", "strip gap deck").
    u: sensitivity × standard uncertainty, in the unit of the value; the sign is the sensitivity's.
    For a rectangular one of half-width a, |u| = a/√3; triangular a/√6. For a Student component u is
    the scale s of t_dof·s (the tabulated standard uncertainty of GUM), not its standard deviation.
    dof: degrees of freedom of u. For a Student component they are those of the distribution; for a
    rectangular or triangular one they say how well its limits are known (JCGM 100:2008, G.4.2) and
    count in an effective number of degrees of freedom only. A normal one has none that are finite.
    """

    source: str
    u: float
    shape: Shape = Shape.NORMAL
    dof: float = math.inf

    def __post_init__(self) -> None:
        if not math.isfinite(self.u):
            raise ValueError(f"component {self.source!r}: uncertainty {self.u} is not a number")
        if not self.dof >= 1.0:
            raise ValueError(
                f"component {self.source!r}: degrees of freedom {self.dof} are below 1"
            )
        if self.shape is Shape.NORMAL and self.dof != math.inf:
            raise ValueError(
                f"component {self.source!r}: a normal one with {self.dof} degrees of freedom;"
                " an uncertainty from that many readings has Shape.STUDENT"
            )

    def scaled(self, factor: float) -> Component:
        return Component(self.source, self.u * factor, self.shape, self.dof)


def combine(components: Iterable[Component]) -> tuple[Component, ...]:
    """Add up components that share a source (they are one error), keep the rest apart.

    u = Σu of one source, each with its sign; degrees of freedom are the fewest of them.

    components: contributions to one value, in any order [unit of the value], any number.
    Returns one component for each source that is left, in order of first appearance; a sum that
    cancels to rounding leaves none.
    Holds for sources named so that the same name is the same error.
    Source: JCGM 100:2008 (GUM), 5.2.2, note 1 (fully correlated inputs add linearly).
    Raises ValueError where one source comes with two shapes: one error has one distribution.

    >>> combine((Component("ring", 0.003), Component("gauge", 0.001), Component("ring", -0.001)))
    (Component(source='ring', u=0.002, shape=<Shape.NORMAL: 'normal'>, dof=inf), \
Component(source='gauge', u=0.001, shape=<Shape.NORMAL: 'normal'>, dof=inf))
    """
    by_source: dict[str, Component] = {}
    shared: dict[str, float] = {}
    for part in components:
        known = by_source.get(part.source)
        if known is None:
            by_source[part.source] = part
            continue
        if known.shape is not part.shape:
            raise ValueError(
                f"source {part.source!r} comes as {known.shape} and as {part.shape};"
                " one error has one distribution"
            )
        largest = max(shared.get(part.source, abs(known.u)), abs(part.u))
        shared[part.source] = largest
        total = known.u + part.u
        by_source[part.source] = Component(
            part.source,
            total if abs(total) > _ROUNDING * largest else 0.0,
            known.shape,
            min(known.dof, part.dof),
        )
    return tuple(part for part in by_source.values() if part.u != 0.0)


@dataclass(frozen=True, slots=True)
class Estimate:
    """An exact value and the components of its uncertainty (mm unless its owner says otherwise)."""

    value: Fraction
    components: tuple[Component, ...] = ()

    @property
    def u(self) -> float:
        """Combined standard uncertainty; components with different sources are independent."""
        return math.sqrt(math.fsum(part.u * part.u for part in combine(self.components)))

    def __add__(self, other: Estimate) -> Estimate:
        return Estimate(self.value + other.value, combine((*self.components, *other.components)))

    def __sub__(self, other: Estimate) -> Estimate:
        return self + other.scaled(-1)

    def scaled(self, factor: Fraction | int) -> Estimate:
        weight = float(factor)
        return Estimate(self.value * factor, tuple(part.scaled(weight) for part in self.components))

    def shifted(self, by: Fraction | int) -> Estimate:
        return Estimate(self.value + by, self.components)

    def with_components(self, *more: Component) -> Estimate:
        return Estimate(self.value, combine((*self.components, *more)))
