"""Lengths of one measurement as a metric and an inch shop read them."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.figures import figure

__all__ = ["INCH", "METRIC", "Lengths"]


@dataclass(frozen=True, slots=True)
class Lengths:
    """Sizes in `unit`, deviations in `fine`; both from mm."""

    unit: str
    in_mm: float
    decimals: int
    fine: str
    fine_in_mm: float
    fine_decimals: int

    def size(self, value: float, more: int = 0) -> str:
        return f"{figure(value / self.in_mm, self.decimals + more)} {self.unit}"

    def bare(self, value: float) -> str:
        return figure(value / self.in_mm, self.decimals)

    def deviation(self, value: float) -> str:
        return f"{figure(value / self.fine_in_mm, self.fine_decimals)} {self.fine}"

    def bare_deviation(self, value: float) -> float:
        return value / self.fine_in_mm


METRIC = Lengths("mm", 1.0, 4, "µm", 0.001, 2)
INCH = Lengths("in", 25.4, 6, "thou", 0.0254, 4)
"""A hundredth of a tenth: what 0.01 µm is to the metric shop, near enough."""
