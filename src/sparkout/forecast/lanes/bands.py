"""Guard bands of many draws at once.

The band of a limit hangs on the errors of the value and, between two limits, on the room that the
width of the value leaves; not on where the value lies. Errors are the same in all draws, so a band
is worked out once for each combination of options, and once for each width where two limits are so
near each other that both count.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sparkout.plan.guard import Asked, accepted
from sparkout.plan.sum_errors import SumErrors
from sparkout.plan.tables import Table

__all__ = ["edges_of"]

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Where the room is more than this many standard uncertainties the other limit does not count.
_WIDE = 40.0


def edges_of(
    asked: Sequence[Asked], widths: Sequence[Floats], confidence: float, rule: str
) -> list[tuple[Floats, Floats]]:
    """Lowest and highest measured low end that proves each limit: members × draws × cells.

    widths: highest less lowest value, of the same shape.
    """
    rows: list[Asked] = []
    near: list[tuple[Places, Places, Places]] = []
    for item, width in zip(asked, widths, strict=True):
        members, _, cells = width.shape
        low_u, high_u = _errors(item.table, members * cells)
        zero, none = np.zeros(members * cells), np.full(members * cells, np.inf)
        rows.append(_asked(item.table, low_u, high_u, zero, zero, none))
        rows.append(_asked(item.table, low_u, high_u, zero, -none, zero))
        both = _both(item, width, low_u, high_u)
        near.append(both)
        which, draw, first = both
        own = which[first]
        rows.append(
            _asked(
                item.table,
                low_u[own],
                low_u[own] if high_u is low_u else high_u[own],
                _flat(width)[own, draw[first]],
                item.lower.reshape(-1)[own],
                item.upper.reshape(-1)[own],
            )
        )
    found = accepted(rows, confidence, rule)
    edges = []
    for k, (item, width) in enumerate(zip(asked, widths, strict=True)):
        members, _, cells = width.shape
        alone, above, between = found[3 * k : 3 * k + 3]
        shape = (members, 1, cells)
        with np.errstate(invalid="ignore"):
            least = item.lower.reshape(shape) + _guard(alone.least).reshape(shape)
            most = item.upper.reshape(shape) + _guard(above.most).reshape(shape) - width
        least = np.broadcast_to(least, width.shape).copy()
        which, draw, first = near[k]
        if which.size:
            like = np.searchsorted(first, np.arange(which.size), side="right") - 1
            least[which // cells, draw, which % cells] = between.least[like]
            most[which // cells, draw, which % cells] = between.most[like]
        edges.append((least, most))
    return edges


def _guard(edge: Floats) -> Floats:
    """An edge of a limit at zero is the band itself; an infinite one says there is no error."""
    return np.where(np.isfinite(edge), edge, 0.0)


def _flat(width: Floats) -> Floats:
    """Members and cells on one axis, draws on the other."""
    members, draws, cells = width.shape
    return width.transpose(0, 2, 1).reshape(members * cells, draws)


def _both(
    item: Asked, width: Floats, low_u: Floats, high_u: Floats
) -> tuple[Places, Places, Places]:
    """Rows and draws where both limits count, sorted so that equal widths of a row lie together;
    and where each new width begins."""
    lower, upper = item.lower.reshape(-1), item.upper.reshape(-1)
    unit = np.sqrt(np.maximum(np.square(low_u).sum(axis=1), np.square(high_u).sum(axis=1)))
    flat = _flat(width)
    with np.errstate(invalid="ignore"):
        two = np.isfinite(lower) & np.isfinite(upper) & (unit > 0.0)
        room = upper - lower - flat.max(axis=1)
    places = np.flatnonzero(two & (room < _WIDE * unit))
    which = np.repeat(places, flat.shape[1])
    draw = np.tile(np.arange(flat.shape[1]), places.size)
    own = flat[which, draw]
    turn = np.lexsort((own, which))
    which, draw, own = which[turn], draw[turn], own[turn]
    if not which.size:
        return which, draw, np.zeros(0, dtype=np.intp)
    new = np.ones(which.size, dtype=np.bool_)
    new[1:] = (np.diff(which) > 0) | (np.diff(own) > 0)
    return which, draw, np.flatnonzero(new)


def _errors(table: Table, count: int) -> tuple[Floats, Floats]:
    low_u, high_u = table.errors.dense()
    low = low_u.reshape(count, -1)
    return low, low if high_u is low_u else high_u.reshape(count, -1)


def _asked(
    table: Table, low_u: Floats, high_u: Floats, width: Floats, lower: Floats, upper: Floats
) -> Asked:
    """Rows as a table without axes. What amounts add is endless, so that no row is told at sight:
    an edge told at sight would hold for one place of the value only."""
    count = len(low_u)
    nothing = np.zeros(count)
    yes = np.ones(count, dtype=np.bool_)
    rows = Table(
        tuple(range(count)),
        ((),) * count,
        ((),) * count,
        (),
        nothing,
        np.maximum(width, 0.0),
        yes,
        yes,
        ~yes,
        nothing,
        SumErrors.plain(low_u, high_u, table.errors.kinds),
        np.zeros((count, 0)),
    )
    far = np.full(count, 1e15)
    return Asked(rows, -far, far, lower, upper)
