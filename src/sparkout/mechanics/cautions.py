"""A named warning that travels with a result: it was computed, and this is what to look at."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["Caution"]


class Caution(NamedTuple):
    """One thing about a result that a person has to judge.

    name: short and stable ("past_yield"). value: the number that broke the bound. bound: what it
    was held against. unit: of both. text: a sentence for the bench.
    """

    name: str
    value: float
    bound: float
    unit: str
    text: str

    def __str__(self) -> str:
        return f"{self.name}: {self.value:.4g} {self.unit} against {self.bound:.4g}: {self.text}"
