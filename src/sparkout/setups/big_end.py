"""Resizing a big end: faces cut so that the bore closes, then honed round to size.

Source: common practice: the cut closes the bore across the parting face only; the hone takes out
what is left. The rod shortens by anything up to half of both cuts, as the hone floats or is held.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Plain
from sparkout.setups.record import SetUp

__all__ = ["face_cut_for", "resize_big_end"]

KIND = "resize a big end"


def face_cut_for(
    largest: Plain, target: Plain, hone_stock: Plain, dial: Plain = Fraction(1, 100)
) -> Fraction:
    """How much has to come off the faces of rod and cap together.

    cut = largest + hone stock − target, up to an even number of divisions, half off each face.

    largest: largest diameter of the housing across the parting face [mm], above zero.
    target: size to hone to [mm], above zero.
    hone_stock: least stock left for the hone there [mm], zero or more.
    dial: division of the grinder, for one face [mm], above zero.
    Returns the sum of both face cuts [mm]; zero where the bore closes enough as it is.
    Holds for faces cut square; cap bolts new and tightened as assembled.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> float(face_cut_for(69.028, 69.010, 0.02))
    0.04
    """
    above_zero(largest=largest, target=target, dial=dial)
    not_below_zero(hone_stock=hone_stock)
    wanted = given(largest, "").value + given(hone_stock, "").value - given(target, "").value
    pair = 2 * given(dial, "").value
    return max(Fraction(0), -(-wanted // pair) * pair)


def resize_big_end(
    largest: Plain,
    target: Plain,
    rod_face: Plain,
    cap_face: Plain,
    length: Plain | None = None,
    hold: Fraction | None = None,
    smallest: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """Face cuts, size and length of one big end.

    across the faces after the cut = largest − rod face − cap face; stock = target − that; length
    falls by 0 to (rod face + cap face) ÷ 2.

    largest: largest diameter of the housing across the parting face [mm], above zero.
    target: size to hone to, bolts at torque [mm], above zero.
    rod_face: off the rod's face [mm], zero or more.
    cap_face: off the cap's face [mm], zero or more.
    length: centre distance of the rod now [mm], or None.
    hold: how well the hone hits its size, either way [mm], or None.
    smallest: smallest diameter of the housing now [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: face cuts, size, stock, length between two bounds, passes.
    Holds for rods with a plain parting face: a fractured face is never cut.
    Source: common practice.
    Raises ValueError when the bore would not close to the target, or a number is out of range.

    >>> made = resize_big_end(69.028, 69.010, 0.02, 0.02, 204.99)
    >>> float(made.number("stock for the hone, across the faces").value)
    0.022
    """
    wide, aim = given(largest, "largest across the faces"), given(target, "hone to")
    rod, cap = given(rod_face, "rod face"), given(cap_face, "cap face")
    above_zero(largest=wide, target=aim)
    not_below_zero(rod_face=rod, cap_face=cap)
    after = total("across the faces after the cut", wide - rod - cap, Sense.DIAMETRAL)
    stock = total("stock for the hone, across the faces", aim - after.given("closed bore"),
                  Sense.DIAMETRAL)  # fmt: skip
    if stock.value <= 0:
        raise ValueError(
            f"rod_face and cap_face together are {float(rod.value + cap.value):.6g} mm: the bore "
            f"closes to {float(after.value):.6g} mm only; it has to be below "
            f"{float(aim.value):.6g} mm, so more has to come off the faces"
        )
    if smallest is not None and given(smallest, "").value > aim.value:
        raise ValueError(
            f"smallest is {float(given(smallest, '').value):.6g} mm, above the target of "
            f"{float(aim.value):.6g} mm: face cuts do not close it there; the rod is scrap, or "
            "takes oversize shells"
        )
    finish = total("hone to, bolts at torque", aim, Sense.DIAMETRAL)
    numbers = [
        total("off the rod's face", rod, Sense.NONE),
        total("off the cap's face", cap, Sense.NONE),
        after,
        finish.within(hold, "as well as the hone hits"),
        stock,
    ]
    if length is not None:
        now = given(length, "centre distance now")
        half = worked_out((rod + cap) / 2, "half of both cuts")
        numbers.append(
            total("centre distance then, least", now - half).held(
                now.value - half.value, now.value, "as the hone floats or is held"
            )
        )
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes_by_habit("hone housing", stock.value, system, Sense.DIAMETRAL, cuts),
        looks=(
            "Hone rods in pairs and turn them end for end; measure at three angles, two depths.",
        ),
        notes=(
            "Bolts that will be used, tightened as at assembly. A fractured face is never cut.",
        ),
    )


def resizing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each rod."""
    found = []
    for rod in step.features:
        largest = look.now(rod, "rod housing diameter", "high")
        made_to = look.set_to(rod, "rod housing diameter", step.operation)
        target: Given | Missing = look.aim("rod housing diameter", rod, "hone to")
        if made_to is not None:
            target = Given(look.to_dial(made_to.low.value), "hone to, as planned")
        face: Given | Missing = target
        if isinstance(largest, Given) and isinstance(target, Given):
            stock, step_of = look.thumb("housing hone stock"), look.thumb("face cut step")
            both = face_cut_for(largest, target, stock, step_of.value)
            face = Given(both / 2, "half of what closes it", marks=stock.marks)
        found.append(
            made(
                KIND,
                resize_big_end,
                (rod,),
                {"largest": largest, "target": target, "rod_face": face, "cap_face": face},
                {
                    "length": look.now(rod, "rod length", "middle"),
                    "smallest": look.now(rod, "rod housing diameter", "low"),
                },
                {
                    "hold": look.hold(step.operation, "rod housing diameter"),
                    "system": look.system,
                    "cuts": look.own_cuts("hone housing"),
                },
            )
        )
    return tuple(found)
