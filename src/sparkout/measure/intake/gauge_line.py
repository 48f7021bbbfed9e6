"""One line from a gauge: a reading, a fault, or a question (docs/gauge-lines.md)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from sparkout.faults import Fault, Place
from sparkout.measure.intake.gauge_profile import GaugeProfile
from sparkout.measure.intake.numbers import decimal_of, known_unit_name
from sparkout.measure.intake.plausible import Cause, Question, plain

__all__ = ["GaugeQuestion", "GaugeReading", "Item", "read_line"]

_LINE = re.compile(r"(?P<sign>[+-]?) *(?P<number>\d+(?:[.,]\d*)?|[.,]\d+) *(?P<unit>\D*)", re.ASCII)
_NUMBERS = re.compile(r"[+-]?(?:\d+[.,]\d+|[.,]\d+|\d+)")
_INCH = Fraction(254, 10)
_AGAIN = "Nothing was entered: take the reading again."
_LAYOUT = (
    "If the gauge types like a keyboard, its layout is not that of this machine: let it type "
    "0123456789.- and compare."
)


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """A number as the gauge sent it. sent: the whole line, as it came."""

    gauge: str
    typed: str
    unit: str
    deviation: bool
    polarity: str
    sent: str
    line: int

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """What the gauge says of a reading; feature and characteristic come from the screen."""
        said = (("typed", self.typed), ("unit", self.unit), ("gauge", self.gauge))
        return (*said, ("polarity", self.polarity)) if self.polarity else said


@dataclass(frozen=True, slots=True)
class GaugeQuestion:
    """A number that the gauge can hardly have meant."""

    reading: GaugeReading
    question: Question


Item: TypeAlias = GaugeReading | GaugeQuestion | Fault


def read_line(text: str, profiles: Sequence[GaugeProfile], line: int = 1) -> Item | None:
    """What one line from a gauge says.

    text: the line without its end [-].
    profiles: the gauges on this line [-].
    line: its number, for the places [-], from 1.
    Returns a reading, a question or a fault [-], None for an empty line.
    Holds for lines as docs/gauge-lines.md describes them.
    Source: our own protocol; 1 in = 25.4 mm exactly (NIST SP 811, B.8).

    >>> bore = GaugeProfile("G7", prefix="~B1~", decimals=3)
    >>> read_line("~B1~100.246", [bore]).typed
    '100.246'
    """
    sent = text.strip(" \x00\x02\x03")
    if not sent:
        return None
    place = Place("gauge", line)
    profile = _whose(sent, profiles)
    if profile is None:
        return _stranger(sent, profiles, place)
    rest = sent[len(profile.prefix) :].strip()
    for other in profiles:
        if other.prefix and other.prefix in rest:
            first, second = rest.split(other.prefix, 1)
            return _glued(first, second, place)
    if not rest:
        return Fault(place, f'"{sent}", cut short', "a number after the prefix", _AGAIN)
    return _Reading(profile, sent, rest, line, place).item()


def _whose(sent: str, profiles: Sequence[GaugeProfile]) -> GaugeProfile | None:
    """The gauge with the longest prefix that the line begins with."""
    fitting = [one for one in profiles if sent.startswith(one.prefix)]
    return max(fitting, key=lambda one: len(one.prefix), default=None)


def _stranger(sent: str, profiles: Sequence[GaugeProfile], place: Place) -> Fault:
    known = ", ".join(f'"{one.prefix}"' for one in profiles)
    for one in profiles:
        if any(sent.startswith(one.prefix[at:]) for at in range(1, len(one.prefix))):
            found = f'"{_cut(sent)}", which lacks the beginning of "{one.prefix}"'
            return Fault(place, found, f"a line that begins with {known}", _AGAIN)
    found = f'"{_cut(sent)}", which begins with no prefix that is known here'
    return Fault(place, found, f"a line that begins with {known}", "Give the gauge its prefix.")


def _glued(first: str, second: str, place: Place) -> Fault:
    return Fault(
        place,
        f'two values glued together, "{_cut(first)}" and "{_cut(second)}"',
        "one value on a line",
        f"Set the line end of the gauge. {_AGAIN}",
    )


def _cut(text: str) -> str:
    shown = "".join(
        letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text
    )
    return shown if len(shown) <= 40 else shown[:39] + "…"


class _Reading:
    """One line of a known gauge on its way; only ever used inside `read_line`."""

    def __init__(
        self, profile: GaugeProfile, sent: str, rest: str, line: int, place: Place
    ) -> None:
        self.profile = profile
        self.sent = sent
        self.rest = rest
        self.line = line
        self.place = place

    def item(self) -> Item:
        found = _LINE.fullmatch(self.rest) if len(self.rest) <= 64 else None
        if found is None or (not self.rest.isascii() and not _unit(found["unit"])):
            return self._no_number()
        sign, number, unit = found["sign"], found["number"], found["unit"].strip()
        if unit and not known_unit_name(unit):
            return self._no_number()
        if number.endswith((".", ",")):
            return self._fault(
                f'"{_cut(self.sent)}", cut short after the mark', "digits behind the mark", _AGAIN
            )
        size = decimal_of(number)
        assert size is not None
        value = -size if sign == "-" else size
        return self._judged(sign, number, unit, value)

    def _judged(self, sign: str, number: str, unit: str, value: Fraction) -> Item:
        profile = self.profile
        own = unit or profile.unit
        signed = f"+{number}" if profile.deviation and not sign and value else f"{sign}{number}"
        reading = GaugeReading(
            profile.gauge,
            signed,
            own,
            profile.deviation,
            profile.polarity,
            self.sent,
            self.line,
        )
        same_unit = own == profile.unit
        if same_unit and not self._in_range(value):
            causes = tuple(self._causes(value, number))
            # What is cut short is out of range too: then it is the shorter explanation.
            if causes or not self._short(number):
                return GaugeQuestion(reading, self._out_of_range(value, causes))
        if same_unit and self._short(number):
            shown = len(number.replace(",", ".").partition(".")[2])
            return self._fault(
                f'"{_cut(self.sent)}" with {shown} decimals, cut short',
                f"{profile.decimals} decimals, as {profile.gauge} always shows",
                _AGAIN,
            )
        if same_unit and profile.decimals is not None and not self._short(number):
            more = len(number.replace(",", ".").partition(".")[2]) - profile.decimals
            if more > 0:
                return self._fault(
                    f'"{_cut(self.sent)}" with {more} decimals too many',
                    f"{profile.decimals} decimals, as {profile.gauge} always shows",
                    f"Look at the gauge's unit and resolution. {_AGAIN}",
                )
        other = "," if profile.decimal == "." else "."
        if other in number:
            cause = Cause("layout", value, f"{_LAYOUT} The value would be {plain(value)} {own}.")
            asked = Question(
                f'"{_cut(self.sent)}" with the mark "{other}"',
                f'the mark "{profile.decimal}", which {profile.gauge} sends',
                (cause,),
            )
            return GaugeQuestion(reading, asked)
        return reading

    def _in_range(self, value: Fraction) -> bool:
        low, high = self.profile.low, self.profile.high
        return (low is None or value >= low) and (high is None or value <= high)

    def _short(self, number: str) -> bool:
        wanted = self.profile.decimals
        return wanted is not None and len(number.replace(",", ".").partition(".")[2]) < wanted

    def _causes(self, value: Fraction, number: str) -> list[Cause]:
        """Slips of the gauge that would bring the number into its range."""
        unit = self.profile.unit
        tried: list[tuple[str, Fraction, str]] = []
        if unit == "mm":
            tried.append(("unit", value * _INCH, f"{self.profile.gauge} may be set to inches"))
        if unit == "in":
            tried.append(("unit", value / _INCH, f"{self.profile.gauge} may be set to millimetres"))
        places = self.profile.decimals
        if places and not {".", ","} & set(number):
            lost = f"The decimal mark may be lost on the way. {_LAYOUT}"
            tried.append(("mark lost", value / 10**places, lost))
        return [
            Cause(slip, would_be, f"{why}: then it is {plain(would_be)} {unit}.")
            for slip, would_be, why in tried
            if self._in_range(would_be)
        ]

    def _out_of_range(self, value: Fraction, causes: tuple[Cause, ...]) -> Question:
        profile = self.profile
        low = "below" if profile.low is None else f"{plain(profile.low)} to"
        high = "and above" if profile.high is None else plain(profile.high)
        return Question(
            f"{plain(value)} {profile.unit}, which {profile.gauge} cannot show",
            f"{low} {high} {profile.unit}",
            causes,
        )

    def _no_number(self) -> Fault:
        numbers = _NUMBERS.findall(self.rest)
        parts = self._parted(self.rest)
        if parts is not None:
            return _glued(*parts, self.place)
        if not numbers:
            return self._fault(f'"{_cut(self.sent)}" without a number', "a number", _AGAIN)
        return self._fault(
            f'"{_cut(self.sent)}"',
            "the prefix, a sign, a number and perhaps a unit",
            f"{_LAYOUT} {_AGAIN}",
        )

    def _parted(self, rest: str) -> tuple[str, str] | None:
        """Two numbers in one line, parted where the decimals of the gauge or a sign say so."""
        text = rest[:64]
        places = self.profile.decimals
        if not places:
            # Both values have as many decimals: those of the last show where the first ends.
            last = re.search(r"[.,](\d+)[^\d.,]*$", text, re.ASCII)
            places = len(last.group(1)) if last else 0
        for pattern in (
            rf"([+-]?\d*[.,]\d{{{places}}}[^\d.,+-]*)([+-]?\d*[.,]\d+.*)",
            r"([+-]?[\d.,]+[^\d.,+-]*)([+-][\d.,]+.*)",
        ):
            found = re.fullmatch(pattern, text, re.ASCII)
            if found:
                return found.group(1).strip(), found.group(2).strip()
        return None

    def _fault(self, found: str, expected: str, remedy: str) -> Fault:
        return Fault(self.place._replace(key=self.profile.gauge), found, expected, remedy)


def _unit(text: str) -> bool:
    return known_unit_name(text.strip())
