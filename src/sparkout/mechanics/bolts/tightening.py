"""Torque and preload, with the friction of thread and bearing face kept apart."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.bolts.threads import Thread

__all__ = [
    "Friction",
    "PreloadRange",
    "Torque",
    "friction_from_test",
    "preload_for_torque",
    "preload_range",
    "tightening_torque",
]

_FLANK = math.cos(math.pi / 6.0)
"""Cosine of half the 60-degree profile angle: friction on a flank works with µ ÷ cos 30°."""


class Torque(NamedTuple):
    """Where the torque goes [N·m]: lifting the pitch, thread friction, friction under the head."""

    pitch: float
    thread: float
    bearing: float

    @property
    def total(self) -> float:
        return self.pitch + self.thread + self.bearing

    @property
    def in_shank(self) -> float:
        """What twists the shank: pitch and thread friction."""
        return self.pitch + self.thread


class Friction(NamedTuple):
    """Coefficients of friction found on a test bench [-]."""

    thread: float
    bearing: float
    total: float


class PreloadRange(NamedTuple):
    """Preload at one torque for a range of friction [N]."""

    low: float
    high: float

    @property
    def scatter(self) -> float:
        """Highest over lowest [-]."""
        return self.high / self.low


def _check_friction(thread_friction: float, bearing_friction: float) -> None:
    _bounds.within("thread_friction", thread_friction, 0.0, 0.6)
    _bounds.within("bearing_friction", bearing_friction, 0.0, 0.6)


def _thread_arm(thread: Thread, friction: float) -> float:
    """Torque in the thread per newton of preload [mm]: (d2 ÷ 2) × tan(lead + friction angle)."""
    lead = thread.pitch / (math.pi * thread.pitch_diameter)
    rub = friction / _FLANK
    return thread.pitch_diameter / 2.0 * (lead + rub) / (1.0 - lead * rub)


def tightening_torque(
    thread: Thread,
    preload: float,
    thread_friction: float,
    bearing_friction: float,
    bearing_diameter: float,
) -> Torque:
    """Torque that gives a preload, split into pitch, thread and bearing face.

    T = F × [½ × (P + 1.154 π µth d2) ÷ (π − 1.154 µth P ÷ d2) + µb × Db ÷ 2].

    thread: the thread's sizes [mm].
    preload: clamp load wanted [N], above zero.
    thread_friction: coefficient of friction in the thread [-], 0 to 0.6.
    bearing_friction: coefficient of friction under the turned head or nut [-], 0 to 0.6.
    bearing_diameter: mean diameter of the turned face, (outside + hole) ÷ 2 [mm], above zero.
    Returns the parts of the torque [N·m].
    Holds for tightening, single-start 60-degree threads, elastic bolts.
    Source: ISO 16047:2005, equation for tightening torque; VDI 2230-1 rounds it to
    F × (0.16 P + 0.58 d2 µ + µ Db ÷ 2).
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(tightening_torque(metric_thread("M10x1.25"), 31600.0, 0.12, 0.12, 12.8).total)
    51
    """
    _bounds.above("preload", preload, 0.0, "N")
    _check_friction(thread_friction, bearing_friction)
    _bounds.above("bearing_diameter", bearing_diameter, 0.0, "mm")
    pitch = preload * thread.pitch / (2.0 * math.pi) / 1000.0
    in_shank = preload * _thread_arm(thread, thread_friction) / 1000.0
    bearing = preload * bearing_friction * bearing_diameter / 2.0 / 1000.0
    return Torque(pitch, in_shank - pitch, bearing)


def preload_for_torque(
    thread: Thread,
    torque: float,
    thread_friction: float,
    bearing_friction: float,
    bearing_diameter: float,
) -> float:
    """Preload that a torque gives.

    F = T ÷ [½ × (P + 1.154 π µth d2) ÷ (π − 1.154 µth P ÷ d2) + µb × Db ÷ 2].

    thread: the thread's sizes [mm].
    torque: tightening torque [N·m], above zero.
    thread_friction: coefficient of friction in the thread [-], 0 to 0.6.
    bearing_friction: coefficient of friction under the turned head or nut [-], 0 to 0.6.
    bearing_diameter: mean diameter of the turned face [mm], above zero.
    Returns the preload [N].
    Holds as `tightening_torque`, of which it is the inverse; check the share of yield with it.
    Source: ISO 16047:2005, equation for tightening torque.
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(preload_for_torque(metric_thread("M10x1.25"), 51.0, 0.12, 0.12, 12.8), -2)
    31700.0
    """
    _bounds.above("torque", torque, 0.0, "N·m")
    per_newton = tightening_torque(
        thread, 1.0, thread_friction, bearing_friction, bearing_diameter
    ).total
    return torque / per_newton


def preload_range(
    thread: Thread,
    torque: float,
    friction_low: float,
    friction_high: float,
    bearing_diameter: float,
) -> PreloadRange:
    """Lowest and highest preload of one torque over a range of friction.

    F at the highest friction and at the lowest, the same in thread and under the head.

    thread: the thread's sizes [mm].
    torque: tightening torque [N·m], above zero.
    friction_low: lowest coefficient of friction [-], 0 to 0.6.
    friction_high: highest coefficient of friction [-], friction_low to 0.6.
    bearing_diameter: mean diameter of the turned face [mm], above zero.
    Returns both preloads [N].
    Holds as `tightening_torque`; scatter of the tool itself comes on top.
    Source: ISO 16047:2005, equation for tightening torque.
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(preload_range(metric_thread("M10x1.25"), 51.0, 0.10, 0.16, 12.8).scatter, 2)
    1.51
    """
    _bounds.ordered("friction_low", friction_low, "friction_high", friction_high)
    return PreloadRange(
        preload_for_torque(thread, torque, friction_high, friction_high, bearing_diameter),
        preload_for_torque(thread, torque, friction_low, friction_low, bearing_diameter),
    )


def friction_from_test(
    thread: Thread, preload: float, torque: float, thread_torque: float, bearing_diameter: float
) -> Friction:
    """Friction found on a test bench from preload, torque and the torque in the thread.

    µth from inverting ½ × (P + 1.154 π µ d2) ÷ (π − 1.154 µ P ÷ d2) = Tth ÷ F;
    µb = 2 (T − Tth) ÷ (F Db); µtot = (T ÷ F − P ÷ 2π) ÷ (0.577 d2 + 0.5 Db).

    thread: the thread's sizes [mm].
    preload: measured [N], above zero.
    torque: measured whole torque [N·m], above zero.
    thread_torque: measured reaction torque of the thread [N·m], from the pitch part to the whole.
    bearing_diameter: mean diameter of the turned face [mm], above zero.
    Returns the coefficients of friction of thread, bearing face and both together [-].
    Holds for tightening, single-start 60-degree threads.
    Source: ISO 16047:2005, evaluation of friction coefficients.
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(friction_from_test(metric_thread("M10"), 30e3, 49.0, 26.0, 13.0).thread, 3)
    0.119
    """
    _bounds.above("preload", preload, 0.0, "N")
    _bounds.above("torque", torque, 0.0, "N·m")
    _bounds.above("bearing_diameter", bearing_diameter, 0.0, "mm")
    lead = thread.pitch / (math.pi * thread.pitch_diameter)
    slope = 2000.0 * thread_torque / (preload * thread.pitch_diameter)
    if not (slope >= lead and thread_torque <= torque):
        least = preload * thread.pitch / (2.0 * math.pi) / 1000.0
        raise ValueError(
            f"thread_torque is {thread_torque:.6g} N·m; it has to lie from {least:.4g} N·m, what "
            f"lifting the pitch takes, to the whole torque, {torque:.6g} N·m"
        )
    rub = (slope - lead) / (1.0 + slope * lead)
    bearing = 2000.0 * (torque - thread_torque) / (preload * bearing_diameter)
    arms = thread.pitch_diameter / (2.0 * _FLANK) + bearing_diameter / 2.0
    total = (1000.0 * torque / preload - thread.pitch / (2.0 * math.pi)) / arms
    return Friction(rub * _FLANK, bearing, total)
