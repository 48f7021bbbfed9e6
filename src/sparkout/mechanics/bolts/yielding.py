"""How near to yield a bolt is: pull and twist together while it is tightened."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.bolts.threads import Thread
from sparkout.mechanics.bolts.tightening import tightening_torque
from sparkout.mechanics.cautions import Caution

__all__ = ["YieldShare", "preload_at_share", "yield_share"]

TABLE_SHARE = 0.9
"""Share of yield on which VDI 2230 builds its table of assembly preloads."""


class YieldShare(NamedTuple):
    """Stresses in the stress section while tightening [MPa], and their share of yield [-]."""

    tension: float
    torsion: float
    equivalent: float
    share: float
    cautions: tuple[Caution, ...]


def _twist_ratio(thread: Thread, thread_friction: float) -> float:
    """Torsion over tension in the stress section, the twist counted as fully plastic (VDI 2230)."""
    arm = tightening_torque(thread, 1.0, thread_friction, 0.0, thread.major).in_shank * 1000.0
    return 3.0 * arm / thread.stress_diameter


def yield_share(
    thread: Thread, preload: float, thread_friction: float, yield_strength: float
) -> YieldShare:
    """Combined stress while tightening as a share of yield.

    σ = F ÷ As; τ = 3 σ × (Tth ÷ F) ÷ d0; σv = √(σ² + 3 τ²); share = σv ÷ Rp.

    thread: the thread's sizes [mm].
    preload: clamp load [N], above zero.
    thread_friction: coefficient of friction in the thread [-], 0 to 0.6.
    yield_strength: yield or 0.2 % proof stress of the bolt [MPa], above zero.
    Returns tension, torsion, equivalent stress [MPa] and share of yield [-]; a caution "past_yield"
    above 1 (a torque-to-yield screw or a mistake) or "near_yield" above the 0.9 of VDI 2230.
    Holds in the thread; a necked shank smaller than the stress section is weaker.
    Source: VDI 2230-1:2003, 5.4.3 (assembly preload with 90 % of yield).
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(yield_share(metric_thread("M10x1.25"), 31600.0, 0.12, 640.0).share, 2)
    0.9
    """
    _bounds.above("preload", preload, 0.0, "N")
    _bounds.above("yield_strength", yield_strength, 0.0, "MPa")
    tension = preload / thread.stress_area
    torsion = tension * _twist_ratio(thread, thread_friction)
    equivalent = math.sqrt(tension**2 + 3.0 * torsion**2)
    share = equivalent / yield_strength
    cautions: tuple[Caution, ...] = ()
    if share > 1.0:
        cautions = (
            Caution(
                "past_yield", equivalent, yield_strength, "MPa",
                "the bolt yields while it is tightened: right only for a torque-to-yield screw, "
                "which is used once unless a length limit is given",
            ),
        )  # fmt: skip
    elif share > TABLE_SHARE + 0.005:
        cautions = (
            Caution(
                "near_yield", equivalent, TABLE_SHARE * yield_strength, "MPa",
                "above the 90 % of yield that VDI 2230 allows while tightening",
            ),
        )  # fmt: skip
    return YieldShare(tension, torsion, equivalent, share, cautions)


def preload_at_share(
    thread: Thread, thread_friction: float, yield_strength: float, share: float = TABLE_SHARE
) -> float:
    """Preload at which the combined stress reaches a share of yield.

    F = share × Rp × As ÷ √(1 + 3 × (3 × (Tth ÷ F) ÷ d0)²).

    thread: the thread's sizes [mm].
    thread_friction: coefficient of friction in the thread [-], 0 to 0.6.
    yield_strength: yield or 0.2 % proof stress of the bolt [MPa], above zero.
    share: of yield [-], above 0 to 1; 0.9 is that of VDI 2230's tables.
    Returns the preload [N].
    Holds as `yield_share`.
    Source: VDI 2230-1:2003, equation 5.4/8 (form) and table A1.
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(preload_at_share(metric_thread("M10x1.25"), 0.12, 640.0) / 1000, 1)
    31.6
    """
    _bounds.above("yield_strength", yield_strength, 0.0, "MPa")
    _bounds.above("share", share, 0.0)
    _bounds.within("share", share, 0.0, 1.0)
    ratio = _twist_ratio(thread, thread_friction)
    return share * yield_strength * thread.stress_area / math.sqrt(1.0 + 3.0 * ratio**2)
