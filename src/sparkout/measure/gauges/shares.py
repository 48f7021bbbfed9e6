"""Which source to improve first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.measure.estimate import Component, combine
from sparkout.measure.gauges.sources import gauge_of

__all__ = ["Share", "shares", "what_to_improve"]


class Share(NamedTuple):
    """A source and the share of the combined variance it makes."""

    source: str
    share: float


def shares(components: Sequence[Component]) -> tuple[Share, ...]:
    """Sources by their share of the combined variance, largest first.

    share = u²/Σu², contributions of one source added first.

    components: those that share a source are added up first [any unit], any number.
    Returns the shares; none where nothing is uncertain.
    Holds for independent sources.
    Source: JCGM 100:2008 (GUM), 5.1.2 (terms of the combined variance).

    >>> found = shares((Component("ring", 0.003), Component("gauge", 0.004)))
    >>> [(row.source, round(row.share, 2)) for row in found]
    [('gauge', 0.64), ('ring', 0.36)]
    """
    parts = combine(components)
    total = math.fsum(part.u**2 for part in parts)
    found = [Share(part.source, part.u**2 / total) for part in parts]
    return tuple(sorted(found, key=lambda row: -row.share))


def what_to_improve(components: Sequence[Component]) -> str:
    """One plain sentence: what makes most of the doubt and what would lower it.

    By the largest share and the kind of its source.

    components: of the estimate in doubt, named as `reading_components` names them [any unit].
    Returns the sentence.
    Holds for sources named by this package; others are named without advice.
    Source: common practice.

    >>> what_to_improve((Component("OM-2 calibration", 0.004), Component("ring", 0.003)))
    'OM-2 calibration makes 64 % of the doubt: use a gauge with a better certificate than OM-2.'
    """
    found = shares(components)
    if not found:
        return "Nothing is uncertain here."
    source, share = found[0]
    return f"{source} makes {100.0 * share:.0f} % of the doubt{_advice(source)}."


def _advice(source: str) -> str:
    if source.startswith("blades"):
        return ": try the blades in between"
    if source.startswith("resolution"):
        return ": use a gauge with a finer step"
    if source.startswith("repeatability"):
        return ": read it several times and take the mean"
    gauge = gauge_of(source)
    if gauge:
        return f": use a gauge with a better certificate than {gauge}"
    if source.endswith(" shop default"):
        gauge = source.removesuffix(" shop default")
        return f": register {gauge}, so that its own figures count"
    if source.startswith("expansion of"):
        return ": let the part take 20 °C, then the coefficient does not count"
    return ""
