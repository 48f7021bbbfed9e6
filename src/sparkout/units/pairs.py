"""Inch and millimetre columns held against each other.

Published tables contradict themselves: US Army technical manuals print a lash of '0.011-inch or
0.028 mm' (0.279) and '0.01 mm (0.004 in.)' (0.10). A pair that rounding cannot explain is shown,
not mended: which column is right is for a person to find out.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.units.parse import parse_length
from sparkout.units.quantity import QuantityError, quoted
from sparkout.units.ranges import RangeReader
from sparkout.units.show import show

__all__ = ["PairCheck", "unit_pair_agrees"]


class PairCheck:
    """Whether two columns say the same; true or false by itself, with words for a fault."""

    __slots__ = ("agrees", "expected", "found", "remedy")

    def __init__(self, agrees: bool, found: str = "", expected: str = "", remedy: str = "") -> None:
        self.agrees = agrees
        self.found = found
        self.expected = expected
        self.remedy = remedy

    def __bool__(self) -> bool:
        return self.agrees

    def __repr__(self) -> str:
        return f"PairCheck({self.agrees}, {self.found!r}, {self.expected!r}, {self.remedy!r})"


def unit_pair_agrees(inch_text: str, mm_text: str) -> PairCheck:
    """Do an inch text and a millimetre text say the same size or limits?

    They agree when they differ by less than one last digit of the coarser: half a digit each way
    from rounding, or a whole one where a limit was rounded inwards.

    >>> bool(unit_pair_agrees("0.011 in", "0.279 mm"))
    True
    >>> print(unit_pair_agrees("0.011 in", "0.028 mm").expected)
    0.279 mm for 0.011 in
    """
    both = f"{quoted(inch_text)} beside {quoted(mm_text)}"
    try:
        inch, mm = _ends(inch_text, "in"), _ends(mm_text, "mm")
    except QuantityError as refused:
        return PairCheck(False, refused.found, refused.expected, refused.remedy)
    if [end is None for end, _ in inch] != [end is None for end, _ in mm]:
        return PairCheck(False, both, "the same kind of limit in both columns", _REMEDY)
    for (one, step_one), (other, step_other) in zip(inch, mm, strict=True):
        if one is None or other is None:
            continue
        if abs(one - other) >= max(step_one, step_other):
            right = f"{show(one, 'mm', step_other)} for {show(one, 'inch', step_one)}"
            return PairCheck(False, both, right, _why(one, other))
    return PairCheck(True)


_REMEDY = "Find out which column the source means before either is used."


def _ends(text: str, unit: str) -> list[tuple[Fraction | None, Fraction]]:
    """A size, or both ends of limits in the order typed (shafts are often printed high to low)."""
    try:
        size = parse_length(text, unit)
    except QuantityError:
        reader = RangeReader(text, "length", unit)
        low, high = reader.ends()
        return [(low, reader.step), (high, reader.step)]
    return [(size.value, size.step)]


def _why(inch: Fraction, mm: Fraction) -> str:
    if inch and mm:
        ratio = max(abs(inch / mm), abs(mm / inch))
        for places in (1, 2, 3):
            if abs(ratio / 10**places - 1) < Fraction(1, 20):
                slip = "1 place" if places == 1 else f"{places} places"
                return f"The decimal point looks {slip} out. {_REMEDY}"
    return _REMEDY
