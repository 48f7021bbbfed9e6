"""Thrust washers: the end play they leave, both counted.

Source: common practice: the gap the washers stand in is end play as found plus both old washers.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, plain, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made
from sparkout.setups._practice import passes_by_habit
from sparkout.setups._readings import judged_by
from sparkout.setups.number import Plain
from sparkout.setups.record import Pass, SetUp

__all__ = ["fit_washers"]

KIND = "fit thrust washers"
_HUNDREDTH = Fraction(1, 100)


def fit_washers(
    gap: Plain,
    washer: Plain,
    other_washer: Plain | None = None,
    least: Plain | None = None,
    most: Plain | None = None,
    grind: Plain = 0,
    system: str = "mm",
) -> SetUp:
    """End play that a pair of thrust washers leaves, and the stock if a face is ground for them.

    end play = gap + ground off the faces − washer − other washer.

    gap: width the washers stand in: end play as found plus both old washers [mm], above zero.
    washer: thickness of one [mm], above zero.
    other_washer: thickness of the other, or None when alike [mm].
    least: smallest end play allowed [mm], or None.
    most: largest end play allowed [mm], or None.
    grind: off both thrust faces together [mm], zero or more.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    Returns the set-up: both washers, end play, stock on the faces, passes.
    Holds for caps seated and the shaft pushed both ways; measured with the washers to be used.
    Source: common practice.
    Raises ValueError when there is no play left, or a number is out of range.

    >>> made = fit_washers(5.24, 2.50, least=0.10, most=0.30)
    >>> float(made.number("end play").value)
    0.24
    """
    wide, one = given(gap, "gap"), given(washer, "washer")
    other = given(washer if other_washer is None else other_washer, "other washer")
    off = given(grind, "ground off the faces")
    above_zero(gap=wide, washer=one, other_washer=other)
    parts = wide + off - one - other if off.counts else wide - one - other
    play = total("end play", parts, Sense.AXIAL, step=_HUNDREDTH)
    if play.value <= 0:
        raise ValueError(
            f"end play comes out at {float(play.value):.6g} mm: the shaft binds; it has to be "
            "above 0 mm: thinner washers, or grind the face"
        )
    low, high = plain(least), plain(most)
    passes: tuple[Pass, ...] = ()
    numbers = [play.held(low, high, "" if low is None and high is None else "limit")]
    if off.value:
        numbers.append(total("off the thrust faces", off, Sense.AXIAL, step=_HUNDREDTH))
        passes = passes_by_habit("grind tips", off, system, Sense.AXIAL)
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Push the shaft to and fro before the caps are tightened; read it three times.",),
    )


def washers(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """The pair the plan chose."""
    bounds = judged_by(look, "crankshaft", "end play")
    return (
        made(
            KIND,
            fit_washers,
            ("crankshaft",),
            {
                "gap": look.now("crankshaft", "thrust gap"),
                "washer": look.planned("crankshaft", "thrust washer thickness", "middle"),
            },
            {},
            {
                "least": None if bounds is None else bounds.low,
                "most": None if bounds is None else bounds.high,
                "system": look.system,
            },
        ),
    )
