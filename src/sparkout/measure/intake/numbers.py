"""The one place where intake meets the units room: can this typed text be read at all?

A row is refused only where no way of reading makes sense of it; what it is worth is worked out
later, when feature, gauge and master are known.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import partial

from sparkout.units import DIMENSIONS, QuantityError, parse, parse_gap, system_of
from sparkout.units.table import dimension_of

__all__ = ["decimal_of", "has_unit", "known_unit_name", "number_text", "unreadable"]

_VERDICT = re.compile(r"\b(fits?|pass(es|ed)?|goes|go|not|no|doesn't)\b", re.IGNORECASE)
_PLAIN = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)", re.ASCII)


def unreadable(typed: str, unit: str) -> QuantityError | None:
    """Why a typed text is no reading, or nothing where it can be read.

    The text is tried as feeler blades where it has their words, else as a quantity of the
    dimension of the unit, else of every dimension there is.

    typed: what stands in the file [-], any text.
    unit: unit of a bare number [-], empty where a bare number cannot be told.
    Returns the refusal with found, expected and remedy [-], None for a text that can be read.
    Holds for what the units room reads.
    Source: our own rule; the units are those of NIST SP 811.

    >>> unreadable("12 fits, 13 does not", "mm") is None
    True
    >>> unreadable("100.2.46", "mm").found
    "'100.2.46'"
    """
    if _VERDICT.search(typed):
        return _refusal(lambda: parse_gap(typed, system_of(unit or "mm") or "mm"))
    dimension = (dimension_of(unit) if unit else None) or "length"
    refused = _refusal(lambda: parse(typed, dimension, unit or "mm"))
    if refused is None or not has_unit(typed):
        return refused
    # A unit typed with the number may be of another kind: "52 HRC" in a column of lengths.
    for other in DIMENSIONS:
        if other != dimension and _refusal(partial(parse, typed, other)) is None:
            return None
    return refused


def _refusal(read: Callable[[], object]) -> QuantityError | None:
    try:
        read()
    except QuantityError as error:
        return error
    return None


def has_unit(typed: str) -> bool:
    """Whether a typed text says its own unit, or needs none.

    typed: what stands in the file [-], any text.
    Returns True for anything but a bare number [-].
    Holds for texts that can be read.
    Source: our own rule.

    >>> has_unit("100.246"), has_unit("100.246 mm")
    (False, True)
    """
    return _PLAIN.fullmatch(typed.strip()) is None


def known_unit_name(unit: str) -> bool:
    """Whether a text is the name of a unit.

    unit: what stands in a unit column [-], any text.
    Returns True for a unit of any dimension [-].
    Holds for the spellings of the units room.
    Source: our own list.

    >>> known_unit_name("mm"), known_unit_name("furlong")
    (True, False)
    """
    return dimension_of(unit) is not None


def number_text(value: float) -> str:
    """A number of a spreadsheet as the sheet shows it.

    Fifteen significant digits: more than those come from binary arithmetic, not from a person.

    value: the number in the cell [-], any finite one.
    Returns the shortest text of at most 15 digits [-].
    Holds for binary64; 100 and 100.0 are one number to a spreadsheet, so trailing zeros are lost.
    Source: IEEE 754-2019 (15 decimal digits survive a round trip).

    >>> number_text(0.1 + 0.2), number_text(100.0), number_text(100.246)
    ('0.3', '100', '100.246')
    """
    text = f"{value:.15g}"
    if "e" in text:
        text = f"{Fraction(text).numerator}" if Fraction(text).denominator == 1 else _long(text)
    return text


def _long(text: str) -> str:
    """A small number in e-notation written out: 1.5e-07 as 0.00000015."""
    value = Fraction(text)
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
    return f"{float(value):.{places}f}"


def decimal_of(text: str) -> Fraction | None:
    """The exact value of a plain decimal, with a point or a comma.

    text: a number without a unit [-], such as -0.012 or 100,246.
    Returns the value [-], None where the text is anything else.
    Holds for numbers without grouping and without an exponent.
    Source: our own rule.

    >>> decimal_of("-0,5"), decimal_of("1e3")
    (Fraction(-1, 2), None)
    """
    if not _PLAIN.fullmatch(text) or text[-1:] in "+-":
        return None
    return Fraction(text.replace(",", "."))
