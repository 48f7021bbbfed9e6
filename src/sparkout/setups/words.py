"""Numbers and sums as the shop reads them: in its unit, to the digits that make sense.

A sum is shown with as many decimals as it takes for the shown parts to add up to the shown result.
Where a number may come out is shown rounded inwards, so that nobody who works to the card works
outside of what is allowed; with more decimals where that would leave no room for the number itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from types import MappingProxyType

from sparkout.engine.characteristics import Sense
from sparkout.setups.number import FINE, Number, Term
from sparkout.units import rounded
from sparkout.units.table import known_unit

__all__ = ["SENSES", "Said"]

SENSES: Mapping[Sense, str] = MappingProxyType(
    {
        Sense.DIAMETRAL: "on diameter",
        Sense.RADIAL: "radial",
        Sense.AXIAL: "axial",
        Sense.NONE: "",
    }
)

# Unit and decimals by kind, metric shop then inch shop. Lengths go by their own step; kinds that
# are not listed are plain numbers and go by their step too.
_UNITS: Mapping[str, tuple[tuple[str, int], tuple[str, int]]] = MappingProxyType(
    {
        "length": (("mm", 3), ("in", 4)),
        "force": (("N", 0), ("lbf", 0)),
        "pressure": (("MPa", 1), ("psi", 0)),
        "temperature": (("°C", 0), ("°F", 0)),
        "mass": (("g", 1), ("g", 1)),
        "angle": (("°", 2), ("°", 2)),
        "volume": (("cm³", 2), ("in³", 3)),
        "roughness": (("µm", 2), ("µin", 0)),
        "expansion": (("µm/(m·K)", 1), ("µin/(in·°F)", 1)),
        "stiffness": (("N/mm", 1), ("lbf/in", 0)),
        "hardness": (("HRC", 0), ("HRC", 0)),
    }
)
_OTHER: Mapping[str, str] = MappingProxyType({"unbalance": "g·mm"})
_MOST_MORE = 4
_FINE_IN_INCHES = Fraction(1, 100)
"""What a metric shop reads to 0.01 mm an inch shop reads to a tenth, the rest to a thou."""


@dataclass(frozen=True, slots=True)
class Said:
    """Shows numbers in one system of units (`mm` or `inch`)."""

    system: str = "mm"

    def bare(self, value: Fraction, kind: str, step: Fraction, more: int = 0) -> str:
        """A value without its unit, with `more` decimals than its step asks for."""
        return rounded(self._exact(value, kind), self._decimals(kind, step) + more)

    def _exact(self, value: Fraction, kind: str) -> Fraction:
        """A value in the unit it is shown in."""
        return known_unit(self.unit(kind), kind).from_base(value) if kind in _UNITS else value

    def unit(self, kind: str) -> str:
        """The unit a kind is shown in."""
        if kind in _UNITS:
            return _UNITS[kind][self.system == "inch"][0]
        return _OTHER.get(kind, "")

    def value(
        self, value: Fraction, kind: str = "length", step: Fraction = FINE, more: int = 0
    ) -> str:
        """A value with its unit."""
        unit = self.unit(kind)
        glue = "" if unit in ("", "°") else " "
        return f"{self.bare(value, kind, step, more)}{glue}{unit}"

    def most(self, value: Fraction, kind: str = "length", step: Fraction = FINE) -> str:
        """A value never shown larger than it is, nor smaller by a tenth of it or more."""
        exact, unit = self._exact(value, kind), self.unit(kind)
        for more in range(_MOST_MORE):
            places = self._decimals(kind, step) + more
            down = Fraction(floor(exact * 10**places), 10**places)
            if down > exact * 9 / 10:
                break
        return f"{rounded(down, places)} {unit}".rstrip()

    def number(self, number: Number) -> str:
        """`72.500 mm on diameter`."""
        sense = SENSES[number.sense]
        text = self.value(number.value, number.kind, number.step, self._room(number))
        return f"{text} {sense}" if sense else text

    def tolerance(self, number: Number) -> str:
        """`72.496 to 72.504, process`; nothing where nothing holds it."""
        low, high = self._ends(number, self._room(number))
        if low is None and high is None:
            return ""
        if low is None:
            text = f"at most {high}"
        elif high is None:
            text = f"at least {low}"
        else:
            text = f"{low} to {high}"
        return f"{text}, {number.held_by}" if number.held_by else text

    def _ends(self, number: Number, more: int) -> tuple[str | None, str | None]:
        """Both ends as shown: the low one never below what is allowed, the high one never above."""
        places = self._decimals(number.kind, number.step) + more
        low, high = (
            None if end is None else self._exact(end, number.kind) * 10**places
            for end in (number.low, number.high)
        )
        if more == _MOST_MORE and low is not None and high is not None and ceil(low) > floor(high):
            # all but one value, which no decimal says exactly: the nearest will do
            return rounded(low / 10**places, places), rounded(high / 10**places, places)
        return (
            None if low is None else rounded(Fraction(ceil(low), 10**places), places),
            None if high is None else rounded(Fraction(floor(high), 10**places), places),
        )

    def _room(self, number: Number) -> int:
        """How many more decimals leave room between the ends, and keep the number between them."""
        inside = (number.low is None or number.low <= number.value) and (
            number.high is None or number.value <= number.high
        )
        for more in range(_MOST_MORE):
            low, high = (None if e is None else Fraction(e) for e in self._ends(number, more))
            shown = Fraction(self.bare(number.value, number.kind, number.step, more))
            if low is not None and high is not None and low > high:
                continue
            fits = (low is None or low <= shown) and (high is None or shown <= high)
            if fits == inside:
                return more
        return _MOST_MORE

    def sum(self, number: Number) -> str:
        """`72.452 piston 1 skirt + 0.048 clearance`; a rule with its inputs; or nothing."""
        terms = number.terms
        if number.rule:
            inputs = "; ".join(f"{t.sign} = {self._input(t)}" for t in terms)
            return f"{number.rule}: {inputs}" if inputs else number.rule
        if not terms or (len(terms) == 1 and _says_nothing(terms[0], number.label)):
            return ""
        return self._line(terms, self._more(number))

    def _input(self, term: Term) -> str:
        text = self.value(term.amount, term.kind, term.step)
        return f"{text} {term.words}" if term.words and term.words != term.sign else text

    def _more(self, number: Number) -> int:
        """How many more decimals make the shown parts add up to the shown result."""
        room = self._room(number)
        shown = Fraction(self.bare(number.value, number.kind, number.step, room))
        half = Fraction(1, 2 * 10 ** (self._decimals(number.kind, number.step) + room))
        exact = all(term.sign in "+−" for term in number.terms)
        for more in range(room, _MOST_MORE):
            away = abs(self._as_shown(number.terms, more) - shown)
            if away == 0 or (away <= half and (more or not exact)):
                return more
        return _MOST_MORE

    def _as_shown(self, terms: Sequence[Term], more: int) -> Fraction:
        """What a reader gets who works the shown line out."""
        value = Fraction(0)
        for term in terms:
            figure = self.bare(term.value, term.kind, term.step, more if term.words else 0)
            part = term.times * Fraction(figure)
            match term.sign:
                case "+":
                    value += part
                case "−":
                    value -= part
                case "×":
                    value *= part
                case _:
                    value = value / part if part else value
        return value

    def _line(self, terms: Sequence[Term], more: int) -> str:
        scaled = next((i for i, term in enumerate(terms) if term.sign in "×÷"), len(terms))
        text = ""
        for place, term in enumerate(terms):
            if place == scaled and scaled > 1:
                text = f"({text})"
            figure = self.bare(term.value, term.kind, term.step, more if term.words else 0)
            sign = term.sign
            if figure.startswith("-") and sign in "+−":
                figure, sign = figure[1:], "−" if sign == "+" else "+"
            if term.times != 1:
                figure = f"{_times(term.times)} × {figure}"
            if place:
                text += f" {sign} "
            elif sign == "−":
                text += "−"
            text += figure + self._odd_unit(term) + (f" {term.words}" if term.words else "")
        return text

    def _odd_unit(self, term: Term) -> str:
        """Lengths in a sum go without their unit; anything else says what it is."""
        unit = "" if term.kind == "length" else self.unit(term.kind)
        return unit if unit == "°" else f" {unit}" if unit else ""

    def _decimals(self, kind: str, step: Fraction) -> int:
        if kind == "length" and self.system == "inch":
            return 4 if step <= _FINE_IN_INCHES else 3
        if kind == "length" or kind not in _UNITS:
            return _places(step)
        return _UNITS[kind][self.system == "inch"][1]


def _places(step: Fraction) -> int:
    places = 0
    while Fraction(1, 10**places) > step and places < 9:
        places += 1
    return places


def _times(times: Fraction) -> str:
    if times.denominator == 1:
        return str(times)
    return rounded(times, 3).rstrip("0").rstrip(".")


def _says_nothing(term: Term, label: str) -> bool:
    """Whether a sum of one part only repeats the label."""
    return term.sign == "+" and term.times == 1 and (not term.words or term.words in label)
