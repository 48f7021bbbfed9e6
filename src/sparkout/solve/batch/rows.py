"""Rows of windows, from models or from their numbers put together, into the figures of one model.

Small windows are written in at once. Large ones seldom bind: a plan is held against them where they
are, and they are written in where it breaks them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

import numpy as np

from sparkout.solve.batch._figures import Figures
from sparkout.solve.batch.skeleton import Form
from sparkout.solve.batch.structure import Stacked
from sparkout.solve.model import BoolArray, IntArray, Model

__all__ = ["OfModels", "OfStack", "Rows", "Source", "broken_by", "fill"]


class Rows(Protocol):
    """The numbers of a window."""

    @property
    def lower(self) -> IntArray: ...
    @property
    def upper(self) -> IntArray: ...
    @property
    def allowed(self) -> BoolArray: ...
    @property
    def coef(self) -> IntArray: ...


class Source(Protocol):
    """Where the rows of a block of models stand."""

    def write(self, at: int, fig: Figures) -> None:
        """Write the small windows of a model into its figures."""

    def large(self, at: int) -> Sequence[Rows]:
        """The large windows of a model."""


class OfModels:
    """Models with their windows."""

    def __init__(self, form: Form, models: Sequence[Model]) -> None:
        self.models = models
        self.small = form.windows[: form.small]
        self.rest = form.windows[form.small :]
        self.rows = int(form.skeleton.row_at[form.small])
        self.lines = int(form.skeleton.coef_at[form.small])

    def write(self, at: int, fig: Figures) -> None:
        windows = self.models[at].windows
        mine = [windows[k] for k in self.small]
        if not mine:
            return
        np.concatenate([part.lower.ravel() for part in mine], out=fig.lower[: self.rows])
        np.concatenate([part.upper.ravel() for part in mine], out=fig.upper[: self.rows])
        np.concatenate([part.allowed.ravel() for part in mine], out=fig.allowed[: self.rows])
        np.concatenate([part.coef.ravel() for part in mine], out=fig.coef[: self.lines])

    def large(self, at: int) -> Sequence[Rows]:
        windows = self.models[at].windows
        return [windows[k] for k in self.rest]


class _Cut(NamedTuple):
    lower: IntArray
    upper: IntArray
    allowed: BoolArray
    coef: IntArray


class OfStack:
    """Numbers put together."""

    def __init__(self, form: Form, stack: Stacked) -> None:
        self.stack = stack
        rows = lines = 0
        row_at, line_at, shapes = [], [], []
        for _, _, amounts, shape, common in stack.structure.windows:
            count = int(np.prod(shape, dtype=np.int64))
            width = len(amounts)
            row_at.append(slice(rows, rows := rows + count))
            line_at.append(slice(lines, lines := lines + width * (1 if common else count)))
            shapes.append((shape, (width,) if common else (*shape, width)))
        small = form.windows[: form.small]
        self.rows = _places([row_at[k] for k in small])
        self.lines = _places([line_at[k] for k in small])
        self.rest = [(row_at[k], line_at[k], *shapes[k]) for k in form.windows[form.small :]]

    def write(self, at: int, fig: Figures) -> None:
        rows, lines = len(self.rows), len(self.lines)
        fig.lower[:rows] = self.stack.lower[at, self.rows]
        fig.upper[:rows] = self.stack.upper[at, self.rows]
        fig.allowed[:rows] = self.stack.allowed[at, self.rows]
        fig.coef[:lines] = self.stack.coef[at, self.lines]

    def large(self, at: int) -> Sequence[Rows]:
        many = self.stack
        return [
            _Cut(
                many.lower[at, rows].reshape(shape),
                many.upper[at, rows].reshape(shape),
                many.allowed[at, rows].reshape(shape),
                many.coef[at, lines].reshape(coef),
            )
            for rows, lines, shape, coef in self.rest
        ]


def _places(parts: Sequence[slice]) -> IntArray:
    found = [np.arange(part.start, part.stop) for part in parts]
    return np.concatenate(found) if found else np.empty(0, dtype=np.int64)


def fill(form: Form, fig: Figures, link: int, rows: Rows) -> None:
    """Write in the rows of a window."""
    skel = form.skeleton
    mine = slice(skel.row_at[link], skel.row_at[link + 1])
    shape = rows.allowed.shape
    # Assigned rather than copied: most of these arrays are spread out from smaller ones.
    fig.lower[mine].reshape(shape)[...] = rows.lower
    fig.upper[mine].reshape(shape)[...] = rows.upper
    fig.allowed[mine].reshape(shape)[...] = rows.allowed
    lines = slice(skel.coef_at[link], skel.coef_at[link + 1])
    fig.coef[lines].reshape(rows.coef.shape)[...] = rows.coef


def broken_by(
    form: Form, link: int, rows: Rows, places: Sequence[int], steps: Sequence[int]
) -> bool:
    """Whether a plan breaks a large window. places, steps: place and value of every variable."""
    choices, amounts = form.scopes[link - form.small]
    row = tuple([places[v] for v in choices])
    if not rows.allowed[row]:
        return True
    coef: list[int] = (rows.coef if rows.coef.ndim == 1 else rows.coef[row]).tolist()
    total = sum([c * steps[v] for c, v in zip(coef, amounts, strict=True)])
    return not rows.lower[row] <= total <= rows.upper[row]
