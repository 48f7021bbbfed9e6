"""The Rk family of a plateau surface: peaks that wear off, the core that carries, valleys with oil.

A honed bore filtered in the ordinary way lies: deep grooves pull the mean line down beside them and
lift the plateaus into false peaks. ISO 13565-1 filters twice, the second time with the valleys cut
off at the first mean line. ISO 13565-2 then splits the material ratio curve by the straight line
that fits its flattest 40 %.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sparkout.faults import Fault, Place
from sparkout.measure.texture.filters import gaussian_line
from sparkout.measure.texture.profile import Profile, check_profile

__all__ = [
    "MaterialRatioCurve",
    "Plateau",
    "core_parameters",
    "height_at_ratio",
    "material_ratio",
    "material_ratio_curve",
    "plateau",
    "plateau_profile",
]

_Array = npt.NDArray[np.float64]

# Secants whose drops differ by less than this share are equally flat: less than any instrument
# repeats to. Starts further apart than _APART of the curve are different places on it.
_EQUAL = 1e-3
_APART = 0.05
# Equal heights differ by rounding only: this share of the whole height.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class MaterialRatioCurve:
    """Heights in falling order: heights_um[i] has a share of (i + 1/2)/n of the trace above it."""

    heights_um: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Plateau:
    """The Rk family [µm; material ratios in per cent].

    secants: where the flattest 40 % of the curve starts [%], one entry for each place where the
    slope is equally small; the first is the one the standard takes and the values rest on.
    oil_volume: what the valleys can hold [mm³/cm²].
    """

    rk: float
    rpk: float
    rvk: float
    mr1: float
    mr2: float
    oil_volume: float
    secants: tuple[float, ...]
    notes: tuple[str, ...]


def material_ratio_curve(profile: Profile) -> MaterialRatioCurve:
    """Material ratio curve of a profile: how much of the trace is metal at each height.

    Heights sorted from the highest down.

    profile: roughness profile [-], one point or more.
    Returns the curve [µm].
    Holds for evenly spaced traces, where each point stands for the same length.
    Source: ISO 4287:1997, 4.5.2; ISO 13565-2:1996.

    >>> material_ratio_curve(Profile(0.001, (0.0, 2.0, 1.0))).heights_um
    (2.0, 1.0, 0.0)
    """
    return MaterialRatioCurve(tuple(sorted(profile.heights_um, reverse=True)))


def material_ratio(curve: MaterialRatioCurve, height_um: float) -> float:
    """Share of the trace at or above a height.

    Mr(c), straight between the points of the curve.

    curve: material ratio curve [µm].
    height_um: height [µm], from the profile's mean line.
    Returns the material ratio [%], 0 to 100.
    Holds for the profile the curve came from.
    Source: ISO 4287:1997, 4.5.1.

    >>> material_ratio(MaterialRatioCurve((3.0, 2.0, 1.0, 0.0)), 1.5)
    50.0
    """
    c = np.asarray(curve.heights_um, dtype=np.float64)
    if height_um > c[0]:
        return 0.0
    if height_um < c[-1]:
        return 100.0
    shares = (np.arange(c.size) + 0.5) / c.size * 100.0
    return float(np.interp(-height_um, -c, shares))


def height_at_ratio(curve: MaterialRatioCurve, ratio: float) -> float:
    """Height above which a share of the trace lies.

    c with Mr(c) = ratio, straight between the points of the curve.

    curve: material ratio curve [µm].
    ratio: material ratio [%], 0 to 100.
    Returns the height [µm]; beyond the first and last point, theirs.
    Holds for the profile the curve came from; the difference of two of them is Rdc.
    Source: ISO 4287:1997, 4.5.3.
    Raises ValueError naming the value when the ratio is not from 0 to 100.

    >>> height_at_ratio(MaterialRatioCurve((3.0, 2.0, 1.0, 0.0)), 50.0)
    1.5
    """
    if not 0.0 <= ratio <= 100.0:
        raise ValueError(f"a material ratio lies between 0 and 100 %, got {ratio!r}")
    c = np.asarray(curve.heights_um, dtype=np.float64)
    shares = (np.arange(c.size) + 0.5) / c.size * 100.0
    return float(np.interp(ratio, shares, c))


def _flattest(c: _Array) -> tuple[int, tuple[float, ...]]:
    """Index where the flattest 40 % starts, and the start [%] of every place equally flat."""
    span = round(0.4 * c.size)
    drop = c[:-span] - c[span:]
    near = np.flatnonzero(drop <= float(drop.min()) * (1.0 + _EQUAL) + _ROUNDING * (c[0] - c[-1]))
    # Starts close together are one place; a wide gap begins another.
    breaks = np.flatnonzero(np.diff(near) > _APART * c.size) + 1
    places = np.split(near, breaks)
    flattest = [int(place[np.argmin(drop[place])]) for place in places]
    return flattest[0], tuple(100.0 * first / c.size for first in flattest)


def core_parameters(curve: MaterialRatioCurve) -> Plateau:
    """Rk, Rpk, Rvk, Mr1 and Mr2 of a material ratio curve.

    The straight line of least squares through the 40 % with the smallest secant slope, carried to
    0 and 100 %, gives Rk; the peak area above it as a triangle over Mr1 gives Rpk, the valley area
    below as one over 100 - Mr2 gives Rvk; oil volume (100 - Mr2) Rvk / 2000.

    curve: material ratio curve [µm], ten points or more, not all equal.
    Returns the parameters [µm, %].
    Holds for S-shaped curves; where several places are equally flat the first is taken, as the
    standard says, and a note says so: a sine has no single Rk.
    Source: ISO 13565-2:1996, clause 4; ISO 21920-2:2021 keeps the construction.
    Raises ValueError naming the count when there are too few points, or when all are equal.

    >>> ramp = MaterialRatioCurve(tuple(1.0 - (i + 0.5) / 500 for i in range(1000)))
    >>> p = core_parameters(ramp)
    >>> round(p.rk, 9), round(p.mr2 - p.mr1, 6)
    (2.0, 100.0)
    """
    c = np.asarray(curve.heights_um, dtype=np.float64)
    n = c.size
    if n < 10:
        raise ValueError(f"ten points or more are needed, got {n}")
    if c[0] == c[-1]:
        raise ValueError("a surface without any height has no material ratio curve")
    first, starts = _flattest(c)
    window = slice(first, first + round(0.4 * n) + 1)
    m = (np.arange(n) + 0.5) / n * 100.0
    centre_m, centre_c = float(m[window].mean()), float(c[window].mean())
    apart = m[window] - centre_m
    slope = float((apart * (c[window] - centre_c)).sum() / (apart * apart).sum())
    top = centre_c - slope * centre_m
    bottom = top + 100.0 * slope
    mr1, mr2 = material_ratio(curve, top), material_ratio(curve, bottom)
    # Areas in µm·%, each point standing for 100/n %.
    peak_area = float(np.maximum(c - top, 0.0).sum()) * 100.0 / n
    valley_area = float(np.maximum(bottom - c, 0.0).sum()) * 100.0 / n
    rpk = 2.0 * peak_area / mr1 if mr1 > 0.0 else 0.0
    rvk = 2.0 * valley_area / (100.0 - mr2) if mr2 < 100.0 else 0.0
    notes: tuple[str, ...] = ()
    if len(starts) > 1:
        places = ", ".join(f"{start:.0f} %" for start in starts)
        notes = (
            f"{len(starts)} places of the material ratio curve are equally flat (from {places}); "
            "the standard takes the first. Rk is not a property of this surface alone.",
        )
    return Plateau(
        rk=top - bottom,
        rpk=rpk,
        rvk=rvk,
        mr1=mr1,
        mr2=mr2,
        oil_volume=(100.0 - mr2) * rvk / 2000.0,
        secants=starts,
        notes=notes,
    )


def plateau_profile(profile: Profile, cutoff: float = 0.8) -> Profile:
    """Roughness profile of a plateau surface by two-stage filtering.

    Mean line; valleys below it cut off to it; mean line of what is left; the trace less that second
    mean line, half a cut-off dropped at each end.

    profile: trace as measured [-].
    cutoff: of both filter stages [mm], above zero; 0.8, in exceptional cases 2.5.
    Returns the roughness profile [µm], shorter by one cut-off.
    Holds where check_profile finds no fault.
    Source: ISO 13565-1:1996.
    Raises ValueError naming the value when the cut-off is not above zero.

    >>> grooved = Profile(0.001, (0.0,) * 2400 + (-5.0,) * 20 + (0.0,) * 2400)
    >>> round(max(plateau_profile(grooved).heights_um), 3)
    0.014
    """
    if not cutoff > 0.0:
        raise ValueError(f"the cut-off must be above zero, got {cutoff!r}")
    z = np.asarray(profile.heights_um, dtype=np.float64)
    first = gaussian_line(z, profile.spacing, cutoff, False)
    second = gaussian_line(np.maximum(z, first), profile.spacing, cutoff, False)
    lost = round(0.5 * cutoff / profile.spacing)
    rough = (z - second)[lost : z.size - lost]
    return Profile(profile.spacing, tuple(rough.tolist()))


def plateau(
    profile: Profile, cutoff: float = 0.8, place: Place | None = None
) -> tuple[Plateau | None, tuple[Fault, ...]]:
    """The Rk family of a surface trace, two-stage filtering included.

    plateau_profile, at most five cut-offs of it, then core_parameters of its material ratio curve.

    profile: trace as measured, form removed or small [-].
    cutoff: of both filter stages [mm], above zero; 0.8, in exceptional cases 2.5.
    place: where the trace stands, named in faults [-].
    Returns the parameters, or nothing with the faults that stopped it [-].
    Holds for plateau surfaces such as honed bores.
    Source: ISO 13565-1:1996 and ISO 13565-2:1996.

    >>> import math
    >>> wave = tuple(math.sin(2 * math.pi * i / 50) for i in range(4800))
    >>> plateau(Profile(0.001, wave))[0].notes[0][:26]
    '2 places of the material r'
    """
    place = place or Place(key="trace")
    faults = check_profile(profile, cutoff, place)
    if faults:
        return None, faults
    rough = plateau_profile(profile, cutoff)
    sections = int(rough.length / cutoff + 1e-9)
    used = rough.heights_um[: round(min(sections, 5) * cutoff / profile.spacing)]
    if max(used) == min(used):
        return None, (
            Fault(
                place, "no height at all in the trace", "a trace of a real surface", "Trace again."
            ),
        )
    result = core_parameters(material_ratio_curve(Profile(profile.spacing, used)))
    if sections >= 5:
        return result, ()
    warning = Fault(
        place,
        f"{sections} sampling length(s) of {cutoff:g} mm on the trace",
        "five, with half a cut-off more at each end",
        "The Rk family of a short trace scatters more.",
        stops=False,
    )
    return result, (warning,)
