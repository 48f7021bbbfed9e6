"""Boring a cylinder to the piston in hand, short of its size by what the hone takes.

Source: common practice: the bore is piston plus clearance, the tool stops short of it by the hone's
stock, so that the hone takes out what the tool tore.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit, thumb
from sparkout.setups.number import Plain
from sparkout.setups.record import Pass, SetUp
from sparkout.setups.words import Said

__all__ = ["bore_to_piston"]

KIND = "bore to the piston in hand"


def bore_to_piston(
    piston: Plain,
    clearance: Plain,
    hone_stock: Plain,
    present: Plain | None = None,
    clean_up: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What to set the boring bar to for one cylinder.

    finish = piston + clearance; bore to = finish − hone stock; cutter radius = bore ÷ 2.

    piston: skirt of the piston that will run there, at its gauge height [mm], above zero.
    clearance: diametral, bore less skirt [mm], above zero.
    hone_stock: left on diameter for the hone [mm], above zero.
    present: smallest diameter of the bore as it is [mm], or None.
    clean_up: smallest diameter that cleans the bore up on the centre it is cut on [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: finish, bore to, cutter radius, metal to come out, passes.
    Holds for all sizes at 20 °C.
    Source: common practice.
    Raises ValueError naming the number when it is out of range, when the bore is already larger, or
    when it would not clean up.

    >>> made = bore_to_piston(72.452, 0.048, 0.06)
    >>> [float(made.number(name).value) for name in ("finish after honing", "bore to")]
    [72.5, 72.44]
    """
    skirt, gap = given(piston, "piston skirt"), given(clearance, "clearance")
    left = given(hone_stock, "left for honing")
    above_zero(piston=skirt, clearance=gap, hone_stock=left)
    finish = total("finish after honing", skirt + gap, Sense.DIAMETRAL)
    bored = total("bore to", finish.given("finish") - left, Sense.DIAMETRAL)
    radius = total("cutter, from the spindle's centre", bored.given("bore") / 2, Sense.RADIAL)
    numbers = [finish, bored, radius]
    notes: list[str] = []
    looks: list[str] = []
    if clean_up is not None:
        clean = given(clean_up, "clean-up on this centre")
        if clean.value > finish.value:
            raise ValueError(
                f"clean_up is {float(clean.value):.6g} mm and finish {float(finish.value):.6g} mm: "
                "it does not clean up; finish has to be above it: a larger piston, a sleeve, or a "
                "moved centre where the maker allows one"
            )
        numbers.append(total("to spare at clean-up", finish.given("finish") - clean,
                             Sense.DIAMETRAL))  # fmt: skip
        if clean.value > bored.value:
            notes.append("The boring tool leaves a witness that only the hone takes out.")
    passes: tuple[Pass, ...] = ()
    if present is not None:
        now = given(present, "bore as it is")
        metal = total("metal to bore out", bored.given("bore") - now, Sense.DIAMETRAL)
        if metal.value <= 0:
            raise ValueError(
                f"present is {float(now.value):.6g} mm and bore to {float(bored.value):.6g} mm: "
                "there is nothing to bore; it has to be smaller"
            )
        numbers.append(metal)
        passes = passes_by_habit("bore cylinder", metal.value, system, Sense.DIAMETRAL, cuts)
    depth = Said(system).value(thumb("trial cut", system).value, step=Fraction(1, 10))
    looks.append(f"Bore {depth} at the top, stop, measure, compare with the size set; then run.")
    return SetUp(KIND, numbers=tuple(numbers), passes=passes, looks=tuple(looks),
                 notes=tuple(notes))  # fmt: skip


def boring(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each cylinder that is bored."""
    found = []
    for bore in step.features:
        number = bore.rsplit(" ", 1)[-1]
        sleeved = look.chosen("sleeve cylinder", bore) is not None
        found.append(
            made(
                KIND,
                bore_to_piston,
                (bore,),
                {
                    "piston": look.planned(f"piston {number}", "piston skirt diameter"),
                    "clearance": look.aim("piston clearance", bore, "clearance"),
                    "hone_stock": look.thumb("hone stock"),
                },
                {}
                if sleeved or look.frame.cylinder_kind.lined
                else {
                    "present": look.now(bore, "bore diameter", "low"),
                    "clean_up": look.now(bore, "bore clean-up diameter"),
                },
                {"system": look.system, "cuts": look.own_cuts("bore cylinder")},
            )
        )
    return tuple(found)
