"""Sizes and limits as the shop reads them, for the sentences of findings and plans."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME
from sparkout.sheet.model import Bounds
from sparkout.units import rounded, show, show_quantity

__all__ = ["Words"]

_KPA = Fraction(1, 1000)
_INHG = Fraction(3386389, 1_000_000_000)  # MPa; conventional inch of mercury, NIST SP 811 B.8


@dataclass(frozen=True, slots=True)
class Words:
    """Shows values in one system of units (`mm` or `inch`), rounded once, for reading only."""

    system: str = "mm"

    def value(self, value: Fraction | float, characteristic: str, *, signed: bool = False) -> str:
        """A value of a characteristic with its unit, to the digits the trade reads it to."""
        known = BY_NAME.get(characteristic)
        dimension = known.dimension if known else "length"
        step = Fraction(known.step) if known else Fraction(1, 1000)
        exact = Fraction(value)
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

    def span(self, low: Fraction, high: Fraction, characteristic: str) -> str:
        """A range over positions: `0.104 to 0.112 mm`, or one value where both are the same."""
        first, second = self.value(low, characteristic), self.value(high, characteristic)
        if first == second:
            return second
        unit = second.rsplit(" ", 1)[-1] if " " in second else ""
        return f"{first.removesuffix(' ' + unit) if unit else first} to {second}"
