"""Typed text to numbers and the words between them, exactly and in one pass.

No regular expressions: each character is looked at a bounded number of times, so no text, however
odd, takes long, and every refusal can say which mark it stumbled over.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from sparkout.units.quantity import QuantityError, quoted

__all__ = ["LONGEST", "Number", "fold", "scan"]

LONGEST = 120
_MOST_DIGITS = 15
_DIGITS = "0123456789"

_FOLDED = str.maketrans(
    {
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\ufe63\uff0d", "-"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\u2002\u2003\t\n\r", " "),
        **dict.fromkeys("\u2033\u201c\u201d\u201f\u02ba", '"'),
        **dict.fromkeys("\u2032\u2018\u2019\u02b9", "'"),
        **dict.fromkeys("\u00ba\u02da", "°"),
        **dict.fromkeys("\u22c5\u2219\u2022", "·"),
        "\uff0b": "+",
        "\u2044": "/",
        "\u2215": "/",
        "\u2103": "°C",
        "\u2109": "°F",
        "\u00b2": "2",
        "\u00b3": "3",
        "^": "",
        "\u00bd": " 1/2",
        "\u00bc": " 1/4",
        "\u00be": " 3/4",
        "\u215b": " 1/8",
        "\u215c": " 3/8",
        "\u215d": " 5/8",
        "\u215e": " 7/8",
    }
)
_RAISED = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207a\u207b^"


class Number:
    """One number as typed.

    sign: '+', '-' or ''. parted: a gap between the sign and the digits ('0.02 - 0.05').
    joined: no gap before the sign ('0.02-0.05'). comma: with a decimal comma.
    fraction, whole: how it was written.
    """

    __slots__ = ("comma", "fraction", "joined", "parted", "sign", "step", "value", "whole")

    def __init__(
        self,
        value: Fraction,
        step: Fraction,
        sign: str,
        fraction: bool,
        whole: bool,
        comma: bool,
        parted: bool,
        joined: bool,
    ) -> None:
        self.value = value
        self.step = step
        self.sign = sign
        self.fraction = fraction
        self.whole = whole
        self.comma = comma
        self.parted = parted
        self.joined = joined


def fold(text: str) -> str:
    """One spelling for each mark: minus signs, spaces, primes, superscripts, built-up fractions."""
    if len(text) > LONGEST:
        raise QuantityError(
            f"{len(text)} characters beginning {quoted(text, 20)}",
            f"at most {LONGEST} characters",
            "Type one size only.",
        )
    for before, mark in pairwise(text):
        if mark in _RAISED and before in _DIGITS:
            raise _exponent(text)
    folded = text.translate(_FOLDED).replace("''", '"').strip()
    for spelt, mark in (("+/-", "±"), ("+-", "±"), ("...", "…"), ("..", "…")):
        folded = folded.replace(spelt, mark)
    return folded


def scan(text: str) -> list[Number | str]:
    """Numbers and the words between them, in order; words are stripped and never empty."""
    parts: list[Number | str] = []
    at = word_from = 0
    while at < len(text):
        if not _starts_number(text, at):
            at += 1
            continue
        word = text[word_from:at].strip()
        if word:
            parts.append(word)
        number, at = _read_number(text, at)
        parts.append(number)
        word_from = at
    word = text[word_from:].strip()
    if word:
        parts.append(word)
    return parts


def _starts_number(text: str, at: int) -> bool:
    mark = text[at]
    before = text[at - 1] if at else " "
    if mark in "+-":
        after = _skip(text, at + 1)
        if after == len(text) or (mark == "-" and before.isalpha()):
            return False
        return text[after] in _DIGITS or (text[after] in ".," and _digit(text, after + 1))
    if mark in ".,":
        if not _digit(text, at + 1):
            return False
        if before.isalnum():
            raise QuantityError(
                f"{quoted(text)}, where '{before}{mark}{text[at + 1]}' can be read in two ways",
                "a space on the side where the word ends",
                "Put spaces between words and numbers.",
            )
        return True
    # Digits straight after a letter belong to the word: in3, HV10.
    return mark in _DIGITS and not before.isalnum()


def _read_number(text: str, at: int) -> tuple[Number, int]:
    start, sign, parted = at, "", False
    joined = start > 0 and text[start - 1] != " "
    if text[at] in "+-":
        sign = text[at]
        at = _skip(text, at + 1)
        parted = at > start + 1
    head, at = _run(text, at)
    value = Fraction(int(head or "0"))
    step = Fraction(1)
    fraction = False
    whole, comma = True, False
    if at < len(text) and text[at] in ".," and _digit(text, at + 1):
        tail, after = _run(text, at + 1)
        if after < len(text) and text[after] in ".,'" and _digit(text, after + 1):
            raise _grouped(text)
        step = Fraction(1, 10 ** len(tail))
        value += int(tail) * step
        whole, comma = False, text[at] == ","
        at = after
    elif head:
        value, step, fraction, at = _with_fraction(text, at, value)
        whole = not fraction
    _refuse_tail(text, at, fraction)
    if sign == "-":
        value = -value
    return Number(value, step, sign, fraction, whole, comma, parted, joined), at


def _with_fraction(text: str, at: int, head: Fraction) -> tuple[Fraction, Fraction, bool, int]:
    """'27/64', '3 27/64' or '3-27/64' after the digits already read; else those digits alone."""
    if at < len(text) and text[at] == "/" and _digit(text, at + 1):
        bottom, at = _run(text, at + 1)
        return (*_divided(text, head, bottom), True, at)
    gap = _skip(text, at)
    hyphen = gap == at and at < len(text) and text[at] == "-" and head > 0
    top_at = at + 1 if hyphen else gap
    if top_at > at and _digit(text, top_at):
        top, after = _run(text, top_at)
        if after < len(text) and text[after] == "/" and _digit(text, after + 1):
            bottom, end = _run(text, after + 1)
            part, step = _divided(text, Fraction(int(top)), bottom)
            if part >= 1:
                raise QuantityError(
                    f"{top}/{bottom} after a whole number in {quoted(text)}",
                    "a fraction below one after a whole number",
                    "Type it like 3 27/64.",
                )
            return head + part, step, True, end
        if not hyphen:
            raise _grouped(text)
    return head, Fraction(1), False, at


def _divided(text: str, top: Fraction, bottom: str) -> tuple[Fraction, Fraction]:
    if not int(bottom):
        raise QuantityError(
            f"{quoted(text)}, which divides by nothing",
            "a fraction such as 27/64",
            "Correct the number under the line.",
        )
    return top / int(bottom), Fraction(1, int(bottom))


def _refuse_tail(text: str, at: int, fraction: bool) -> None:
    """What may not stand straight behind a number's digits."""
    if at >= len(text):
        return
    mark = text[at]
    if mark in "eE" and (_digit(text, at + 1) or (text[at + 1 : at + 2] in ("+", "-"))):
        raise _exponent(text)
    if mark == "_" and _digit(text, at + 1):
        raise _grouped(text)
    if mark == "/" and fraction and _digit(text, at + 1):
        raise QuantityError(quoted(text), "one fraction such as 27/64", "Type one line only.")
    if mark in ".," and (at + 1 == len(text) or (mark == "." and text[at + 1] == " ")):
        raise QuantityError(
            f"{quoted(text)}, which breaks off after '{mark}'",
            "digits behind the decimal mark, or no mark",
            "Type the digits that are missing.",
        )


def _grouped(text: str) -> QuantityError:
    return QuantityError(
        quoted(text),
        "one number with at most one decimal mark and no gaps between its digits",
        "Leave out marks and gaps that group thousands: 1000.5, not 1,000.5 or 1 000.5.",
    )


def _exponent(text: str) -> QuantityError:
    return QuantityError(
        quoted(text),
        "a number written out in full",
        "Powers of ten are not read here: type 1000, not 1e3.",
    )


def _digit(text: str, at: int) -> bool:
    return at < len(text) and text[at] in _DIGITS


def _skip(text: str, at: int) -> int:
    while at < len(text) and text[at] == " ":
        at += 1
    return at


def _run(text: str, at: int) -> tuple[str, int]:
    start = at
    while at < len(text) and text[at] in _DIGITS:
        at += 1
    if at - start > _MOST_DIGITS:
        raise QuantityError(
            f"a number of {at - start} digits in {quoted(text, 30)}",
            f"at most {_MOST_DIGITS} digits in a row",
            "Type no more digits than the gauge shows.",
        )
    return text[start:at], at
