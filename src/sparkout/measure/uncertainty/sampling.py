"""Random trials whose numbers depend on the seed and the trial's block only.

The generator is counter-based (Philox): block b of a run starts at counter b·2^192, so any thread
may draw any block, in any order, and the trials are the same.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..estimate import Component, Estimate, Shape, combine
from .formula import Formula
from .special import Floats

__all__: list[str] = []

_ROOT3 = 3.0**0.5
_ROOT6 = 6.0**0.5


def generator(seed: int, block: int) -> np.random.Generator:
    return np.random.Generator(np.random.Philox(key=seed, counter=block << 192))


def sources_of(estimates: Sequence[Estimate]) -> tuple[Component, ...]:
    """One unit error for each source in the estimates, in order of first appearance."""
    found: dict[str, Component] = {}
    for estimate in estimates:
        for part in combine(estimate.components):
            known = found.setdefault(part.source, part)
            if known.shape is not part.shape or known.dof != part.dof:
                raise ValueError(
                    f"source {part.source!r} comes as {known.shape} with {known.dof} degrees of"
                    f" freedom and as {part.shape} with {part.dof}; one error has one distribution"
                )
    return tuple(Component(part.source, 1.0, part.shape, part.dof) for part in found.values())


def draw(
    random: np.random.Generator, sources: tuple[Component, ...], count: int
) -> dict[str, Floats]:
    """Values of each source in units of its standard uncertainty (Student: of its scale)."""
    out: dict[str, Floats] = {}
    for source in sources:
        if source.shape is Shape.RECTANGULAR:
            value = random.uniform(-_ROOT3, _ROOT3, count)
        elif source.shape is Shape.TRIANGULAR:
            value = (random.random(count) - random.random(count)) * _ROOT6
        elif source.shape is Shape.STUDENT and np.isfinite(source.dof):
            value = random.standard_t(source.dof, count)
        else:
            value = random.standard_normal(count)
        out[source.source] = value
    return out


def tried(output: Estimate | Formula, errors: dict[str, Floats], count: int) -> Floats:
    """The output for each trial."""
    if isinstance(output, Formula):
        arguments = [tried(argument, errors, count) for argument in output.arguments]
        value = np.asarray(output.function(*arguments), dtype=np.float64)
        return np.broadcast_to(value, (count,))
    total = np.full(count, float(output.value))
    for part in combine(output.components):
        total += part.u * errors[part.source]
    return total
