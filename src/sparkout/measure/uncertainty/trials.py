"""Chances by counting trials, for outputs that no tangent describes."""

from __future__ import annotations

from .formula import Formula
from .sampling import draw, generator, sources_of, tried

__all__: list[str] = []

_BLOCK = 50_000


def count_outside(
    output: Formula, lower: float, upper: float, trials: int, seed: int
) -> tuple[float, float]:
    """Shares of trials below the lower limit and above the upper one."""
    sources = sources_of(output.arguments)
    below = above = 0
    blocks = -(-trials // _BLOCK)
    for block in range(blocks):
        value = tried(output, draw(generator(seed, block), sources, _BLOCK), _BLOCK)
        below += int((value < lower).sum())
        above += int((value > upper).sum())
    return below / (blocks * _BLOCK), above / (blocks * _BLOCK)
