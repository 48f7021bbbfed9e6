"""The straight line associated with readings along a line: least squares and minimum zone."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.form._gaussian import principal_axes
from sparkout.measure.form._points import Coordinates, Floats, all_agree, centred, coordinates
from sparkout.measure.form._strip import narrowest_strip
from sparkout.measure.form.records import (
    Balance,
    Contact,
    LineFit,
    Method,
    Proof,
    Scope,
    Side,
    Stationary,
    UndeterminedError,
)

__all__ = ["associated_line"]


def associated_line(points: Coordinates, method: Method = Method.MINIMUM_ZONE) -> LineFit:
    """The straight line that fits readings in a plane, with the straightness about it.

    Least squares: least Σ(distance²). Minimum zone: the two parallel lines nearest together that
    hold all readings. Distances are square to the line, whatever its direction.

    points: readings (x, y), for a straightedge the place along it and the height [mm], at least 2
        that differ.
    method: LEAST_SQUARES or MINIMUM_ZONE [-].
    Returns the line, its contacts, its proof and warnings in words [mm].
    Holds for any direction; the minimum zone is global, since the narrowest strip always lies
        along an edge of the convex hull.
    Source: ISO 12780-1 (LSLI, MZLI), ISO 1101 straightness; terms recalled from memory. The edge
        theorem: M. E. Houle, G. T. Toussaint, IEEE PAMI 10, 1988; recalled from memory.
    Raises ValueError for other methods and for readings that are no numbers; UndeterminedError (a
        ValueError) where all readings agree.

    >>> fit = associated_line([(0, 0.00), (100, 0.02), (200, 0.00), (300, 0.02)])
    >>> round(fit.form, 6), [contact.index for contact in fit.contacts]
    (0.02, [1, 3, 0, 2])
    """
    given = coordinates(points, 2, 2, f"the {method} line")
    rows, middle = centred(given)
    if all_agree(given):
        raise UndeterminedError("the line is not determined: all readings agree")
    if method is Method.LEAST_SQUARES:
        return _least_squares(rows, middle)
    if method is Method.MINIMUM_ZONE:
        return _minimum_zone(rows, middle)
    raise ValueError(f"a line is fitted by least squares or minimum zone, not {method}")


def _turned(direction: Floats) -> Floats:
    """The direction along increasing x (or y, for an upright line)."""
    lead = 0 if abs(direction[0]) > 1e-12 else 1
    return direction if direction[lead] > 0.0 else -direction


def _least_squares(rows: Floats, middle: Floats) -> LineFit:
    moments, ways = principal_axes(rows)
    direction = _turned(ways[:, 0])
    deviations = direction[0] * rows[1] - direction[1] * rows[0]
    along = direction @ rows
    count = rows.shape[1]
    proof = Stationary(
        Scope.GLOBAL,
        "principal axis of the readings: no line has a smaller sum of squares",
        float(abs(deviations @ along)) / (count * max(float(np.abs(along).max()), 1e-300)),
        float(moments[0] - moments[1]) / count,
    )
    notes: tuple[str, ...] = ()
    if float(moments[1]) > 0.25 * float(moments[0]):
        notes = ("the readings spread nearly as far across the line as along it",)
    return _line(Method.LEAST_SQUARES, np.zeros(2), direction, middle, deviations, (), proof, notes)


def _minimum_zone(rows: Floats, middle: Floats) -> LineFit:
    strip = narrowest_strip(rows)
    normal = np.array(strip.normal)
    direction = _turned(np.array([normal[1], -normal[0]]))
    normal = np.array([-direction[1], direction[0]])
    deviations = normal @ rows
    along = direction @ rows
    highest, lowest = float(deviations.max()), float(deviations.min())
    near = 64.0 * float(np.finfo(float).eps) * float(np.abs(rows).max())
    high = _ends(along, deviations >= highest - near)
    low = _ends(along, deviations <= lowest + near)
    # Both borders turn about a common place along the line; there the contacts balance.
    start = max(float(along[high[0]]), float(along[low[0]]))
    end = min(float(along[high[1]]), float(along[low[1]]))
    contacts = tuple(
        Contact(index, side, share)
        for side, ends in ((Side.OUTER, high), (Side.INNER, low))
        for index, share in _shared(along, ends, 0.5 * (start + end))
    )
    proof = Balance(
        Scope.GLOBAL,
        "every edge of the convex hull was tried; the narrowest strip lies along one of them",
        max(start - end, 0.0) / max(float(np.abs(along).max()), 1e-300),
        max(0.0, highest - lowest - strip.width),
        min(
            float(along[high[1]] - along[low[0]]),
            float(along[low[1]] - along[high[0]]),
        ),
        math.inf,
    )
    middle_line = normal * (0.5 * (highest + lowest))
    notes: tuple[str, ...] = ()
    if rows.shape[1] == 2:
        notes = ("2 readings always lie on one line: they say nothing about straightness",)
    return _line(
        Method.MINIMUM_ZONE, middle_line, direction, middle, deviations, contacts, proof, notes
    )


def _ends(along: Floats, touching: NDArray[np.bool_]) -> tuple[int, int]:
    """The first and the last reading along the line that touch a border."""
    places = np.flatnonzero(touching)
    return int(places[along[places].argmin()]), int(places[along[places].argmax()])


def _shared(along: Floats, ends: tuple[int, int], place: float) -> tuple[tuple[int, float], ...]:
    """Contacts of one border with the shares that put their balance at a place."""
    first, last = ends
    span = float(along[last] - along[first])
    if span == 0.0:
        return ((first, 1.0),)
    part = min(max((place - float(along[first])) / span, 0.0), 1.0)
    return ((first, 1.0 - part), (last, part))


def _line(
    method: Method,
    point: Floats,
    direction: Floats,
    middle: Floats,
    deviations: Floats,
    contacts: tuple[Contact, ...],
    proof: Proof,
    warnings: tuple[str, ...],
) -> LineFit:
    shift = float(-direction[1] * point[0] + direction[0] * point[1])
    return LineFit(
        method,
        (float(point[0] + middle[0]), float(point[1] + middle[1])),
        (float(direction[0]), float(direction[1])),
        float(deviations.max()) - shift,
        float(deviations.min()) - shift,
        deviations.shape[0],
        contacts,
        proof,
        1,
        warnings,
    )
