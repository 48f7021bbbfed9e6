"""What a fit is: a signed sum of sizes that the trade gives one name.

Declared once, a fit gives its value, its range (smallest hole with largest shaft), its uncertainty,
the planner's constraint, and the answer to 'which cut moves this, and which way'.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Feature, Frame
from sparkout.measure.estimate import Estimate

__all__ = ["Fit", "Instance", "Term", "evaluate", "instances"]

Where = Callable[[Frame, Feature], str | None]


@dataclass(frozen=True, slots=True)
class Term:
    """One size in a fit: how much of it, which characteristic, of which feature.

    where: finds the feature from the fit's own (the pin a rod sits on, the deck over a bore).
    """

    weight: Fraction
    characteristic: str
    where: Where


@dataclass(frozen=True, slots=True)
class Fit:
    """A fit of the trade, for every feature of one kind.

    by_change: the absolute sizes are seldom measured; where they are not, the fit is taken as read
    and moved by what changes in its terms. source: where the formula stands.
    """

    name: str
    kind: str
    terms: tuple[Term, ...]
    source: str = "common practice"
    by_change: bool = False


@dataclass(frozen=True, slots=True)
class Instance:
    """One fit of one feature, its terms resolved to keys.

    base: key of the reading that the fit starts from when it goes by change, else None.
    """

    name: str
    feature: str
    terms: tuple[tuple[Fraction, Key], ...]
    base: Key | None = None
    tags: tuple[str, ...] = ()

    @property
    def key(self) -> Key:
        return Key(self.feature, self.name)


def instances(fit: Fit, frame: Frame) -> tuple[Instance, ...]:
    """The fit for every feature of its kind that has all its partners."""
    found = []
    for feature in frame.of_kind(fit.kind):
        terms = []
        for term in fit.terms:
            partner = term.where(frame, feature)
            if partner is None:
                break
            terms.append((term.weight, Key(partner, term.characteristic)))
        else:
            found.append(Instance(fit.name, feature.name, tuple(terms), None, feature.tags))
    return tuple(found)


def evaluate(
    instance: Instance, sizes: Mapping[Key, Dimension]
) -> tuple[Estimate, Estimate] | None:
    """Lowest and highest value of a fit from the sizes at hand; None where one is missing.

    The lowest takes the lowest of what adds and the highest of what takes away. Components of one
    source add with their signs, so a shared setting master cancels as it should.
    """
    low: Estimate | None = None
    high: Estimate | None = None
    for weight, key in instance.terms:
        size = sizes.get(key)
        if size is None:
            return None
        first, second = (size.low, size.high) if weight > 0 else (size.high, size.low)
        low = first.scaled(weight) if low is None else low + first.scaled(weight)
        high = second.scaled(weight) if high is None else high + second.scaled(weight)
    if low is None or high is None:
        return None
    return low, high
