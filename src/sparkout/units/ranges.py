"""Limits as they are typed: two ends, at most, at least, or a size with its tolerance."""

from __future__ import annotations

from fractions import Fraction

from sparkout.units.parse import default_unit, example, single, tokens
from sparkout.units.quantity import QuantityError, Range, quoted
from sparkout.units.scan import Number
from sparkout.units.table import Unit, article, unit_key

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["inward", "parse_range"]

_MOST = (
    "at most",
    "not over",
    "no more than",
    "not more than",
    "up to",
    "max",
    "maximum",
    "≤",
    "<=",
)
_LEAST = ("at least", "not under", "no less than", "not less than", "min", "minimum", "≥", ">=")
_STRICT = ("<", ">", "under", "over", "below", "above", "less than", "more than")
_BETWEEN = ("to", "-", "…", "and")
_ENDS: Mapping[str, str] = {
    **dict.fromkeys(_MOST, "most"),
    **dict.fromkeys(_LEAST, "least"),
    **dict.fromkeys(_STRICT, "strict"),
}
_FORM = "Type it like 100.000 to 100.020 mm, at most 0.05 mm, at least 327.30 mm or 38.0 ± 0.2 mm."


def parse_range(text: str, dimension: str, unit: str | None = None) -> Range:
    """Lowest and highest allowed value, both inclusive and exact, in the base unit.

    Reads '100.000 to 100.020 mm', '0.03-0.08 mm', 'at most 0.05 mm', 'at least 327.30 mm',
    '38.0 ± 0.2 mm', '60.00 +/- 0.03', '100.01 mm +0.01/-0'. unit: as in parse.

    >>> [float(end) for end in (lambda r: (r.low, r.high))(parse_range("38.0 ± 0.2 mm", "length"))]
    [37.8, 38.2]
    """
    return RangeReader(text, dimension, unit).read()


