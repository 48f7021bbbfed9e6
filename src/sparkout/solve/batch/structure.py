"""What models of one structure share, and their numbers put together in arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import chain

import numpy as np

from sparkout.solve.model import NO_BOUND, BoolArray, IntArray, Model, Shared, Window

__all__ = [
    "Numbers",
    "Stacked",
    "Structure",
    "numbers_of",
    "put_together",
    "stacked",
    "structure_of",
]

WindowShape = tuple[str, tuple[str, ...], tuple[str, ...], tuple[int, ...], bool]
"""Name, choices, amounts, options per choice, and whether rows share one line of coefficients."""


@dataclass(frozen=True, slots=True)
class Structure:
    """Names and scopes: everything about a model but its numbers."""

    choices: tuple[tuple[str, tuple[str, ...]], ...]
    amounts: tuple[str, ...]
    windows: tuple[WindowShape, ...]
    shared: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    tallies: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]

    @property
    def asked(self) -> tuple[int, ...]:
        """Shared costs that some pick calls for; the others are never paid."""
        return tuple(k for k, (_, when) in enumerate(self.shared) if when)


def structure_of(model: Model) -> Structure:
    return Structure(
        tuple([(c.name, c.options) for c in model.choices]),
        tuple([a.name for a in model.amounts]),
        tuple([_shape(w) for w in model.windows]),
        tuple([_when(s) for s in model.shared]),
        tuple([(t.name, tuple([(c, o) for c, o, _ in t.weights])) for t in model.tallies]),
    )


def _shape(part: Window) -> WindowShape:
    return part.name, part.choices, part.amounts, part.allowed.shape, part.coef.ndim == 1


def _when(shared: Shared) -> tuple[str, tuple[tuple[str, str], ...]]:
    return shared.name, shared.when


@dataclass(frozen=True, slots=True, eq=False)
class Numbers:
    """The numbers of many models of one structure but their windows'; models along axis 0.

    cost, prefer: per option, the choices one after the other. low, high, step_cost, step_prefer:
    per amount. shared_cost, shared_prefer: per shared cost. weight: per pick of the tallies;
    at_least, at_most: per tally, with -NO_BOUND and NO_BOUND for none.
    """

    structure: Structure
    cost: IntArray
    prefer: IntArray
    low: IntArray
    high: IntArray
    step_cost: IntArray
    step_prefer: IntArray
    shared_cost: IntArray
    shared_prefer: IntArray
    weight: IntArray
    at_least: IntArray
    at_most: IntArray

    def __post_init__(self) -> None:
        for name, width in _widths(self.structure).items():
            found = getattr(self, name, None)
            if found is not None and found.shape != (len(self.cost), width):
                raise ValueError(
                    f"{name} has shape {found.shape}; this structure and {len(self.cost)} models "
                    f"need {(len(self.cost), width)}"
                )

    def __len__(self) -> int:
        return len(self.cost)


@dataclass(frozen=True, slots=True, eq=False)
class Stacked(Numbers):
    """All numbers of many models of one structure.

    lower, upper, allowed: per row of the windows, each window's rows in C order, the windows one
    after the other; coef likewise, a line per row or one line for all.
    """

    lower: IntArray
    upper: IntArray
    allowed: BoolArray
    coef: IntArray

    def part(self, first: int, final: int) -> Stacked:
        """Some of the models."""
        names = [part.name for part in fields(self) if part.name != "structure"]
        return Stacked(self.structure, *[getattr(self, name)[first:final] for name in names])

    def windows(self, at: int) -> list[Window]:
        """The windows of one of the models."""
        found = []
        row = line = 0
        for name, choices, amounts, shape, common in self.structure.windows:
            rows = slice(row, row := row + _rows(shape))
            width = len(amounts)
            lines = slice(line, line := line + width * (1 if common else _rows(shape)))
            found.append(
                Window(
                    name,
                    choices,
                    amounts,
                    self.coef[at, lines].reshape((width,) if common else (*shape, width)),
                    self.lower[at, rows].reshape(shape),
                    self.upper[at, rows].reshape(shape),
                    self.allowed[at, rows].reshape(shape),
                )
            )
        return found

    def model(self, at: int) -> Model:
        """One of the models again."""
        from sparkout.solve.batch.unstack import unstacked

        return unstacked(self, at)


def _widths(structure: Structure) -> dict[str, int]:
    s = structure
    rows = sum([_rows(shape) for _, _, _, shape, _ in s.windows])
    options = sum([len(options) for _, options in s.choices])
    return {
        "cost": options,
        "prefer": options,
        "low": len(s.amounts),
        "high": len(s.amounts),
        "step_cost": len(s.amounts),
        "step_prefer": len(s.amounts),
        "shared_cost": len(s.shared),
        "shared_prefer": len(s.shared),
        "weight": sum([len(picks) for _, picks in s.tallies]),
        "at_least": len(s.tallies),
        "at_most": len(s.tallies),
        "lower": rows,
        "upper": rows,
        "allowed": rows,
        "coef": sum([len(w[2]) * (1 if w[4] else _rows(w[3])) for w in s.windows]),
    }


def _rows(shape: tuple[int, ...]) -> int:
    rows = 1
    for size in shape:
        rows *= size
    return rows


def numbers_of(models: Sequence[Model], structure: Structure, first: int = 0) -> Numbers:
    """The models' numbers but their windows', put together.

    structure: what they must be of. first: the number of the first of them in messages. Raises
    ValueError where a structure differs.
    """
    for at, model in enumerate(models):
        other = structure_of(model)
        if other != structure:
            raise ValueError(
                f"model {first + at} is of another structure than the first: "
                f"{_difference(structure, other)}"
            )
    return put_together(models, structure)


def put_together(models: Sequence[Model], structure: Structure) -> Numbers:
    """The models' numbers but their windows'. The models must be of this structure."""
    count = len(models)

    def ints(lines: Sequence[Sequence[int]]) -> IntArray:
        return np.array(lines, dtype=np.int64).reshape(count, -1)

    return Numbers(
        structure,
        ints([list(chain.from_iterable([c.cost for c in m.choices])) for m in models]),
        ints([list(chain.from_iterable([c.prefer for c in m.choices])) for m in models]),
        ints([[a.low for a in m.amounts] for m in models]),
        ints([[a.high for a in m.amounts] for m in models]),
        ints([[a.cost_per_step for a in m.amounts] for m in models]),
        ints([[a.prefer_per_step for a in m.amounts] for m in models]),
        ints([[s.cost for s in m.shared] for m in models]),
        ints([[s.prefer for s in m.shared] for m in models]),
        ints([[w for t in m.tallies for _, _, w in t.weights] for m in models]),
        ints(
            [[-NO_BOUND if t.at_least is None else t.at_least for t in m.tallies] for m in models]
        ),
        ints([[NO_BOUND if t.at_most is None else t.at_most for t in m.tallies] for m in models]),
    )


def stacked(models: Sequence[Model]) -> Stacked:
    """The models' numbers, put together.

    Raises ValueError where a structure differs from the first, or there is no model.
    """
    if not models:
        raise ValueError("no models to put together: there is no structure to read")
    structure = structure_of(models[0])
    small = numbers_of(models, structure)
    widths = _widths(structure)

    def rows(name: str) -> IntArray:
        found = np.empty((len(models), widths[name]), dtype=np.int64)
        for at, model in enumerate(models):
            if model.windows:
                np.concatenate([getattr(w, name).ravel() for w in model.windows], out=found[at])
        return found

    return Stacked(
        **{part.name: getattr(small, part.name) for part in fields(small)},
        lower=rows("lower"),
        upper=rows("upper"),
        allowed=rows("allowed").astype(np.bool_),
        coef=rows("coef"),
    )


def _difference(one: Structure, two: Structure) -> str:
    """The first thing that two structures differ in, in words."""
    for what in ("choices", "amounts", "windows", "shared", "tallies"):
        mine, theirs = getattr(one, what), getattr(two, what)
        if mine == theirs:
            continue
        word = {"shared": "shared costs"}.get(what, what)
        if len(mine) != len(theirs):
            return f"it has {len(theirs)} {word} where that has {len(mine)}"
        for at, (a, b) in enumerate(zip(mine, theirs, strict=True)):
            if a != b:
                name = a if isinstance(a, str) else a[0]
                if (b if isinstance(b, str) else b[0]) != name:
                    other = b if isinstance(b, str) else b[0]
                    return f"number {at + 1} of its {word} is {other!r} where that has {name!r}"
                return f"of its {word}, {name!r} is made otherwise: {b[1:]} where that has {a[1:]}"
    return "nothing"
