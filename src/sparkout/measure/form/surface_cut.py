"""The least cut that cleans a warped face, and which reading decides it.

The finished plane touches the lowest place; the highest place loses most. Letting the face tilt in
the clamps makes that most as small as it can be: free to tilt it is the minimum-zone flatness;
held level to a datum, or within a slope, it is more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sparkout.measure.form._exchange import OUTER, WALL, Vertex, exchange
from sparkout.measure.form._frames import triple, unit
from sparkout.measure.form._points import Coordinates, Floats, centred, coordinates
from sparkout.measure.form.plane import associated_plane
from sparkout.measure.form.records import Side

__all__ = ["SurfaceCut", "least_cut", "least_cut_along"]


@dataclass(frozen=True, slots=True)
class SurfaceCut:
    """A cut that just cleans a face; lengths in mm.

    cut: most metal taken anywhere. point, normal: the finished plane. removed: metal taken at each
    reading. deepest: readings that lose most; lowest: readings that lose least: together they
    decide. held_x, held_y: whether the allowed slope holds the face back.
    """

    cut: float
    point: tuple[float, float, float]
    normal: tuple[float, float, float]
    removed: tuple[float, ...]
    deepest: tuple[int, ...]
    lowest: tuple[int, ...]
    held_x: bool
    held_y: bool

    @property
    def slope_x(self) -> float:
        """Rise of the finished plane along x over the face as it was given [-]."""
        return -self.normal[0] / self.normal[2]

    @property
    def slope_y(self) -> float:
        """Rise of the finished plane along y over the face as it was given [-]."""
        return -self.normal[1] / self.normal[2]


def least_cut(
    points: Coordinates, tilt: tuple[float, float] | None = None, margin: float = 0.0
) -> SurfaceCut:
    """The least greatest cut that cleans a face, free to tilt or held near level.

    min over planes P below all readings of max (z − P): a linear programme; with tilt free it is
    the minimum-zone flatness, measured square to the finished plane.

    points: readings (x, y, height) over the datum [mm], at least 3 not on one line.
    tilt: greatest slope allowed along x and along y against the datum [-], or None for free.
    margin: metal to take at the lowest place as well [mm], 0 or more.
    Returns the cut, the finished plane and the metal taken at each reading [mm].
    Holds for heights of the free face: clamping may not bend it. With a tilt limit, cut and heights
        are square to the datum; the difference is below the square of the slope.
    Source: ISO 1101 flatness (free tilt); linear minimax (held).
    Raises ValueError for a limit or margin below 0 or readings that are no numbers;
        UndeterminedError where the readings lie on one line.

    >>> face = [(0, 0, 0.02), (400, 0, 0.10), (0, 150, 0.02), (400, 150, 0.10), (200, 75, 0.03)]
    >>> round(least_cut(face).cut, 6), round(least_cut(face, (0, 0)).cut, 6)
    (0.03, 0.08)
    """
    if not margin >= 0.0:
        raise ValueError(f"margin is {margin}; expected 0 or more")
    if tilt is not None:
        for name, limit in (("x", tilt[0]), ("y", tilt[1])):
            if not limit >= 0.0:
                raise ValueError(f"greatest slope along {name} is {limit}; expected 0 or more")
    rows, middle = centred(coordinates(points, 3, 3, "a least cut"))
    if tilt is None:
        return _free(points, rows, middle, margin)
    largest = float(np.abs(rows).max())
    vertex = exchange(
        rows[:2],
        rows[2],
        [min(tilt[0], 1.0), min(tilt[1], 1.0)],
        upper=True,
        lower=True,
        tolerance=8.0 * float(np.finfo(float).eps) * largest,
    )
    slopes = vertex.shift
    residuals = rows[2] - slopes @ rows[:2]
    floor = float(residuals.min()) - margin
    normal = unit(np.array([-slopes[0], -slopes[1], 1.0]))
    held = _held_walls(vertex)
    return _cut(residuals - floor, middle + np.array([0.0, 0.0, floor]), normal, vertex, held)


def _free(points: Coordinates, rows: Floats, middle: Floats, margin: float) -> SurfaceCut:
    fit = associated_plane(points)
    normal = np.array(fit.normal)
    deviations = normal @ rows
    floor = float(deviations.min()) - margin
    deepest = tuple(contact.index for contact in fit.contacts if contact.side is Side.OUTER)
    lowest = tuple(contact.index for contact in fit.contacts if contact.side is Side.INNER)
    return SurfaceCut(
        float(deviations.max()) - floor,
        triple(middle + floor * normal),
        triple(normal),
        tuple((deviations - floor).tolist()),
        deepest,
        lowest,
        False,
        False,
    )


def _held_walls(vertex: Vertex) -> tuple[bool, bool]:
    """Which slope limits take part in holding the optimum."""
    held = {
        abs(row[1])
        for row, share in zip(vertex.rows, vertex.shares, strict=True)
        if row[0] == WALL and share > 1e-12
    }
    return 1 in held, 2 in held


def _cut(
    removed: Floats, point: Floats, normal: Floats, vertex: Vertex, held: tuple[bool, bool]
) -> SurfaceCut:
    contacts = [row for row in vertex.rows if row[0] != WALL]
    return SurfaceCut(
        float(removed.max()),
        triple(point),
        triple(normal),
        tuple(removed.tolist()),
        tuple(index for side, index in contacts if side == OUTER),
        tuple(index for side, index in contacts if side != OUTER),
        *held,
    )


def least_cut_along(
    points: Coordinates, slope: float = math.inf, margin: float = 0.0
) -> SurfaceCut:
    """The least greatest cut from heights along one line, level across.

    As `least_cut` with readings on one line and no tilt across it.

    points: readings (place along, height) over the datum [mm], at least 2.
    slope: greatest slope allowed along the line [-]: allowed difference of the ends over their
        distance; infinite for free.
    margin: metal to take at the lowest place as well [mm], 0 or more.
    Returns the cut, the finished plane (x along, y across) and the metal taken [mm].
    Holds for faces that are level across; heights and cut are square to the datum.
    Source: linear minimax.
    Raises ValueError for a slope or margin below 0 or readings that are no numbers.

    >>> row = [(0, 0.0), (200, 0.05), (400, 0.06)]
    >>> [round(least_cut_along(row, slope).cut, 6) for slope in (0, 0.06 / 400 / 2, math.inf)]
    [0.06, 0.035, 0.02]
    """
    if not slope >= 0.0:
        raise ValueError(f"greatest slope is {slope}; expected 0 or more")
    if not margin >= 0.0:
        raise ValueError(f"margin is {margin}; expected 0 or more")
    rows, middle = centred(coordinates(points, 2, 2, "a least cut"))
    vertex = exchange(
        rows[:1],
        rows[1],
        [min(slope, 1.0)],
        upper=True,
        lower=True,
        tolerance=8.0 * float(np.finfo(float).eps) * float(np.abs(rows).max()),
    )
    residuals = rows[1] - vertex.shift[0] * rows[0]
    floor = float(residuals.min()) - margin
    normal = unit(np.array([-vertex.shift[0], 0.0, 1.0]))
    point = np.array([middle[0], 0.0, middle[1] + floor])
    return _cut(residuals - floor, point, normal, vertex, (_held_walls(vertex)[0], False))
