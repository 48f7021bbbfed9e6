"""Cam bearings, follower bores and rockers: bushes pressed in and sized to what runs in them.

Source: common practice; force and temperatures as in `pressing`.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, plain, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made
from sparkout.setups.number import Plain
from sparkout.setups.record import SetUp

__all__ = ["size_bore"]

KIND = "size a bore to its shaft"


def size_bore(
    shaft: Plain,
    clearance: Plain,
    finish_stock: Plain = 0,
    present: Plain | None = None,
    least: Plain | None = None,
    most: Plain | None = None,
) -> SetUp:
    """What a cam bush, follower bore or rocker bush is reamed and honed to.

    finish = shaft + clearance; ream to = finish − stock; metal = finish − bore now.

    shaft: largest diameter of what runs there, in hand [mm], above zero.
    clearance: diametral, bore less shaft [mm], above zero.
    finish_stock: left on diameter for the last tool [mm], zero or more.
    present: smallest diameter of the bore now [mm], or None.
    least: smallest clearance allowed [mm], or None.
    most: largest clearance allowed [mm], or None.
    Returns the set-up: finish, reamer, clearance with its limits, metal to take.
    Holds for bushes pressed in and reamed in line; an oversize follower is a shaft like any other.
    Source: common practice.
    Raises ValueError when the bore is larger already, or a number is out of range.

    >>> [float(n.value) for n in size_bore(49.944, 0.062, 0.01, present=49.9).numbers]
    [50.006, 49.996, 0.062, 0.106]
    """
    runs, gap = given(shaft, "shaft"), given(clearance, "clearance")
    left = given(finish_stock, "left for the last tool")
    above_zero(shaft=runs, clearance=gap)
    not_below_zero(finish_stock=left)
    finish = total("finish", runs + gap, Sense.DIAMETRAL)
    numbers = [finish]
    if left.value:
        numbers.append(total("ream to", finish.given("finish") - left, Sense.DIAMETRAL))
    low, high = plain(least), plain(most)
    numbers.append(
        total("clearance it leaves", finish.given("finish") - runs, Sense.DIAMETRAL).held(
            low, high, "" if low is None and high is None else "limit for new"
        )
    )
    if present is not None:
        now = given(present, "bore now")
        if now.value > finish.value:
            raise ValueError(
                f"present is {float(now.value):.6g} mm, above the finish of "
                f"{float(finish.value):.6g} mm: too large already; an oversize shaft, or a new bush"
            )
        numbers.append(total("metal to take", finish.given("finish") - now, Sense.DIAMETRAL))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=("Line the oil holes up before pressing; look through them after.",
               "Turn the shaft by hand before anything else is fitted."),
    )  # fmt: skip


def cam_bushing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each cam bush, reamed in line to the cam in hand."""
    bounds = look.new_bounds("cam clearance")
    return tuple(
        made(
            "ream a cam bush",
            size_bore,
            (journal,),
            {
                "shaft": look.planned(journal, "cam journal diameter"),
                "clearance": look.aim("cam clearance", journal, "clearance"),
            },
            {},
            {
                "least": None if bounds is None else bounds.low,
                "most": None if bounds is None else bounds.high,
            },
        )
        for journal in step.features
    )


def rocker_bushing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each rocker bush."""
    bounds = look.new_bounds("rocker clearance")
    return tuple(
        made(
            "ream a rocker bush",
            size_bore,
            (rocker,),
            {
                "shaft": look.known("rocker shaft diameter", rocker),
                "clearance": look.aim("rocker clearance", rocker, "clearance"),
            },
            {},
            {
                "least": None if bounds is None else bounds.low,
                "most": None if bounds is None else bounds.high,
            },
        )
        for rocker in step.features
    )


def follower_bores(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each follower bore opened for an oversize follower."""
    bounds = look.new_bounds("follower clearance")
    return tuple(
        made(
            "open a follower bore",
            size_bore,
            (follower,),
            {
                "shaft": look.planned(follower, "follower diameter"),
                "clearance": look.aim("follower clearance", follower, "clearance"),
                "present": look.now(follower, "follower bore diameter", "low"),
            },
            {},
            {
                "least": None if bounds is None else bounds.low,
                "most": None if bounds is None else bounds.high,
            },
        )
        for follower in step.features
    )
