"""What is known of a gauge that sends its readings: how its lines look and what they mean."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from fractions import Fraction

from sparkout.faults import Fault, Place
from sparkout.measure.intake.numbers import decimal_of, known_unit_name

__all__ = ["GaugeProfile", "profile_from_fields"]

_LONGEST_PREFIX = 16


@dataclass(frozen=True, slots=True)
class GaugeProfile:
    """One gauge on the line.

    gauge: its id in the shop. prefix: what it sends before each number, "" for a gauge alone on
    its line. terminator: "enter" (CR, LF or both) or "tab". unit: unit of a number without one.
    decimals: places it always shows, None where that changes. low, high: least and greatest
    number it can show, in its unit; None where that is not known. deviation: it shows how far a
    size is from a master. polarity: which way a deviation counts. decimal: its decimal mark.
    """

    gauge: str
    prefix: str = ""
    terminator: str = "enter"
    unit: str = "mm"
    decimals: int | None = None
    low: Fraction | None = None
    high: Fraction | None = None
    deviation: bool = False
    polarity: str = ""
    decimal: str = "."


def profile_from_fields(
    found: object, place: Place | None = None
) -> tuple[GaugeProfile | None, tuple[Fault, ...]]:
    """A gauge profile from plain text fields, as a shop file has them.

    found: an object of texts [-], its names those of GaugeProfile.
    place: where it came from, for the faults [-].
    Returns the profile, or None and every fault [-].
    Holds for the fields of GaugeProfile; "deviation" is "yes" or "no".
    Source: docs/gauge-lines.md.

    >>> profile_from_fields({"gauge": "G7", "decimals": "3", "low": "-1"})[0].decimals
    3
    """
    here = Place() if place is None else place
    if not isinstance(found, dict):
        return None, (Fault(here, repr(found)[:80], "the fields of a gauge"),)
    faults: list[Fault] = []

    def wrong(name: str, expected: str) -> None:
        shown = f'"{found[name]}"' if name in found else "nothing"
        faults.append(Fault(here._replace(key=name), shown[:120], expected))

    names = [part.name for part in dataclasses.fields(GaugeProfile)]
    for name, value in found.items():
        if name not in names:
            wrong(name, f"one of {', '.join(names)}")
        elif not isinstance(value, str):
            wrong(name, "text")
    if faults:
        return None, tuple(faults)
    said: dict[str, str] = {
        name: value if name == "prefix" else value.strip() for name, value in found.items()
    }
    if not said.get("gauge"):
        wrong("gauge", "the id of the gauge")
    prefix = said.get("prefix", "")
    plain = prefix.isprintable() and prefix.isascii() and prefix == prefix.strip()
    if len(prefix) > _LONGEST_PREFIX or not plain:
        wrong("prefix", f"at most {_LONGEST_PREFIX} plain characters, no space at the ends")
    if prefix[-1:].isdigit() or prefix[-1:] in ("+", "-", ".", ","):
        wrong("prefix", "a last character that cannot belong to the number")
    for name, words in (
        ("terminator", ("enter", "tab")),
        ("deviation", ("yes", "no")),
        ("polarity", ("", "plus is bigger", "plus is smaller")),
        ("decimal", (".", ",")),
    ):
        if name in said and said[name] not in words:
            wrong(name, " or ".join(f'"{word}"' for word in words if word))
    if not known_unit_name(said.get("unit", "mm")):
        wrong("unit", "a unit such as mm or in")
    decimals = said.get("decimals", "")
    if decimals and not (decimals.isascii() and decimals.isdecimal() and int(decimals[:3]) <= 8):
        wrong("decimals", "a whole number from 0 to 8")
    ends = {name: decimal_of(said[name]) for name in ("low", "high") if said.get(name)}
    for name, end in ends.items():
        if end is None:
            wrong(name, "a number such as -0.5")
    low, high = ends.get("low"), ends.get("high")
    if low is not None and high is not None and low >= high:
        wrong("high", f"a number above {said['low']}")
    if faults:
        return None, tuple(faults)
    return (
        GaugeProfile(
            said["gauge"],
            prefix,
            said.get("terminator", "enter"),
            said.get("unit", "mm"),
            int(decimals) if decimals else None,
            low,
            high,
            said.get("deviation") == "yes",
            said.get("polarity", ""),
            said.get("decimal", "."),
        ),
        (),
    )
