"""From the text of a sheet to its records: every figure read with the unit its name asks for.

Each converter gets a `Reader`, which knows where every key stands and collects the faults.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from sparkout.faults import Fault, Place
from sparkout.sheet.model import Bounds
from sparkout.sheet.nearest import nearest
from sparkout.units import QuantityError, parse, parse_range

__all__ = ["Path", "Reader"]

Path = tuple[str | int, ...]


@dataclass(slots=True)
class Reader:
    """Reads figures out of text and notes what is wrong with them, with their place.

    blanks: paths whose fault of form is told already; nothing more is said about them.
    """

    place: Callable[[Path], Place]
    blanks: frozenset[Path] = frozenset()
    faults: list[Fault] = field(default_factory=list)

    def fault(
        self, path: Path, found: str, expected: str, remedy: str = "", *, stops: bool = True
    ) -> None:
        plain = tuple(part.replace("_", " ") if isinstance(part, str) else part for part in path)
        if not any(plain[: len(blank)] == blank for blank in self.blanks):
            self.faults.append(Fault(self.place(path), found, expected, remedy, stops))

    def quantity(
        self, path: Path, text: str | None, dimension: str, unit: str | None = None
    ) -> Fraction | None:
        if text is None:
            return None
        try:
            return parse(text, dimension, unit).value
        except QuantityError as wrong:
            self.fault(path, wrong.found, wrong.expected, wrong.remedy)
            return None

    def bounds(self, path: Path, text: str | None, dimension: str) -> Bounds | None:
        """A range, `± x` about nothing, or a single value with no width."""
        if text is None:
            return None
        typed = text.strip()
        try:
            if typed.startswith(("±", "+/-")):
                found = parse_range(f"0 {typed}", dimension)
            elif dimension == "ratio":
                found = parse_range(typed, "length", "mm")
            else:
                found = parse_range(typed, dimension)
        except QuantityError as wrong:
            single = self._single(typed, dimension)
            if single is not None:
                return Bounds(single, single, typed)
            self.fault(path, wrong.found, wrong.expected, wrong.remedy)
            return None
        return Bounds(found.low, found.high, typed)

    def _single(self, typed: str, dimension: str) -> Fraction | None:
        if dimension == "ratio":
            return None
        try:
            return parse(typed, dimension).value
        except QuantityError:
            return None

    def number(self, path: Path, text: str | None) -> Fraction | None:
        """A plain number such as a price or a ratio: `1.20`, `85`."""
        if text is None:
            return None
        return self.quantity(path, text, "length", "mm")

    def whole(self, path: Path, text: str | None, default: int = 0) -> int:
        if text is None:
            return default
        value = self.quantity(path, text, "count")
        return default if value is None else int(value)

    def percent(self, path: Path, text: str | None, default: Fraction) -> Fraction:
        """A percentage as a fraction of one."""
        if text is None:
            return default
        value = self.quantity(path, text, "percent")
        return default if value is None else value / 100

    def one_of(self, path: Path, text: str, allowed: Mapping[str, object]) -> str:
        """The text if it is one of the words allowed; else a fault and the first of them."""
        word = text.strip()
        if word in allowed:
            return word
        hint = nearest(word, tuple(allowed))
        self.fault(
            path,
            f"'{word}'",
            "one of " + ", ".join(allowed),
            f"Did you mean '{hint}'?" if hint else "",
        )
        return next(iter(allowed))

    def numbers(self, path: Path, text: str | None) -> tuple[int, ...]:
        """Whole numbers typed with dashes, commas or spaces: a firing order."""
        if text is None:
            return ()
        found = []
        for word in text.replace("-", " ").replace(",", " ").split():
            if word.isdecimal() and len(word) <= 3:
                found.append(int(word))
            else:
                self.fault(path, f"'{word}' in '{text}'", "cylinder numbers such as 1-3-4-2")
                return ()
        return tuple(found)
