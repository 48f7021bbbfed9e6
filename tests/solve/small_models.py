"""Random models small enough to try every plan: invented, made from a seed."""

from __future__ import annotations

import numpy as np

from sparkout.solve import NO_BOUND, Amount, Choice, Model, Shared, Tally, window


def small_model(seed: int) -> Model:
    """A few choices and amounts tied by random windows, tallies and shared costs."""
    draw = np.random.default_rng(seed)
    choices = tuple(
        Choice(
            f"c{i}",
            tuple(f"o{k}" for k in range(size)),
            tuple(int(x) for x in draw.integers(-3, 12, size)),
            tuple(int(x) for x in draw.integers(-2, 4, size)) if draw.random() < 0.7 else (),
        )
        for i, size in enumerate(draw.integers(1, 5, draw.integers(1, 6)))
    )
    amounts = []
    for i in range(int(draw.integers(0, 3))):
        low = int(draw.integers(-4, 3))
        step = int(draw.integers(-2, 4)), int(draw.integers(-1, 2))
        amounts.append(Amount(f"a{i}", low, low + int(draw.integers(0, 6)), *step))
    windows = []
    for i in range(int(draw.integers(0, 6))):
        some = draw.permutation(len(choices))[: draw.integers(0, min(3, len(choices)) + 1)]
        them = draw.permutation(len(amounts))[: draw.integers(0, len(amounts) + 1)]
        if not len(some) and not len(them):
            continue
        shape = tuple(len(choices[k].options) for k in some)
        width = len(them)
        coef = draw.integers(-3, 4, (*shape, width) if draw.random() < 0.3 else width)
        middle = draw.integers(-8, 9, shape)
        half = draw.integers(0, 9, shape) if width else np.abs(middle)
        lower = np.where(draw.random(shape) < 0.2, -NO_BOUND, middle - half)
        upper = np.where(draw.random(shape) < 0.2, NO_BOUND, middle + half)
        allowed = draw.random(shape) < 0.85
        windows.append(
            window(
                f"w{i}",
                [choices[k].name for k in some],
                [amounts[k].name for k in them],
                coef,
                lower,
                upper,
                allowed,
            )
        )
    every = [(c.name, o) for c in choices for o in c.options]
    shared = tuple(
        Shared(
            f"s{i}",
            int(draw.integers(0, 8)),
            tuple(every[k] for k in draw.permutation(len(every))[: draw.integers(0, 5)]),
            int(draw.integers(0, 3)),
        )
        for i in range(int(draw.integers(0, 3)))
    )
    tallies = []
    for i in range(int(draw.integers(0, 2))):
        held = draw.permutation(len(every))[: draw.integers(1, len(every) + 1)]
        weights = tuple((*every[k], int(draw.integers(-1, 4))) for k in held)
        at_most = int(draw.integers(0, 8)) if draw.random() < 0.7 else None
        at_least = int(draw.integers(-2, 4)) if draw.random() < 0.5 else None
        tallies.append(Tally(f"t{i}", weights, at_least, at_most))
    return Model(choices, tuple(amounts), tuple(windows), shared, tuple(tallies))
