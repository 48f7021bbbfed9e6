"""Tightening by angle from a snug torque: the pitch is the gauge, friction hardly enters."""

from __future__ import annotations

from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.bolts.threads import Thread
from sparkout.mechanics.cautions import Caution

__all__ = ["AngleResult", "angle_for_preload", "preload_after_angle"]


class AngleResult(NamedTuple):
    """Preload after the angle [N]; beyond yield it is what the elastic law says, with a caution."""

    preload: float
    stretch: float
    """of the bolt from free [mm]"""
    cautions: tuple[Caution, ...]


def _check(bolt: float, clamped: float) -> None:
    _bounds.above("bolt_compliance", bolt, 0.0, "mm/N")
    _bounds.at_least("clamped_compliance", clamped, 0.0, "mm/N")


def preload_after_angle(
    thread: Thread,
    snug_preload: float,
    angle: float,
    bolt_compliance: float,
    clamped_compliance: float,
    yield_load: float | None = None,
) -> AngleResult:
    """Preload after turning a nut or bolt by an angle from snug.

    F = F0 + (angle ÷ 360) × P ÷ (δ bolt + δ clamped).

    thread: the thread's sizes [mm].
    snug_preload: preload of the snug torque, faces already closed [N], zero or more.
    angle: turned after the snug torque [°], zero or more.
    bolt_compliance: stretch of the bolt per newton [mm/N], above zero.
    clamped_compliance: squeeze of the clamped parts per newton [mm/N], zero or more.
    yield_load: load at which the bolt yields while tightened [N], or None when not to be checked.
    Returns preload [N] and stretch [mm]; a caution "past_yield" above the yield load given.
    Holds for elastic bolt and parts, no gasket settling; past yield the true load is lower.
    Source: VDI 2230-1:2003, 5.4.3.2 (angle-controlled tightening).
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(preload_after_angle(metric_thread("M10"), 8e3, 60.0, 6.62e-6, 1.21e-6).preload)
    39928
    """
    _check(bolt_compliance, clamped_compliance)
    _bounds.at_least("snug_preload", snug_preload, 0.0, "N")
    _bounds.at_least("angle", angle, 0.0, "°")
    gained = angle / 360.0 * thread.pitch / (bolt_compliance + clamped_compliance)
    preload = snug_preload + gained
    cautions: tuple[Caution, ...] = ()
    if yield_load is not None:
        _bounds.above("yield_load", yield_load, 0.0, "N")
        if preload > yield_load:
            cautions = (
                Caution(
                    "past_yield", preload, yield_load, "N",
                    "the angle carries the bolt past yield: right only for a torque-to-yield "
                    "screw; the load stays near the yield load, the bolt is longer for ever",
                ),
            )  # fmt: skip
    return AngleResult(preload, preload * bolt_compliance, cautions)


def angle_for_preload(
    thread: Thread,
    snug_preload: float,
    preload: float,
    bolt_compliance: float,
    clamped_compliance: float,
) -> float:
    """Angle from snug that brings a bolt to a preload.

    angle = 360 × (F − F0) × (δ bolt + δ clamped) ÷ P.

    thread: the thread's sizes [mm].
    snug_preload: preload of the snug torque [N], zero or more.
    preload: preload wanted [N], snug_preload or more.
    bolt_compliance: stretch of the bolt per newton [mm/N], above zero.
    clamped_compliance: squeeze of the clamped parts per newton [mm/N], zero or more.
    Returns the angle [°].
    Holds as `preload_after_angle`, of which it is the inverse.
    Source: VDI 2230-1:2003, 5.4.3.2 (angle-controlled tightening).
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(angle_for_preload(metric_thread("M10"), 8e3, 39928.0, 6.62e-6, 1.21e-6), 1)
    60.0
    """
    _check(bolt_compliance, clamped_compliance)
    _bounds.at_least("snug_preload", snug_preload, 0.0, "N")
    _bounds.at_least("preload", preload, snug_preload, "N")
    return 360.0 * (preload - snug_preload) * (bolt_compliance + clamped_compliance) / thread.pitch
