"""Limits of size and fits by their ISO 286 symbol, exact in micrometres."""

from __future__ import annotations

import re
from bisect import bisect_left
from fractions import Fraction
from typing import NamedTuple

from sparkout.mechanics.fits_iso.tables import (
    DEVIATIONS,
    FINE_DEVIATIONS,
    FINE_STEPS,
    GRADES,
    STEPS,
)

__all__ = ["Deviations", "Fit", "deviations", "fit", "tolerance"]

_SYMBOL = re.compile(r"(js|JS|[d-hkmnprsD-HKMNPRS])(\d{1,2})")


class Deviations(NamedTuple):
    """Lower and upper deviation from the nominal size [mm], exact."""

    lower: Fraction
    upper: Fraction


class Fit(NamedTuple):
    """A hole with a shaft. Clearances are diametral [mm]; negative means interference."""

    hole: Deviations
    shaft: Deviations
    clearance_min: Fraction
    clearance_max: Fraction
    kind: str
    """"clearance", "transition" or "interference\""""


def _step(size: float | Fraction, steps: tuple[int, ...]) -> int:
    if not 0 < size <= steps[-1]:
        raise ValueError(
            f"size is {float(size):.6g} mm; it has to be above 0 and at most {steps[-1]} mm"
        )
    return bisect_left(steps, size)


def tolerance(size: float | Fraction, grade: int) -> Fraction:
    """Standard tolerance of an IT grade.

    Read from the table by size step; the upper end of a step belongs to it.

    size: nominal size [mm], above 0 to 500.
    grade: IT grade [-], 5 to 11.
    Returns the tolerance [mm], exact.
    Holds for sizes to 500 mm.
    Source: ISO 286-1:2010, table 1 (recalled from memory, compared with a stored copy).
    Raises ValueError naming size or grade when it is out of range.

    >>> tolerance(50, 7)
    Fraction(1, 40)
    """
    if grade not in range(5, 12):
        raise ValueError(f"grade is IT{grade}; it has to be one of IT5 to IT11")
    return Fraction(GRADES[grade][_step(size, STEPS)], 1000)


def _shaft(size: float | Fraction, letter: str, grade: int) -> Deviations:
    width = tolerance(size, grade)
    if letter == "js":
        return Deviations(-width / 2, width / 2)
    if letter in FINE_DEVIATIONS:
        lower = Fraction(FINE_DEVIATIONS[letter][_step(size, FINE_STEPS)], 1000)
        return Deviations(lower, lower + width)
    fundamental = Fraction(DEVIATIONS[letter][_step(size, STEPS)], 1000)
    if letter in "defgh":
        return Deviations(fundamental - width, fundamental)
    if letter == "k" and grade > 7:
        fundamental = Fraction(0)
    return Deviations(fundamental, fundamental + width)


def _hole(size: float | Fraction, letter: str, grade: int) -> Deviations:
    width = tolerance(size, grade)
    if letter in {"js", "d", "e", "f", "g", "h"}:
        shaft = _shaft(size, letter, grade)
        return Deviations(-shaft.upper, -shaft.lower)
    step = _step(size, STEPS)
    if letter in FINE_DEVIATIONS:
        fundamental = FINE_DEVIATIONS[letter][_step(size, FINE_STEPS)]
    else:
        fundamental = DEVIATIONS[letter][step]
    # Holes K, M, N to IT8 and P, R, S to IT7 give the same fit as the shaft of the same letter one
    # grade finer: ES = -ei + delta, delta = IT(n) - IT(n-1) (ISO 286-1:2010, 4.3.2.5).
    with_delta = step > 0 and grade <= (8 if letter in "kmn" else 7)
    delta = GRADES[grade][step] - GRADES[grade - 1][step] if with_delta else 0
    upper = -fundamental + delta
    if letter == "k" and grade > 8:
        if step > 0:
            raise ValueError(f"K{grade} is not defined above 3 mm; K goes to IT8")
        upper = 0
    if letter == "n" and grade > 8:
        upper = 0 if step > 0 else -4
    if letter == "m" and grade == 6 and 250 < size <= 315:
        upper = -9  # the one exception the table makes (note to table 3)
    return Deviations(Fraction(upper, 1000) - width, Fraction(upper, 1000))


def deviations(size: float | Fraction, symbol: str) -> Deviations:
    """Lower and upper deviation of a tolerance class such as H7, g6 or js5.

    Shafts d to h: es from the table, ei = es − IT; k to s: ei from the table, es = ei + IT. Holes:
    the mirror image, with the added delta for K, M, N (to IT8) and P, R, S (to IT7). js: ± IT ÷ 2.

    size: nominal size [mm], above 0 to 500.
    symbol: capital letter for a hole, small one for a shaft, then the grade [-]: D to H, JS, K, M,
    N, P, R, S with 5 to 11.
    Returns both deviations [mm], exact.
    Holds for the letters and grades named; others are refused.
    Source: ISO 286-1:2010, tables 1 to 5 (recalled from memory, compared with a stored copy).
    Raises ValueError naming the symbol or size when it is not in the table.

    >>> d = deviations(25, "H7"); float(d.lower), float(d.upper)
    (0.0, 0.021)
    """
    match = _SYMBOL.fullmatch(symbol.strip())
    if match is None:
        raise ValueError(
            f"tolerance class is {symbol!r}; it has to be a letter D to H, JS, K, M, N, P, R or S "
            "(capital for a hole, small for a shaft) and a grade 5 to 11, such as H7 or p6"
        )
    letter, grade = match[1], int(match[2])
    if letter.isupper():
        return _hole(size, letter.lower(), grade)
    return _shaft(size, letter, grade)


def fit(size: float | Fraction, symbol: str) -> Fit:
    """Smallest and largest clearance of a fit such as H7/p6.

    Smallest = EI − es, largest = ES − ei.

    size: nominal size [mm], above 0 to 500.
    symbol: hole class, a stroke, shaft class [-], such as H7/g6.
    Returns the deviations of both, the clearances (negative: interference) [mm] and the kind.
    Holds as `deviations`.
    Source: ISO 286-1:2010, 3.2.10 to 3.2.13 (definitions).
    Raises ValueError naming the symbol or size when it is not in the table.

    >>> f = fit(50, "H7/g6"); float(f.clearance_min), float(f.clearance_max), f.kind
    (0.009, 0.05, 'clearance')
    """
    hole_symbol, stroke, shaft_symbol = symbol.partition("/")
    if not stroke or not hole_symbol.strip()[:1].isupper() or shaft_symbol.strip()[:1].isupper():
        raise ValueError(
            f"fit is {symbol!r}; it has to be a hole class, / and a shaft class: H7/p6"
        )
    hole, shaft = deviations(size, hole_symbol), deviations(size, shaft_symbol)
    smallest, largest = hole.lower - shaft.upper, hole.upper - shaft.lower
    kind = "clearance" if smallest >= 0 else "interference" if largest <= 0 else "transition"
    return Fit(hole, shaft, smallest, largest, kind)
