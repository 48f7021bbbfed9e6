"""What an earlier shop stamped on a part, taken into account where the height bears it out.

A stamp is free text on the plates that came with the engine: `block stamped −0.15 by …`. It says
what was off before; the next one has to say what is off in all.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from sparkout.job.bodies import Intake
from sparkout.report.documents.source import Source
from sparkout.units import QuantityError, parse

__all__ = ["Before", "before"]

# Who the stamp may be about, by the kind of face.
_PART = {"deck": ("deck", "block"), "head": ("head",)}
_MINUS = re.compile(r"(?<!\w)[−–-]\s*(\d*[.,]?\d+)\s*(mm|in|thou|\")?(?![\d\w])")


class Before(NamedTuple):
    """What was off when it came in [mm], how that is known; at_least: no stamp says how much."""

    off: Fraction
    words: str
    at_least: bool = False


def before(source: Source, face: str, found: Iterable[Fraction]) -> Before | None:
    """A stamp of an earlier shop, or a height below that of a new part; None where there is none.

    found: heights of the face as it came in [mm].
    """
    heights = tuple(found)
    name = f"{face.split()[0]} height"
    own = source.job.frame.feature(face)
    limit = source.job.sheet.limit_for(name, own.tags if own is not None else ())
    new = None if limit is None else limit.new
    low, high = (None, None) if new is None else (new.low, new.high)
    for text, off in _stamps(source, face):
        under = heights and low is not None and off < low - max(heights)
        over = heights and high is not None and off > high - min(heights)
        if under or over:
            continue  # the height does not bear it out: it is about something else
        return Before(off, f"“{text}”")
    if heights and low is not None and max(heights) < low:
        words = f"{name} found below that of a new one, no stamp read"
        return Before(low - max(heights), words, at_least=True)
    return None


def _stamps(source: Source, face: str) -> Iterable[tuple[str, Fraction]]:
    """Every figure below zero on a plate that names the part."""
    unit = "in" if source.job.shop.units == "inch" else "mm"
    names = _PART[face.split()[0]]
    for entry in source.job.replayed.effective:
        if not isinstance(entry.body, Intake):
            continue
        for text in entry.body.plates:
            if not set(names) & set(re.findall(r"[a-z]+", text.casefold())):
                continue
            for number, own in _MINUS.findall(text):
                try:
                    yield text, parse(f"{number} {own}".strip(), "length", unit).value
                except QuantityError:
                    continue
