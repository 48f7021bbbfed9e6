"""What an indicator shows while a part turns: runout, and how much of it is eccentricity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.measure.form.harmonics import trace_harmonics

__all__ = ["Runout", "runout"]


@dataclass(frozen=True, slots=True)
class Runout:
    """Total indicator reading and its parts; lengths in mm.

    tir: largest less smallest reading. eccentricity: offset of the surface's centre from the axis
    of turning (half of what it adds to the TIR). high: direction of that offset [°].
    form: peak to valley of what the offset does not explain.
    """

    tir: float
    eccentricity: float
    high: float
    form: float
    warnings: tuple[str, ...]


def runout(angles: Sequence[float], readings: Sequence[float]) -> Runout:
    """Total indicator reading, and the eccentricity and form that make it up.

    TIR = max − min; readings = mean + e·cos(a − high) + form, by least squares.

    angles: turn of the part at each reading [°], at least 4 directions.
    readings: of the indicator, plus where the surface stands out [mm].
    Returns TIR, eccentricity with direction, and form, all from these readings [mm].
    Holds for a radial indicator on a nearly round surface, e small against the radius.
    Source: ISO 1101 circular run-out (the TIR); first harmonic as eccentricity: common practice.
    Raises ValueError where lengths differ; UndeterminedError for fewer than 4 directions.

    >>> found = runout([0, 90, 180, 270], [0.03, 0.01, -0.03, -0.01])
    >>> round(found.tir, 9), round(found.eccentricity, 5), round(found.high, 2)
    (0.06, 0.03162, 18.43)
    """
    parts = trace_harmonics(angles, readings, 1)
    words = list(parts.warnings)
    if len(readings) < 7:
        words.append(
            f"{len(readings)} readings show the offset, hardly the form: an oval needs 5 "
            "directions, three lobes 7"
        )
    return Runout(
        max(readings) - min(readings),
        parts.eccentricity,
        parts.part(1).direction,
        parts.rest_peak_to_valley,
        tuple(words),
    )
