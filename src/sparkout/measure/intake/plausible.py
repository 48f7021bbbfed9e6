"""Readings that cannot be: questioned with the likely slip, never mended.

A questioned reading stays in the log as typed. It is left out of the measured state until a
person confirms or corrects it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sparkout.measure.intake.numbers import decimal_of

__all__ = ["Cause", "Question", "plain", "question"]

_INCH = Fraction(254, 10)
# One turn of the pointer of a dial that counts its turns on a small one: common practice.
_TURN = {"mm": Fraction(1), "in": Fraction(1, 10)}
_LONGEST = 24  # digits in which slips of the fingers are looked for


@dataclass(frozen=True, slots=True)
class Cause:
    """One slip that would explain a reading, and the value it would then be."""

    slip: str
    would_be: Fraction
    sentence: str


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt about one reading. causes: likely slips, the likeliest first; none may be known."""

    found: str
    expected: str
    causes: tuple[Cause, ...] = ()

    @property
    def likely(self) -> Cause | None:
        return self.causes[0] if self.causes else None

    def __str__(self) -> str:
        text = f"{self.found}; expected {self.expected}."
        if self.likely is not None:
            text += f" {self.likely.sentence}"
        return f"{text} Confirm it as typed, or correct it; it is left out until then."


def plain(value: Fraction) -> str:
    """A value as a decimal, to at most six places, without trailing zeros.

    value: any exact value [any unit].
    Returns the text [-].
    Holds for any size.
    Source: our own rule.

    >>> plain(Fraction("100.2460")), plain(Fraction(-1, 3))
    ('100.246', '-0.333333')
    """
    whole, part = divmod(abs(round(value * 10**6)), 10**6)
    text = f"{whole}.{part:06d}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 and text != "0" else text


