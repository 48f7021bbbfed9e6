"""Grinding stem tips: how much, what height is left, how lash or preload move.

Source: geometry; common practice: a hardened tip is thin, so little is taken.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, plain, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp
from sparkout.setups.valve_train import pivot_drop

__all__ = ["grind_tip"]

KIND = "grind a stem tip"
_HUNDREDTH = Fraction(1, 100)


def grind_tip(
    off: Plain,
    tip_height: Plain | None = None,
    least_height: Plain | None = None,
    most_height: Plain | None = None,
    lash: Plain | None = None,
    preload: Plain | None = None,
    ratio: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What comes off one stem tip and what that moves.

    height = before − off; lash = before + off; preload = before − off ÷ R.

    off: taken off the tip [mm], zero or more.
    tip_height: before, seat final [mm], or None.
    least_height: smallest height allowed [mm], or None.
    most_height: largest height allowed [mm], or None.
    lash: at the valve before, adjuster untouched [mm], or None.
    preload: plunger depression of a hydraulic follower before [mm], or None.
    ratio: rocker ratio, valve side over pushrod side [-], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: metal off, height, lash and preload after, passes.
    Holds for tips ground square; the rocker must still clear the retainer.
    Source: geometry; common practice.
    Raises ValueError when the tip comes out too low, or a number is out of range.

    >>> made = grind_tip(0.015 * 25.4, preload=0.064 * 25.4, ratio=1.5)
    >>> round(float(made.number("preload after").value) / 25.4, 3)
    0.054
    """
    taken = given(off, "off the tip")
    not_below_zero(off=taken)
    numbers: list[Number] = [total("off the tip", taken, Sense.AXIAL)]
    low, high = plain(least_height), plain(most_height)
    if tip_height is not None:
        now = given(tip_height, "tip height before", step=_HUNDREDTH)
        left = total("tip height after", now - taken, Sense.AXIAL, step=_HUNDREDTH)
        if low is not None and left.value < low:
            raise ValueError(
                f"tip height comes out at {float(left.value):.6g} mm; it has to be "
                f"{float(low):.6g} mm or more: less off the tip, or shorter pushrods"
            )
        held = "" if low is None and high is None else "limit"
        numbers.append(left.held(low, high, held))
    if lash is not None:
        gap = given(lash, "lash before", step=_HUNDREDTH)
        numbers.append(total("lash after, nothing adjusted", gap + taken, step=_HUNDREDTH))
    if preload is not None and ratio is not None:
        arm = given(ratio, "rocker ratio", "ratio", _HUNDREDTH)
        above_zero("", ratio=arm)
        share = worked_out(taken / arm, "off the tip ÷ rocker ratio")
        before = given(preload, "preload before")
        numbers.append(total("preload after", before - share, Sense.AXIAL))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes_by_habit("grind tips", taken, system, Sense.AXIAL, cuts),
        looks=("Square to the stem, in the V of the machine; keep it cool, the tip is hard.",),
        notes=("Look that the rocker still clears the retainer, and the tip stands above it.",),
    )


def _preload(look: Lookup, valve: str, number: str, ratio: Given | Missing) -> Given | Missing:
    """Preload after faces and seat, before the tip: what a hydraulic follower would have."""
    feature = look.frame.feature(valve)
    before = look.now(f"follower {number}", "hydraulic preload")
    if isinstance(before, Missing) or isinstance(ratio, Missing) or feature is None:
        return Missing("")
    drop = pivot_drop(look, feature.cylinder)
    sink = Given(look.amount(f"sink of seat {number}"), "sink")
    if isinstance(drop, Missing):
        return drop
    rise = worked_out(sink / ratio, "sink ÷ ratio")
    return worked_out(before + drop + rise, "preload without it")


def tips(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each tip; all lose the same."""
    amount = look.amount("taken off every stem tip")
    off = Given(amount, "off every tip, as planned")
    ratio = look.nominal("rocker ratio")
    found = []
    for valve in step.features:
        number = valve.rsplit(" ", 1)[-1]
        limit = look.limit("tip height", valve)
        bounds = None if limit is None else limit.side("service")
        height = look.planned(valve, "tip height")
        if isinstance(height, Given):
            height = Given(height.value + amount, "tip height, seat cut", step=_HUNDREDTH,
                           marks=height.marks)  # fmt: skip
        preload = _preload(look, valve, number, ratio)
        found.append(
            made(
                KIND,
                grind_tip,
                (valve,),
                {"off": off},
                {"tip_height": height},
                {
                    "least_height": None if bounds is None else bounds.low,
                    "most_height": None if bounds is None else bounds.high,
                    "preload": present(preload),
                    "ratio": present(ratio),
                    "system": look.system,
                    "cuts": look.own_cuts("grind tips"),
                },
            )
        )
    return tuple(found)
