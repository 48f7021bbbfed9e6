"""Valve train: lash after machining, lift at the valve, base circle, overhead-cam timing shift."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = [
    "Opening",
    "TimingShift",
    "base_circle_after_regrind",
    "lash_bucket",
    "lash_fixed_pivot",
    "lifter_preload",
    "lobe_lift",
    "opening",
    "shim_for_lash",
    "timing_shift",
    "valve_lift",
]


class TimingShift(NamedTuple):
    """How far an overhead cam is turned by a changed distance to the crank. Positive is later."""

    cam_degrees: float
    crank_degrees: float


class Opening(NamedTuple):
    """Crank angles at which a valve passes a checking lift [°]."""

    opens: float
    closes: float

    @property
    def duration(self) -> float:
        return self.closes - self.opens


def lobe_lift(nose_height: float, base_diameter: float) -> float:
    """Lift of a lobe from two micrometer readings.

    lift = height over the nose − base circle diameter, measured square to it.

    nose_height: across nose and heel [mm], at least the base diameter.
    base_diameter: across the base circle [mm], above zero.
    Returns the lift [mm].
    Holds where the micrometer sits on the base circle: long-duration lobes have no square flank, so
    an indicator over a full turn is surer.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(lobe_lift(42.61, 36.00), 2)
    6.61
    """
    _bounds.above("base_diameter", base_diameter, 0.0, "mm")
    _bounds.at_least("nose_height", nose_height, base_diameter, "mm")
    return nose_height - base_diameter


def valve_lift(lift_at_lobe: float, ratio: float, lash: float = 0.0) -> float:
    """Lift at the valve.

    L = lobe lift × R − lash, never below zero.

    lift_at_lobe: of the lobe or follower [mm], zero or more.
    ratio: rocker ratio, valve side over cam side [-], above zero; 1 for a bucket.
    lash: at the valve [mm], zero or more; 0 with hydraulic lifters.
    Returns the valve lift [mm].
    Holds for a rigid train and a ratio that does not change over the stroke.
    Source: common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(valve_lift(6.61, 1.5, 0.30), 3)
    9.615
    """
    _bounds.at_least("lift_at_lobe", lift_at_lobe, 0.0, "mm")
    _bounds.above("ratio", ratio, 0.0)
    _bounds.at_least("lash", lash, 0.0, "mm")
    return max(lift_at_lobe * ratio - lash, 0.0)


def lash_fixed_pivot(
    lash: float,
    ratio: float,
    pivot_drop: float = 0.0,
    tip_rise: float = 0.0,
    tip_grind: float = 0.0,
    base_circle_loss: float = 0.0,
) -> float:
    """Lash of a pushrod engine after machining, adjuster untouched.

    new = old − R × drop − tip rise + tip grind + R × base-circle loss.

    lash: at the valve before [mm].
    ratio: rocker ratio, valve side over cam side [-], above zero.
    pivot_drop: how much nearer the head came to the cam: deck + head cut − gasket [mm].
    tip_rise: of the valve tip from sinking seat or face [mm].
    tip_grind: taken off the tip [mm], zero or more.
    base_circle_loss: radius taken off the base circle by regrinding [mm], zero or more.
    Returns the lash after [mm]; negative, the valve is held open.
    Holds for a rocker pivoting in the head with the cam in the block.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(lash_fixed_pivot(0.30, 1.5, pivot_drop=0.17), 3)
    0.045
    """
    _bounds.above("ratio", ratio, 0.0)
    _bounds.at_least("tip_grind", tip_grind, 0.0, "mm")
    _bounds.at_least("base_circle_loss", base_circle_loss, 0.0, "mm")
    for name, value in (("lash", lash), ("pivot_drop", pivot_drop), ("tip_rise", tip_rise)):
        _bounds.finite(name, value, "mm")
    return lash - ratio * pivot_drop - tip_rise + tip_grind + ratio * base_circle_loss


def lash_bucket(
    lash: float,
    tip_rise: float = 0.0,
    tip_grind: float = 0.0,
    shim_change: float = 0.0,
    base_circle_loss: float = 0.0,
) -> float:
    """Lash of an overhead cam on buckets after machining.

    new = old − tip rise + tip grind − (new shim − old shim) + base-circle loss.

    lash: before [mm].
    tip_rise: of the valve tip from sinking seat or face [mm].
    tip_grind: taken off the tip [mm], zero or more.
    shim_change: new shim less old shim [mm].
    base_circle_loss: radius taken off the base circle by regrinding [mm], zero or more.
    Returns the lash after [mm]; negative, the valve is held open.
    Holds for a cam in the head: deck and head cuts do not enter.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(lash_bucket(0.20, tip_rise=0.12), 3)
    0.08
    """
    _bounds.at_least("tip_grind", tip_grind, 0.0, "mm")
    _bounds.at_least("base_circle_loss", base_circle_loss, 0.0, "mm")
    for name, value in (("lash", lash), ("tip_rise", tip_rise), ("shim_change", shim_change)):
        _bounds.finite(name, value, "mm")
    return lash - tip_rise + tip_grind - shim_change + base_circle_loss


def shim_for_lash(old_shim: float, lash: float, wanted: float) -> float:
    """Shim that brings a bucket's lash to the one wanted.

    new shim = old shim + lash − wanted.

    old_shim: thickness of the shim it was measured with [mm], above zero.
    lash: as measured [mm].
    wanted: lash asked for [mm], zero or more.
    Returns the shim thickness [mm]; take the nearest that exists and measure again.
    Holds for shims over or under the bucket.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range, or no shim would be left.

    >>> round(shim_for_lash(2.80, 0.08, 0.20), 3)
    2.68
    """
    _bounds.above("old_shim", old_shim, 0.0, "mm")
    _bounds.finite("lash", lash, "mm")
    _bounds.at_least("wanted", wanted, 0.0, "mm")
    shim = old_shim + lash - wanted
    _bounds.above("shim", shim, 0.0, "mm")
    return shim


def lifter_preload(preload: float, ratio: float, pivot_drop: float, tip_rise: float) -> float:
    """Plunger preload of a hydraulic lifter after machining, same pushrod.

    new = old + drop + tip rise ÷ R.

    preload: plunger depression before [mm].
    ratio: rocker ratio, valve side over cam side [-], above zero.
    pivot_drop: how much nearer the head came to the cam [mm].
    tip_rise: of the valve tip [mm].
    Returns the preload after [mm].
    Holds for a rocker pivoting in the head with the cam in the block.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(lifter_preload(0.80, 1.5, 0.20, 0.15), 3)
    1.1
    """
    _bounds.above("ratio", ratio, 0.0)
    for name, value in (("preload", preload), ("pivot_drop", pivot_drop), ("tip_rise", tip_rise)):
        _bounds.finite(name, value, "mm")
    return preload + pivot_drop + tip_rise / ratio


def base_circle_after_regrind(base_diameter: float, off_radius: float) -> float:
    """Base circle diameter after the whole profile was ground down evenly.

    d2 = d1 − 2 × off the radius; the lift stays.

    base_diameter: before [mm], above zero.
    off_radius: metal off the radius all round [mm], zero or more.
    Returns the diameter after [mm].
    Holds where nose and heel lose alike.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> base_circle_after_regrind(36.0, 0.5)
    35.0
    """
    _bounds.above("base_diameter", base_diameter, 0.0, "mm")
    _bounds.at_least("off_radius", off_radius, 0.0, "mm")
    smaller = base_diameter - 2.0 * off_radius
    _bounds.above("base circle after regrinding", smaller, 0.0, "mm")
    return smaller


def timing_shift(distance_change: float, cam_sprocket_pitch_radius: float) -> TimingShift:
    """Cam timing of a chain or belt overhead cam after its distance to the crank changed.

    later by −Δ ÷ r radians at the cam, twice that at the crank.

    distance_change: crank to cam, positive apart (thicker gasket), negative together (cuts) [mm].
    cam_sprocket_pitch_radius: [mm], above zero.
    Returns the shift in cam and crank degrees, positive later (retarded) [°].
    Holds for a plain tight run straight between the two sprockets, slack taken up on the other run.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(timing_shift(-0.30, 57.3).crank_degrees, 2)
    0.6
    """
    _bounds.finite("distance_change", distance_change, "mm")
    _bounds.above("cam_sprocket_pitch_radius", cam_sprocket_pitch_radius, 0.0, "mm")
    cam = math.degrees(-distance_change / cam_sprocket_pitch_radius)
    return TimingShift(cam, 2.0 * cam)


def opening(curve: Sequence[tuple[float, float]], checking_lift: float) -> Opening:
    """Crank angles at which a valve passes a checking lift, from its lift curve.

    First crossing upwards and last crossing downwards, straight between points.

    curve: (crank angle [°], lift [mm]) by rising angle [-], from shut to shut.
    checking_lift: lift at which opening and closing are counted [mm], above zero.
    Returns both crank angles and the duration between [°].
    Holds for a curve with points close enough to be straight between.
    Source: definition of timing at a checking lift; common practice.
    Raises ValueError when the curve does not pass the checking lift both ways.

    >>> opening(((0.0, 0.0), (60.0, 6.0), (120.0, 0.0)), 1.0)
    Opening(opens=10.0, closes=110.0)
    """
    _bounds.above("checking_lift", checking_lift, 0.0, "mm")
    crossings = [
        (a0 + (checking_lift - l0) / (l1 - l0) * (a1 - a0), l1 > l0)
        for (a0, l0), (a1, l1) in pairwise(curve)
        if (l0 < checking_lift) != (l1 < checking_lift)
    ]
    ups = [angle for angle, rising in crossings if rising]
    downs = [angle for angle, rising in crossings if not rising]
    if not ups or not downs or curve[0][1] >= checking_lift or curve[-1][1] >= checking_lift:
        highest = max((lift for _, lift in curve), default=0.0)
        raise ValueError(
            f"checking_lift is {checking_lift:.6g} mm; the curve has to start and end below it and "
            f"pass it, and its highest lift is {highest:.6g} mm"
        )
    return Opening(ups[0], downs[-1])
