"""Sizes and limits as the shop reads them, for the sentences of findings and plans."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME
from sparkout.measure.estimate import Estimate
from sparkout.sheet.model import Bounds
from sparkout.units import rounded, show, show_quantity

__all__ = ["Words", "blades"]

_KPA = Fraction(1, 1000)
_INHG = Fraction(3386389, 1_000_000_000)  # MPa; conventional inch of mercury, NIST SP 811 B.8


def blades(value: Estimate) -> tuple[Fraction, Fraction] | None:
    """The two blades a gap lies between, None where it was read on a scale.

    A gap worked out from several such gaps has no two blades of its own.

    value: an estimate of a gap [mm].
    Returns the blade that went in and the one that did not [mm], or None.
    Holds for a gap read with one pair of blades.
    Source: common practice; a rectangular distribution between the blades, JCGM 100:2008, 4.3.7.

    >>> from sparkout.measure.estimate import Component, Shape
    >>> gap = Component("blades 12/13", 0.005 / math.sqrt(3), Shape.RECTANGULAR)
    >>> [float(end) for end in blades(Estimate(Fraction("0.125"), (gap,)))]
    [0.12, 0.13]
    """
    parts = [part for part in value.components if part.source.startswith("blades")]
    if len(parts) != 1:
        return None
    # u is half the interval over √3; the half itself was typed, so it is a short decimal.
    half = Fraction(abs(parts[0].u) * math.sqrt(3)).limit_denominator(1_000_000)
    return value.value - half, value.value + half


@dataclass(frozen=True, slots=True)
class Words:
    """Shows values in one system of units (`mm` or `inch`), rounded once, for reading only."""

    system: str = "mm"

    def value(
        self,
        value: Fraction | float,
        characteristic: str,
        *,
        signed: bool = False,
        finer: bool = False,
    ) -> str:
        """A value of a characteristic with its unit, to the digits the trade reads it to.

        finer: a digit more, where a length would look like the limit it is held against.
        """
        known = BY_NAME.get(characteristic)
        dimension = known.dimension if known else "length"
        step = Fraction(known.step) if known else Fraction(1, 1000)
        exact = Fraction(value)
        if finer and dimension == "length":
            step /= 10
        if dimension == "length":
            if self.system == "inch":
                inch = Fraction(254, 10)
                fine = inch / 10_000 if step <= Fraction(1, 100) else inch / 1000
                return show(exact, "inch", fine, signed=signed)
            finest = Fraction(1, 1000) if step < Fraction(1, 100) else step
            return show(exact, "mm", finest, signed=signed)
        if dimension == "pressure":
            unit, size = ("inHg", _INHG) if self.system == "inch" else ("kPa", _KPA)
            return f"{rounded(exact / size, 1, signed)} {unit}"
        if dimension == "test":
            return "failed" if exact > Fraction(1, 2) else "passed"
        if dimension == "hardness":
            return f"{rounded(exact, 0, signed)} HRC"
        if dimension in ("ratio", "unbalance"):
            return rounded(exact, 1, signed)
        return show_quantity(exact, dimension, self.system)

    def bounds(self, bounds: Bounds, characteristic: str) -> str:
        """Limits in words: `0.030 to 0.080 mm`, `at most 100.20 mm`."""
        low, high = bounds.low, bounds.high
        if low is None and high is None:
            return "no limit"
        if low is None and high is not None:
            return f"at most {self.value(high, characteristic)}"
        if high is None and low is not None:
            return f"at least {self.value(low, characteristic)}"
        assert low is not None
        assert high is not None
        if -low == high:
            return f"at most {self.value(high, characteristic)} either way"
        first, second = self.value(low, characteristic), self.value(high, characteristic)
        unit = second.rsplit(" ", 1)[-1] if " " in second else ""
        return f"{first.removesuffix(' ' + unit) if unit else first} to {second}"

    def reading(self, low: Estimate, high: Estimate, characteristic: str) -> str:
        """What was read: a size, the range over its positions, or the blades a gap lies between."""
        ends = blades(high) if low.value == high.value else None
        if ends is None:
            return self.span(low.value, high.value, characteristic)
        return "between " + self.span(*ends, characteristic).replace(" to ", " and ")

    def span(
        self, low: Fraction, high: Fraction, characteristic: str, *, finer: bool = False
    ) -> str:
        """A range over positions: `0.104 to 0.112 mm`, or one value where both are the same."""
        first = self.value(low, characteristic, finer=finer)
        second = self.value(high, characteristic, finer=finer)
        if first == second:
            return second
        unit = second.rsplit(" ", 1)[-1] if " " in second else ""
        return f"{first.removesuffix(' ' + unit) if unit else first} to {second}"
