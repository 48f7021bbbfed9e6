"""How large a gauge study has to be: what so many parts, people and repeats will tell."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.measure.studies.distributions import chi_square_quantile

__all__ = ["StudyPower", "repeats_needed", "sd_bounds", "study_power"]


@dataclass(frozen=True, slots=True)
class StudyPower:
    """What a study of this size will tell.

    repeatability_low, repeatability_high: bounds of the true standard deviation, as multiples of
    the one found. person_low, person_high: the same for the scatter between people, at best (no
    repeat scatter at all); infinite for one person. readings: how many have to be taken.
    """

    readings: int
    repeatability_dof: int
    repeatability_low: float
    repeatability_high: float
    person_dof: int
    person_low: float
    person_high: float


def sd_bounds(dof: int, confidence: float) -> tuple[float, float]:
    """Bounds of a true standard deviation as multiples of the one found.

    sqrt(dof / chi-square at (1 +- confidence)/2).

    dof: degrees of freedom [-], one or more.
    confidence: confidence that the truth lies between [-], between 0 and 1.
    Returns the lower and the upper multiple [-].
    Holds for normal, independent readings.
    Source: JCGM 100:2008 (GUM), E.4.3, on the uncertainty of an experimental standard deviation.
    Raises ValueError naming the value when an argument is out of range.

    >>> low, high = sd_bounds(10, 0.95)
    >>> round(low, 3), round(high, 3)
    (0.699, 1.755)
    """
    if dof < 1:
        raise ValueError(f"one degree of freedom or more is needed, got {dof!r}")
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence lies between 0 and 1, got {confidence!r}")
    tail = 0.5 * (1.0 - confidence)
    low = math.sqrt(dof / chi_square_quantile(1.0 - tail, dof))
    return low, math.sqrt(dof / chi_square_quantile(tail, dof))


def study_power(parts: int, people: int, repeats: int, confidence: float = 0.95) -> StudyPower:
    """What a crossed gauge study of this size will tell.

    Repeatability has parts*people*(repeats-1) degrees of freedom, the scatter between people at
    best people-1.

    parts: number of parts [-], two or more.
    people: number of people [-], one or more.
    repeats: readings of a part by one person [-], two or more.
    confidence: confidence of the bounds [-], between 0 and 1.
    Returns degrees of freedom and bounds [-].
    Holds for a balanced crossed study without interaction; with one, people count for less.
    Source: chi-square bounds of a standard deviation, as in JCGM 100:2008 (GUM), E.4.3.
    Raises ValueError naming the value when an argument is out of range.

    >>> p = study_power(10, 3, 2)
    >>> p.readings, p.repeatability_dof, round(p.repeatability_high, 2), round(p.person_high, 1)
    (60, 30, 1.34, 6.3)
    """
    for name, value, least in (("parts", parts, 2), ("people", people, 1), ("repeats", repeats, 2)):
        if value < least:
            raise ValueError(f"{name} must be {least} or more, got {value!r}")
    dof = parts * people * (repeats - 1)
    low, high = sd_bounds(dof, confidence)
    person = sd_bounds(people - 1, confidence) if people > 1 else (0.0, math.inf)
    return StudyPower(parts * people * repeats, dof, low, high, people - 1, *person)


def repeats_needed(parts: int, people: int, high: float, confidence: float = 0.95) -> int:
    """Repeats needed to know repeatability to within a factor.

    The least repeats with sqrt(dof / chi-square) <= high at the upper bound.

    parts: number of parts [-], two or more.
    people: number of people [-], one or more.
    high: the truth may be at most this many times what is found [-], above 1.
    confidence: confidence of the two-sided bounds [-], between 0 and 1.
    Returns the repeats of each part by each person [-], two or more.
    Holds for a balanced crossed study.
    Source: chi-square bounds of a standard deviation, as in JCGM 100:2008 (GUM), E.4.3.
    Raises ValueError naming the value when an argument is out of range.

    >>> repeats_needed(5, 2, 1.3)
    5
    """
    if not high > 1.0:
        raise ValueError(f"the factor must be above 1, got {high!r}")
    repeats = 2
    while study_power(parts, people, repeats, confidence).repeatability_high > high:
        repeats += 1
    return repeats
