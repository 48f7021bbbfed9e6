"""Boring an old liner out to a thin shell that can be collapsed, without touching its parent bore.

Source: common practice: the bar stops short of the shell's outside by a wall that still guards the
parent bore, and short of the end of the liner so that the shoulder stays.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made, present
from sparkout.setups._practice import Cuts, passes_by_habit, thumb
from sparkout.setups.number import Given, Plain
from sparkout.setups.record import Pass, SetUp

__all__ = ["bore_out_liner"]

KIND = "bore the old liner out to a thin shell"


def bore_out_liner(
    parent_bore: Plain,
    shell: Plain | None = None,
    off_centre: Plain = 0,
    liner_bore: Plain | None = None,
    liner_length: Plain | None = None,
    stop_short: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """Cutter and stop for boring a liner out to a shell inside its parent bore.

    cutter diameter = parent bore − 2 × shell; thinnest shell left = shell − off centre; stop =
    liner length − what is left above its end.

    parent_bore: smallest diameter of the parent bore [mm], above zero.
    shell: wall of the shell to be left [mm], or None for a rule of thumb.
    off_centre: how far the bar may stand off the parent bore's centre [mm], zero or more.
    liner_bore: bore of the old liner [mm], or None.
    liner_length: from the deck to the end of the liner [mm], or None.
    stop_short: left above the end of the liner [mm], or None for a rule of thumb.
    system: `mm` or `inch`, for figures of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: cutter diameter and radius, thinnest shell, depth stop, passes.
    Holds for a bar square to the deck; a liner bored off centre by an earlier shop counts as off
    centre.
    Source: common practice.
    Raises ValueError when the bar would touch the parent bore, or a number is out of range.

    >>> made = bore_out_liner(104.006, 0.5, off_centre=0.1, liner_bore=100.2, liner_length=190)
    >>> [float(n.value) for n in made.numbers][:2]
    [103.006, 51.503]
    """
    parent = given(parent_bore, "parent bore")
    wall = thumb("thin shell", system) if shell is None else given(shell, "shell left")
    off = given(off_centre, "bar off centre")
    above_zero(parent_bore=parent, shell=wall)
    not_below_zero(off_centre=off)
    if off.value >= wall.value:
        raise ValueError(
            f"off_centre is {float(off.value):.6g} mm and the shell {float(wall.value):.6g} mm: "
            "the bar would touch the parent bore; the shell has to be thicker"
        )
    cutter = total("bore to", parent - wall.times(2), Sense.DIAMETRAL)
    numbers = [
        cutter,
        total("cutter, from the spindle's centre", cutter.given("bore") / 2, Sense.RADIAL),
        total("thinnest shell then", wall - off, Sense.RADIAL),
    ]
    read_first: list[str] = []
    if liner_length is None:
        read_first.append("for the depth stop: liner length, from the deck to its end")
    else:
        left = thumb("stop short", system) if stop_short is None else given(stop_short, "left")
        length = given(liner_length, "liner length")
        stop = total("depth stop, from the deck", length - left, Sense.AXIAL)
        if stop.value <= 0:
            raise ValueError(
                f"liner_length is {float(length.value):.6g} mm; it has to be above what is left, "
                f"{float(left.value):.6g} mm"
            )
        numbers.append(stop)
    passes: tuple[Pass, ...] = ()
    if liner_bore is not None:
        now = given(liner_bore, "old liner's bore")
        metal = total("metal to bore out", cutter.given("bore") - now, Sense.DIAMETRAL)
        if metal.value <= 0:
            raise ValueError(
                f"liner_bore is {float(now.value):.6g} mm, not below {float(cutter.value):.6g} mm: "
                "the liner is a thin shell already; collapse it"
            )
        numbers.append(metal)
        passes = passes_by_habit("bore cylinder", metal.value, system, Sense.DIAMETRAL, cuts)
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Look for colour and chips that change: iron of another shade is the parent bore.",
               "Collapse the shell inwards with a blunt tool; never lever on the parent bore."),
        read_first=tuple(read_first),
    )  # fmt: skip


def boring_out(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For liners still in the block: those whose parent bore nobody has seen."""
    bounds = look.new_bounds("parent bore diameter")
    found = []
    for bore in step.features:
        number = bore.rsplit(" ", 1)[-1]
        if look.state.size(f"parent bore {number}", "parent bore diameter") is not None:
            continue
        parent = look.now(f"parent bore {number}", "parent bore diameter")
        if bounds is not None and bounds.low is not None:
            parent = Given(bounds.low, "parent bore, least of new",
                           marks=("assumed from the data sheet: nobody has read it",))  # fmt: skip
        length = look.known("liner length", bore)
        old = look.now(bore, "bore diameter", "low")
        wanted = {"liner_bore": old}
        found.append(
            made(
                KIND,
                bore_out_liner,
                (bore,),
                {"parent_bore": parent},
                wanted,
                {
                    "liner_length": present(length),
                    "system": look.system,
                    "cuts": look.own_cuts("bore cylinder"),
                },
            )
        )
    return tuple(found)
