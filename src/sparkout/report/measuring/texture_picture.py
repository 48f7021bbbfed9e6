"""Texture as a picture: the filtered trace with its core, the material ratio curve beside it."""

from __future__ import annotations

from sparkout.measure.texture.plateau import material_ratio_curve
from sparkout.measure.texture.profile import Profile
from sparkout.report.measuring.texture import Texture
from sparkout.report.measuring.texture_text import Scale
from sparkout.report.measuring.trace_picture import Level, Trace, trace_picture

__all__ = ["texture_picture"]

_CURVE = 240  # points of the material ratio curve that a picture needs


def texture_picture(name: str, found: Texture, scale: Scale) -> str:
    r = found.heights
    drawn = found.rough if found.core is None else found.core
    used = drawn
    if found.core is None:
        used = Profile(
            drawn.spacing, drawn.heights_um[: round(r.sections * r.cutoff / drawn.spacing)]
        )
    heights = tuple(value / scale.um for value in used.heights_um)
    places = tuple(k * used.spacing / scale.mm for k in range(len(heights)))
    levels: tuple[Level, ...] = ()
    note = f"Gaussian filter, cut-off {r.cutoff:g} mm."
    result = (
        f"Ra {scale.height(r.ra)}, Rq {scale.height(r.rq)}, Rz {scale.height(r.rz)} {scale.unit}"
    )
    if found.rk is not None and found.core_ends is not None:
        top, bottom = (end / scale.um for end in found.core_ends)
        levels = (Level("top of the core", top), Level("bottom of the core", bottom))
        k = found.rk
        result += (
            f"; Rpk {scale.height(k.rpk)}, Rk {scale.height(k.rk)}, Rvk {scale.height(k.rvk)} "
            f"{scale.unit}, Mr1 {k.mr1:.1f} %, Mr2 {k.mr2:.1f} %"
        )
        note = "Trace filtered twice by ISO 13565-1; Ra, Rq and Rz are by the plain filter."
    return trace_picture(
        Trace(
            name,
            places,
            heights,
            scale.length,
            scale.unit,
            levels,
            result,
            curve=_curve(used, scale),
            note=note,
        )
    )


def _curve(used: Profile, scale: Scale) -> tuple[tuple[float, float], ...]:
    falling = material_ratio_curve(used).heights_um
    count = len(falling)
    places = sorted({round(k * (count - 1) / (_CURVE - 1)) for k in range(_CURVE)})
    return tuple((100.0 * (k + 0.5) / count, falling[k] / scale.um) for k in places)
