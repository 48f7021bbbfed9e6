"""Valve guides: pressed in to their projection, sized to the stem in hand or checked as sold.

A guide sold with its bore under the reamer's size is reamed and honed; one sold finished is only
checked, and sized where pressing closed it up.

Source: common practice; force and temperatures as in `pressing`.
"""

from __future__ import annotations

from dataclasses import replace

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, plain, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made, present
from sparkout.setups.number import Given, Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp

__all__ = ["check_guide", "size_guide"]

KIND = "size a guide to its stem"
CHECKED = "check a guide sold finished"

_OVAL = "Measure the guide with a small bore gauge in two directions: a plug cannot see oval."
_UNSAID = (
    "The data sheet does not say what bore it is sold with: measure it first; one that is at size "
    "already is not reamed."
)
_SEAT = "The seat has to be cut again: its centre went with the old guide."


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
        looks=(_OVAL,),
        notes=(_SEAT,),
    )


def check_guide(
    stem: Plain,
    bore_least: Plain,
    bore_most: Plain,
    clearance: Plain,
    least_clearance: Plain | None = None,
    most_clearance: Plain | None = None,
    projection: Plain | None = None,
) -> SetUp:
    """What a guide sold finished leaves to its stem, and what to hone it to if it closed up.

    clearance = bore as sold − stem; smallest bore that may stay = stem + least clearance; hone to
    stem + clearance.

    stem: largest diameter of the stem that will run there [mm], above zero.
    bore_least: smallest bore it is sold with, or as measured [mm], above zero.
    bore_most: largest bore it is sold with, or as measured [mm], bore_least or more.
    clearance: to size it to, diametral [mm], above zero.
    least_clearance: smallest allowed [mm], or None.
    most_clearance: largest allowed [mm], or None.
    projection: of the guide above its spring seat [mm], or None.
    Returns the set-up: clearance as sold, smallest bore that stays, size to hone a closed one to.
    Holds for stem and guide at one temperature; pressing in may close the bore.
    Source: common practice.
    Raises ValueError when the smallest bore is too wide for the stem already, or a number is out of
    range.

    >>> made = check_guide(8.961, 9.005, 9.020, 0.045, 0.030, 0.060)
    >>> [float(n.value) for n in made.numbers]
    [0.044, 0.059, 8.991, 9.006]
    """
    shaft, gap = given(stem, "stem"), given(clearance, "clearance")
    small, wide = given(bore_least, "least bore"), given(bore_most, "largest bore")
    above_zero(stem=shaft, clearance=gap, bore_least=small)
    if wide.value < small.value:
        raise ValueError(
            f"bore_most is {float(wide.value):.6g} mm; it has to be bore_least, "
            f"{float(small.value):.6g} mm, or more"
        )
    low, high = plain(least_clearance), plain(most_clearance)
    if high is not None and small.value - shaft.value > high:
        raise ValueError(
            f"bore_least is {float(small.value):.6g} mm on a stem of {float(shaft.value):.6g} mm: "
            f"that leaves more than {float(high):.6g} mm; it has to be another guide or a thicker "
            "stem"
        )
    by = "" if low is None and high is None else "limit for new"
    same = small.value == wide.value
    ends = (("", small),) if same else ((", least", small), (", most", wide))
    numbers = [
        total(f"clearance before pressing{end}", bore - shaft, Sense.DIAMETRAL).held(low, high, by)
        for end, bore in ends
    ]
    if least_clearance is not None:
        stays = shaft + given(least_clearance, "least clearance")
        numbers.append(total("smallest bore that stays as it is", stays, Sense.DIAMETRAL))
    numbers.append(total("closed up below that, hone to", shaft + gap, Sense.DIAMETRAL))
    if projection is not None:
        numbers.append(
            total("hollow stop, depth", given(projection, "above the spring seat"), Sense.AXIAL)
        )
    return SetUp(
        CHECKED,
        numbers=tuple(numbers),
        looks=(_OVAL,),
        notes=(
            "Sold finished: no reamer goes through it. Measure it once it is pressed in and cold; "
            "size it only if it closed up.",
            _SEAT,
        ),
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
        found.append(_sized(look, guide, valve, present(projection)))
    return tuple(found)


def _sized(look: Lookup, guide: str, valve: str, projection: Given | None) -> SetUp:
    """Checked where it is sold too wide for the reamer, else reamed and honed."""
    stem = look.planned(f"valve {valve}", "stem diameter")
    clearance = look.aim("stem clearance", guide, "clearance")
    stock = look.thumb("guide hone stock")
    sold = look.brought("replace guide", guide, "guide diameter")
    needed = {"stem": stem, "clearance": clearance}
    if sold is None or (
        isinstance(stem, Given)
        and isinstance(clearance, Given)
        and sold[1].value <= stem.value + clearance.value - stock.value
    ):
        reamed = made(
            KIND,
            size_guide,
            (guide,),
            {**needed, "hone_stock": stock},
            {},
            {"projection": projection},
        )
        return reamed if sold is not None else replace(reamed, notes=(_UNSAID, *reamed.notes))
    bounds = look.new_bounds("stem clearance", guide)
    return made(
        CHECKED,
        check_guide,
        (guide,),
        {**needed, "bore_least": sold[0], "bore_most": sold[1]},
        {},
        {
            "least_clearance": None if bounds is None else bounds.low,
            "most_clearance": None if bounds is None else bounds.high,
            "projection": projection,
        },
    )
