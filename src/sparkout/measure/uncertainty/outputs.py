"""Outputs of one engine made ready for many questions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..estimate import Estimate
from .formula import Formula
from .special import Floats
from .sums import Sums
from .tangent import Group, grouped, nominal

__all__ = ["Outputs"]


@dataclass(frozen=True, slots=True)
class Outputs:
    """Outputs made ready: which are sums, which are formulas, and the slopes of those."""

    count: int
    linear: tuple[int, ...]
    values: Floats
    sums: Sums
    curved: tuple[tuple[int, Formula], ...]
    groups: tuple[Group, ...]
    centres: tuple[tuple[Floats, Floats], ...]

    @classmethod
    def of(cls, outputs: Sequence[Estimate | Formula]) -> Outputs:
        """Read the outputs once; the answers below can then be asked for any limits."""
        straight = [(row, out) for row, out in enumerate(outputs) if isinstance(out, Estimate)]
        curved = [(row, out) for row, out in enumerate(outputs) if isinstance(out, Formula)]
        groups = tuple(grouped(curved))
        return cls(
            len(outputs),
            tuple(row for row, _ in straight),
            np.array([float(out.value) for _, out in straight]),
            Sums.of([out.components for _, out in straight]),
            tuple(curved),
            groups,
            tuple(nominal(group) for group in groups),
        )
