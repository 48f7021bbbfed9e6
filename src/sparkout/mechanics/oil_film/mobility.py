"""Mobility of a plain bearing: how fast a load squeezes the journal through the film, and where to.

Directions are those of the load on the journal. With ξ along it and η square to it (both of the
eccentricity vector), dε/dt = F (c/r)² ÷ (µ L D) × M(ξ, η) + mean surface spin × ε (J. F. Booker).

Two films: "short" is Booker's short bearing. "finite" keeps his form and adds a fit, made here, to
1050 grid solutions of Reynolds' equation with its rupture condition, l/d 0.2 to 1 and ε to 0.99:
components within 3 % of the size of M (1 % in the mean). Its limits stay exact: ξ to 1 is a
cylinder closing on a plane (0.150 = 2 ÷ (3 √2 π) of the bare form), a narrow bearing is "short".
"""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.oil_film._film import brackets

__all__ = ["Mobility", "mobility"]

LEAST_RATIO, MOST_RATIO = 0.2, 1.0
"""Length over diameter [-] for which the finite film was fitted."""


class Mobility(NamedTuple):
    """Components of the mobility vector [-]: along the load and square to it (anticlockwise)."""

    along: float
    aside: float


def mobility(length_ratio: float, along: float, aside: float, film: str = "finite") -> Mobility:
    """Mobility of a journal at a place in the clearance circle.

    short: M = ((1 − ξ)^(5/2) ÷ π, −4 η (1 − ξ)^(3/2) ÷ π²) × (D/L)²; finite, q = (1 − ξ)(D/L)²:
    M = ((1 − ξ)^(3/2) (0.150 + q ÷ π + fit), −η (1 − ξ)^(1/2) (0.1125 + 4 q ÷ π² + fit)).

    length_ratio: length over diameter [-], 0.2 to 1 for the finite film, above 0 for the short.
    along: eccentricity along the load [-].
    aside: eccentricity square to the load, anticlockwise positive [-], inside the unit circle.
    film: "finite" or "short" [-].
    Returns both components [-].
    Holds for a round, rigid, full bearing; short flatters the film above l/d 0.25.
    Source: J. F. Booker, Journal of Basic Engineering 87 (1965) 537 (short); H. Moes and R. Bosma
    (1971) for the form of the finite film, both recalled from memory; the fit is our own.
    Raises ValueError naming the number when one is out of range.

    >>> m = mobility(0.5, 0.8, -0.2); round(m.along, 4), round(m.aside, 4)
    (0.0394, 0.049)
    """
    if film not in {"finite", "short"}:
        raise ValueError(f"film is {film!r}; it has to be 'finite' or 'short'")
    if film == "finite":
        _bounds.within("length_ratio", length_ratio, LEAST_RATIO, MOST_RATIO)
    _bounds.above("length_ratio", length_ratio, 0.0)
    _bounds.below("eccentricity", math.hypot(along, aside), 1.0)
    gap = 1.0 - along
    q = gap / length_ratio**2
    bracket = brackets(along, aside, q, math.sqrt(q), gap, 1.0 if film == "finite" else 0.0)
    return Mobility(gap**1.5 * bracket[0], -aside * math.sqrt(gap) * bracket[3])
