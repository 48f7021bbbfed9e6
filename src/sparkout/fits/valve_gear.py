"""Stems in guides, camshaft in bushes, followers in bores, and what head work moves."""

from __future__ import annotations

from fractions import Fraction as F

from sparkout.fits.forms import Fit, Term
from sparkout.fits.places import of_cylinder, of_valve, same_number

__all__ = ["CAM_CLEARANCE", "FOLLOWER_CLEARANCE", "INJECTOR_PROJECTION", "STEM_CLEARANCE"]

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
