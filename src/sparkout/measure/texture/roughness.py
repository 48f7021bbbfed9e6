"""Height parameters of a roughness profile: Ra, Rq, Rz and their kin, and the choice of cut-off."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from sparkout.faults import Fault, Place
from sparkout.measure.texture.cutoffs import CUTOFFS, cutoff_for_ra, short_cutoff
from sparkout.measure.texture.filters import Ends, roughness_profile
from sparkout.measure.texture.profile import Profile, check_profile

__all__ = ["Roughness", "choose_cutoff", "height_parameters", "roughness"]

# Default number of sampling lengths in the evaluation length, ISO 4288:1996 clause 4.
_SECTIONS = 5


@dataclass(frozen=True, slots=True)
class Roughness:
    """Height parameters [µm; skewness and kurtosis without unit].

    ra, rq, rsk, rku and rt over the evaluation length; rz, rp, rv means over the sampling lengths,
    rz_max the largest of them. sections, cutoff [mm], ends: how they were got. notes: deviations
    from the standard's defaults, in words.
    """

    ra: float
    rq: float
    rz: float
    rz_max: float
    rp: float
    rv: float
    rt: float
    rsk: float
    rku: float
    cutoff: float
    sections: int
    ends: Ends
    notes: tuple[str, ...]


def height_parameters(
    profile: Profile, cutoff: float, ends: Ends = Ends.DROP, notes: tuple[str, ...] = ()
) -> Roughness:
    """Height parameters of a roughness profile that is already filtered.

    Ra = mean |z|, Rq = sqrt(mean z^2), Rsk = mean z^3 / Rq^3, Rku = mean z^4 / Rq^4, Rt = highest -
    lowest, Rz = mean over sampling lengths of highest peak + deepest valley.

    profile: roughness profile [-], heights from the mean line, one cut-off or longer.
    cutoff: sampling length [mm], above zero.
    ends: how the ends were treated, for the record [-].
    notes: what has to be said along with the numbers [-].
    Returns the parameters [µm].
    Holds for a roughness profile; at most five sampling lengths from its start are used.
    Source: ISO 4287:1997, 4.1 and 4.2; ISO 21920-2:2021.
    Raises ValueError naming the length when it is below one sampling length or has no height.

    >>> square = Profile(0.001, (1.0,) * 25 + (-1.0,) * 25)
    >>> height_parameters(Profile(0.001, square.heights_um * 80), 0.8).rz
    2.0
    """
    per = cutoff / profile.spacing
    available = int(len(profile.heights_um) / per + 1e-9)
    if available < 1:
        raise ValueError(f"a profile of {profile.length!r} mm is shorter than {cutoff!r} mm")
    sections = min(_SECTIONS, available)
    z = np.asarray(profile.heights_um[: round(sections * per)], dtype=np.float64)
    rq = math.sqrt(float(np.mean(z * z)))
    if rq == 0.0:
        raise ValueError("a profile without any height has no skewness and no kurtosis")
    marks = [round(k * per) for k in range(sections + 1)]
    peaks = [float(z[a:b].max()) for a, b in pairwise(marks)]
    valleys = [-float(z[a:b].min()) for a, b in pairwise(marks)]
    heights = [p + v for p, v in zip(peaks, valleys, strict=True)]
    return Roughness(
        ra=float(np.mean(np.abs(z))),
        rq=rq,
        rz=math.fsum(heights) / sections,
        rz_max=max(heights),
        rp=math.fsum(peaks) / sections,
        rv=math.fsum(valleys) / sections,
        rt=float(z.max() - z.min()),
        rsk=float(np.mean(z**3)) / rq**3,
        rku=float(np.mean(z**4)) / rq**4,
        cutoff=cutoff,
        sections=sections,
        ends=ends,
        notes=notes,
    )


def _notes(profile: Profile, cutoff: float, sections: int, short: float | None) -> tuple[str, ...]:
    notes = []
    if sections < _SECTIONS:
        notes.append(
            f"Only {sections} sampling length(s) of {cutoff:g} mm fit on the trace instead of "
            f"{_SECTIONS}: Rz and its kin scatter more."
        )
    if cutoff in CUTOFFS and short is None:
        notes.append(
            f"The trace's step of {profile.spacing:g} mm is too coarse for the lower cut-off of "
            f"{short_cutoff(cutoff):g} mm, which was left out."
        )
    return tuple(notes)


def roughness(
    profile: Profile, cutoff: float, ends: Ends = Ends.DROP, place: Place | None = None
) -> tuple[Roughness | None, tuple[Fault, ...]]:
    """Height parameters of a surface trace at a given cut-off.

    Lower cut-off of the standard where the step allows it, Gaussian mean line, then the parameters
    of height_parameters.

    profile: trace as measured [-], form removed or small.
    cutoff: upper cut-off and sampling length [mm], above zero.
    ends: what to do where the filter hangs over the ends [-].
    place: where the trace stands, named in faults [-].
    Returns the parameters [µm], or nothing with the faults that stopped it.
    Holds for traces of at least two cut-offs; six are needed for five full sampling lengths.
    Source: ISO 4287:1997, ISO 4288:1996, ISO 16610-21:2011, ISO 3274:1996.

    >>> wave = tuple(math.sin(2 * math.pi * i / 50) for i in range(4800))
    >>> round(roughness(Profile(0.001, wave), 0.8)[0].ra, 2)
    0.63
    """
    place = place or Place(key="trace")
    faults = check_profile(profile, cutoff, place)
    if faults:
        return None, faults
    short = short_cutoff(cutoff) if cutoff in CUTOFFS else None
    if short is not None and profile.spacing > short / 2.0:
        short = None
    rough = roughness_profile(profile, cutoff, short, ends)
    sections = min(_SECTIONS, int(rough.length / cutoff + 1e-9))
    if not any(rough.heights_um):
        return None, (
            Fault(
                place, "no height at all in the trace", "a trace of a real surface", "Trace again."
            ),
        )
    return height_parameters(rough, cutoff, ends, _notes(profile, cutoff, sections, short)), ()


def choose_cutoff(
    profile: Profile, place: Place | None = None
) -> tuple[Roughness | None, tuple[Fault, ...]]:
    """Height parameters at the cut-off that fits the surface, found by trying.

    From 0.8 mm: measure Ra, look up its cut-off, measure again until both agree.

    profile: trace as measured, of a surface without regular marks [-].
    place: where the trace stands, named in faults [-].
    Returns the parameters with the cut-off used, or nothing with the faults; a note says where
    two cut-offs each ask for the other and the longer one was taken [-].
    Holds for ground, honed and lapped surfaces.
    Source: ISO 4288:1996, 7.2.

    >>> wave = tuple(0.3 * math.sin(2 * math.pi * i / 50) for i in range(4800))
    >>> choose_cutoff(Profile(0.001, wave))[0].cutoff
    0.8
    """
    place = place or Place(key="trace")
    tried: dict[float, Roughness] = {}
    cutoff = 0.8
    while cutoff not in tried:
        result, faults = roughness(profile, cutoff, place=place)
        if result is None:
            return None, faults
        tried[cutoff] = result
        if result.ra > 80.0:
            return None, (
                Fault(place, f"Ra {result.ra:.3g} µm", "80 µm at most", "Check units and scale."),
            )
        cutoff = cutoff_for_ra(result.ra)
    if cutoff_for_ra(tried[cutoff].ra) == cutoff:
        return tried[cutoff], ()
    # Two cut-offs ask for each other: the longer one misses nothing.
    longest = tried[max(cutoff, cutoff_for_ra(tried[cutoff].ra))]
    note = "Two cut-offs each ask for the other; the longer one was taken."
    return replace(longest, notes=(*longest.notes, note)), ()
