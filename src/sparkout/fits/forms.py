"""What a fit is: a signed sum of sizes that the trade gives one name.

Declared once, a fit gives its value, its range (smallest hole with largest shaft), its uncertainty,
the planner's constraint, and the answer to 'which cut moves this, and which way'.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Feature, Frame
from sparkout.measure.estimate import Component, Estimate, combine

__all__ = ["Fit", "Instance", "Term", "evaluate", "instances"]

Where = Callable[[Frame, Feature], str | None]

NO_GEOMETRY: Mapping[str, Fraction] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Term:
    """One size in a fit: how much of it, which characteristic, of which feature.

    where: finds the feature from the fit's own (the pin a rod sits on, the deck over a bore). over:
    a figure of the engine's geometry that divides the weight (the rocker ratio). optional: left out
    on engines without that feature (a base gasket).
    """

    weight: Fraction
    characteristic: str
    where: Where
    over: str = ""
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Fit:
    """A fit of the trade, for every feature of one kind.

    by_change: the absolute sizes are seldom measured; where they are not, the fit is taken as read
    and moved by what changes in its terms. whole: the terms add up to the fit; where they do not
    (a lash needs the whole valve gear), it always goes by change. source: where the formula stands.
    """

    name: str
    kind: str
    terms: tuple[Term, ...]
    source: str = "common practice"
    by_change: bool = False
    whole: bool = True


@dataclass(frozen=True, slots=True)
class Instance:
    """One fit of one feature, its terms resolved to keys: Σ weight × size + constant.

    inner: fits inside this fit, with their weights (a ratio is made of volumes). by_change: may be
    taken as read and moved by what changes in its terms.
    """

    name: str
    feature: str
    terms: tuple[tuple[Fraction, Key], ...]
    tags: tuple[str, ...] = ()
    by_change: bool = False
    constant: Fraction | None = Fraction(0)
    inner: tuple[tuple[Fraction, Instance], ...] = ()

    @property
    def key(self) -> Key:
        return Key(self.feature, self.name)


def instances(
    fit: Fit, frame: Frame, geometry: Mapping[str, Fraction] = NO_GEOMETRY
) -> tuple[Instance, ...]:
    """The fit for every feature of its kind that has all its partners (and figures) it needs."""
    found = []
    for feature in frame.of_kind(fit.kind):
        terms = []
        for term in fit.terms:
            partner = term.where(frame, feature)
            divisor = geometry.get(term.over) if term.over else Fraction(1)
            if partner is None and term.optional:
                continue
            if partner is None or not divisor:
                break
            terms.append((term.weight / divisor, Key(partner, term.characteristic)))
        else:
            found.append(
                Instance(
                    fit.name,
                    feature.name,
                    tuple(terms),
                    feature.tags,
                    fit.by_change,
                    Fraction(0) if fit.whole else None,
                )
            )
    return tuple(found)


def evaluate(
    instance: Instance, sizes: Mapping[Key, Dimension]
) -> tuple[Estimate, Estimate] | None:
    """Lowest and highest value of a fit from the sizes at hand; None where one is missing.

    The lowest takes the lowest of what adds and the highest of what takes away. Components of one
    source add with their signs, so a shared setting master cancels as it should.
    """
    if instance.constant is None:
        return None
    parts: list[tuple[Fraction, Estimate, Estimate]] = []
    for weight, key in instance.terms:
        size = sizes.get(key)
        if size is None:
            return None
        parts.append((weight, size.low, size.high))
    for weight, inner in instance.inner:
        read = sizes.get(inner.key)
        value = (read.low, read.high) if read is not None else evaluate(inner, sizes)
        if value is None:
            return None
        parts.append((weight, *value))
    lows = [(w, low if w > 0 else high) for w, low, high in parts]
    low = _sum(instance.constant, lows)
    if all(least is most for _, least, most in parts):
        return low, low
    return low, _sum(instance.constant, [(w, high if w > 0 else low) for w, low, high in parts])


def _sum(constant: Fraction, parts: Sequence[tuple[Fraction, Estimate]]) -> Estimate:
    """Σ weight × estimate + constant, all errors added up at once."""
    total = constant
    errors: list[Component] = []
    for weight, part in parts:
        if weight == 1:
            total += part.value
            errors += part.components
        else:
            total += weight * part.value
            factor = float(weight)
            errors += [error.scaled(factor) for error in part.components]
    return Estimate(total, combine(errors))
