"""The circle associated with a section: least squares, circumscribed, inscribed, minimum zone."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._circle_proof import (
    circle_warnings,
    inscribed_proof,
    touching,
    zone_proof,
)
from sparkout.measure.form._curved import Goal
from sparkout.measure.form._enclosing import smallest_enclosing
from sparkout.measure.form._exchange import OUTER
from sparkout.measure.form._fast import circle_contacts
from sparkout.measure.form._gaussian import algebraic_centre, circle_centre
from sparkout.measure.form._points import (
    Coordinates,
    Floats,
    all_agree,
    centred,
    coordinates,
    greatest,
    largest_size,
    least,
)
from sparkout.measure.form._settle import Measure, Settled, settle
from sparkout.measure.form.records import (
    Balance,
    CircleFit,
    Contact,
    Engine,
    Method,
    Proof,
    Scope,
    Stationary,
    UndeterminedError,
)

__all__ = ["associated_circle"]

ZONE = Goal(upper=True, lower=True)
INNER_ONLY = Goal(upper=False, lower=True)


def associated_circle(
    points: Coordinates, method: Method = Method.MINIMUM_ZONE, engine: Engine = "numpy"
) -> CircleFit:
    """The circle that fits a section by the criterion asked for, with the proof that it is best.

    Least squares: least Σ(r − R)². Minimum circumscribed: least largest r. Maximum inscribed:
    greatest smallest r, the centre among the readings. Minimum zone: least (largest − smallest) r.
    r are distances of the readings from the centre sought, not algebraic stand-ins for them.

    points: readings (x, y) in the plane of the section [mm], at least 3 not on one line (2 for the
        circumscribed circle), in any order and as far from the origin as you like.
    method: the criterion [-].
    engine: "numpy", or "compiled" for the same answer from compiled code (extra "fast"); it
        matters for the zone and the inscribed circle [-].
    Returns the circle, its contacts, its proof and warnings in words [mm].
    Holds to about 10⁻¹⁵ of the radius plus the rounding of the coordinates themselves. The proof
        says whether any centre at all was excluded or only those within reach.
    Source: ISO 1101, ISO 12181-1 (LSCI, MCCI, MICI, MZCI), ISO 14405-1 (GG, GN, GX, GC); terms
        recalled from memory. Method: exchange of contacts, each round re-linearised.
    Raises ValueError for readings that are no numbers; UndeterminedError (a ValueError) where the
        readings do not determine the circle.

    >>> fit = associated_circle([(10.01, 0), (0, 10.0), (-10.01, 0), (0, -10.0)])
    >>> round(fit.form, 6), fit.proof.scope.value
    (0.01, 'global')
    """
    fewest = 2 if method is Method.CIRCUMSCRIBED else 3
    given = coordinates(points, 2, fewest, f"the {method} circle")
    rows, middle = centred(given)
    if method is Method.CIRCUMSCRIBED:
        return _circumscribed(rows, middle)
    _refuse_line(rows, method, largest_size(given))
    if method is Method.LEAST_SQUARES:
        return _least_squares(rows, middle)
    return _contact_circle(rows, middle, method, engine)


def distances_from(rows: Floats) -> Measure:
    """Distances of the readings from a centre, and their gradients (unit vectors outwards)."""

    def measure(centre: Floats) -> tuple[Floats, Floats]:
        aside = rows - centre[:, None]
        distances = np.sqrt(aside[0] * aside[0] + aside[1] * aside[1])
        return distances, aside / np.maximum(distances, 1e-300)

    return measure


def _refuse_line(rows: Floats, method: Method, largest: float) -> None:
    """Readings on one line (or fewer than three different ones) determine no circle."""
    (xx, xy), (_, yy) = (rows @ rows.T).tolist()
    if xx * yy - xy * xy > 1e-9 * (xx + yy) ** 2:
        return
    sizes = np.linalg.svd(rows, compute_uv=False)
    # Coordinates are only known to their own rounding, whatever the extent of the readings.
    rounding = 2.0 * np.finfo(float).eps * largest * math.sqrt(rows.shape[1])
    if sizes[1] <= 1e-13 * float(sizes[0]) + rounding:
        raise UndeterminedError(
            f"the {method} circle is not determined: the {rows.shape[1]} readings lie on one line"
        )


def _least_squares(rows: Floats, middle: Floats) -> CircleFit:
    descent = circle_centre(rows)
    distances, ways = distances_from(rows)(descent.place)
    extent = largest_size(rows)
    radius = float(distances.mean())
    if radius > 1e6 * extent or not descent.at_rest:
        raise UndeterminedError(
            "the least squares circle is not determined: a straight line fits these readings as "
            f"well (radius beyond {radius:.3g} mm for readings over {2.0 * extent:.3g} mm)"
        )
    proof = Stationary(
        Scope.LOCAL,
        "the sum of squares has no slope left and bends upwards; with readings all round and form "
        "small against the radius it has no other minimum",
        descent.slope,
        descent.bend,
    )
    return _circle(
        Method.LEAST_SQUARES, descent.place, middle, radius, distances, (), proof, descent.steps,
        circle_warnings(Method.LEAST_SQUARES, ways, proof, ()),
    )  # fmt: skip


def _circumscribed(rows: Floats, middle: Floats) -> CircleFit:
    if all_agree(rows):
        raise UndeterminedError(
            "the minimum circumscribed circle is not determined: all readings agree"
        )
    enclosing = smallest_enclosing(rows)
    centre = np.array([enclosing.x, enclosing.y])
    distances, ways = distances_from(rows)(centre)
    held = [
        (OUTER, index, share)
        for index, share in zip(enclosing.deciders, enclosing.shares, strict=True)
    ]
    pull = np.zeros(2)
    for _, index, share in held:
        pull += share * ways[:, index]
    proof = Balance(
        Scope.GLOBAL,
        "the largest distance is a convex function of the centre: its only optimum",
        float(np.sqrt(pull @ pull)),
        max(0.0, greatest(distances) - sum(s * float(distances[i]) for _, i, s in held)),
        _enclosing_sharpness(ways, held),
        math.inf,
    )
    return _circle(
        Method.CIRCUMSCRIBED, centre, middle, greatest(distances), distances,
        touching(distances, held, Goal(upper=True, lower=False)), proof, enclosing.steps,
        circle_warnings(Method.CIRCUMSCRIBED, ways, proof, ()),
    )  # fmt: skip


def _enclosing_sharpness(ways: Floats, held: list[tuple[int, int, float]]) -> float:
    """Distance from the centre of balance to the nearest side of the triangle of pulls."""
    if len(held) < 3:
        return 0.0
    corners = [ways[:, index] for _, index, _ in held]
    lengths = []
    for place in range(3):
        a, b = corners[place], corners[(place + 1) % 3]
        side = b - a
        size = math.hypot(*side)
        lengths.append(abs(float(a[0] * side[1] - a[1] * side[0])) / size if size > 0.0 else 0.0)
    return min(lengths)


def _contact_circle(rows: Floats, middle: Floats, method: Method, engine: Engine) -> CircleFit:
    """Minimum zone and maximum inscribed: settle from the least-squares start, then prove."""
    measure = distances_from(rows)
    goal = ZONE if method is Method.MINIMUM_ZONE else INNER_ONLY
    quick = circle_contacts(rows, goal) if engine == "compiled" else None
    if quick is None:
        settled = start_and_settle(rows, measure, goal)
    else:
        place, contacts = quick
        lowest = float(measure(place)[0].min())
        settled = settle(measure, place, goal, room=lowest, small=lowest, start=contacts)
    prove = zone_proof if method is Method.MINIMUM_ZONE else inscribed_proof
    settled, proof, notes = prove(rows, measure, goal, settled)
    distances = settled.values
    held = [
        (row[0], row[1], share)
        for row, share in zip(settled.vertex.rows, settled.vertex.shares, strict=True)
        if row[0] != 0
    ]
    highest, lowest = greatest(distances), least(distances)
    radius = 0.5 * (highest + lowest) if goal.upper else lowest
    return _circle(
        method, settled.place, middle, radius, distances, touching(distances, held, goal), proof,
        settled.steps, circle_warnings(method, settled.gradients, proof, notes),
    )  # fmt: skip


def start_and_settle(rows: Floats, measure: Measure, goal: Goal) -> Settled:
    """Settle from the algebraic centre, or from the geometric one where readings are one-sided."""
    start = np.array(algebraic_centre(rows))
    extent = largest_size(rows)
    known = measure(start)
    values = known[0]
    spread = greatest(values) - least(values)
    if spread > 0.02 * greatest(values) or float(np.abs(start).max()) > 0.3 * extent:
        start = circle_centre(rows).place
        known = measure(start)
        values = known[0]
    return settle(
        measure,
        start,
        goal,
        room=0.25 * extent,
        small=least(values),
        limit=1e6 * extent if goal.upper else 2.0 * extent,
        known=known,
    )


def _circle(
    method: Method,
    place: Floats,
    middle: Floats,
    radius: float,
    distances: Floats,
    contacts: tuple[Contact, ...],
    proof: Proof,
    steps: int,
    warnings: tuple[str, ...],
) -> CircleFit:
    return CircleFit(
        method,
        float(place[0] + middle[0]),
        float(place[1] + middle[1]),
        radius,
        greatest(distances),
        least(distances),
        distances.shape[0],
        contacts,
        proof,
        steps,
        warnings,
    )
