"""Whether a valve's follower is on the base circle: what a crank position to set it at means."""

from __future__ import annotations

from fractions import Fraction
from types import MappingProxyType

from sparkout.assembly.phases import CYCLE
from sparkout.sheet.assembly_model import CamEvents

__all__ = ["ASSUMED", "ASSUMED_RAMP", "clear_of_lobe"]

ASSUMED = CamEvents(Fraction(320), Fraction(620), Fraction(100), Fraction(400), Fraction(20))
"""Events wider than those of road and industrial engines: intake 40° before top to 80° after
bottom, exhaust 80° before bottom to 40° after top, with 20° of ramp either side. A rule of thumb.
"""

ASSUMED_RAMP = Fraction(20)
"""Ramp taken where the sheet gives events without one [crank °]. A rule of thumb."""

_SIDES = MappingProxyType({"intake": 0, "exhaust": 1})


def clear_of_lobe(side: str, crank: Fraction, events: CamEvents = ASSUMED) -> Fraction:
    """How far a follower stands from the ramps of its lobe, on the base circle.

    With a = crank mod 720 from the cylinder's firing top dead centre, opening o and closing c of
    the valve and ramp r: the least of (o − r − a) mod 720 and (a − c − r) mod 720 while a lies
    outside (o − r, c + r); below zero inside it.

    side: 'intake' or 'exhaust' [-].
    crank: crank angle from the cylinder's own firing top dead centre [°].
    events: where its valves open and close [crank °].
    Returns the clearance either way [crank °]; zero is the very end of a ramp, below zero is lift.
    Holds for four-stroke engines with one opening in a cycle.
    Source: definition of the base circle; the assumed events are a rule of thumb.
    Raises ValueError when the side is neither.

    >>> int(clear_of_lobe("intake", Fraction(180))), clear_of_lobe("exhaust", Fraction(180)) < 0
    (120, True)
    """
    if side not in _SIDES:
        raise ValueError(f"side is {side!r}; it has to be 'intake' or 'exhaust'")
    ramp = ASSUMED_RAMP if events.ramp is None else events.ramp
    if side == "intake":
        opens, closes = events.intake_opens - ramp, events.intake_closes + ramp
    else:
        opens, closes = events.exhaust_opens - ramp, events.exhaust_closes + ramp
    lifted = closes - opens
    past_opening = (Fraction(crank) - opens) % CYCLE
    if lifted >= CYCLE:
        return -CYCLE
    if past_opening > lifted:
        return min(past_opening - lifted, CYCLE - past_opening)
    return -min(past_opening, lifted - past_opening)
