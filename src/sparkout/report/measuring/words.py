"""Figures and sentences that all measuring reports share."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.drawings.figures import decimals_for, figure
from sparkout.report.text.layout import wrapped

__all__ = ["bulleted", "chance", "count_of", "places", "signed", "size"]


def places(scatter: float) -> int:
    """Decimals for figures that scatter this much: its second digit is the last one shown."""
    return min(9, decimals_for(scatter) + 1) if scatter > 0 else 3


def size(value: float, decimals: int, unit: str = "") -> str:
    text = figure(value, decimals)
    return f"{text} {unit}" if unit else text


def signed(value: float, decimals: int, unit: str = "") -> str:
    text = figure(value, decimals, signed=True)
    return f"{text} {unit}" if unit else text


def chance(share: float) -> str:
    """A share as a person says it: 1.2 %, 3 in a million."""
    if share >= 0.001:
        return f"{figure(100 * share, 1)} %"
    return f"{share * 1e6:.0f} in a million" if share >= 5e-7 else "less than 1 in a million"


def count_of(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def bulleted(sentences: Iterable[str], mark: str = "·") -> list[str]:
    return [line for sentence in sentences for line in wrapped(sentence, f"  {mark} ")]
