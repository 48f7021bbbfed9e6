"""The texture of one trace: heights by the Gaussian filter, the Rk family by the plateau filter,
the cross-hatch of a map, and what one trace cannot show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sparkout.faults import Fault, Place
from sparkout.measure.texture.cutoffs import CUTOFFS, cutoff_for_rsm, short_cutoff
from sparkout.measure.texture.filters import Ends, roughness_profile
from sparkout.measure.texture.hatch import Hatch
from sparkout.measure.texture.plateau import (
    Plateau,
    height_at_ratio,
    material_ratio_curve,
    plateau,
    plateau_profile,
)
from sparkout.measure.texture.profile import Profile
from sparkout.measure.texture.roughness import Roughness, choose_cutoff, roughness
from sparkout.measure.texture.surface_map import HatchMap, SurfaceMap, hatch_from_map, row_profile

__all__ = ["LIMITED", "Texture", "blind_words", "hatch_words", "lower_cutoff", "texture_of",
           "values_of"]  # fmt: skip

LIMITED = ("Ra", "Rq", "Rz", "Rzmax", "Rp", "Rv", "Rt", "Rk", "Rpk", "Rvk")
"""Heights that a limit can be held against [µm]."""
_ROWS = 25  # rows of a map looked at for how far Ra differs from place to place


@dataclass(frozen=True, slots=True)
class Texture:
    """What one trace gave. rough: the filtered trace the heights are of; core: that of the Rk
    family, with its upper and lower height [µm]; rows: lowest and highest Ra over rows of a map.
    row: which row of the map was traced, 0 where the file is a trace."""

    trace: Profile
    heights: Roughness
    rough: Profile
    rk: Plateau | None
    core: Profile | None
    core_ends: tuple[float, float] | None
    warnings: tuple[str, ...]
    hatch: HatchMap | None = None
    rows: tuple[float, float, int] | None = None
    row: int = 0


def values_of(found: Texture) -> Mapping[str, float]:
    """Every height by its symbol [µm], as far as there is one."""
    r = found.heights
    values = {"Ra": r.ra, "Rq": r.rq, "Rz": r.rz, "Rzmax": r.rz_max, "Rp": r.rp, "Rv": r.rv,
              "Rt": r.rt}  # fmt: skip
    if found.rk is not None:
        values |= {"Rk": found.rk.rk, "Rpk": found.rk.rpk, "Rvk": found.rk.rvk}
    return MappingProxyType(values)


def lower_cutoff(found: Texture) -> float | None:
    """The lower cut-off that was used [mm], None where the step was too coarse for one."""
    cutoff = found.heights.cutoff
    if cutoff not in CUTOFFS:
        return None
    short = short_cutoff(cutoff)
    return short if found.trace.spacing <= short / 2.0 else None


def texture_of(
    surface: Profile | SurfaceMap,
    place: Place,
    *,
    cutoff: float | None = None,
    feed: float | None = None,
    ends: Ends = Ends.DROP,
    row: int = 0,
) -> tuple[Texture | None, tuple[Fault, ...]]:
    """Heights, Rk family and, of a map, the cross-hatch.

    cutoff [mm]: None to choose it, from the feed [mm] where the surface has regular marks, else
    from Ra as it turns out. row: of a map, counted from 1; 0 takes the middle one.
    """
    hatch: HatchMap | None = None
    warnings: list[str] = []
    spread = None
    if isinstance(surface, SurfaceMap):
        row = row or (len(surface.heights_um) + 1) // 2
        trace, faults = row_profile(surface, row, place)
        if trace is None:
            return None, faults
        if len(surface.heights_um) > 1:
            hatch, faults = hatch_from_map(surface, place)
            warnings += [f"Cross-hatch: found {f.found}; expected {f.expected}. {f.remedy}".strip()
                         for f in faults]  # fmt: skip
    else:
        trace, row = surface, 0
    heights, faults = _heights(trace, place, cutoff, feed, ends)
    if heights is None:
        return None, faults
    if isinstance(surface, SurfaceMap) and len(surface.heights_um) > 1:
        spread = _over_rows(surface, heights.cutoff, ends, place)
    warnings += heights.notes
    short = short_cutoff(heights.cutoff) if heights.cutoff in CUTOFFS else None
    if short is not None and trace.spacing > short / 2.0:
        short = None
    rough = roughness_profile(trace, heights.cutoff, short, ends)
    rk, core, core_ends = None, None, None
    # The two-stage filter is made for 0.8 mm, or 2.5 mm where the surface asks for it.
    stage = heights.cutoff if heights.cutoff in (0.8, 2.5) else 0.8
    rk, faults = plateau(trace, stage, place)
    warnings += [f"Rk family: found {f.found}; expected {f.expected}. {f.remedy}" for f in faults]
    if rk is not None:
        warnings += rk.notes
        whole = plateau_profile(trace, stage)
        count = round(min(int(whole.length / stage + 1e-9), 5) * stage / whole.spacing)
        core = Profile(whole.spacing, whole.heights_um[:count])
        curve = material_ratio_curve(core)
        core_ends = (height_at_ratio(curve, rk.mr1), height_at_ratio(curve, rk.mr2))
    return (
        Texture(trace, heights, rough, rk, core, core_ends, tuple(dict.fromkeys(warnings)), hatch,
                spread, row),
        (),
    )  # fmt: skip


def _heights(
    trace: Profile, place: Place, cutoff: float | None, feed: float | None, ends: Ends
) -> tuple[Roughness | None, tuple[Fault, ...]]:
    if cutoff is None and feed is not None:
        cutoff = cutoff_for_rsm(feed)
    if cutoff is not None:
        return roughness(trace, cutoff, ends, place)
    found, faults = choose_cutoff(trace, place)
    if found is None or ends is Ends.DROP:
        return found, faults
    return roughness(trace, found.cutoff, ends, place)


def _over_rows(
    surface: SurfaceMap, cutoff: float, ends: Ends, place: Place
) -> tuple[float, float, int] | None:
    """Lowest and highest Ra over some rows of a map, and how many were looked at."""
    count = len(surface.heights_um)
    step = max(1, count // _ROWS)
    found = []
    for number in range(1, count + 1, step):
        trace, _ = row_profile(surface, number, place)
        if trace is not None:
            heights, _ = roughness(trace, cutoff, ends, place)
            if heights is not None:
                found.append(heights.ra)
    return (min(found), max(found), len(found)) if len(found) > 1 else None


def hatch_words(hatch: Hatch) -> str:
    """Both habits of naming the angle, since they mean opposite things."""
    return (
        f"{hatch.about_circumference:.1f}° included, halved by the circumference "
        f"({hatch.about_axis:.1f}° halved by the bore axis)"
    )


def blind_words(found: Texture) -> tuple[str, ...]:
    """What this trace cannot show, in sentences."""
    r = found.heights
    words = [
        f"Waviness and form: waves longer than the cut-off of {r.cutoff:g} mm are filtered out.",
    ]
    short = lower_cutoff(found)
    finest = short if short is not None else 2.0 * found.trace.spacing
    words.append(
        f"Anything finer than {1000 * finest:.3g} µm along the surface, or the bottom of a groove "
        "narrower than the tip: the tip rides over it and Rvk comes out too small."
    )
    if found.rows is None:
        words += [
            "How the texture differs from place to place: one trace is one line. Take several, "
            "over the travel and round the bore; their scatter is larger than the last digit.",
            "The angle of the cross-hatch: it needs a map, or lines measured on the wall.",
        ]
    else:
        words.append("Places outside this map: the next stroke reversal may look different.")
    words.append(
        "Torn, folded or smeared metal, and stone grit left in the grooves: heights look the same."
    )
    return tuple(words)