def inward(limits: Range, step: Fraction) -> Range:
    """The limits on a grid of step (base unit), low rounded up and high rounded down.

    A limit printed in the other system never allows more than the one that was given.
    Raises QuantityError where no multiple of step lies inside.

    >>> r = inward(parse_range("0.05 to 0.10 mm", "length"), Fraction(254, 100000))
    >>> float(r.low / Fraction(254, 10)), float(r.high / Fraction(254, 10))
    (0.002, 0.0039)
    """
    if step <= 0:
        raise ValueError(f"step must be above zero, not {step}")
    low = None if limits.low is None else -(-limits.low // step) * step
    high = None if limits.high is None else limits.high // step * step
    if low is not None and high is not None and low > high:
        raise QuantityError(
            f"{quoted(limits.typed)}, narrower than one step of {float(step):g}",
            "a step with at least one multiple inside the limits",
            "Use a finer step.",
        )
    return Range(low, high, limits.typed, limits.unit, step, limits.dimension, limits.bare)


class RangeReader:
    """One text on its way to a Range; holds what every sentence about it needs."""

    def __init__(self, text: str, dimension: str, unit: str | None) -> None:
        self.dimension = dimension
        self.place = unit
        self.default = default_unit(dimension, unit)
        self.typed = text.strip()
        self.parts = tokens(text, dimension)
        self.bare = True
        self.step = Fraction(0)
        self.unit = ""

    def read(self) -> Range:
        low, high = self.ends()
        if low is not None and high is not None and low > high:
            raise QuantityError(
                f"{quoted(self.typed)}, where the first is above the second",
                "the lower end first",
                "Check both numbers; one may have slipped.",
            )
        return Range(low, high, self.typed, self.unit, self.step, self.dimension, self.bare)

    def ends(self) -> tuple[Fraction | None, Fraction | None]:
        """Both ends in the order typed."""
        numbers, words = self._laid_out()
        if len(numbers) == 1:
            return self._one(numbers[0], words)
        if len(numbers) == 2:
            return self._two(numbers, words)
        if len(numbers) == 3:
            return self._three(numbers, words)
        raise self._refused("which has more numbers than limits need")

    def _laid_out(self) -> tuple[list[Number], list[str]]:
        """The numbers, and the words before, between and after them ('' where there is none)."""
        numbers: list[Number] = []
        words = [""]
        for part in self.parts:
            if isinstance(part, Number):
                numbers.append(part)
                words.append("")
            else:
                words[-1] = part.casefold().strip(".:") if len(words) == 1 else part
        return numbers, words

    def _one(self, number: Number, words: list[str]) -> tuple[Fraction | None, Fraction | None]:
        before, behind = words
        if before == "±":
            half = self._value(number, behind)
            return -half, half
        unit, end = behind, _ENDS.get(before)
        if not before:
            for word, meaning in _ENDS.items():
                if behind.casefold().endswith(word) and meaning != "strict":
                    left = behind[: -len(word)]
                    if not left or left[-1] == " ":
                        unit, end = left.strip(), meaning
                        break
        if end == "strict":
            raise self._refused("which does not say whether the end itself is allowed")
        if end is None:
            self._unit(number, unit)  # an unknown unit is the better explanation
            raise self._refused(
                f"which has {quoted(before)} before the number" if before else "which has one end"
            )
        value = self._value(number, unit)
        return (None, value) if end == "most" else (value, None)

    def _two(self, numbers: list[Number], words: list[str]) -> tuple[Fraction, Fraction]:
        first, second = numbers
        before, between, behind = words
        if before not in ("", "from", "between"):
            raise self._refused(f"which has {quoted(before)} before two numbers")
        inner, link = _split_last(between, (*_BETWEEN, "±"))
        if link == "±":
            if second.sign:
                raise self._refused("which has a sign behind ±")
            return self._around(first, inner, ((second, -1), (second, 1)), behind)
        if link:
            return self._ends(first, inner, second, behind)
        if second.sign == "-" and (second.parted or second.joined) and not before:
            unsigned = Number(
                -second.value,
                second.step,
                "",
                second.fraction,
                second.whole,
                second.comma,
                False,
                False,
            )
            return self._ends(first, inner, unsigned, behind)
        if second.sign:
            raise self._refused("which can be two limits or a size with one deviation")
        raise self._refused("which has no word between its numbers")

    def _three(self, numbers: list[Number], words: list[str]) -> tuple[Fraction, Fraction]:
        size, one, other = numbers
        before, unit, between, behind = words
        signed = all(part.sign or not part.value for part in (one, other))
        if before or between not in ("", "/", "|", ",") or not signed:
            raise self._refused("which is not a size with an upper and a lower deviation")
        return self._around(size, unit, ((one, 1), (other, 1)), behind)

    def _ends(
        self, first: Number, unit_one: str, second: Number, unit_two: str
    ) -> tuple[Fraction, Fraction]:
        return (
            self._value(first, unit_one or unit_two),
            self._value(second, unit_two or unit_one),
        )

    def _around(
        self,
        size: Number,
        unit_one: str,
        deviations: tuple[tuple[Number, int], tuple[Number, int]],
        unit_two: str,
    ) -> tuple[Fraction, Fraction]:
        centre = self._value(size, unit_one or unit_two)
        ends = []
        for number, sign in deviations:
            unit = self._unit(number, unit_two or unit_one)
            self._note_step(number, unit)
            # A deviation is a difference: the offset of °F or K does not belong in it.
            ends.append(centre + sign * number.value * unit.factor)
        return min(ends), max(ends)

    def _value(self, number: Number, word: str) -> Fraction:
        unit = self._unit(number, word)
        self._note_step(number, unit)
        return unit.to_base(number.value)

    def _unit(self, number: Number, word: str) -> Unit:
        _, _, unit, bare = single(
            number, word, self.dimension, self.default, self.place, self.typed
        )
        self.bare = self.bare and bare
        if self.dimension == "hardness" and self.unit not in ("", unit.symbol):
            raise self._refused("which mixes two hardness scales")
        self.unit = unit.symbol
        return unit

    def _note_step(self, number: Number, unit: Unit) -> None:
        step = number.step * unit.factor
        self.step = min(self.step, step) if self.step else step

    def _refused(self, why: str) -> QuantityError:
        expected = f"limits of {article(self.dimension)}" if self.dimension else "limits"
        form = _FORM if self.dimension == "length" else f"Each end is {example(self.dimension)}."
        return QuantityError(f"{quoted(self.typed)}, {why}", expected, form)


def _split_last(word: str, links: tuple[str, ...]) -> tuple[str, str]:
    """'mm to' -> ('mm', 'to'); ('mm', '') where no link word ends it."""
    head, _, tail = word.rpartition(" ")
    if tail.casefold() in links:
        return head.strip(), tail.casefold()
    if len(word) > 1 and word[-1] in "±…-" and unit_key(word[:-1]) != "?":
        return word[:-1].strip(), word[-1]
    return word, ""
