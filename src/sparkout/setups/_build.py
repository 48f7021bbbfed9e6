"""How numbers are put together from givens, so that no sum can lose a mark."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.setups.number import FINE, Given, Number, Plain, Sum, Term

__all__ = [
    "above_zero",
    "by_rule",
    "exact",
    "given",
    "not_below_zero",
    "plain",
    "span",
    "total",
    "worked_out",
]


def exact(value: Fraction | float | int) -> Fraction:
    """The decimal a person typed, not the binary number nearest to it."""
    return value if isinstance(value, Fraction) else Fraction(repr(value))


def given(value: Plain, words: str, kind: str = "length", step: Fraction = FINE) -> Given:
    """A plain number with the name it is known by; one that has a name already keeps it."""
    return value if isinstance(value, Given) else Given(exact(value), words, kind, step)


def _marks(terms: Iterable[Term]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(mark for term in terms for mark in term.marks))


def total(
    label: str,
    parts: Sum | Given,
    sense: Sense = Sense.NONE,
    *,
    kind: str = "length",
    step: Fraction = FINE,
    dial: Fraction | None = None,
) -> Number:
    """A number that is the sum of its parts; with a dial, set to its nearest division."""
    whole = parts if isinstance(parts, Sum) else Sum((parts.term("+"),))
    value = whole.value if dial is None else round(whole.value / dial) * dial
    return Number(label, value, kind, sense, step, whole.terms, marks=_marks(whole.terms))


def by_rule(
    label: str,
    value: Fraction | float,
    rule: str,
    inputs: Iterable[tuple[str, Given]],
    sense: Sense = Sense.NONE,
    *,
    kind: str = "length",
    step: Fraction = FINE,
) -> Number:
    """A number that a formula gives: the rule in words, and each input by its symbol."""
    terms = tuple(item.term(symbol) for symbol, item in inputs)
    return Number(label, exact(value), kind, sense, step, terms, rule, marks=_marks(terms))


def worked_out(parts: Sum, words: str, step: Fraction = FINE, kind: str = "length") -> Given:
    """A sum as one input of the next."""
    return Given(parts.value, words, kind, step, _marks(parts.terms))


def span(
    label: str, one: Given, sense: Sense = Sense.NONE, *, step: Fraction | None = None
) -> Number:
    """A number that is read off, not added up."""
    return Number(
        label, one.value, one.kind, sense, step or one.step, (one.term("+"),), marks=one.marks
    )


def plain(value: Plain | None) -> Fraction | None:
    """The bare value, where there is one."""
    return None if value is None else given(value, "").value


def above_zero(unit: str = "mm", **named: Plain) -> None:
    """Refuse what has to be above zero, by the name of the argument."""
    for name, value in named.items():
        if given(value, "").value <= 0:
            raise ValueError(
                f"{name} is {float(given(value, '').value):.6g} {unit}; it has to be above 0 {unit}"
            )


def not_below_zero(unit: str = "mm", **named: Plain) -> None:
    """Refuse what has to be zero or more, by the name of the argument."""
    for name, value in named.items():
        if given(value, "").value < 0:
            raise ValueError(
                f"{name} is {float(given(value, '').value):.6g} {unit}; it has to be 0 {unit} or "
                "more"
            )