@dataclass(frozen=True, slots=True)
class _Window:
    """Where a reading may plausibly lie."""

    nominal: Fraction | None
    spread: Fraction
    others: tuple[Fraction, ...]
    lowest: Fraction | None
    highest: Fraction | None
    highest_is: str

    def doubts(self, value: Fraction, unit: str) -> Iterator[tuple[str, str]]:
        """What was found and what was expected, for every way in which the value is odd."""
        said = f"{plain(value)} {unit}"
        if self.lowest is not None and value < self.lowest:
            low = "zero" if self.lowest == 0 else f"{plain(self.lowest)} {unit}"
            yield f"{said}, which is below {low}", f"a value not below {low}"
        if self.highest is not None and value > self.highest:
            high = f"{plain(self.highest)} {unit}"
            yield f"{said}, beyond {self.highest_is} of {high}", f"at most {high}"
        if self.nominal is not None and abs(value - self.nominal) > self.spread:
            away = plain(abs(value - self.nominal))
            near = f"{plain(self.nominal)} ± {plain(self.spread)} {unit}"
            yield f"{said}, which is {away} {unit} from nominal", f"a value near {near}"
        if len(self.others) >= 2:
            nearest = min(abs(value - other) for other in self.others)
            if nearest > self.spread:
                yield (
                    f"{said}, which is {plain(nearest)} {unit} from every other reading of this",
                    f"a value near {plain(min(self.others))} to {plain(max(self.others))} {unit}",
                )

    def fits(self, value: Fraction) -> bool:
        return next(self.doubts(value, ""), None) is None

    def centre(self) -> Fraction | None:
        if self.others:
            ordered = sorted(self.others)
            return ordered[len(ordered) // 2]
        return self.nominal


def question(
    value: Fraction,
    nominal: Fraction | None,
    spread: Fraction,
    others: Sequence[Fraction],
    unit: str,
    *,
    lowest: Fraction | None = Fraction(0),
    highest: Fraction | None = None,
    highest_is: str = "the depth",
    typed: str = "",
) -> Question | None:
    """The doubt about a reading, with the slips that would explain it.

    A reading is in doubt below `lowest`, above `highest`, further than `spread` from the nominal
    size, or further than `spread` from each of two or more other readings of the same thing. A
    slip explains it if the value it leads to is in no doubt.

    value: the reading [mm or in, as `unit` says], exact.
    nominal: size it should be near [same unit], None where no size is known.
    spread: how far apart readings may plausibly lie [same unit], not below zero.
    others: other readings of the same thing that count [same unit].
    unit: "mm" or "in" [-], the unit it was read in.
    lowest: least value that can be [same unit], None where a reading may be below zero.
    highest: greatest value that can be [same unit], None where there is none.
    highest_is: what the greatest value is [-], such as "the depth of the bore".
    typed: the number as typed [-], for slips of single digits.
    Returns the question [-], None for a reading in no doubt.
    Holds for sizes; `spread` is the caller's judgement, not a limit.
    Source: common practice; 1 in = 25.4 mm exactly (NIST SP 811, B.8).
    Raises ValueError for another unit or a spread below zero.

    >>> asked = question(Fraction("101.246"), Fraction(100), Fraction("0.5"), [], "mm")
    >>> asked.likely.slip, float(asked.likely.would_be)
    ('extra turn', 100.246)
    """
    if unit not in _TURN:
        raise ValueError(f"the unit of a reading in doubt is 'mm' or 'in'; got {unit!r}")
    if spread < 0:
        raise ValueError(f"a spread is not below zero; got {spread}")
    window = _Window(nominal, spread, tuple(others), lowest, highest, highest_is)
    doubt = next(window.doubts(value, unit), None)
    if doubt is None:
        return None
    centre = window.centre()
    causes: dict[Fraction, Cause] = {}  # the likeliest slip for each value
    for group in _slips(value, unit, typed):
        fitting = [cause for cause in group if window.fits(cause.would_be)]
        if centre is not None:
            fitting.sort(key=lambda cause: abs(cause.would_be - centre))
        for cause in fitting:
            causes.setdefault(cause.would_be, cause)
    known = nominal is not None or len(others) >= 2 or lowest is not None
    return Question(*doubt, tuple(causes.values()) if known else ())


def _slips(value: Fraction, unit: str, typed: str) -> Iterator[list[Cause]]:
    """Slips in groups, the likelier groups first."""

    def cause(slip: str, would_be: Fraction, why: str) -> Cause:
        return Cause(slip, would_be, f"{why}: then it is {plain(would_be)} {unit}.")

    if value < 0:
        yield [cause("sign", -value, "A minus may have been typed by mistake")]
    yield [
        cause("unit", value * _INCH, "It may have been read in inches"),
        cause("unit", value / _INCH, "It may have been read in millimetres"),
    ][:: 1 if unit == "mm" else -1]
    yield [
        cause("decimal mark", value * factor, "The decimal mark may have slipped one place")
        for factor in (Fraction(1, 10), Fraction(10))
    ]
    for count in (1, 2):
        turns = "one turn" if count == 1 else "two turns"
        yield [
            cause(
                "extra turn",
                value + sign * count * _TURN[unit],
                f"The dial may have gone round {turns} too {much}",
            )
            for sign, much in ((-1, "often"), (1, "seldom"))
        ]
    yield [
        cause("digits swapped", would_be, "Two digits may have changed places")
        for would_be in _swapped(typed)
    ]
    yield [cause("digit doubled", would_be, why) for would_be, why in _doubled(typed)]
    yield [
        cause(
            "decimal mark", value * factor, "The decimal mark may have slipped two places or more"
        )
        for factor in (Fraction(1, 100), Fraction(100), Fraction(1, 1000), Fraction(1000))
    ]


def _swapped(typed: str) -> Iterator[Fraction]:
    """The values with two neighbouring digits exchanged; the mark stays where it is."""
    places = [at for at, sign in enumerate(typed) if sign.isdecimal() and sign.isascii()]
    if len(places) > _LONGEST:
        return
    for one, two in itertools.pairwise(places):
        if typed[one] != typed[two]:
            letters = list(typed)
            letters[one], letters[two] = letters[two], letters[one]
            if letters[places[0]] != "0" or typed[places[0]] == "0":  # nobody types 0100
                yield from _value("".join(letters))


def _doubled(typed: str) -> Iterator[tuple[Fraction, str]]:
    """The values with a digit typed once that should stand twice, or twice for once."""
    places = [at for at, sign in enumerate(typed) if sign.isdecimal() and sign.isascii()]
    if len(places) > _LONGEST:
        return
    for at in places:
        if typed[at + 1 : at + 2] == typed[at]:
            why = f"A {typed[at]} may have been typed twice"
            yield from ((value, why) for value in _value(typed[:at] + typed[at + 1 :]))
        else:
            why = f"A second {typed[at]} may be missing"
            yield from ((value, why) for value in _value(typed[:at] + typed[at] + typed[at:]))


def _value(text: str) -> Iterator[Fraction]:
    value = decimal_of(text.strip())
    if value is not None:
        yield value
