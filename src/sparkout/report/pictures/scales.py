"""Lengths as pictures show them: millimetres in a metric shop, inches in the other."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["INCH_SCALE", "MM_SCALE", "LengthScale", "scale_of"]


@dataclass(frozen=True, slots=True)
class LengthScale:
    """A unit for sizes and a smaller one for deviations; both in mm. decimals: of a size."""

    unit: str
    size: Fraction
    decimals: int
    fine_unit: str
    fine: Fraction
    fine_decimals: int

    def of(self, value: Fraction) -> float:
        return float(value / self.size)

    def fine_of(self, value: Fraction) -> float:
        return float(value / self.fine)


MM_SCALE = LengthScale("mm", Fraction(1), 3, "µm", Fraction(1, 1000), 0)
# A thou is what an inch shop thinks in; tenths are its last digit.
INCH_SCALE = LengthScale("in", Fraction(254, 10), 4, "thou", Fraction(254, 10_000), 1)


def scale_of(system: str) -> LengthScale:
    return INCH_SCALE if system == "inch" else MM_SCALE
