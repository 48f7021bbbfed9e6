"""The one-number form T = K × d × F: quick, coarse, and honest only with a K for that state."""

from __future__ import annotations

from sparkout.mechanics import _bounds

__all__ = ["nut_factor", "preload_from_nut_factor", "torque_from_nut_factor"]


def nut_factor(torque: float, preload: float, major: float) -> float:
    """Nut factor K from a torque and the preload it gave.

    K = T ÷ (F × d).

    torque: tightening torque [N·m], above zero.
    preload: preload it gave [N], above zero.
    major: nominal thread diameter [mm], above zero.
    Returns K [-].
    Holds for that thread, lubricant, finish and speed only.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 8-26.
    Raises ValueError naming the number when one is out of range.

    >>> round(nut_factor(48.0, 29600.0, 10.0), 3)
    0.162
    """
    _bounds.above("torque", torque, 0.0, "N·m")
    _bounds.above("preload", preload, 0.0, "N")
    _bounds.above("major", major, 0.0, "mm")
    return 1000.0 * torque / (preload * major)


def torque_from_nut_factor(preload: float, major: float, factor: float) -> float:
    """Torque for a preload by the nut factor.

    T = K × d × F.

    preload: clamp load wanted [N], above zero.
    major: nominal thread diameter [mm], above zero.
    factor: nut factor K [-], 0.04 to 0.6.
    Returns the torque [N·m].
    Holds as coarsely as K is known; about 0.20 dry, 0.15 oiled, 0.12 with a special lubricant is
    common practice, a rule of thumb.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 8-27.
    Raises ValueError naming the number when one is out of range.

    >>> round(torque_from_nut_factor(30000.0, 10.0, 0.2), 1)
    60.0
    """
    _bounds.above("preload", preload, 0.0, "N")
    _bounds.above("major", major, 0.0, "mm")
    _bounds.within("factor", factor, 0.04, 0.6)
    return factor * major * preload / 1000.0


def preload_from_nut_factor(torque: float, major: float, factor: float) -> float:
    """Preload of a torque by the nut factor.

    F = T ÷ (K × d).

    torque: tightening torque [N·m], above zero.
    major: nominal thread diameter [mm], above zero.
    factor: nut factor K [-], 0.04 to 0.6.
    Returns the preload [N].
    Holds as coarsely as K is known: the same torque at 0.15 instead of 0.20 loads a third more.
    Source: Shigley's Mechanical Engineering Design, 10th edition, equation 8-27.
    Raises ValueError naming the number when one is out of range.

    >>> round(preload_from_nut_factor(60.0, 10.0, 0.15) / preload_from_nut_factor(60, 10, 0.2), 3)
    1.333
    """
    _bounds.above("torque", torque, 0.0, "N·m")
    _bounds.above("major", major, 0.0, "mm")
    _bounds.within("factor", factor, 0.04, 0.6)
    return 1000.0 * torque / (factor * major)
