"""A trace round a bore or journal taken apart: eccentricity, oval, three lobes and so on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sparkout.measure.form._points import Floats
from sparkout.measure.form.records import UndeterminedError

__all__ = ["Harmonic", "Harmonics", "trace_harmonics"]


@dataclass(frozen=True, slots=True)
class Harmonic:
    """One part of a trace: amplitude·cos(order·(angle − direction)); lengths in mm, radial.

    direction: where its first crest lies, from 0 up to 360/order degrees.
    """

    order: int
    amplitude: float
    direction: float

    @property
    def peak_to_valley(self) -> float:
        """Twice the amplitude: what it adds to a roundness, radial [mm]."""
        return 2.0 * self.amplitude

    @property
    def two_point(self) -> float:
        """What it adds to an out-of-round by two-point readings, diametral [mm].

        Opposite radii add up: even orders give four amplitudes, odd ones nothing.
        """
        return 4.0 * self.amplitude if self.order % 2 == 0 else 0.0


@dataclass(frozen=True, slots=True)
class Harmonics:
    """A trace as a mean radius and harmonics; rest: what they leave, radial [mm]."""

    mean: float
    parts: tuple[Harmonic, ...]
    rest: tuple[float, ...]
    warnings: tuple[str, ...]

    def part(self, order: int) -> Harmonic:
        """The harmonic of one order; KeyError where it was not asked for."""
        for part in self.parts:
            if part.order == order:
                return part
        raise KeyError(f"order {order} was not fitted; orders 1 to {len(self.parts)} were")

    @property
    def eccentricity(self) -> float:
        """Distance of the centre of the trace from the axis it was taken about [mm]."""
        return self.part(1).amplitude

    @property
    def rest_peak_to_valley(self) -> float:
        """Peak to valley of what the harmonics leave, radial [mm]."""
        return max(self.rest) - min(self.rest)


def trace_harmonics(angles: Sequence[float], radii: Sequence[float], highest: int = 5) -> Harmonics:
    """Mean, eccentricity (order 1), oval (2), three lobes (3) and so on of a trace.

    Least squares of r(a) = R + Σ A_k·cos(k·(a − d_k)), k = 1 to highest, for any spacing of angles.

    angles: direction of each reading [°], any number of turns.
    radii: reading of each direction, radial, from any zero [mm].
    highest: highest order to fit [-], 1 or more.
    Returns mean, harmonics and what they leave [mm].
    Holds where the eccentricity is small against the radius: an offset e also leaves a false oval
        of e²/(4R). Orders above `highest` that the readings are too few to tell apart fold into
        the fitted ones.
    Source: least-squares Fourier series; ISO 12181-2 for undulations per revolution.
    Raises ValueError where lengths differ or highest is below 1; UndeterminedError where the
        directions are too few or too alike for the orders asked for.

    >>> at = (0, 40, 75, 120, 160, 200, 240, 280, 320)
    >>> trace = [10 + 0.02 * math.cos(math.radians(a - 30)) for a in at]
    >>> fit = trace_harmonics(at, trace, 3)
    >>> round(fit.eccentricity, 9), round(fit.part(1).direction, 6)
    (0.02, 30.0)
    """
    turns, values = checked_trace(angles, radii)
    if highest < 1:
        raise ValueError(f"highest order is {highest}; expected 1 or more")
    unknowns = 2 * highest + 1
    different = np.unique(np.round(np.mod(turns, 360.0), 9)).size
    if different < unknowns:
        raise UndeterminedError(
            f"{highest} harmonics need readings in {unknowns} different directions; "
            f"found {different}"
        )
    orders = np.arange(1, highest + 1)
    phases = np.radians(np.outer(turns, orders))
    table = np.hstack([np.ones((turns.size, 1)), np.cos(phases), np.sin(phases)])
    sizes = np.linalg.svd(table, compute_uv=False)
    if sizes[-1] < 1e-6 * sizes[0]:
        raise UndeterminedError(
            f"the directions do not tell {highest} harmonics apart; spread them round the turn"
        )
    answer = np.linalg.lstsq(table, values, rcond=None)[0]
    rest = values - table @ answer
    parts = []
    for order in range(1, highest + 1):
        cosine, sine = float(answer[order]), float(answer[highest + order])
        direction = math.degrees(math.atan2(sine, cosine)) % 360.0 / order
        parts.append(Harmonic(order, math.hypot(cosine, sine), direction))
    words = []
    if float(sizes[-1]) < 0.2 * float(sizes[0]):
        words.append("uneven directions: errors of readings are magnified in some harmonics")
    if different == unknowns:
        words.append("as many unknowns as readings: nothing is left to show noise or higher lobes")
    return Harmonics(float(answer[0]), tuple(parts), tuple(rest.tolist()), tuple(words))


def checked_trace(angles: Sequence[float], radii: Sequence[float]) -> tuple[Floats, Floats]:
    """Angles and readings as arrays of one length, all numbers."""
    turns = np.array(angles, dtype=np.float64)
    values = np.array(radii, dtype=np.float64)
    if turns.ndim != 1 or turns.shape != values.shape:
        raise ValueError(
            f"found {turns.size} directions and {values.size} readings; expected one direction "
            "per reading"
        )
    if not (np.isfinite(turns).all() and np.isfinite(values).all()):
        row = int(np.flatnonzero(~(np.isfinite(turns) & np.isfinite(values)))[0])
        raise ValueError(
            f"reading {row} is {values[row]} at {turns[row]} degrees; expected numbers"
        )
    return turns, values
