"""Valve guides: pressed in to their projection, reamed and honed to the stem in hand.

Source: common practice; force and temperatures as in `pressing`.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made, present
from sparkout.setups.number import Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp

__all__ = ["size_guide"]

KIND = "size a guide to its stem"


def size_guide(
    stem: Plain, clearance: Plain, hone_stock: Plain, projection: Plain | None = None
) -> SetUp:
    """What to ream and hone one guide to, and where it stands.

    finish = stem + clearance; ream to = finish − hone stock.

    stem: largest diameter of the stem that will run there [mm], above zero.
    clearance: diametral, guide less stem [mm], above zero.
    hone_stock: left on diameter for the hone [mm], zero or more.
    projection: of the guide above its spring seat [mm], or None.
    Returns the set-up: finish, reamer, depth of the hollow stop that presses the guide home.
    Holds for stem and guide at one temperature.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> [float(n.value) for n in size_guide(8.961, 0.045, 0.02).numbers]
    [9.006, 8.986]
    """
    shaft, gap = given(stem, "stem"), given(clearance, "clearance")
    left = given(hone_stock, "left for honing")
    above_zero(stem=shaft, clearance=gap)
    finish = total("hone to", shaft + gap, Sense.DIAMETRAL)
    numbers = [finish, total("ream to", finish.given("finish") - left, Sense.DIAMETRAL)]
    if left.value < 0 or numbers[1].value <= 0:
        raise ValueError(f"hone_stock is {float(left.value):.6g} mm; it has to be 0 mm or more")
    if projection is not None:
        high = given(projection, "above the spring seat")
        numbers.append(total("hollow stop, depth", high, Sense.AXIAL))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=(
            "Measure the guide with a small bore gauge in two directions: a plug cannot see oval.",
        ),
        notes=("The seat has to be cut again: its centre went with the old guide.",),
    )


def guides(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For each new guide: pressing it in, and sizing it to its own stem."""
    found = []
    for guide in step.features:
        valve = guide.rsplit(" ", 1)[-1]
        projection = look.aim("guide projection", guide, "projection")
        fit = look.new_bounds("guide fit", guide)
        found.append(
            made(
                "press in a guide",
                press_in,
                (guide,),
                {
                    "part": look.known("guide outside diameter", guide),
                    "hole": look.known("guide hole diameter", guide),
                },
                {},
                {
                    "least_interference": None if fit is None else fit.low,
                    "most_interference": None if fit is None else fit.high,
                    "length": present(look.known("guide length", guide)),
                    "part_inside": present(look.planned(f"valve {valve}", "stem diameter")),
                    "wall_outside": present(look.known("head wall outside diameter", guide)),
                    "part_grade": present(look.grade("guide")),
                    "wall_grade": present(look.grade("head")),
                    "friction": look.bench.friction,
                    "system": look.system,
                },
            )
        )
        found.append(
            made(
                KIND,
                size_guide,
                (guide,),
                {
                    "stem": look.planned(f"valve {valve}", "stem diameter"),
                    "clearance": look.aim("stem clearance", guide, "clearance"),
                    "hone_stock": look.thumb("guide hone stock"),
                },
                {},
                {"projection": present(projection)},
            )
        )
    return tuple(found)
