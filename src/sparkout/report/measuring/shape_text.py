"""The form of a feature in a terminal."""

from __future__ import annotations

from sparkout.measure.form.records import (
    CircleFit,
    CylinderFit,
    PlaneFit,
    Side,
)
from sparkout.report.measuring.lengths import Lengths
from sparkout.report.measuring.shape import Fit, Shape, reading_numbers, scope_words
from sparkout.report.measuring.words import bulleted, count_of
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["shape_text"]

_FEATURE = {"roundness": "CI", "cylindricity": "CY", "flatness": "PL", "straightness": "LI"}
_IDEAL = {"roundness": "circle", "cylindricity": "cylinder", "flatness": "plane",
          "straightness": "line"}  # fmt: skip
_LISTED = 12
_PROOF = (
    "proven: there is no better one anywhere; to a distance: none nearer than that; local: it is "
    "the best near here, which for least squares is all that is asked."
)


def shape_text(name: str, shape: Shape, lengths: Lengths, limit: float | None = None) -> list[str]:
    """limit: largest form allowed [mm], None where none was given."""
    best = shape.best
    lines = wrapped(f"{name}: {shape.what} from {count_of(best.readings, 'point')}")
    lines += wrapped(
        f"{shape.what} {lengths.deviation(best.form)}"
        + (", radial, peak to valley" if shape.angles else ", peak to valley")
        + " (minimum zone, the definition of ISO 1101)", "  ▸ ")  # fmt: skip
    if limit is not None:
        out = best.form > limit
        lines += wrapped(
            f"{'over' if out else 'within'} the limit of {lengths.deviation(limit)}; no "
            "uncertainty of the gauge is taken into this", f"  {'✕' if out else '✓'} ")  # fmt: skip
    lines += heading("By each reference of the standards")
    lines += _fits(shape, lengths)
    lines += _held(shape)
    for warning in dict.fromkeys(word for fit in shape.fits.values() for word in fit.warnings):
        lines += wrapped(warning, "  ! ")
    if shape.lobes:
        lines += heading("Lobes")
        lines += _lobes(shape, lengths)
    if shape.sections:
        lines += heading("Section by section")
        lines += _sections(shape, lengths)
    if isinstance(best, PlaneFit):
        lines += heading("Surfacing")
        lines += wrapped(
            f"The least cut that cleans every reading takes {lengths.deviation(best.form)}, with "
            "the face levelled for it on shims.", "  ")  # fmt: skip
    lines += [text for note in shape.notes for text in wrapped(note, "  · ")]
    lines += [*heading("What these points cannot show"), *bulleted(shape.cannot_show)]
    return lines


def _fits(shape: Shape, lengths: Lengths) -> list[str]:
    head = ["reference", "", "form", *_size_heads(shape.best), "proof"]
    rows = [head]
    for method, fit in shape.fits.items():
        symbol = method.reference_symbol(_FEATURE[shape.what])  # type: ignore[arg-type]
        rows.append(
            [method.value, symbol, lengths.deviation(fit.form), *_sizes(fit, lengths),
             scope_words(fit)]
        )  # fmt: skip
    right = tuple(range(2, len(head) - 1))
    lines = [f"  {line}" for line in table(rows, right=right)]
    return [*lines, *wrapped(_PROOF, "  ")]


def _size_heads(fit: Fit) -> list[str]:
    if isinstance(fit, CircleFit):
        return ["diameter", "centre x", "centre y"]
    return ["diameter"] if isinstance(fit, CylinderFit) else []


def _sizes(fit: Fit, lengths: Lengths) -> list[str]:
    if isinstance(fit, CircleFit):
        return [lengths.bare(fit.diameter), lengths.bare(fit.x), lengths.bare(fit.y)]
    return [lengths.bare(fit.diameter)] if isinstance(fit, CylinderFit) else []


def _held(shape: Shape) -> list[str]:
    """Which readings decide: the ones to take again where the result is doubted."""
    best = shape.best
    numbers = set(reading_numbers(best))
    sides = {
        side: [c.index + 1 for c in best.contacts if c.side is side and c.index + 1 in numbers]
        for side in Side
    }
    said = [
        f"{'outer' if side is Side.OUTER else 'inner'} by {_numbers(found)}"
        for side, found in sides.items()
        if found
    ]
    if not said:
        return []
    return wrapped(
        f"The minimum zone is held by readings {'; '.join(said)} (in the order of the file): take "
        "these again where it is doubted.", "  ")  # fmt: skip


def _numbers(found: list[int]) -> str:
    shown = ", ".join(map(str, sorted(found)[:_LISTED]))
    return shown + (" and more" if len(found) > _LISTED else "")


def _lobes(shape: Shape, lengths: Lengths) -> list[str]:
    rows = [["", "adds, peak to valley", "first crest at", "two-point gauge sees"]]
    for part in shape.lobes[:4]:
        rows.append(
            [
                "oval" if part.order == 2 else f"{part.order} lobes",
                lengths.deviation(part.peak_to_valley),
                f"{part.direction:.0f}°",
                lengths.deviation(part.two_point) if part.two_point else "nothing",
            ]
        )
    return [f"  {line}" for line in table(rows, right=(1, 2, 3))]


def _sections(shape: Shape, lengths: Lengths) -> list[str]:
    low = min(section.level for section in shape.sections)
    rows = [["level", "roundness", "diameter", "readings"]]
    for section in shape.sections:
        rows.append(
            [
                f"{(section.level - low) / lengths.in_mm:.2f}",
                lengths.deviation(section.form),
                lengths.bare(section.diameter),
                str(section.readings),
            ]
        )
    lines = [f"  {line}" for line in table(rows, right=(0, 1, 2, 3))]
    return [*lines, *wrapped(f"Levels in {lengths.unit} along the axis from the first; roundness "
                             "by the minimum zone.", "  ")]  # fmt: skip
