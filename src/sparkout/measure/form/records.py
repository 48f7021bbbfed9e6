"""What an associated feature is: the words, the records and the proof that comes with them.

An *associated feature* is the ideal circle, cylinder, plane or line fitted to readings by a stated
criterion. Four criteria are in use; each carries the symbols of the standards, so that a drawing
and a result speak of one thing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

__all__ = [
    "AxisFit",
    "Balance",
    "CircleFit",
    "Contact",
    "CylinderFit",
    "Engine",
    "LineFit",
    "Method",
    "PlaneFit",
    "Scope",
    "Side",
    "Stationary",
    "UndeterminedError",
]

Engine = Literal["numpy", "compiled"]


class UndeterminedError(ValueError):
    """These readings do not determine the feature asked for; the sentence says why."""


class Method(StrEnum):
    """The criterion by which a feature is associated with readings."""

    LEAST_SQUARES = "least squares"
    CIRCUMSCRIBED = "minimum circumscribed"
    INSCRIBED = "maximum inscribed"
    MINIMUM_ZONE = "minimum zone"

    @property
    def size_symbol(self) -> str:
        """ISO 14405-1 modifier of the size it gives (recalled from memory): GG, GN, GX, GC."""
        return _SIZE_SYMBOLS[self]

    def reference_symbol(self, feature: Literal["CI", "CY", "PL", "LI"]) -> str:
        """Reference feature as ISO 12180, 12181, 12780 and 12781 write it, such as MZCI."""
        return f"{_REFERENCE_SYMBOLS[self]}{feature}"


_SIZE_SYMBOLS = {
    Method.LEAST_SQUARES: "GG",
    Method.CIRCUMSCRIBED: "GN",
    Method.INSCRIBED: "GX",
    Method.MINIMUM_ZONE: "GC",
}
_REFERENCE_SYMBOLS = {
    Method.LEAST_SQUARES: "LS",
    Method.CIRCUMSCRIBED: "MC",
    Method.INSCRIBED: "MI",
    Method.MINIMUM_ZONE: "MZ",
}


class Side(StrEnum):
    """Which border of the feature a reading touches: the far one or the near one."""

    OUTER = "outer"
    INNER = "inner"


class Scope(StrEnum):
    """How far the proof of optimality reaches."""

    GLOBAL = "global"
    """No feature of this kind is better, wherever it lies."""
    REACH = "within reach"
    """No better one lies within the stated reach of this one."""
    LOCAL = "local"
    """The conditions of a local optimum hold; nothing is said about far ones."""


@dataclass(frozen=True, slots=True)
class Contact:
    """A reading that touches the feature.

    index: its place in the readings given. share: its multiplier; those of one side add up to 1.
    Readings that touch but are not needed to hold the feature in place have share 0.
    """

    index: int
    side: Side
    share: float


@dataclass(frozen=True, slots=True)
class Balance:
    """Proof of a minimax feature: the contacts hold each other in balance and nothing sticks out.

    scope, reason: how far the proof reaches, and why in words.
    balance: |Σ share·gradient(outer) − Σ share·gradient(inner)|, 0 at an optimum [-].
    overshoot: how far the worst reading lies outside the stated borders [mm].
    sharpness: least rise of the value per mm of shift [-] (per unit of slope [mm] for a line or a
    plane); 0 where the optimum is held by curvature alone.
    reach: no better feature lies within this shift of it [mm]; infinite when the scope is global.
    """

    scope: Scope
    reason: str
    balance: float
    overshoot: float
    sharpness: float
    reach: float


@dataclass(frozen=True, slots=True)
class Stationary:
    """Proof of a least-squares feature: no slope left, and the sum of squares bends upwards.

    gradient: largest component of Σ deviation·gradient / number of readings [mm].
    curvature: smallest eigenvalue of the Hessian of half the mean square deviation [-] (for a line
    or a plane: of the second moments minus the least one [mm²]); above zero at a minimum.
    """

    scope: Scope
    reason: str
    gradient: float
    curvature: float


Proof = Balance | Stationary


@dataclass(frozen=True, slots=True)
class CircleFit:
    """A circle associated with readings; lengths in mm.

    radius: of the associated circle (for the minimum zone: midway between its two circles).
    highest, lowest: largest and smallest distance of a reading from the centre.
    steps: iterations (exchanges of contact readings, or Newton steps of least squares).
    """

    method: Method
    x: float
    y: float
    radius: float
    highest: float
    lowest: float
    readings: int
    contacts: tuple[Contact, ...]
    proof: Proof
    steps: int
    warnings: tuple[str, ...]

    @property
    def diameter(self) -> float:
        """Global size of the readings by this criterion [mm]."""
        return 2.0 * self.radius

    @property
    def form(self) -> float:
        """Roundness deviation from this reference circle, radial, peak to valley [mm]."""
        return self.highest - self.lowest

    @property
    def peak(self) -> float:
        """Farthest reading outside the associated circle, radial [mm]."""
        return self.highest - self.radius

    @property
    def valley(self) -> float:
        """Farthest reading inside the associated circle, radial [mm]."""
        return self.radius - self.lowest


@dataclass(frozen=True, slots=True)
class CylinderFit:
    """A cylinder associated with readings; lengths in mm.

    point: where the axis passes nearest to the middle of the readings; direction: unit vector.
    """

    method: Method
    point: tuple[float, float, float]
    direction: tuple[float, float, float]
    radius: float
    highest: float
    lowest: float
    readings: int
    contacts: tuple[Contact, ...]
    proof: Proof
    steps: int
    warnings: tuple[str, ...]

    @property
    def diameter(self) -> float:
        """Global size of the readings by this criterion [mm]."""
        return 2.0 * self.radius

    @property
    def form(self) -> float:
        """Cylindricity deviation from this reference cylinder, radial, peak to valley [mm]."""
        return self.highest - self.lowest


@dataclass(frozen=True, slots=True)
class PlaneFit:
    """A plane associated with readings; lengths in mm.

    point: a point of the plane (for the minimum zone: midway); normal: unit vector.
    highest, lowest: farthest deviations along the normal and against it, signed.
    """

    method: Method
    point: tuple[float, float, float]
    normal: tuple[float, float, float]
    highest: float
    lowest: float
    readings: int
    contacts: tuple[Contact, ...]
    proof: Proof
    steps: int
    warnings: tuple[str, ...]

    @property
    def form(self) -> float:
        """Flatness deviation from this reference plane, peak to valley [mm]."""
        return self.highest - self.lowest


@dataclass(frozen=True, slots=True)
class LineFit:
    """A straight line in a plane associated with readings; lengths in mm."""

    method: Method
    point: tuple[float, float]
    direction: tuple[float, float]
    highest: float
    lowest: float
    readings: int
    contacts: tuple[Contact, ...]
    proof: Proof
    steps: int
    warnings: tuple[str, ...]

    @property
    def form(self) -> float:
        """Straightness deviation from this reference line, peak to valley [mm]."""
        return self.highest - self.lowest


@dataclass(frozen=True, slots=True)
class AxisFit:
    """A straight line in space associated with centre points; lengths in mm.

    radius: largest distance of a point from the line.
    """

    method: Method
    point: tuple[float, float, float]
    direction: tuple[float, float, float]
    radius: float
    readings: int
    contacts: tuple[Contact, ...]
    proof: Proof
    steps: int
    warnings: tuple[str, ...]

    @property
    def form(self) -> float:
        """Straightness in space: diameter of the cylinder that holds all the points [mm]."""
        return 2.0 * self.radius
