"""Cost and preference packed into one integer, so that every table carries both.

packed = cost × scale + preference, with a scale larger than any spread of preference that two plans
can show: packed values then compare exactly as (cost, preference) pairs do. Every choice is shifted
so that its cheapest option is 0; `shift` adds the shifts back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sparkout.solve.model import IntArray, Model

__all__ = ["BIG", "LIMIT", "Objective", "pack"]

LIMIT = 1 << 55
"""Packed costs of whole plans stay below this."""
BIG = 1 << 56
"""Stands for 'forbidden' in tables. Sixty of them still add up to less than 2^63."""


@dataclass(frozen=True, slots=True)
class Objective:
    """Packed costs per option, per step and per shared cost."""

    choices: tuple[IntArray, ...]
    steps: tuple[int, ...]
    shared: tuple[int, ...]
    scale: int
    shift: int
    least_preference: int

    def unpack(self, packed: int) -> tuple[int, int]:
        """Cost and preference of a plan from its packed cost without the shift."""
        cost, rest = divmod(packed + self.shift - self.least_preference, self.scale)
        return cost, rest + self.least_preference


def pack(model: Model) -> Objective:
    """The packed objective of a model.

    Raises OverflowError where cost and preference do not fit one 64-bit integer together.
    """
    least = most = 0
    span = 0
    for choice in model.choices:
        least += min(choice.prefer, default=0)
        most += max(choice.prefer, default=0)
        span += max(choice.cost, default=0) - min(choice.cost, default=0)
    for amount in model.amounts:
        ends = (amount.prefer_per_step * amount.low, amount.prefer_per_step * amount.high)
        least += min(ends)
        most += max(ends)
        span += abs(amount.cost_per_step) * max(abs(amount.low), abs(amount.high))
    for shared in model.shared:
        least += min(0, shared.prefer)
        most += max(0, shared.prefer)
        span += shared.cost
    scale = most - least + 1
    if (span + 1) * scale >= LIMIT:
        raise OverflowError(
            f"costs that differ by up to {span} and preferences that differ by up to {scale - 1} "
            f"do not fit one 64-bit integer; give one of them in coarser units"
        )
    choices = []
    shift = 0
    for choice in model.choices:
        packed = [c * scale + p for c, p in zip(choice.cost, choice.prefer, strict=True)]
        floor = min(packed, default=0)
        shift += floor
        choices.append(np.array([p - floor for p in packed], dtype=np.int64))
    return Objective(
        tuple(choices),
        tuple(a.cost_per_step * scale + a.prefer_per_step for a in model.amounts),
        tuple(s.cost * scale + s.prefer for s in model.shared),
        scale,
        shift,
        least,
    )
