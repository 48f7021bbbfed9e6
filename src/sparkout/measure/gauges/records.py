"""Gauges, masters and their papers, as records."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sparkout.measure.gauges.kinds import GaugeKind
from sparkout.measure.temperature import Expansion

__all__ = ["Certificate", "Gauge", "Master", "Repeatability"]


@dataclass(frozen=True, slots=True)
class Certificate:
    """A calibration certificate: expanded uncertainty and what it was expanded by.

    on: day it was made, None where the shop does not say. until: last day it holds, None where no
    one set one. dof: effective degrees of freedom, where the certificate states them.
    """

    number: str
    on: date | None
    expanded: Fraction
    k: Fraction = Fraction(2)
    until: date | None = None
    dof: float = math.inf

    def __post_init__(self) -> None:
        if self.expanded < 0:
            raise ValueError(f"certificate {self.number}: U {float(self.expanded)} is negative")
        if not 1 <= self.k <= 5:
            raise ValueError(
                f"certificate {self.number}: coverage factor {float(self.k)} is not between 1 and 5"
            )
        if not self.dof >= 1.0:
            raise ValueError(
                f"certificate {self.number}: degrees of freedom {self.dof} are below 1"
            )
        if self.until is not None and self.on is not None and self.until < self.on:
            raise ValueError(
                f"certificate {self.number}: expires {self.until}, before it was made on {self.on}"
            )

    @property
    def u(self) -> float:
        return float(self.expanded / self.k)


@dataclass(frozen=True, slots=True)
class Repeatability:
    """Standard deviation of single readings, pooled over a study, and its degrees of freedom.

    readings − groups: twelve parts read three times each give 24.
    """

    s: Fraction
    dof: int

    def __post_init__(self) -> None:
        if self.s < 0:
            raise ValueError(f"standard deviation {float(self.s)} is negative")
        if self.dof < 1:
            raise ValueError(f"{self.dof} degrees of freedom of a repeat study are below 1")

    @classmethod
    def pooled(cls, groups: tuple[tuple[Fraction, int], ...]) -> Repeatability:
        """From several studies of the same gauge: (standard deviation, readings) of each."""
        dof = sum(count - 1 for _, count in groups)
        if dof < 1 or any(count < 2 for _, count in groups):
            raise ValueError("every group of a repeat study needs two readings or more")
        square = sum((s * s * (count - 1) for s, count in groups), Fraction(0)) / dof
        return cls(Fraction(math.sqrt(square)), dof)


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge of the shop.

    resolution: smallest step shown. largest_error: maximum permissible error either way, counts
    only where there is no certificate. held: why it may not be used (dropped, lent, on trial),
    empty when it may. All lengths in mm; other kinds in the unit of what they read. called: the
    shop's word for its kind. measures: the quantity it reads. set_by: masters it is usually set by,
    the one nearest in size counts. beside: gauges its readings go through.
    """

    id: str
    kind: GaugeKind
    resolution: Fraction
    certificate: Certificate | None = None
    largest_error: Fraction | None = None
    repeatability: Repeatability | None = None
    expansion: Expansion | None = None
    held: str = ""
    called: str = ""
    measures: str = "length"
    set_by: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.resolution < 0:
            raise ValueError(f"gauge {self.id}: resolution {float(self.resolution)} is negative")
        if self.largest_error is not None and self.largest_error < 0:
            raise ValueError(
                f"gauge {self.id}: largest error {float(self.largest_error)} is negative"
            )
        if self.certificate is None and self.largest_error is None:
            raise ValueError(
                f"gauge {self.id}: has neither certificate nor maximum permissible error;"
                " without either it is not registered"
            )


@dataclass(frozen=True, slots=True)
class Master:
    """A ring, rod or block that gauges are set by: certified size [mm] and its uncertainty."""

    id: str
    size: Fraction
    certificate: Certificate | None = None
    largest_error: Fraction | None = None
    expansion: Expansion | None = None
    held: str = ""

    def __post_init__(self) -> None:
        if self.size <= 0:
            raise ValueError(f"master {self.id}: size {float(self.size)} is not above zero")
        if self.certificate is None and self.largest_error is None:
            raise ValueError(
                f"master {self.id}: has neither certificate nor maximum permissible error;"
                " without either it is not registered"
            )
