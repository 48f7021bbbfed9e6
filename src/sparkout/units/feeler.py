"""Feeler-gauge answers: a gap is an interval between the blade that goes in and the one that not.

Common practice: a blade that passes says 'at least', one that does not says 'below'; a single
number would claim more than was found.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.units.parse import single, tokens
from sparkout.units.quantity import Gap, QuantityError, quoted
from sparkout.units.scan import Number
from sparkout.units.table import known_unit, unit_key

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["parse_gap"]

_PASSES = frozenset({"fit", "fits", "pass", "passes", "passed", "go", "goes", "enters", "yes"})
_STOPS = frozenset(
    {"not", "no", "nogo", "no-go", "doesn't", "doesnt", "don't", "dont", "won't", "wont"}
    | {"can't", "cannot", "fails", "fail", "stops"}
)
_VERDICTS = _PASSES | _STOPS
_FILLERS = frozenset({"and", "but", "does", "do", "will", "the", "it", "a", "blade", "/", "then"})
_EXPECTED = "a blade that fits, a blade that does not, or both"
_REMEDY = "Type it like 0.06 passes, 0.08 not, or 12 fits, 13 does not."


def parse_gap(text: str, system: str) -> Gap:
    """The interval of a gap in mm: low <= gap < high, None for an end no blade was tried at.

    system: 'mm' or 'inch'. Bare whole numbers are hundredths of a mm, or thousandths of an inch,
    as blades are marked; other bare numbers are mm or inches. A unit typed once holds for all.

    >>> gap = parse_gap("12 fits, 13 does not", "inch")
    >>> float(gap.low), float(gap.high)
    (0.3048, 0.3302)
    >>> parse_gap("0.10 does not", "mm").low is None
    True
    """
    if system not in ("mm", "inch"):
        raise LookupError(f"system is 'mm' or 'inch', not {system!r}")
    typed = text.strip()
    blades = list(_blades(tokens(text, "length"), typed))
    units = {unit_key(unit) for _, unit, _ in blades if unit}
    if len(units) > 1:
        raise QuantityError(f"two units in {quoted(typed)}", "one unit for all blades")
    stated = next((unit for _, unit, _ in blades if unit), "")
    if not stated and len({number.whole for number, _, _ in blades}) > 1:
        raise QuantityError(
            f"{quoted(typed)}, whole and broken numbers without a unit",
            "blades named in one way",
            "Type all as 0.10 or all as 10, or type the unit.",
        )
    fits = [_size(n, stated, system, typed) for n, _, passes in blades if passes]
    stops = [_size(n, stated, system, typed) for n, _, passes in blades if not passes]
    low, high = max(fits, default=None), min(stops, default=None)
    if low is not None and high is not None and low >= high:
        raise QuantityError(
            f"{quoted(typed)}, where a blade fits that is not thinner than one that does not",
            "the thicker blade to be the one that does not fit",
            "Try both blades again.",
        )
    return Gap(low, high, typed)


def _size(number: Number, stated: str, system: str, typed: str) -> Fraction:
    place = "in" if system == "inch" else "mm"
    if number.sign == "-" or (number.value == 0 and number.sign):
        raise QuantityError(f"{quoted(typed)}, below zero", _EXPECTED, _REMEDY)
    blade = place if not number.whole else "thou" if system == "inch" else "hundredth"
    value, _, _, _ = single(number, stated, "length", known_unit(blade, "length"), place, typed)
    return value


def _blades(parts: list[Number | str], typed: str) -> Iterator[tuple[Number, str, bool]]:
    """Each blade with the unit typed at it and whether it passed."""
    words: list[list[str]] = [[]]
    numbers: list[Number] = []
    for part in parts:
        if isinstance(part, Number):
            numbers.append(part)
            words.append([])
        else:
            words[-1] += [
                piece for piece in (raw.strip(",;.:()").casefold() for raw in part.split()) if piece
            ]
    # 'not 0.08': the verdict may stand before its blade; then it does so for all of them.
    verdict_first = any(word in _VERDICTS for word in words[0])
    for index, number in enumerate(numbers):
        behind = words[index + 1]
        said = words[index] if verdict_first else behind
        verdict = [word for word in said if word in _VERDICTS]
        unit = "".join(word for word in behind if word not in _VERDICTS | _FILLERS)
        if not verdict:
            raise QuantityError(
                f"{quoted(typed)}, which does not say of each blade whether it fits",
                _EXPECTED,
                _REMEDY,
            )
        yield number, unit, not any(word in _STOPS for word in verdict)
    if not verdict_first and words[0]:
        raise QuantityError(
            f"{quoted(' '.join(words[0]))} before the first blade", _EXPECTED, _REMEDY
        )
