"""Leak-down and vacuum tests: shares, units and rates."""

from __future__ import annotations

from sparkout.mechanics import _bounds

__all__ = ["inhg_from_kpa", "kpa_from_inhg", "leak_down_share", "vacuum_loss_rate"]

_KPA_PER_INHG = 3.386389
"""Conventional inch of mercury (NIST SP 811, appendix B.8)."""


def kpa_from_inhg(inches_mercury: float) -> float:
    """Vacuum in kPa from inches of mercury.

    1 inHg = 3.386389 kPa.

    inches_mercury: vacuum below the air around [inHg], zero or more.
    Returns the same vacuum [kPa].
    Holds for the conventional inch of mercury.
    Source: NIST SP 811 (2008), appendix B.8.
    Raises ValueError when it is below zero.

    >>> round(kpa_from_inhg(20.0), 2)
    67.73
    """
    _bounds.at_least("inches_mercury", inches_mercury, 0.0, "inHg")
    return inches_mercury * _KPA_PER_INHG


def inhg_from_kpa(kilopascal: float) -> float:
    """Vacuum in inches of mercury from kPa.

    1 inHg = 3.386389 kPa.

    kilopascal: vacuum below the air around [kPa], zero or more.
    Returns the same vacuum [inHg].
    Holds for the conventional inch of mercury.
    Source: NIST SP 811 (2008), appendix B.8.
    Raises ValueError when it is below zero.

    >>> round(inhg_from_kpa(67.73), 2)
    20.0
    """
    _bounds.at_least("kilopascal", kilopascal, 0.0, "kPa")
    return kilopascal / _KPA_PER_INHG


def leak_down_share(supply: float, cylinder: float) -> float:
    """Leak-down as a share of the supply pressure.

    share = (supply − cylinder) ÷ supply.

    supply: gauge pressure before the orifice, in any unit [-], above zero.
    cylinder: gauge pressure behind it, in the same unit [-], from 0 to the supply.
    Returns the share lost [-], 0 to 1.
    Holds for one tester: another orifice gives another share, so name the tester beside it.
    Source: FAA AC 43.13-1B, 8-14 (differential pressure test); form as common practice prints it.
    Raises ValueError naming the pressure that is out of range.

    >>> leak_down_share(80.0, 60.0)
    0.25
    """
    _bounds.above("supply", supply, 0.0)
    _bounds.within("cylinder", cylinder, 0.0, supply)
    return (supply - cylinder) / supply


def vacuum_loss_rate(start_kpa: float, end_kpa: float, seconds: float) -> float:
    """How fast a vacuum test loses vacuum.

    rate = (start − end) ÷ time.

    start_kpa: vacuum at the start [kPa], zero or more.
    end_kpa: vacuum at the end [kPa], from 0 to the start.
    seconds: between the two [s], above zero.
    Returns the loss [kPa/s].
    Holds for one rig and port: it depends on the volume, and the rig's own leak is in it.
    Source: definition; limits are the shop's own, common practice.
    Raises ValueError naming the number that is out of range.

    >>> round(vacuum_loss_rate(67.7, 60.0, 10.0), 2)
    0.77
    """
    _bounds.at_least("start_kpa", start_kpa, 0.0, "kPa")
    _bounds.within("end_kpa", end_kpa, 0.0, start_kpa, "kPa")
    _bounds.above("seconds", seconds, 0.0, "s")
    return (start_kpa - end_kpa) / seconds
