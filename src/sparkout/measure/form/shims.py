"""The shim under each support that lays a face as the least cut wants it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sparkout.measure.form._points import Coordinates, coordinates
from sparkout.measure.form.records import UndeterminedError
from sparkout.measure.form.surface_cut import SurfaceCut

__all__ = ["Shims", "cut_on_shims", "support_shims"]


@dataclass(frozen=True, slots=True)
class Shims:
    """Thickness under each support, in the order given, the least one 0 [mm]."""

    amounts: tuple[float, ...]
    warnings: tuple[str, ...]


def support_shims(cut: SurfaceCut, supports: Sequence[tuple[float, float]]) -> Shims:
    """Shims that tilt a part so that the finished plane of a cut lies level with the table.

    shim_k = max_j (a·x_j + b·y_j) − (a·x_k + b·y_k), a and b the slopes of the finished plane:
    where the plane lies low, the part is lifted.

    cut: from `least_cut` or `least_cut_along`, heights square to the table [-].
    supports: (x, y) of 3 or 4 supports in the frame of the readings [mm], not all on one line.
    Returns the shim under each support [mm].
    Holds for a part that stands on these supports only and for small slopes; with 4 supports the
        shims lie on one plane, so that all four carry if the foot is flat.
    Source: geometry of a plane.
    Raises ValueError for other numbers of supports; UndeterminedError where they lie on one line.

    >>> from sparkout.measure.form.surface_cut import least_cut
    >>> face = [(0, 0, 0.02), (400, 0, 0.10), (0, 150, 0.02), (400, 150, 0.10)]
    >>> shims = support_shims(least_cut(face), [(0, 0), (0, 150), (400, 0), (400, 150)])
    >>> [round(amount, 6) for amount in shims.amounts]
    [0.08, 0.08, 0.0, 0.0]
    """
    places = _places(supports, (3, 4))
    heights = cut.slope_x * places[0] + cut.slope_y * places[1]
    amounts = float(heights.max()) - heights
    words = []
    if places.shape[1] == 4:
        words.append("4 supports: a shim rounded to stock rocks the part; check all four carry")
    return Shims(tuple(amounts.tolist()), tuple(words))


def cut_on_shims(
    points: Coordinates,
    supports: Sequence[tuple[float, float]],
    amounts: Sequence[float],
    margin: float = 0.0,
) -> float:
    """The cut that cleans a face lying on given shims, such as the ones in stock.

    The shims tilt the face by the plane through their tops; the cut is then highest less lowest.

    points: readings (x, y, height) of the face, square to the table before shimming [mm].
    supports: (x, y) of 3 supports in the frame of the readings [mm], not on one line.
    amounts: shim under each support [mm], 0 or more.
    margin: metal to take at the lowest place as well [mm], 0 or more.
    Returns the greatest cut [mm].
    Holds for a part that stands on these three supports only and for small slopes.
    Source: geometry of a plane.
    Raises ValueError for other numbers of supports or shims below 0; UndeterminedError where the
        supports lie on one line.

    >>> face = [(0, 0, 0.02), (400, 0, 0.10), (0, 150, 0.02), (400, 150, 0.10)]
    >>> round(cut_on_shims(face, [(0, 0), (0, 150), (400, 75)], (0.05, 0.05, 0)), 6)
    0.03
    """
    places = _places(supports, (3,))
    if len(amounts) != places.shape[1]:
        raise ValueError(f"found {len(amounts)} shims for {places.shape[1]} supports")
    for place, amount in enumerate(amounts):
        if not amount >= 0.0:
            raise ValueError(f"shim {place} is {amount}; expected 0 or more")
    if not margin >= 0.0:
        raise ValueError(f"margin is {margin}; expected 0 or more")
    table = np.vstack([places, np.ones(3)]).T
    a, b, _ = np.linalg.solve(table, np.array(amounts, dtype=np.float64)).tolist()
    rows = coordinates(points, 3, 1, "a cut")
    lifted = rows[2] + a * rows[0] + b * rows[1]
    return float(lifted.max() - lifted.min()) + margin


def _places(supports: Sequence[tuple[float, float]], allowed: tuple[int, ...]) -> np.ndarray:
    if len(supports) not in allowed:
        expected = " or ".join(str(number) for number in allowed)
        raise ValueError(f"found {len(supports)} supports; expected {expected}")
    places = coordinates(list(supports), 2, min(allowed), "a set of supports")
    spread = np.linalg.svd(places - places.mean(axis=1)[:, None], compute_uv=False)
    if not spread[1] > 1e-9 * spread[0]:
        raise UndeterminedError("the supports lie on one line: the part would tip")
    return places
