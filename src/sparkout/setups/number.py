"""A number to dial in, the sum it came from, and what is not certain about it.

Every number is built from `Given`s, which carry their marks (assumed, not proven, stale, a rule of
thumb) along, so that no sum can lose them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from sparkout.engine.characteristics import Sense

__all__ = [
    "FINE",
    "RULE_OF_THUMB",
    "Given",
    "Number",
    "Plain",
    "Sum",
    "Term",
]

FINE = Fraction(1, 1000)
"""mm; a size that a micrometer or a bore gauge decides."""

RULE_OF_THUMB = "common practice, a rule of thumb"


@dataclass(frozen=True, slots=True)
class Term:
    """One part of a sum: `+ 2 × 2.100 shell wall`, `÷ 2`; or one input of a rule: `β = 45°`."""

    sign: str
    value: Fraction
    words: str = ""
    kind: str = "length"
    step: Fraction = FINE
    times: Fraction = Fraction(1)
    marks: tuple[str, ...] = ()

    @property
    def amount(self) -> Fraction:
        return self.times * self.value


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms taken from left to right: first what is added, then what the whole is scaled by."""

    terms: tuple[Term, ...]

    @property
    def value(self) -> Fraction:
        so_far = Fraction(0)
        for term in self.terms:
            if term.sign == "+":
                so_far += term.amount
            elif term.sign == "−":
                so_far -= term.amount
            elif term.sign == "×":
                so_far *= term.amount
            else:
                so_far /= term.amount
        return so_far

    @property
    def linear(self) -> bool:
        return all(term.sign in "+−" for term in self.terms)

    def __add__(self, other: Given | Sum) -> Sum:
        return self._joined(other, "+")

    def __sub__(self, other: Given | Sum) -> Sum:
        return self._joined(other, "−")

    def __mul__(self, factor: Given) -> Sum:
        return Sum((*self.terms, factor.term("×")))

    def __truediv__(self, divisor: Given | int) -> Sum:
        by = (
            divisor
            if isinstance(divisor, Given)
            else Given(Fraction(divisor), "", "count", Fraction(1))
        )
        return Sum((*self.terms, by.term("÷")))

    def _joined(self, other: Given | Sum, sign: str) -> Sum:
        more = (other.term(sign),) if isinstance(other, Given) else other.terms
        if isinstance(other, Sum):
            if not other.linear:
                raise ValueError("a scaled sum has to be worked out before it is added to another")
            if sign == "−":
                more = tuple(replace(t, sign="+" if t.sign == "−" else "−") for t in more)
        if not self.linear:
            raise ValueError("a scaled sum has to be worked out before another is added to it")
        return Sum((*self.terms, *more))


@dataclass(frozen=True, slots=True)
class Given:
    """One input of a sum: what it is, how it is shown, and what is not certain about it."""

    value: Fraction
    words: str
    kind: str = "length"
    step: Fraction = FINE
    marks: tuple[str, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it has to stand in a sum: not nothing, or not certain to be nothing."""
        return bool(self.value or self.marks)

    def term(self, sign: str, times: Fraction | int = 1) -> Term:
        return Term(sign, self.value, self.words, self.kind, self.step, Fraction(times), self.marks)

    def times(self, count: Fraction | int) -> Sum:
        return Sum((self.term("+", count),))

    def marked(self, *marks: str) -> Given:
        return replace(self, marks=tuple(dict.fromkeys((*self.marks, *marks))))

    def __add__(self, other: Given | Sum) -> Sum:
        return Sum((self.term("+"),)) + other

    def __sub__(self, other: Given | Sum) -> Sum:
        return Sum((self.term("+"),)) - other

    def __mul__(self, factor: Given) -> Sum:
        return Sum((self.term("+"),)) * factor

    def __truediv__(self, divisor: Given | int) -> Sum:
        return Sum((self.term("+"),)) / divisor


Plain: TypeAlias = Given | Fraction | float | int


@dataclass(frozen=True, slots=True)
class Number:
    """One number to dial in, or to compare with.

    kind: what it measures (`length`, `force`, `angle`, `temperature` …). sense: across, per side or
    along an axis. step: the smallest difference that makes sense. terms: the sum behind it, which
    adds up; with `rule` they are the inputs of that rule instead. low, high: where it may come out;
    held_by: what says so. marks: what is not certain about its inputs.
    """

    label: str
    value: Fraction
    kind: str = "length"
    sense: Sense = Sense.NONE
    step: Fraction = FINE
    terms: tuple[Term, ...] = ()
    rule: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    held_by: str = ""
    marks: tuple[str, ...] = ()

    def given(self, words: str = "") -> Given:
        """This number as the input of another, its marks along."""
        return Given(self.value, words or self.label, self.kind, self.step, self.marks)

    def held(self, low: Fraction | None, high: Fraction | None, by: str) -> Number:
        return replace(self, low=low, high=high, held_by=by)

    def within(self, plus_minus: Fraction | None, by: str) -> Number:
        """Held to so much either way; as it is where nothing says how well."""
        if plus_minus is None:
            return self
        return replace(self, low=self.value - plus_minus, high=self.value + plus_minus, held_by=by)

    def marked(self, *marks: str) -> Number:
        return replace(self, marks=tuple(dict.fromkeys((*self.marks, *marks))))
