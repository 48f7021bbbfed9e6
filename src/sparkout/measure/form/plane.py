"""The plane associated with readings of a face: least squares and minimum zone."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np

from sparkout.measure.form._circle_proof import touching
from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import WALL, Row, Vertex, exchange
from sparkout.measure.form._fast import plane_contacts
from sparkout.measure.form._frames import frame_of, triple, upright
from sparkout.measure.form._gaussian import least_axis, principal_axes
from sparkout.measure.form._points import (
    Coordinates,
    Floats,
    centred,
    coordinates,
    greatest,
    largest_size,
    least,
)
from sparkout.measure.form.records import (
    Balance,
    Contact,
    Engine,
    Method,
    PlaneFit,
    Proof,
    Scope,
    Stationary,
    UndeterminedError,
)

__all__ = ["associated_plane", "in_plane"]

_BOTH = Goal(upper=True, lower=True)
_FEW = 24
"""Up to this many readings every set of contacts is tried where the short proof fails."""


def associated_plane(
    points: Coordinates, method: Method = Method.MINIMUM_ZONE, engine: Engine = "numpy"
) -> PlaneFit:
    """The plane that fits readings of a face, with the flatness about it.

    Least squares: least Σ(distance²). Minimum zone: the two parallel planes nearest together that
    hold all readings. Distances are along the normal sought, whatever its direction.

    points: readings (x, y, z) in any frame [mm], at least 3 not on one line.
    method: LEAST_SQUARES or MINIMUM_ZONE [-].
    engine: "numpy", or "compiled" for the same answer from compiled code (extra "fast") [-].
    Returns the plane, its contacts, its proof and warnings in words [mm].
    Holds for any direction. The minimum zone is proven global where the readings spread farther
        than the zone is wide (sharpness of the contacts ≥ zone), as on any face worth measuring.
    Source: ISO 12781-1 (LSPL, MZPL), ISO 1101 flatness; terms recalled from memory.
    Raises ValueError for other methods and for readings that are no numbers; UndeterminedError (a
        ValueError) where the readings lie on one line.

    >>> fit = associated_plane([(0, 0, 0), (100, 0, 0), (0, 100, 0), (100, 100, 0), (50, 50, 0.1)])
    >>> round(fit.form, 9), fit.proof.scope.value
    (0.1, 'global')
    """
    given = coordinates(points, 3, 3, f"the {method} plane")
    rows, middle = centred(given)
    if method not in (Method.LEAST_SQUARES, Method.MINIMUM_ZONE):
        raise ValueError(f"a plane is fitted by least squares or minimum zone, not {method}")
    if method is Method.MINIMUM_ZONE:
        level = least_axis(rows)
        if level is not None:
            return _minimum_zone(rows, middle, upright(level), engine)
    moments, ways = principal_axes(rows)
    sizes = np.sqrt(moments)
    largest = largest_size(given)
    rounding = 2.0 * float(np.finfo(float).eps) * largest * math.sqrt(rows.shape[1])
    if sizes[1] <= 1e-13 * float(sizes[0]) + rounding:
        raise UndeterminedError(
            f"the plane is not determined: the {rows.shape[1]} readings lie on one line"
        )
    normal = upright(ways[:, 2])
    if method is Method.LEAST_SQUARES:
        return _least_squares(rows, middle, moments, normal)
    return _minimum_zone(rows, middle, normal, engine)


def in_plane(points: Coordinates, plane: PlaneFit) -> tuple[tuple[float, float], ...]:
    """Readings seen square to a plane: coordinates in it, about the plane's point.

    points: readings (x, y, z) [mm].
    plane: the plane to look at them in [mm].
    Returns (u, v) of each reading, the frame square and in no particular turn [mm].
    Holds for any plane; distances along the normal are dropped.
    Source: geometry.
    Raises ValueError for readings that are no numbers.

    >>> face = associated_plane([(0, 0, 5), (1, 0, 5), (0, 1, 5)])
    >>> u, v = in_plane([(face.point[0] + 3, face.point[1] + 4, 9)], face)[0]
    >>> round(u * u + v * v, 9)
    25.0
    """
    rows = coordinates(points, 3, 1, "a section")
    frame = frame_of(np.array(plane.normal))
    first, second = (frame[:2] @ (rows - np.array(plane.point)[:, None])).tolist()
    return tuple(zip(first, second, strict=True))


def _least_squares(rows: Floats, middle: Floats, moments: Floats, normal: Floats) -> PlaneFit:
    deviations = normal @ rows
    count = rows.shape[1]
    extent = largest_size(rows)
    proof = Stationary(
        Scope.GLOBAL,
        "least principal axis of the readings: no plane has a smaller sum of squares",
        float(np.abs(frame_of(normal)[:2] @ rows @ deviations).max()) / (count * extent),
        float(moments[1] - (moments[2] if len(moments) > 2 else 0.0)) / count,
    )
    return _plane(Method.LEAST_SQUARES, normal, 0.0, middle, deviations, (), proof, 1, ())


def _minimum_zone(rows: Floats, middle: Floats, normal: Floats, engine: Engine) -> PlaneFit:
    known = None
    if engine == "compiled":
        quick = plane_contacts(rows, normal)
        normal, known = (normal, None) if quick is None else quick
    vertex, normal, steps = level_zone(rows, normal, known)
    scope, reason, reach = _zone_scope(vertex)
    if scope is not Scope.GLOBAL and rows.shape[1] <= _FEW:
        for other in _contact_normals(rows):
            tried, turned, more = level_zone(rows, other)
            steps += more
            if tried.upper - tried.lower < vertex.upper - vertex.lower:
                vertex, normal = tried, turned
        scope, reach = Scope.GLOBAL, math.inf
        reason = "every pair of parallel planes held by 3 + 1 or 2 + 2 readings was tried"
    deviations = normal @ rows
    goal = _BOTH
    held = [
        (row[0], row[1], share)
        for row, share in zip(vertex.rows, vertex.shares, strict=True)
        if row[0] != WALL
    ]
    # Feet of the two borders' balances on the plane: apart by nothing but the zone itself.
    highest, lowest = greatest(deviations), least(deviations)
    x = y = z = 0.0
    gap = highest - lowest
    for side, index, share in held:
        weight = side * share
        here = rows[:, index].tolist()
        x, y, z = x + weight * here[0], y + weight * here[1], z + weight * here[2]
        gap -= weight * deviations.item(index)
    a, b, c = normal.tolist()
    along = a * x + b * y + c * z
    pull = math.hypot(x - along * a, y - along * b, z - along * c) / largest_size(rows)
    proof = Balance(scope, reason, pull, max(gap, 0.0), vertex.sharpness, reach)
    notes = []
    if rows.shape[1] == 3:
        notes.append("3 readings always lie on one plane: they say nothing about flatness")
    if scope is not Scope.GLOBAL:
        notes.append(
            "the zone is not narrow against the spread of the readings: this is no face, and a "
            "better plane may lie in a quite different direction"
        )
    return _plane(
        Method.MINIMUM_ZONE, normal, 0.5 * (highest + lowest), middle, deviations,
        touching(deviations, held, goal), proof, steps, tuple(notes),
    )  # fmt: skip


def level_zone(
    rows: Floats, normal: Floats, known: list[Row] | None = None
) -> tuple[Vertex, Floats, int]:
    """The narrowest zone near a normal: vertex, its normal, exchanges.

    Solved in the frame of the normal as heights over a level; the frame is then turned to the
    answer, until the answer is level itself. At slopes below 10⁻⁸ height and distance agree to
    rounding.
    """
    steps = 0
    grain = 8.0 * float(np.finfo(float).eps) * largest_size(rows)
    for _ in range(60):
        frame = frame_of(normal)
        local = frame @ rows
        vertex = exchange(
            local[:2], local[2], [1.0, 1.0], upper=True, lower=True, tolerance=grain, start=known
        )
        known = None if vertex.walls else vertex.rows
        steps += vertex.exchanges
        # turned even by the last little: 10⁻⁸ over the length of a head would be 4 nm
        u, v = vertex.shift.tolist()
        turned = [c - u * a - v * b for a, b, c in zip(*frame.tolist(), strict=True)]
        size = math.hypot(*turned)
        normal = upright(np.array([entry / size for entry in turned]))
        if not max(abs(u), abs(v)) > 1e-8:
            break
    return vertex, normal, steps


def _zone_scope(vertex: Vertex) -> tuple[Scope, str, float]:
    """Tilting by slope s widens the zone to at least (zone + sharpness·s)/√(1 + s²)."""
    zone = max(vertex.upper - vertex.lower, 0.0)
    sharpness = vertex.sharpness
    if sharpness >= zone:
        reason = (
            f"a tilt of slope s makes the zone at least (zone + {sharpness:.3g} mm·s)/√(1 + s²), "
            "which is never less than the zone"
        )
        return Scope.GLOBAL, reason, math.inf
    reach = 2.0 * sharpness * zone / (zone * zone - sharpness * sharpness)
    return Scope.REACH, f"the contacts exclude every plane tilted by less than {reach:.3g}", reach


def _contact_normals(rows: Floats) -> list[Floats]:
    """The best few normals over all faces (three readings) and pairs of edges (two and two)."""
    count = rows.shape[1]
    edges = np.array(
        [rows[:, second] - rows[:, first] for first, second in combinations(range(count), 2)]
    )
    normals = np.cross(edges[:, None, :], edges[None, :, :]).reshape(-1, 3)
    sizes = np.sqrt((normals * normals).sum(axis=1))
    normals = normals[sizes > 1e-9 * float(sizes.max())]
    normals /= np.sqrt((normals * normals).sum(axis=1))[:, None]
    best: list[tuple[float, Floats]] = []
    for chunk in np.array_split(normals, max(1, len(normals) // 20000)):
        heights = chunk @ rows
        widths = heights.max(axis=1) - heights.min(axis=1)
        best.extend((float(widths[place]), chunk[place]) for place in np.argsort(widths)[:3])
    best.sort(key=lambda pair: pair[0])
    return [upright(normal) for _, normal in best[:3]]


def _plane(
    method: Method,
    normal: Floats,
    height: float,
    middle: Floats,
    deviations: Floats,
    contacts: tuple[Contact, ...],
    proof: Proof,
    steps: int,
    warnings: tuple[str, ...],
) -> PlaneFit:
    return PlaneFit(
        method,
        triple(middle + height * normal),
        triple(normal),
        greatest(deviations) - height,
        least(deviations) - height,
        deviations.shape[0],
        contacts,
        proof,
        steps,
        warnings,
    )
