"""Running clearances of shafts in shells, and the shaft's end play. All diametral but end play."""

from __future__ import annotations

from fractions import Fraction as F

from sparkout.fits.forms import Fit, Term
from sparkout.fits.places import of_cylinder, one, pin, same_number

__all__ = ["END_PLAY", "MAIN_OIL_CLEARANCE", "ROD_OIL_CLEARANCE"]

# A shell lies in the bore twice across a diameter: its wall counts double.
MAIN_OIL_CLEARANCE = Fit(
    "main oil clearance",
    "main journal",
    (
        Term(F(1), "main housing diameter", same_number("main housing")),
        Term(F(-2), "main shell wall", same_number("main shell")),
        Term(F(-1), "main journal diameter", same_number("main journal")),
    ),
)

ROD_OIL_CLEARANCE = Fit(
    "rod oil clearance",
    "rod",
    (
        Term(F(1), "rod housing diameter", of_cylinder("rod")),
        Term(F(-2), "rod shell wall", of_cylinder("rod shell")),
        Term(F(-1), "rod journal diameter", pin),
    ),
)

# The gap that the washers stand in is seldom measured bare; it is the end play as found plus both
# old washers, which the state works out.
END_PLAY = Fit(
    "end play",
    "crankshaft",
    (
        Term(F(1), "thrust gap", one("crankshaft")),
        Term(F(-2), "thrust washer thickness", one("crankshaft")),
    ),
)
