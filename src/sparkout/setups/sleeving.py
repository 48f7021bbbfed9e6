"""Sleeving one parent bore: bored to the sleeve in hand, what wall is left, and pressing it in.

Source: common practice; force and temperatures as in `pressing`.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import by_rule, given, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import Pass, SetUp

__all__ = ["bore_for_sleeve"]

KIND = "sleeve a bore"


def bore_for_sleeve(
    sleeve_outside: Plain,
    interference: Plain,
    present: Plain | None = None,
    wall: Plain | None = None,
    wall_radius: Plain | None = None,
    least_wall: Plain | None = None,
    finish: Plain | None = None,
    sleeve_length: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
    press: dict[str, Any] | None = None,
) -> SetUp:
    """What to bore a cylinder to for a repair sleeve, and what is left of wall and sleeve.

    bore = sleeve − interference; wall left = wall − (bore ÷ 2 − radius it was measured at); sleeve
    wall = (sleeve − finish) ÷ 2.

    sleeve_outside: outside diameter of the sleeve in hand [mm], above zero.
    interference: diametral, sleeve less bore [mm], above zero.
    present: smallest diameter of the bore as it is [mm], or None.
    wall: as the ultrasonic gauge read it at its thinnest [mm], or None.
    wall_radius: radius of the bore where the wall was read [mm], or None.
    least_wall: smallest allowed behind the sleeve [mm], or None.
    finish: bore that the sleeve is finished to [mm], or None.
    sleeve_length: of the sleeve [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    press: what else `press_in` takes [-], or None.
    Returns the set-up: bore, cutter, wall left, sleeve wall, depth, force, passes.
    Holds for a bore on its old centre; core shift is only seen by measuring the wall all round.
    Source: common practice.
    Raises ValueError naming the number when it is out of range, or when too little wall is left.

    >>> inch = 25.4
    >>> made = bore_for_sleeve(4.1895 * inch, 0.0025 * inch, wall=0.165 * inch,
    ...     wall_radius=2.0043 * inch, finish=4.0200 * inch)
    >>> [round(float(made.number(n).value) / inch, 4) for n in ("bore to", "wall left behind it")]
    [4.187, 0.0758]
    """
    sleeve, tight = given(sleeve_outside, "sleeve outside"), given(interference, "interference")
    if tight.value <= 0:
        raise ValueError(
            f"interference is {float(tight.value):.6g} mm, which does not hold; it has to be above "
            "0 mm"
        )
    bored = total("bore to", sleeve - tight, Sense.DIAMETRAL)
    numbers: list[Number] = [
        bored,
        total("cutter, from the spindle's centre", bored.given("bore") / 2, Sense.RADIAL),
    ]
    passes: tuple[Pass, ...] = ()
    if present is not None:
        now = given(present, "bore as it is")
        metal = total("metal to bore out", bored.given("bore") - now, Sense.DIAMETRAL)
        if metal.value <= 0:
            raise ValueError(
                f"present is {float(now.value):.6g} mm, not below {float(bored.value):.6g} mm: "
                "this sleeve is too small"
            )
        numbers.append(metal)
        passes = passes_by_habit("bore cylinder", metal.value, system, Sense.DIAMETRAL, cuts)
    read_first: list[str] = []
    if wall is not None and wall_radius is not None:
        left = _wall_left(bored, given(wall, "wall"), given(wall_radius, "read at radius"))
        floor = None if least_wall is None else given(least_wall, "").value
        if floor is not None and left.value < floor:
            raise ValueError(
                f"wall left behind the sleeve is {float(left.value):.4g} mm; it has to be "
                f"{float(floor):.4g} mm or more: a thinner sleeve, or another block"
            )
        numbers.append(left.held(floor, None, "limit" if floor is not None else ""))
    else:
        read_first.append("wall of the bore: read it with an ultrasonic gauge, four sides, three "
                          "levels")  # fmt: skip
    if finish is not None:
        numbers.append(
            total("sleeve wall when finished", (sleeve - given(finish, "finish")) / 2, Sense.RADIAL)
        )
    if sleeve_length is not None:
        numbers.append(
            total("bore depth, from the deck", given(sleeve_length, "sleeve length"), Sense.AXIAL)
        )
    else:
        read_first.append("for the depth of the step at the bottom: sleeve length")
    pressed = press_in(sleeve, bored.given("bore"), system=system, **(press or {}))
    numbers += [n for n in pressed.numbers if not n.label.startswith("interference")]
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Leave a step at the bottom for the sleeve to stand on.",
               "Neighbouring bores move when it goes in: finish all of them afterwards."),
        notes=pressed.notes,
        read_first=(*read_first, *pressed.read_first),
        refused=pressed.refused,
    )  # fmt: skip


def _wall_left(bored: Number, wall: Given, radius: Given) -> Number:
    return by_rule(
        "wall left behind it",
        wall.value - (bored.value / 2 - radius.value),
        "wall − (bore ÷ 2 − radius it was read at)",
        (("wall", wall), ("bore", bored.given("bore")), ("radius", radius)),
        Sense.RADIAL,
    )


def sleeving(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each bore that gets a sleeve."""
    part = next(iter(look.sheet.parts_of("repair sleeve")), None)
    floor = look.limit("wall behind sleeve")
    bounds = None if floor is None else floor.side("service")
    found = []
    for bore in step.features:
        outside: Given | Missing = Missing("sleeve outside diameter: measure the sleeve in hand")
        sizes = None if part is None else part.sizes.get("sleeve outside diameter")
        if sizes is not None and sizes.low is not None and sizes.high is not None:
            mark = f"assumed from the data sheet, {sizes.typed}: measure the sleeve first"
            outside = Given(sizes.middle, "sleeve outside, middle", marks=(mark,))
        size = look.state.size(bore, "bore diameter")
        wall = look.now(bore, "bore wall thrust side")
        if isinstance(wall, Missing):
            wall = look.now(bore, "bore wall")
        radius: Given | Missing = look.now(bore, "bore diameter")
        if size is not None:
            wear = size.high.value - size.low.value
            either = look.said.value(wear / 4)
            radius = Given(
                size.low.value / 2 + wear * Fraction(3, 4),
                "worn radius",
                marks=(f"side of the wear not known, ± {either}",) if wear else (),
            )
        found.append(
            made(
                KIND,
                bore_for_sleeve,
                (bore,),
                {"sleeve_outside": outside, "interference": look.thumb("sleeve interference")},
                {
                    "present": look.now(bore, "bore diameter", "low"),
                    "wall": wall,
                    "wall_radius": radius,
                    "finish": look.planned(bore, "bore diameter", "middle"),
                },
                {
                    "sleeve_length": present(look.known("sleeve length", bore)),
                    "least_wall": None if bounds is None else bounds.low,
                    "system": look.system,
                    "cuts": look.own_cuts("bore cylinder"),
                    "press": _press(look, bore),
                },
            )
        )
    return tuple(replace(item, kind=KIND) for item in found)


def _press(look: Lookup, bore: str) -> dict[str, Any]:
    return {
        "length": present(look.known("sleeve length", bore)),
        "part_inside": present(look.known("sleeve inside diameter", bore)),
        "wall_outside": present(look.known("block wall outside diameter", bore)),
        "part_grade": present(look.grade("liner")),
        "wall_grade": present(look.grade("block")),
        "friction": look.bench.friction,
    }
