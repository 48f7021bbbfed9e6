"""Pistons in bores, liners in parent bores and on their ledges, what stands above the deck."""

from __future__ import annotations

from fractions import Fraction as F

from sparkout.fits.forms import Fit, Term
from sparkout.fits.places import base_gasket, deck_at, gasket_of, of_cylinder, pin

__all__ = [
    "LINER_FIT",
    "LINER_PROTRUSION",
    "LINER_PROTRUSION_SPREAD",
    "PISTON_CLEARANCE",
    "PISTON_PIN_CLEARANCE",
    "PISTON_PROTRUSION",
    "PISTON_TO_HEAD",
    "SMALL_END_CLEARANCE",
    "SQUISH",
]

# STACK, what carries the piston up to the deck, is shared with the valve gear.

PISTON_CLEARANCE = Fit(
    "piston clearance",
    "bore",
    (
        Term(F(1), "bore diameter", of_cylinder("bore")),
        Term(F(-1), "piston skirt diameter", of_cylinder("piston")),
    ),
)

# + is interference, − is clearance; diametral.
LINER_FIT = Fit(
    "liner fit",
    "liner",
    (
        Term(F(1), "liner outside diameter", of_cylinder("liner")),
        Term(F(-1), "parent bore diameter", of_cylinder("parent bore")),
    ),
)

# + above the deck. The ledge is measured from the deck, so a deck cut makes it shallower.
LINER_PROTRUSION = Fit(
    "liner protrusion",
    "liner",
    (
        Term(F(1), "liner flange thickness", of_cylinder("liner")),
        Term(F(1), "liner shim thickness", of_cylinder("liner")),
        Term(F(-1), "ledge depth", of_cylinder("ledge")),
    ),
)

LINER_PROTRUSION_SPREAD = Fit(
    "liner protrusion spread",
    "liner",
    (Term(F(1), "ledge spread", of_cylinder("ledge")),),
)

STACK = (
    Term(F(1), "throw", pin),
    Term(F(1), "rod length", of_cylinder("rod")),
    Term(F(1), "compression height", of_cylinder("piston")),
    Term(F(-1), "deck height", deck_at),
)

# + above the deck at top dead centre.
PISTON_PROTRUSION = Fit("piston protrusion", "bore", STACK, by_change=True)

# Flat head face over a flat crown: what the compressed gasket leaves.
PISTON_TO_HEAD = Fit(
    "piston to head",
    "bore",
    (
        Term(F(1), "gasket thickness", gasket_of),
        *(Term(-term.weight, term.characteristic, term.where) for term in STACK),
    ),
    by_change=True,
)

# The same stack read at the squish band; a base gasket lifts the whole barrel.
SQUISH = Fit(
    "squish",
    "bore",
    (*PISTON_TO_HEAD.terms, Term(F(1), "base gasket thickness", base_gasket, optional=True)),
    by_change=True,
)

SMALL_END_CLEARANCE = Fit(
    "small end clearance",
    "rod",
    (
        Term(F(1), "rod bush diameter", of_cylinder("rod")),
        Term(F(-1), "piston pin diameter", of_cylinder("piston")),
    ),
)

PISTON_PIN_CLEARANCE = Fit(
    "piston pin clearance",
    "piston",
    (
        Term(F(1), "piston pin bore diameter", of_cylinder("piston")),
        Term(F(-1), "piston pin diameter", of_cylinder("piston")),
    ),
)
