"""What typed text becomes: an exact value that still knows what was typed, and how finely.

Plain classes with slots instead of dataclasses: importing dataclasses alone costs more than the
whole of this package, and one-figure commands are typed many times a day.
"""

from __future__ import annotations

from fractions import Fraction

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, NoReturn

__all__ = ["Gap", "Quantity", "QuantityError", "Range", "quoted"]


_UNKNOWN = Fraction(0)


def quoted(text: str, longest: int = 60) -> str:
    """What was typed, in quotes, made safe to print and cut to a readable length."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return "'" + "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in cut) + "'"


class QuantityError(ValueError):
    """Typed text that is not what was asked for: what it is, what would be right, what to do."""

    def __init__(self, found: str, expected: str, remedy: str = "") -> None:
        super().__init__(found, expected, remedy)
        self.found = found
        self.expected = expected
        self.remedy = remedy

    def __str__(self) -> str:
        text = f"found {self.found}; expected {self.expected}."
        return f"{text} {self.remedy}" if self.remedy else text


class _Record:
    """Frozen, compared by content, small."""

    __slots__: tuple[str, ...] = ()

    def _fill(self, *values: object) -> None:
        for name, value in zip(self.__slots__, values, strict=True):
            object.__setattr__(self, name, value)

    def _values(self) -> tuple[Any, ...]:
        return tuple(getattr(self, name) for name in self.__slots__)

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen; {name} cannot be set")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen; {name} cannot be deleted")

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self._values() == other._values()

    def __hash__(self) -> int:
        return hash((type(self), self._values()))

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), self._values()

    def __repr__(self) -> str:
        parts = (f"{n}={v!r}" for n, v in zip(self.__slots__, self._values(), strict=True))
        return f"{type(self).__name__}({', '.join(parts)})"


class Quantity(_Record):
    """One typed quantity.

    value: exact, in the base unit of its dimension (mm, N, N·m, MPa, °C, g, °, mm³, µm, s …).
    typed: the text as typed, outer spaces removed. unit: the unit it was read in.
    step: one unit of the last digit typed, in the base unit; for a fraction, 1/denominator.
    bare: True where no unit was typed and the caller's default was used.
    """

    __slots__ = ("value", "typed", "unit", "step", "dimension", "bare")  # noqa: RUF023 - field order
    value: Fraction
    typed: str
    unit: str
    step: Fraction
    dimension: str
    bare: bool

    def __init__(
        self,
        value: Fraction,
        typed: str,
        unit: str,
        step: Fraction,
        dimension: str,
        bare: bool = False,
    ) -> None:
        self._fill(value, typed, unit, step, dimension, bare)

    @property
    def text(self) -> str:
        """The typed text with the unit it was read in, so that it means the same anywhere."""
        return f"{self.typed} {self.unit}" if self.bare and self.unit else self.typed


class Range(_Record):
    """Lowest and highest allowed, both inclusive; None where there is no such end.

    step: the finest digit typed, in the base unit; zero where limits were not typed. The rest is
    as in Quantity.
    """

    __slots__ = ("low", "high", "typed", "unit", "step", "dimension", "bare")  # noqa: RUF023
    low: Fraction | None
    high: Fraction | None
    typed: str
    unit: str
    step: Fraction
    dimension: str
    bare: bool

    def __init__(
        self,
        low: Fraction | None,
        high: Fraction | None,
        typed: str,
        unit: str,
        step: Fraction = _UNKNOWN,
        dimension: str = "length",
        bare: bool = False,
    ) -> None:
        self._fill(low, high, typed, unit, step, dimension, bare)

    @property
    def text(self) -> str:
        """The typed text with the unit it was read in, so that it means the same anywhere."""
        return f"{self.typed} {self.unit}" if self.bare and self.unit else self.typed

    def __contains__(self, value: Fraction) -> bool:
        return (self.low is None or self.low <= value) and (self.high is None or value <= self.high)


class Gap(_Record):
    """What feeler blades say of a gap, in mm: low <= gap < high; None where no blade was tried."""

    __slots__ = ("low", "high", "typed")  # noqa: RUF023
    low: Fraction | None
    high: Fraction | None
    typed: str

    def __init__(self, low: Fraction | None, high: Fraction | None, typed: str) -> None:
        self._fill(low, high, typed)

    def __contains__(self, value: Fraction) -> bool:
        return (self.low is None or self.low <= value) and (self.high is None or value < self.high)
