"""A surface trace: evenly spaced heights along a line."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.faults import Fault, Place

__all__ = ["Profile", "check_profile"]


@dataclass(frozen=True, slots=True)
class Profile:
    """Heights along a trace. spacing: step along the trace [mm]; heights_um: heights [µm]."""

    spacing: float
    heights_um: tuple[float, ...]

    @property
    def length(self) -> float:
        """Length of the trace [mm], each point standing for one step."""
        return self.spacing * len(self.heights_um)


def check_profile(profile: Profile, cutoff: float, place: Place | None = None) -> tuple[Fault, ...]:
    """Reasons why a trace cannot be filtered with a cut-off; none when it can.

    The step must be a fifth of the cut-off or finer, the trace at least two cut-offs long, every
    height a number.

    profile: the trace [-].
    cutoff: the cut-off wavelength to be used [mm], above zero.
    place: where the trace stands, named in faults [-].
    Returns the faults [-].
    Holds for evenly spaced traces.
    Source: ISO 4288:1996, 7, and ISO 3274:1996, 4.4 (shape of the demands); the fifth is common
    practice.

    >>> check_profile(Profile(0.001, (0.0,) * 5000), 0.8)
    ()
    """
    place = place or Place(key="trace")
    faults = []
    gaps = [i for i, z in enumerate(profile.heights_um, 1) if not math.isfinite(z)]
    if gaps:
        faults.append(
            Fault(
                place,
                f"{len(gaps)} of {len(profile.heights_um)} points without a height, "
                f"the first at point {gaps[0]}",
                "a height at every point",
                "Trace the surface again: a gap cannot be filtered.",
            )
        )
    if not profile.spacing > 0.0:
        faults.append(Fault(place, f"a step of {profile.spacing} mm", "a step above zero"))
        return tuple(faults)
    if profile.spacing > cutoff / 5.0:
        faults.append(
            Fault(
                place,
                f"a step of {profile.spacing:g} mm",
                f"{cutoff / 5.0:g} mm or finer for a cut-off of {cutoff:g} mm",
                "Trace with a finer step, or use a longer cut-off.",
            )
        )
    if profile.length < 2.0 * cutoff:
        faults.append(
            Fault(
                place,
                f"a trace of {profile.length:g} mm",
                f"{2.0 * cutoff:g} mm or more for a cut-off of {cutoff:g} mm",
                "Trace further, or use a shorter cut-off.",
            )
        )
    return tuple(faults)
