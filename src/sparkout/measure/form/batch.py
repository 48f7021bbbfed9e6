"""Many circles at once, for simulated bores and long records: plain arrays instead of records."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.form import _fast
from sparkout.measure.form._points import Coordinates, Floats, Integers, coordinates
from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.records import Engine, Method, Scope

__all__ = ["CircleBatch", "associated_circles"]

_NUMBERS = {
    Method.MINIMUM_ZONE: 0,
    Method.INSCRIBED: 1,
    Method.CIRCUMSCRIBED: 2,
    Method.LEAST_SQUARES: 3,
}


class CircleBatch(NamedTuple):
    """One entry per set; lengths in mm.

    proven: whether the circle is proven the best anywhere. contacts: the readings that hold it,
    up to four, -1 where fewer do.
    """

    x: Floats
    y: Floats
    radius: Floats
    highest: Floats
    lowest: Floats
    proven: NDArray[np.bool_]
    contacts: Integers

    @property
    def form(self) -> Floats:
        """Roundness deviation from each reference circle, radial, peak to valley [mm]."""
        return self.highest - self.lowest


def associated_circles(
    sets: Sequence[Coordinates],
    method: Method = Method.MINIMUM_ZONE,
    engine: Engine = "compiled",
) -> CircleBatch:
    """The circles associated with many sets of readings, as `associated_circle` would fit each.

    sets: one list of readings (x, y) per section [mm]; each as `associated_circle` wants it.
    method: the criterion, the same for all [-].
    engine: "compiled" (extra "fast"), or "numpy" to do without [-].
    Returns centres, radii, extreme distances, proofs and contacts as arrays [mm].
    Holds as `associated_circle` does: a set that compiled code does not settle and prove at once
        is done again there.
    Source: as `associated_circle`.
    Raises ValueError and UndeterminedError as `associated_circle` does; CompilerMissingError where
        compiled code is asked for and numba is not installed.

    >>> square = [(10.01, 0), (0, 10.0), (-10.01, 0), (0, -10.0)]
    >>> batch = associated_circles([square, square], engine="numpy")
    >>> [round(form, 6) for form in batch.form.tolist()], batch.proven.tolist()
    ([0.01, 0.01], [True, True])
    """
    count = len(sets)
    joined, starts = _joined(sets)
    answers = np.full((count, 6), -1.0)
    contacts = np.full((count, 4), -1, np.int64)
    if engine == "compiled" and count:
        answers, contacts = _fast.circles(joined, starts, _NUMBERS[method])
    x, y, highest, lowest, mean, status = answers.T.copy()
    radius = {
        Method.MINIMUM_ZONE: 0.5 * (highest + lowest),
        Method.INSCRIBED: lowest.copy(),
        Method.CIRCUMSCRIBED: highest.copy(),
        Method.LEAST_SQUARES: mean,
    }[method]
    proven = status > 0.5
    unproven = status < 0.5 if method is not Method.LEAST_SQUARES else status < -0.5
    for place in np.flatnonzero(unproven).tolist():
        fit = associated_circle(joined[:, starts[place] : starts[place + 1]].T, method)
        x[place], y[place], radius[place] = fit.x, fit.y, fit.radius
        highest[place], lowest[place] = fit.highest, fit.lowest
        proven[place] = fit.proof.scope is Scope.GLOBAL
        holding = [contact.index for contact in fit.contacts if contact.share > 0.0][:4]
        contacts[place] = [*holding, *[-1] * (4 - len(holding))]
    return CircleBatch(x, y, radius, highest, lowest, proven, contacts)


def _joined(sets: Sequence[Coordinates]) -> tuple[Floats, Integers]:
    """All sets one after another (rows x and y), and where each begins; checked all at once."""
    parts = []
    for place, readings in enumerate(sets):
        plain = (
            isinstance(readings, np.ndarray)
            and readings.dtype == np.float64
            and readings.ndim == 2
            and readings.shape[0] > 0
            and readings.shape[1] == 2
        )
        parts.append(
            cast(Floats, readings) if plain else coordinates(readings, 2, 1, f"set {place}").T
        )
    starts = np.zeros(len(parts) + 1, np.int64)
    np.cumsum([part.shape[0] for part in parts], out=starts[1:])
    joined = np.empty((2, int(starts[-1])))
    for place, part in enumerate(parts):
        joined[:, starts[place] : starts[place + 1]] = part.T
    if not np.isfinite(joined).all():
        for place, part in enumerate(parts):
            coordinates(part, 2, 1, f"set {place}")
    return joined, starts
