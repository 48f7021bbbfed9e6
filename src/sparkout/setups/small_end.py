"""Small-end bush: bored at the centre distance, then honed to the pin in hand.

Source: common practice: the bush is bored from the big end so that centre distance and parallelism
come out right, and honed to the pin that will run in it.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made, present
from sparkout.setups.number import Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp

__all__ = ["bore_bush"]

KIND = "bore and hone a small-end bush"


def bore_bush(
    pin: Plain,
    clearance: Plain,
    hone_stock: Plain,
    length: Plain | None = None,
    length_wanted: Plain | None = None,
) -> SetUp:
    """What to bore and hone one small-end bush to, and where its centre goes.

    finish = pin + clearance; bore = finish − hone stock; offset = length wanted − length now, away
    from the big end.

    pin: diameter of the pin that will run there [mm], above zero.
    clearance: diametral, bush less pin [mm], above zero.
    hone_stock: left on diameter for the hone [mm], zero or more.
    length: centre distance of the rod as the old bush had it [mm], or None.
    length_wanted: centre distance to bore to [mm], or None for the one it has.
    Returns the set-up: finish, bore, centre distance, boring offset.
    Holds for a rod resized and straightened before.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> made = bore_bush(34.996, 0.028, 0.01, 204.97, 205.00)
    >>> [round(float(n.value), 3) for n in made.numbers]
    [35.024, 35.014, 205.0, 0.03]
    """
    shaft, gap = given(pin, "pin"), given(clearance, "clearance")
    left = given(hone_stock, "left for honing")
    above_zero(pin=shaft, clearance=gap)
    not_below_zero(hone_stock=left)
    finish = total("hone to", shaft + gap, Sense.DIAMETRAL)
    numbers = [finish, total("bore to", finish.given("finish") - left, Sense.DIAMETRAL)]
    read_first: tuple[str, ...] = ()
    if length is None:
        read_first = ("for the centre distance: rod length, on a fixture, centre to centre",)
    else:
        now = given(length, "centre distance now")
        wanted = given(length if length_wanted is None else length_wanted, "centre distance wanted")
        above_zero(length=now, length_wanted=wanted)
        numbers.append(total("bore at a centre distance of", wanted))
        if wanted.value != now.value:
            numbers.append(total("offset, away from the big end", wanted - now))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=("Try the pin when the rod is cool and washed, not on the hone.",
               "Line up the oil hole before the bush goes in."),
        read_first=read_first,
    )  # fmt: skip


def bushing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For each rod that gets a bush: pressing it in, then boring it."""
    found = []
    for rod in step.features:
        number = rod.rsplit(" ", 1)[-1]
        fit = look.new_bounds("rod bush fit", rod)
        found.append(
            made(
                "press in a small-end bush",
                press_in,
                (rod,),
                {
                    "part": look.known("bush outside diameter", rod),
                    "hole": look.known("small end hole diameter", rod),
                },
                {},
                {
                    "least_interference": None if fit is None else fit.low,
                    "most_interference": None if fit is None else fit.high,
                    "length": present(look.known("bush length", rod)),
                    "part_inside": present(look.planned(f"piston {number}", "piston pin diameter")),
                    "wall_outside": present(look.known("small end outside diameter", rod)),
                    "part_grade": present(look.grade("bush")),
                    "wall_grade": present(look.grade("rod")),
                    "friction": look.bench.friction,
                    "system": look.system,
                },
            )
        )
        found.append(
            made(
                KIND,
                bore_bush,
                (rod,),
                {
                    "pin": look.planned(f"piston {number}", "piston pin diameter"),
                    "clearance": look.aim("small end clearance", rod, "clearance"),
                    "hone_stock": look.thumb("bush hone stock"),
                },
                {},
                {"length": present(look.planned(rod, "rod length", "middle"))},
            )
        )
    return tuple(found)
