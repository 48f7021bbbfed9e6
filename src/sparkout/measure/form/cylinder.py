"""The cylinder associated with readings of a bore or journal, and the line through centres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from sparkout.measure.form._axis_start import starting_axes
from sparkout.measure.form._circle_proof import touching
from sparkout.measure.form._curved import Goal
from sparkout.measure.form._cylinder_proof import cylinder_proof, cylinder_warnings
from sparkout.measure.form._exchange import WALL
from sparkout.measure.form._fast import axis_contacts
from sparkout.measure.form._frames import frame_of, triple, unit, upright
from sparkout.measure.form._gaussian import Descent, algebraic_centre, descend
from sparkout.measure.form._points import (
    Coordinates,
    Floats,
    centred,
    coordinates,
    greatest,
    largest_size,
    least,
)
from sparkout.measure.form._proof import axis_reach
from sparkout.measure.form._settle import Measure, Settled, settle, value_of
from sparkout.measure.form.records import (
    Contact,
    CylinderFit,
    Engine,
    Method,
    Proof,
    Scope,
    Stationary,
    UndeterminedError,
)

__all__ = ["associated_cylinder"]


class _Start(NamedTuple):
    """A frame along the axis, half the length of the readings, distances, and the descent."""

    frame: Floats
    half: float
    measure: Measure
    descent: Descent


_GOALS = {
    Method.MINIMUM_ZONE: Goal(upper=True, lower=True),
    Method.CIRCUMSCRIBED: Goal(upper=True, lower=False),
    Method.INSCRIBED: Goal(upper=False, lower=True),
}


def associated_cylinder(
    points: Coordinates,
    method: Method = Method.MINIMUM_ZONE,
    near: Sequence[float] | None = None,
    engine: Engine = "numpy",
) -> CylinderFit:
    """The cylinder that fits readings of a bore or journal, with the cylindricity about it.

    Least squares: least Σ(r − R)². Minimum circumscribed: least largest r. Maximum inscribed:
    greatest smallest r. Minimum zone: least (largest − smallest) r. r are distances square to the
    axis sought.

    points: readings (x, y, z) in any frame [mm], at least 5, in two sections or more.
    method: the criterion [-].
    near: a direction the axis roughly has, such as (0, 0, 1) [-], or None to find it.
    engine: "numpy", or "compiled" for the same answer from compiled code (extra "fast"), which
        needs `near` [-].
    Returns the cylinder, its contacts, its proof and warnings in words [mm].
    Holds to about 10⁻¹⁴ of the size of the part. The proof reaches a stated shift of the axis,
        which is of the order of the radius where form is small against it.
    Source: ISO 12180-1 (LSCY, MCCY, MICY, MZCY), ISO 1101 cylindricity, ISO 14405-1; terms
        recalled from memory.
    Raises ValueError for readings that are no numbers; UndeterminedError (a ValueError) where the
        readings do not determine the cylinder.

    >>> ring = [(10, 0), (0, 10), (-10, 0), (0, -10), (6, 8), (-8, 6)]
    >>> fit = associated_cylinder([(x, y, z) for z in (0, 30) for x, y in ring], near=(0, 0, 1))
    >>> round(fit.diameter, 9), fit.form < 1e-12
    (20.0, True)
    """
    rows, middle = centred(coordinates(points, 3, 5, f"the {method} cylinder"))
    starts = starting_axes(rows) if near is None else [_given_axis(near)]
    if engine == "compiled" and near is not None and method is not Method.LEAST_SQUARES:
        quick = _compiled(rows, starts[0], _GOALS[method])
        if quick is not None:
            frame, half, settled = quick
            settled = _shaken(
                distances_from_axis(frame @ rows, half), settled, _GOALS[method], half
            )
            return _contact_cylinder(middle, frame, half, settled, method, _GOALS[method])
    frame, half, measure, descent = _best_start(rows, starts, method is Method.LEAST_SQUARES)
    if method is Method.LEAST_SQUARES:
        return _least_squares(rows, middle, frame, half, measure, descent)
    goal = _GOALS[method]
    known = measure(descent.place)
    lowest = least(known[0])
    settled = settle(
        measure,
        descent.place,
        goal,
        room=0.1 * min(lowest, half),
        small=lowest,
        limit=1e3 * half,
        known=known,
    )
    settled = _shaken(measure, settled, goal, half)
    return _contact_cylinder(middle, frame, half, settled, method, goal)


def _compiled(rows: Floats, axis: Floats, goal: Goal) -> tuple[Floats, float, Settled] | None:
    """Settled by compiled code from a given axis, then checked in the frame of the answer."""
    frame, half, _ = _seen(rows, axis)
    if half <= 1e-9 * largest_size(rows):
        return None
    found = axis_contacts(np.ascontiguousarray(frame @ rows), half, goal)
    if found is None:
        return None
    place, contacts = found
    turned, half, measure = _seen(rows, _along(frame, half, place))
    point = turned @ (place[0] * frame[0] + place[1] * frame[1])
    start = np.array([point[0], point[1], 0.0, 0.0])
    lowest = float(measure(start)[0].min())
    settled = settle(
        measure, start, goal, room=0.1 * min(lowest, half), small=lowest, limit=1e3 * half,
        start=contacts,
    )  # fmt: skip
    return turned, half, settled


def _shaken(measure: Measure, settled: Settled, goal: Goal, half: float) -> Settled:
    """A neighbouring optimum that is better, where the contacts hold the axis only weakly.

    Tilting shortens distances a little, so that optima a few micrometres apart can differ in the
    last nanometre. From a weak one the search starts again on either side, along the way in which
    the value rises least.
    """
    for _ in range(6):
        if not settled.at_rest:
            break
        values = settled.values
        highest, lowest = greatest(values), least(values)
        form = highest - lowest
        vertex = settled.vertex
        reach = axis_reach(vertex.sharpness, highest, lowest, half)
        if reach >= 2.0 * form:
            break
        way = vertex.weakest
        value = value_of(values, goal)
        best = settled
        for size in (-form, -0.1 * form, 0.1 * form, form):
            other = settle(
                measure, settled.place + size * way, goal, room=abs(size), small=lowest,
                limit=1e3 * half,
            )  # fmt: skip
            if other.at_rest and value_of(other.values, goal) < value - 1e-14 * highest:
                best, value = other, value_of(other.values, goal)
        if best is settled:
            break
        settled = best
    return settled


def distances_from_axis(local: Floats, half: float) -> Measure:
    """Distances from an axis, q = (shift x, y, half·tilt x, y) in the frame, and their gradients.

    With w from the axis point, L = (tilt x, tilt y, 1), t = w·L/|L|² and e = w − tL the distance
    is |e|; moving the point changes it by −e/|e|, turning L by −t·e/|e|.
    """

    def measure(place: Floats) -> tuple[Floats, Floats]:
        tilt_x, tilt_y = float(place[2]) / half, float(place[3]) / half
        aside, up, along = local[0] - place[0], local[1] - place[1], local[2]
        foot = (aside * tilt_x + up * tilt_y + along) / (1.0 + tilt_x * tilt_x + tilt_y * tilt_y)
        aside = aside - foot * tilt_x
        up = up - foot * tilt_y
        along = along - foot
        distances = np.sqrt(aside * aside + up * up + along * along)
        safe = np.maximum(distances, 1e-300)
        gradients = np.empty((4, distances.shape[0]))
        np.divide(aside, safe, out=gradients[0])
        np.divide(up, safe, out=gradients[1])
        foot /= half
        np.multiply(gradients[0], foot, out=gradients[2])
        np.multiply(gradients[1], foot, out=gradients[3])
        return distances, gradients

    return measure


def _given_axis(near: Sequence[float]) -> Floats:
    axis = np.array(near, dtype=np.float64)
    if axis.shape != (3,) or not np.isfinite(axis).all() or not axis.any():
        raise ValueError(f"near is {near!r}; expected a direction of three numbers, not all 0")
    return unit(axis)


def _descend(measure: Measure, start: Floats, scale: float, share: float) -> Descent:
    def terms(place: Floats) -> tuple[float, Floats, Floats]:
        distances, gradients = measure(place)
        count = distances.shape[0]
        deviations = distances - np.add.reduce(distances) / count
        mean = np.add.reduce(gradients, axis=1) / count
        return (
            0.5 * float(deviations @ deviations) / count,
            -(gradients @ deviations) / count,
            gradients @ gradients.T / count - mean[:, None] * mean,
        )

    return descend(terms, start, scale, share)


def _best_start(rows: Floats, axes: list[Floats], exact: bool) -> _Start:
    """Least-squares cylinder from the best of several starting axes, in its own frame.

    exact: to rounding, where it is the answer; else near enough to start from.
    """
    best: tuple[float, _Start] | None = None
    extent = largest_size(rows)
    for axis in axes:
        frame, half, measure = _seen(rows, axis)
        if half <= 1e-9 * extent:
            continue
        centre = algebraic_centre(frame[:2] @ rows)
        first = _descend(measure, np.array([*centre, 0.0, 0.0]), extent, 0.05)
        turned, length, measure = _seen(rows, _along(frame, half, first.place))
        point = turned @ (first.place[0] * frame[0] + first.place[1] * frame[1])
        start = np.array([point[0], point[1], 0.0, 0.0])
        descent = first._replace(place=start)
        if exact:
            descent = _descend(measure, start, extent, 0.0)
        cost = 0.0
        if len(axes) > 1:
            values, _ = measure(descent.place)
            cost = float(((values - values.mean()) ** 2).sum())
        if best is None or cost < best[0]:
            best = (cost, _Start(turned, length, measure, descent))
    if best is None:
        raise UndeterminedError(
            "the cylinder is not determined: all readings lie in one section, which says nothing "
            "about the direction of the axis"
        )
    descent = best[1].descent
    if descent.bend <= 1e-12 or float(np.abs(descent.place).max()) > 1e6 * extent:
        raise UndeterminedError(
            "the cylinder is not determined: other axes fit these readings as well; take readings "
            "round more of the turn or in more sections"
        )
    return best[1]


def _seen(rows: Floats, axis: Floats) -> tuple[Floats, float, Measure]:
    """A frame about an axis, half the length of the readings in it, and distances there."""
    frame = frame_of(axis)
    local = frame @ rows
    half = 0.5 * (greatest(local[2]) - least(local[2]))
    return frame, half, distances_from_axis(local, half)


def _axis_of(middle: Floats, frame: Floats, half: float, place: Floats) -> tuple[Floats, Floats]:
    """Point of the axis nearest to the middle of the readings, and its direction."""
    direction = _along(frame, half, place)
    x, y = place.item(0), place.item(1)
    point = np.array([x * a + y * b for a, b in zip(*frame[:2].tolist(), strict=True)])
    return middle + point - (point @ direction) * direction, upright(direction)


def _along(frame: Floats, half: float, place: Floats) -> Floats:
    """Direction of an axis given by shift and half × tilt in a frame, at length 1."""
    u, v = place.item(2) / half, place.item(3) / half
    tilted = [u * a + v * b + c for a, b, c in zip(*frame.tolist(), strict=True)]
    size = math.hypot(*tilted)
    return np.array([entry / size for entry in tilted])


def _least_squares(
    rows: Floats, middle: Floats, frame: Floats, half: float, measure: Measure, descent: Descent
) -> CylinderFit:
    values, gradients = measure(descent.place)
    proof = Stationary(
        Scope.LOCAL,
        "the sum of squares has no slope left and bends upwards; started from the best of many "
        "directions",
        descent.slope,
        descent.bend,
    )
    return _cylinder(
        Method.LEAST_SQUARES, middle, frame, half, descent.place, float(values.mean()), values, (),
        proof, descent.steps, cylinder_warnings(values, gradients, proof),
    )  # fmt: skip


def _contact_cylinder(
    middle: Floats, frame: Floats, half: float, settled: Settled, method: Method, goal: Goal
) -> CylinderFit:
    values = settled.values
    highest, lowest = greatest(values), least(values)
    if not settled.at_rest:
        if method is Method.INSCRIBED:
            raise UndeterminedError(
                "the maximum inscribed cylinder is unbounded: the readings leave a side open "
                "through which it can grow; take readings round more of the turn"
            )
        if float(np.abs(settled.place).max()) > 100.0 * half:
            raise UndeterminedError(f"the {method} cylinder is not determined by these readings")
    proof = cylinder_proof(settled, half, goal)
    held = [
        (row[0], row[1], share)
        for row, share in zip(settled.vertex.rows, settled.vertex.shares, strict=True)
        if row[0] != WALL
    ]
    radius = (
        0.5 * (highest + lowest) if goal.upper and goal.lower else highest if goal.upper else lowest
    )
    return _cylinder(
        method, middle, frame, half, settled.place, radius, values, touching(values, held, goal),
        proof, settled.steps, cylinder_warnings(values, settled.gradients, proof),
    )  # fmt: skip


def _cylinder(
    method: Method,
    middle: Floats,
    frame: Floats,
    half: float,
    place: Floats,
    radius: float,
    values: Floats,
    contacts: tuple[Contact, ...],
    proof: Proof,
    steps: int,
    warnings: tuple[str, ...],
) -> CylinderFit:
    point, direction = _axis_of(middle, frame, half, place)
    return CylinderFit(
        method,
        triple(point),
        triple(direction),
        radius,
        greatest(values),
        least(values),
        values.shape[0],
        contacts,
        proof,
        steps,
        warnings,
    )
