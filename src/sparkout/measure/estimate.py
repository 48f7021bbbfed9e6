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
    """

    source: str
    u: float
    shape: Shape = Shape.NORMAL
    dof: float = math.inf

    def scaled(self, factor: float) -> Component:
        return Component(self.source, self.u * factor, self.shape, self.dof)


def combine(components: Iterable[Component]) -> tuple[Component, ...]:
    """Add up components that share a source (they are one error), keep the rest apart."""
    by_source: dict[str, Component] = {}
    for part in components:
        known = by_source.get(part.source)
        by_source[part.source] = (
            part
            if known is None
            else Component(part.source, known.u + part.u, known.shape, min(known.dof, part.dof))
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
        return math.sqrt(math.fsum(part.u * part.u for part in self.components))

    def __add__(self, other: Estimate) -> Estimate:
        return Estimate(
            self.value + other.value, combine((*self.components, *other.components))
        )

    def __sub__(self, other: Estimate) -> Estimate:
        return self + other.scaled(-1)

    def scaled(self, factor: Fraction | int) -> Estimate:
        weight = float(factor)
        return Estimate(
            self.value * factor, tuple(part.scaled(weight) for part in self.components)
        )

    def shifted(self, by: Fraction | int) -> Estimate:
        return Estimate(self.value + by, self.components)

    def with_components(self, *more: Component) -> Estimate:
        return Estimate(self.value, combine((*self.components, *more)))
