"""The straight line in space associated with centres: of main bores, of sections of a shaft."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._circle_proof import touching
from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import OUTER
from sparkout.measure.form._frames import frame_of, triple, unit, upright
from sparkout.measure.form._gaussian import principal_axes
from sparkout.measure.form._points import Coordinates, Floats, all_agree, centred, coordinates
from sparkout.measure.form._thinnest import Thinnest, thinnest_about
from sparkout.measure.form.records import (
    AxisFit,
    Balance,
    Contact,
    Method,
    Proof,
    Scope,
    Stationary,
    UndeterminedError,
)

__all__ = ["associated_axis"]

_OUTER_ONLY = Goal(upper=True, lower=False)
_MOST_TURNS = 8
_SURE = 1e-9
"""Where no line at all can be better by more than this [mm], the proof counts as global."""


def associated_axis(points: Coordinates, method: Method = Method.MINIMUM_ZONE) -> AxisFit:
    """The straight line that fits points in space, with the straightness about it.

    Least squares: least Σ(distance²). Minimum zone: the thinnest cylinder that holds all points.

    points: centres (x, y, z), of bores or of sections [mm], at least 2 that differ.
    method: LEAST_SQUARES or MINIMUM_ZONE [-].
    Returns the line, its contacts, its proof and warnings in words [mm].
    Holds for points spread along the line much farther than across it.
    Source: ISO 1101, straightness of a median line (zone with a diameter); recalled from memory.
    Raises ValueError for other methods and for readings that are no numbers; UndeterminedError (a
        ValueError) where all points agree or spread as far across as along.

    >>> fit = associated_axis([(0, 0, 0), (100, 0.02, 0), (200, 0.02, 0), (300, 0, 0)])
    >>> round(fit.form, 9), [contact.index for contact in fit.contacts]
    (0.02, [0, 1, 2, 3])
    """
    given = coordinates(points, 3, 2, f"the {method} axis")
    rows, middle = centred(given)
    if method not in (Method.LEAST_SQUARES, Method.MINIMUM_ZONE):
        raise ValueError(f"an axis is fitted by least squares or minimum zone, not {method}")
    if all_agree(given):
        raise UndeterminedError("the axis is not determined: all points agree")
    moments, ways = principal_axes(rows)
    if len(moments) > 1 and float(moments[1]) > 0.25 * float(moments[0]):
        raise UndeterminedError(
            "the axis is not determined: the points spread nearly as far across it as along it"
        )
    direction = upright(ways[:, 0])
    grain = 8.0 * float(np.finfo(float).eps) * float(np.abs(given).max())
    shift = np.zeros(3)
    found: Thinnest | None = None
    local = frame_of(direction) @ rows
    if method is Method.MINIMUM_ZONE and float(np.hypot(local[0], local[1]).max()) > 4.0 * grain:
        for _ in range(_MOST_TURNS):
            frame = frame_of(direction)
            local = frame @ rows
            found = thinnest_about(local)
            shift = found.place[0] * frame[0] + found.place[1] * frame[1]
            tilt = found.place[2:]
            direction = unit(frame[2] + tilt[0] * frame[0] + tilt[1] * frame[1])
            # Below this tilt distances square to the frame and to the line agree to rounding.
            if not float(np.abs(tilt).max()) > 1e-7:
                break
    aside = rows - shift[:, None]
    aside = aside - np.outer(direction, direction @ aside)
    values = np.sqrt((aside * aside).sum(axis=0))
    proof, contacts = _proof(direction @ rows, aside, moments, values, found)
    point = middle + shift - (shift @ direction) * direction
    notes: tuple[str, ...] = ()
    if rows.shape[1] == 2:
        notes = ("2 points always lie on one line: they say nothing about straightness",)
    return AxisFit(
        method,
        triple(point),
        triple(direction),
        float(values.max()),
        rows.shape[1],
        contacts,
        proof,
        1 if found is None else found.steps,
        notes,
    )


def _proof(
    along: Floats, aside: Floats, moments: Floats, values: Floats, found: Thinnest | None
) -> tuple[Proof, tuple[Contact, ...]]:
    count = along.shape[0]
    half = float(np.abs(along).max())
    if found is None:
        least = float(moments[0] - (moments[1] if len(moments) > 1 else 0.0)) / count
        reason = "principal axis of the points: no line has a smaller sum of squares"
        slope = float(np.abs(aside @ along).max()) / (count * half)
        return Stationary(Scope.GLOBAL, reason, slope, least), ()
    radius = float(values.max())
    pulls = aside * found.shares / radius
    balance = float(np.hypot(np.abs(pulls.sum(1)).max(), np.abs(pulls @ along).max() / half))
    gap = max(radius - found.bound, 0.0)
    # Two lines that both hold the end points tilt against each other by at most this much, and a
    # line tilted so far has a largest distance of at least bound·cos(tilt).
    tilt = 4.0 * radius / float(along.max() - along.min())
    possible = 0.5 * radius * tilt * tilt + gap
    if possible <= max(_SURE, 1e-6 * radius):
        scope, reach = Scope.GLOBAL, math.inf
        reason = (
            "the weighted least-squares line of the contacts bounds every other from below: none "
            f"can be better by more than {possible:.1g} mm"
        )
    else:
        scope, reach = Scope.LOCAL, 0.0
        reason = f"no line can be better by more than {possible:.2g} mm"
    held = [
        (OUTER, index, float(found.shares[index]))
        for index in np.flatnonzero(found.shares > 0.0).tolist()
    ]
    proof = Balance(scope, reason, balance, gap, 0.0, reach)
    return proof, touching(values, held, _OUTER_ONLY)
