"""The form of a feature as a picture."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.drawings.roundness import FittedCircle, RoundnessTrace, roundness_trace
from sparkout.drawings.surface_map import SurfaceMap, surface_map
from sparkout.measure.form.records import CircleFit, CylinderFit, LineFit, Method, PlaneFit
from sparkout.report.measuring.lengths import Lengths
from sparkout.report.measuring.shape import Shape, across_face, axis_frame, seen_from
from sparkout.report.measuring.trace_picture import Level, Trace, trace_picture

__all__ = ["shape_picture"]

_KINDS = {
    Method.LEAST_SQUARES: "LSC",
    Method.MINIMUM_ZONE: "MZC",
    Method.CIRCUMSCRIBED: "MCC",
    Method.INSCRIBED: "MIC",
}
_MOST = 1440  # points drawn round a trace: four a degree are more than a screen shows
_CROSS = ((0.0, "+y"), (90.0, "+x"), (180.0, "−y"), (270.0, "−x"))
_CLOCK = ((0.0, "0°"), (90.0, "90°"), (180.0, "180°"), (270.0, "270°"))


def shape_picture(name: str, shape: Shape, lengths: Lengths, polar: bool) -> str:
    """polar: the file gave angles, which are drawn as it counts them."""
    best = shape.best
    if isinstance(best, CircleFit):
        return _round(name, shape, lengths, polar)
    if isinstance(best, CylinderFit):
        return _unrolled(name, shape, best, lengths)
    if isinstance(best, PlaneFit):
        return _face(name, shape, best, lengths)
    return _straight(name, shape, best, lengths)


def _thinned(count: int, values: Sequence[float]) -> list[int]:
    """Places to draw: evenly thinned, the highest and the lowest always kept."""
    if count <= _MOST:
        return list(range(count))
    step = count / _MOST
    kept = {int(k * step) for k in range(_MOST)}
    kept |= {max(range(count), key=values.__getitem__), min(range(count), key=values.__getitem__)}
    return sorted(kept)


def _round(name: str, shape: Shape, lengths: Lengths, polar: bool) -> str:
    middle = shape.fits[Method.LEAST_SQUARES]
    assert isinstance(middle, CircleFit)
    fine = lengths.fine_in_mm
    away = [math.hypot(p[0] - middle.x, p[1] - middle.y) - middle.radius for p in shape.points]
    kept = _thinned(len(away), away)
    # The drawing counts clockwise from the top, so a point's own place is x to the right, y up.
    turns = [
        math.degrees(math.atan2(p[0] - middle.x, p[1] - middle.y)) % 360.0 for p in shape.points
    ]
    circles = []
    for method, fit in shape.fits.items():
        assert isinstance(fit, CircleFit)
        radii: tuple[float, ...] = (fit.radius,)
        if method is Method.MINIMUM_ZONE:
            radii = (fit.highest, fit.lowest)
        circles.append(
            FittedCircle(
                _KINDS[method],
                (fit.x - middle.x) / fine,
                (fit.y - middle.y) / fine,
                tuple((radius - middle.radius) / fine for radius in radii),
                lengths.deviation(fit.form),
            )
        )
    return roundness_trace(
        RoundnessTrace(
            name,
            tuple(turns[k] for k in kept),
            tuple(away[k] / fine for k in kept),
            tuple(circles),
            middle.radius,
            lengths.fine,
            1.0 / fine,
            lengths.fine_decimals,
            _CLOCK if polar else _CROSS,
        )
    )


def _unrolled(name: str, shape: Shape, best: CylinderFit, lengths: Lengths) -> str:
    """The wall rolled out: direction across, axis down, away from the minimum-zone cylinder."""
    frame = axis_frame(best.direction)
    seen = [seen_from(point, best.point, frame) for point in shape.points]
    low = min(w for _, _, w in seen)
    high = max(w for _, _, w in seen)
    wall = math.tau * best.radius
    readings = []
    away = [math.hypot(u, v) - best.radius for u, v, _ in seen]
    for k in _thinned(len(seen), away):
        u, v, w = seen[k]
        across = (math.degrees(math.atan2(v, u)) % 360.0) / 360.0 * wall
        readings.append((across, w - low, away[k] / lengths.fine_in_mm))
    return surface_map(
        SurfaceMap(
            f"{name}: wall rolled out, from the +x side round once",
            wall,
            max(high - low, 1e-6),
            tuple(readings),
            plane="minimum-zone cylinder",
            unit=lengths.fine,
            decimals=min(lengths.fine_decimals, 1 if lengths.fine == "µm" else 2),
        )
    )


def _face(name: str, shape: Shape, best: PlaneFit, lengths: Lengths) -> str:
    places = across_face(shape.points, best)
    xs, ys = [place[0] for place in places], [place[1] for place in places]
    n, at = best.normal, best.point
    away = [
        math.fsum((point[k] - at[k]) * n[k] for k in range(3)) / lengths.fine_in_mm
        for point in shape.points
    ]
    kept = _thinned(len(away), away)
    left, top = min(xs), min(ys)
    readings = tuple((xs[k] - left, ys[k] - top, away[k]) for k in kept)
    return surface_map(
        SurfaceMap(
            name,
            max(max(xs) - left, 1e-6),
            max(max(ys) - top, 1e-6),
            readings,
            plane="minimum zone",
            unit=lengths.fine,
            decimals=1 if lengths.fine == "µm" else 2,
        )
    )


def _straight(name: str, shape: Shape, best: LineFit, lengths: Lengths) -> str:
    (px, py), (dx, dy) = best.point, best.direction
    places, heights = [], []
    for x, y in shape.points:
        places.append(((x - px) * dx + (y - py) * dy) / lengths.in_mm)
        heights.append(((y - py) * dx - (x - px) * dy) / lengths.fine_in_mm)
    order = sorted(range(len(places)), key=places.__getitem__)
    start = places[order[0]]
    high, low = max(heights), min(heights)
    return trace_picture(
        Trace(
            name,
            tuple(places[k] - start for k in order),
            tuple(heights[k] for k in order),
            lengths.unit,
            lengths.fine,
            (Level("minimum zone", high), Level("minimum zone", low)),
            f"straightness {lengths.deviation(best.form)}",
            len(order) <= 60,
        )
    )
