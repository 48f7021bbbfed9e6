"""Seat inserts: the pocket cut to the insert in hand, and pressing it home.

Source: common practice; force and temperatures as in `pressing`. A standard insert never goes into
a used pocket (TM 5-1185 says so for one engine; common practice everywhere).
"""

from __future__ import annotations

from dataclasses import replace

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups.number import Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp

__all__ = ["cut_pocket"]

KIND = "cut a pocket for a seat insert"


def cut_pocket(
    insert_outside: Plain,
    interference: Plain,
    insert_height: Plain | None = None,
    below_face: Plain = 0,
) -> SetUp:
    """What to cut one pocket to.

    pocket = insert − interference; depth from the face = insert height + how far its top lies
    below.

    insert_outside: outside diameter of the insert in hand [mm], above zero.
    interference: diametral, insert less pocket [mm], above zero.
    insert_height: of the insert in hand [mm], or None.
    below_face: how far the insert's top is to lie below the head face [mm], zero or more.
    Returns the set-up: pocket diameter, cutter radius, depth.
    Holds for a pocket cut on a pilot in the final guide, after the face is final.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> [float(n.value) for n in cut_pocket(40.08, 0.08, 7.0, 0.2).numbers]
    [40.0, 20.0, 7.2]
    """
    insert, tight = given(insert_outside, "insert outside"), given(interference, "interference")
    above_zero(insert_outside=insert)
    if tight.value <= 0:
        raise ValueError(
            f"interference is {float(tight.value):.6g} mm, which does not hold; it has to be above "
            "0 mm: an oversize insert"
        )
    pocket = total("pocket", insert - tight, Sense.DIAMETRAL)
    numbers = [pocket, total("cutter, from the pilot", pocket.given("pocket") / 2, Sense.RADIAL)]
    read_first: tuple[str, ...] = ()
    if insert_height is None:
        read_first = ("for the depth: insert height",)
    else:
        height, down = (
            given(insert_height, "insert height"),
            given(below_face, "top below the face"),
        )
        above_zero(insert_height=height)
        not_below_zero(below_face=down)
        deep = height + down if down.counts else height
        numbers.append(total("depth, from the head face", deep, Sense.AXIAL))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=("Measure pocket and insert both before it goes in.",
               "Stop at once where the cutter breaks through to water."),
        read_first=read_first,
    )  # fmt: skip


def inserts(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For each new insert: its pocket, and pressing it in."""
    found = []
    for seat in step.features:
        tight = look.aim("seat insert fit", seat, "interference")
        if isinstance(tight, Missing):
            tight = look.thumb("insert interference")
        outside = look.known("insert outside diameter", seat)
        pocket = made(
            KIND,
            cut_pocket,
            (seat,),
            {"insert_outside": outside, "interference": tight},
            {},
            {"insert_height": present(look.known("insert height", seat))},
        )
        found.append(pocket)
        if not pocket.numbers:
            continue
        pressed = made(
            "press in a seat insert",
            press_in,
            (seat,),
            {"part": outside, "hole": pocket.number("pocket").given("pocket as cut")},
            {},
            {
                "length": present(look.known("insert height", seat)),
                "part_inside": present(look.known("insert inside diameter", seat)),
                "wall_outside": present(look.known("head wall outside diameter", seat)),
                "part_grade": present(look.grade("insert")),
                "wall_grade": present(look.grade("head")),
                "friction": look.bench.friction,
                "system": look.system,
            },
        )
        found.append(replace(pressed, kind="press in a seat insert"))
    return tuple(found)
