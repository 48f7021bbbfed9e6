"""Bob-weights for balancing a crank, and the unbalance a balancing grade permits."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["PermissibleUnbalance", "bob_weight", "permissible_unbalance", "rod_ends"]


class PermissibleUnbalance(NamedTuple):
    """Whole rotor and its share on each of two balancing planes [g·mm]."""

    whole: float
    left: float
    right: float


def rod_ends(total: float, big_end: float) -> tuple[float, float]:
    """Weights of a rod's two ends, from the whole rod and the big end on the scale.

    small end = total − big end.

    total: whole rod with bolts [g], above zero.
    big_end: reading with the small end hung level [g], above zero, below the total.
    Returns rotating (big) and reciprocating (small) end [g].
    Holds for the two-mass model; both ends' centres level on the scale.
    Source: common practice.
    Raises ValueError naming the number when one is out of range.

    >>> rod_ends(640.0, 450.0)
    (450.0, 190.0)
    """
    _bounds.above("big_end", big_end, 0.0, "g")
    _bounds.above("total", total, big_end, "g")
    return big_end, total - big_end


def bob_weight(
    rotating: float, reciprocating: float, rods_per_pin: int, reciprocating_share: float
) -> float:
    """Bob-weight to hang on a crank pin while the crank is balanced.

    W = n × (rotating + share × reciprocating).

    rotating: big end with shells and the oil in the pin, one rod [g], above zero.
    reciprocating: small end, piston, pin, rings and locks, one rod [g], above zero.
    rods_per_pin: rods on the pin [-], 1 or 2.
    reciprocating_share: share of the reciprocating weight [-], 0 to 1: with 0.5 the part that
    turns with the crank vanishes in every layout; for a 90° V with two rods a pin nothing is left.
    Returns the bob-weight [g].
    Holds for cranks balanced with bob-weights (V engines); inline fours and sixes need none.
    Source: common practice; the half follows from `shaking`.
    Raises ValueError naming the number when one is out of range.

    >>> bob_weight(520.0, 700.0, 2, 0.5)
    1740.0
    """
    _bounds.above("rotating", rotating, 0.0, "g")
    _bounds.above("reciprocating", reciprocating, 0.0, "g")
    _bounds.within("rods_per_pin", rods_per_pin, 1, 2)
    _bounds.within("reciprocating_share", reciprocating_share, 0.0, 1.0)
    return rods_per_pin * (rotating + reciprocating_share * reciprocating)


def permissible_unbalance(
    grade: float,
    mass_kg: float,
    service_rev_per_min: float,
    left_distance: float = 1.0,
    right_distance: float = 1.0,
) -> PermissibleUnbalance:
    """Residual unbalance a balancing grade permits, whole and on two planes.

    U = 1000 × G × m ÷ ω; left plane U × b ÷ (a + b), right plane U × a ÷ (a + b), with a and b the
    distances of the centre of mass from the left and right plane.

    grade: balance quality grade G, such as 6.3 or 16 [mm/s], above zero.
    mass_kg: of the rotor as balanced [kg], above zero.
    service_rev_per_min: highest speed in service [1/min], above zero.
    left_distance: centre of mass to the left plane [mm], zero or more.
    right_distance: centre of mass to the right plane [mm], zero or more.
    Returns the permissible residual unbalance [g·mm].
    Holds for rigid rotors with the centre of mass between the planes; the grade is the customer's
    or maker's word (ISO 21940-11 lists G 16 to G 40 for crank drives of engines, recalled from
    memory).
    Source: ISO 21940-11:2016, 6 and 7.
    Raises ValueError naming the number when one is out of range.

    >>> round(permissible_unbalance(6.3, 20.0, 6000.0).whole)
    201
    """
    _bounds.above("grade", grade, 0.0, "mm/s")
    _bounds.above("mass_kg", mass_kg, 0.0, "kg")
    _bounds.above("service_rev_per_min", service_rev_per_min, 0.0, "1/min")
    _bounds.at_least("left_distance", left_distance, 0.0, "mm")
    _bounds.at_least("right_distance", right_distance, 0.0, "mm")
    span = left_distance + right_distance
    _bounds.above("left_distance and right_distance together", span, 0.0, "mm")
    whole = 1000.0 * grade * mass_kg / (service_rev_per_min * math.pi / 30.0)
    return PermissibleUnbalance(whole, whole * right_distance / span, whole * left_distance / span)
