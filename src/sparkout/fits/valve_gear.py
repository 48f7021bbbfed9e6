"""Stems in guides, camshaft in bushes, followers in bores, and what head work moves."""

from __future__ import annotations

from fractions import Fraction as F

from sparkout.fits.cylinders import STACK
from sparkout.fits.forms import Fit, Term
from sparkout.fits.places import (
    base_gasket,
    deck_at,
    gasket_of,
    head_of,
    of_cylinder,
    of_valve,
    one,
    same_number,
)

__all__ = [
    "CAM_CLEARANCE",
    "CAM_TIMING",
    "FOLLOWER_CLEARANCE",
    "HYDRAULIC_PRELOAD",
    "INJECTOR_PROJECTION",
    "STEM_CLEARANCE",
    "VALVE_LASH",
    "VALVE_TO_PISTON",
]

STEM_CLEARANCE = Fit(
    "stem clearance",
    "guide",
    (
        Term(F(1), "guide diameter", of_valve("guide")),
        Term(F(-1), "stem diameter", of_valve("valve")),
    ),
)

CAM_CLEARANCE = Fit(
    "cam clearance",
    "cam journal",
    (
        Term(F(1), "cam bush diameter", same_number("cam bush")),
        Term(F(-1), "cam journal diameter", same_number("cam journal")),
    ),
)

FOLLOWER_CLEARANCE = Fit(
    "follower clearance",
    "follower",
    (
        Term(F(1), "follower bore diameter", of_valve("follower")),
        Term(F(-1), "follower diameter", of_valve("follower")),
    ),
)

# The reach is the injector's length below its seat; a head cut brings the face nearer to the tip.
INJECTOR_PROJECTION = Fit(
    "injector projection",
    "injector",
    (
        Term(F(1), "injector reach", of_cylinder("injector")),
        Term(F(-1), "injector washer thickness", of_cylinder("injector")),
    ),
    by_change=True,
)

# Cam in the block, rocker shaft on the head: whatever brings the head nearer to the cam pushes the
# plunger in; a valve tip that rises pushes it in by its rise over the rocker ratio. Deck height is
# read from the crank: where that is lifted by honing its housings, the cam comes nearer to it by
# the same and stays where it was to the deck.
HYDRAULIC_PRELOAD = Fit(
    "hydraulic preload",
    "follower",
    (
        Term(F(-1), "deck height", deck_at),
        Term(F(1), "crank to cam", one("block")),
        Term(F(-1), "head height", head_of),
        Term(F(-1), "gasket thickness", gasket_of),
        Term(F(1), "tip height", of_valve("valve"), "rocker ratio"),
    ),
    by_change=True,
    whole=False,
)

# Bucket and shim under an overhead cam: the tip rises when the valve sinks; deck and head cuts do
# not enter, because cam and valve sit in the same head.
VALVE_LASH = Fit(
    "valve lash",
    "valve",
    (
        Term(F(-1), "tip height", of_valve("valve")),
        Term(F(-1), "lash shim", of_valve("valve")),
    ),
    by_change=True,
    whole=False,
)

VALVE_TO_PISTON = Fit(
    "valve to piston",
    "valve",
    (
        Term(F(1), "valve recession", of_valve("seat")),
        Term(F(1), "gasket thickness", gasket_of),
        Term(F(1), "base gasket thickness", base_gasket, optional=True),
        *(Term(-term.weight, term.characteristic, term.where) for term in STACK),
    ),
    by_change=True,
    whole=False,
)

# Degrees of crank; + is advanced. A plain tight run of chain: the cam turns back by what the
# centres come together over the pitch radius of its sprocket; twice that at the crank.
# 360/π = 114.59156.
_RADIUS = "cam sprocket pitch radius"
_PER_MM = F(11459156, 100_000)
CAM_TIMING = Fit(
    "cam timing error",
    "camshaft",
    (
        Term(_PER_MM, "deck height", one("deck at bore 1"), _RADIUS),
        Term(_PER_MM, "head height", one("head"), _RADIUS),
        Term(_PER_MM, "gasket thickness", one("head gasket"), _RADIUS),
        Term(_PER_MM, "base gasket thickness", base_gasket, _RADIUS, optional=True),
    ),
    by_change=True,
    whole=False,
)
