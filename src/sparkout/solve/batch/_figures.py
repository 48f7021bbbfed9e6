"""What the compiled loops work on: one model, in arrays flat enough for machine code.

Every value of every variable has a place in one flat list; `alive` says which still stand. A link
is a window, or a shared cost and the picks that call for it; `use` says which of them count, so
that wide ones can be left out of a relaxation. What the loops work out is what
sparkout.solve.propagate and sparkout.solve.tree work out; the rules are written there.

Loops that call each other stand in one file: what numba keeps on disk is thrown away when the file
changes that it was made from, but not when another does.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

__all__ = ["MOST_AXES", "Bools", "Figures", "Ints", "Order", "Skeleton", "compiled"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
_Function = TypeVar("_Function", bound=Callable[..., Any])

MOST_AXES = 64
"""Choices and amounts of one link, at most."""


def compiled(function: _Function) -> _Function:
    """Compiled once, at its first call, and kept on disk."""
    return cast(_Function, numba.njit(cache=True, nogil=True)(function))


class Skeleton(NamedTuple):
    """What models of one structure share. Axes of a link: its choices, then its amounts."""

    axes: Ints
    axis_at: Ints
    choices: Ints  # how many of a link's axes are choices
    stride: Ints  # of every axis in the link's rows; 0 for amounts
    row_at: Ints
    coef_at: Ints
    common: Bools  # one line of coefficients for all rows
    about: Ints  # links about a variable
    about_at: Ints


class Figures(NamedTuple):
    """The numbers of one model."""

    start: Ints  # first place of every variable
    low: Ints  # value at that place
    cost: Ints  # packed, per place
    lower: Ints  # per row of every link
    upper: Ints
    allowed: Bools
    coef: Ints


class Order(NamedTuple):
    """Variables in order of elimination, and the tables that come of it.

    The axes of a table lie by rising size, so that inner loops are long. scope: ranks along the
    axes of every table; own: the axis of the variable it eliminates; up: the table that its
    message goes to, −1 where none is left.
    """

    variables: Ints
    rank: Ints
    scope: Ints
    scope_at: Ints
    own: Ints
    up: Ints
    size: Ints  # by rank
    lie: Ints  # by rank: place along axes
    cells: float
