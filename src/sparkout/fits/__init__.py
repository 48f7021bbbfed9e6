"""Every fit and stack-up of the trade, declared once, with its signs."""

from __future__ import annotations

from types import MappingProxyType

from sparkout.fits import bearings, cylinders, valve_gear
from sparkout.fits.forms import Fit, Instance, Term, evaluate, instances

__all__ = ["ALL_FITS", "FITS", "Fit", "Instance", "Term", "evaluate", "instances"]

ALL_FITS: tuple[Fit, ...] = tuple(
    value
    for room in (bearings, cylinders, valve_gear)
    for value in (getattr(room, name) for name in room.__all__)
)
FITS = MappingProxyType({fit.name: fit for fit in ALL_FITS})
