"""Models of one structure with other numbers: invented, made from a seed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from small_models import small_model

from sparkout.solve import NO_BOUND, Amount, Choice, Model, Shared, Tally, Window


def varied(seed: int, count: int) -> list[Model]:
    """The small model of this seed, and others of its structure."""
    first = small_model(seed)
    return [first, *[_another(first, seed, k) for k in range(1, count)]]


def small_varied(key: tuple[int, int]) -> Model:
    """One of them by name, for other processes to make."""
    seed, at = key
    first = small_model(seed)
    return first if at == 0 else _another(first, seed, at)


def _another(model: Model, seed: int, at: int) -> Model:
    draw = np.random.default_rng([seed, at])

    def ints(low: int, high: int, count: int) -> tuple[int, ...]:
        return tuple(int(x) for x in draw.integers(low, high, count))

    choices = tuple(
        Choice(c.name, c.options, ints(-3, 12, len(c.options)), ints(-2, 4, len(c.options)))
        for c in model.choices
    )
    amounts = tuple(
        Amount(a.name, low := int(draw.integers(-4, 3)), low + int(draw.integers(0, 6)),
               *ints(-2, 3, 2))
        for a in model.amounts
    )  # fmt: skip
    windows = tuple(_window(draw, w) for w in model.windows)
    shared = tuple(
        Shared(s.name, int(draw.integers(0, 8)), s.when, int(draw.integers(0, 3)))
        for s in model.shared
    )
    tallies = tuple(
        Tally(
            t.name,
            tuple((c, o, int(draw.integers(-1, 4))) for c, o, _ in t.weights),
            int(draw.integers(-2, 4)) if draw.random() < 0.5 else None,
            int(draw.integers(0, 8)) if draw.random() < 0.7 else None,
        )
        for t in model.tallies
    )
    return Model(choices, amounts, windows, shared, tallies)


def _window(draw: np.random.Generator, one: Window) -> Window:
    move = draw.integers(-2, 3, one.lower.shape)
    wider = draw.integers(0, 3, one.lower.shape)
    return replace(
        one,
        coef=one.coef if draw.random() < 0.5 else draw.integers(-3, 4, one.coef.shape),
        lower=np.where(one.lower == -NO_BOUND, one.lower, one.lower + move - wider),
        upper=np.where(one.upper == NO_BOUND, one.upper, one.upper + move + wider),
        allowed=draw.random(one.allowed.shape) < 0.85,
    )
