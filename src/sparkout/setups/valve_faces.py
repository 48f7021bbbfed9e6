"""Refacing valves and rockers: chuck angle, stock, what is left of the rim, how lash moves.

Source: geometry; common practice.
"""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.mechanics.valve_seat import axial_sink
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, by_rule, given, not_below_zero, plain, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["reface_rocker", "reface_valve"]

KIND = "reface a valve"
_HUNDREDTH = Fraction(1, 100)


def reface_valve(
    margin: Plain,
    normal_cut: Plain,
    face_angle: Plain,
    least_margin: Plain | None = None,
    recession: Plain | None = None,
    lash: Plain | None = None,
    runout: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What one valve is ground to, and what that moves.

    sink along the stem = cut ÷ cos α; margin left = margin − sink; lash = lash − sink, the tip
    having risen by it.

    margin: cylindrical rim of the valve before [mm], above zero.
    normal_cut: off the face, square to it, the most that cleans it [mm], zero or more.
    face_angle: of the face from the plane of the head [°], 5 to 75.
    least_margin: smallest rim allowed after [mm], or None.
    recession: of the valve before [mm], or None.
    lash: at the valve before, adjuster or shim untouched [mm], or None.
    runout: largest face runout allowed after [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: chuck angle, stock, rim left, sink, recession and lash after, passes.
    Holds for a stem that passed; recession and lash before any seat cut.
    Source: geometry; common practice.
    Raises ValueError when too little rim is left, or a number is out of range.

    >>> made = reface_valve(1.6, 0.07, 45, least_margin=1.2)
    >>> round(float(made.number("valve sinks by").value), 3)
    0.099
    """
    rim, off = given(margin, "rim"), given(normal_cut, "off the face")
    alpha = given(face_angle, "face", "angle", _HUNDREDTH)
    above_zero(margin=rim)
    not_below_zero(normal_cut=off)
    sunk = by_rule(
        "valve sinks by",
        round(axial_sink(float(off.value), float(alpha.value)), 6),
        "cut ÷ cos α",
        (("cut", off), ("α", alpha)),
        Sense.AXIAL,
        step=_HUNDREDTH,
    )
    sink = sunk.given("sink")
    left = total("rim left", rim - sink, Sense.AXIAL, step=_HUNDREDTH)
    floor = plain(least_margin)
    if floor is not None and left.value < floor:
        raise ValueError(
            f"margin comes out at {float(left.value):.4g} mm; it has to be {float(floor):.4g} mm "
            "or more: a new valve"
        )
    numbers: list[Number] = [
        total("chuck angle", alpha, kind="angle", step=_HUNDREDTH),
        total("off the face, square to it, at most", off, Sense.NONE, step=_HUNDREDTH),
        left.held(floor, None, "" if floor is None else "limit"),
        sunk,
    ]
    if recession is not None:
        was = given(recession, "recession before", step=_HUNDREDTH)
        numbers.append(total("recession after", was + sink, Sense.AXIAL, step=_HUNDREDTH))
    if lash is not None:
        gap = given(lash, "lash before", step=_HUNDREDTH)
        numbers.append(total("lash after, nothing adjusted", gap - sink, step=_HUNDREDTH))
    if runout is not None:
        numbers.append(
            Number("face runout after, at most", given(runout, "").value, step=_HUNDREDTH)
        )
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes_by_habit("reface valve", off, system, Sense.NONE, cuts),
        looks=(
            "Stop as soon as the face is clean all round; look at the rim before the next one.",
        ),
    )


def reface_rocker(
    stock: Plain,
    ratio: Plain,
    pad_radius: Plain | None = None,
    sweep: Plain | None = None,
    lash: Plain | None = None,
) -> SetUp:
    """What grinding a rocker's pad does to lash, adjuster and where it touches.

    lash grows by the stock; the adjuster takes it up by stock ÷ R on the pushrod side; travel of
    the contact each way = radius × sin(half the rocker's swing).

    stock: off the pad, square to it [mm], zero or more.
    ratio: rocker ratio, valve side over pushrod side [-], above zero.
    pad_radius: radius the pad is ground to [mm], or None.
    sweep: full swing of the rocker from shut to full lift [°], or None.
    lash: at the valve before [mm], or None.
    Returns the set-up: lash after, adjuster's way in, travel of the contact over the tip.
    Holds for a pad square to the stem at half lift.
    Source: geometry; common practice.
    Raises ValueError naming the number when it is out of range.

    >>> made = reface_rocker(0.15, 1.5, lash=0.30)
    >>> [round(float(n.value), 2) for n in made.numbers]
    [0.15, 0.45, 0.1]
    """
    off, arm = given(stock, "off the pad"), given(ratio, "rocker ratio", "ratio", _HUNDREDTH)
    not_below_zero(stock=off)
    above_zero("", ratio=arm)
    numbers = [total("off the pad", off, step=_HUNDREDTH)]
    if lash is not None:
        was = given(lash, "lash before")
        numbers.append(total("lash after, nothing adjusted", was + off, step=_HUNDREDTH))
    numbers.append(total("adjuster goes in by, pushrod side", off / arm, step=_HUNDREDTH))
    if pad_radius is not None and sweep is not None:
        radius, swing = given(pad_radius, "pad radius"), given(sweep, "swing", "angle", _HUNDREDTH)
        half = float(radius.value) * math.sin(math.radians(float(swing.value) / 2.0))
        numbers.append(
            by_rule("contact travels over the tip, each way from half lift", round(half, 6),
                    "radius × sin(swing ÷ 2)", (("radius", radius), ("swing", swing)),
                    step=_HUNDREDTH)
        )  # fmt: skip
    return SetUp(
        "reface a rocker",
        numbers=tuple(numbers),
        looks=("Mark the tip with blue at half lift: the print belongs in its middle.",),
        notes=("Take no more than cleans the pad: the hard skin is thin.",),
    )


def refacing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each valve that is refaced."""
    rate = look.shop.operations.get(step.operation)
    takes = None if rate is None else rate.holds.get("valve margin")
    face = None if rate is None else rate.holds.get("valve face runout")
    found = []
    for valve in step.features:
        number = valve.rsplit(" ", 1)[-1]
        angle = look.nominal("seat angle", "face")
        cut: Given | Missing = Missing("how much refacing takes: `valve margin` in the shop's file")
        if takes is not None and takes.high is not None and isinstance(angle, Given):
            # the shop's figure is what the rim loses along the stem; square to the face it is less
            square = float(takes.high) / axial_sink(1.0, float(angle.value))
            cut = Given(Fraction(repr(round(square, 6))), "most that cleans it, shop file")
        limit = look.limit("valve margin", valve)
        bounds = None if limit is None else limit.side("service")
        bucket = look.sheet.identity.camshaft == "overhead"
        lash = look.now(valve, "valve lash") if bucket else None
        found.append(
            made(
                KIND,
                reface_valve,
                (valve,),
                {
                    "margin": look.now(valve, "valve margin", "low"),
                    "normal_cut": cut,
                    "face_angle": angle,
                },
                {"recession": look.now(f"seat {number}", "valve recession")},
                {
                    "least_margin": None if bounds is None else bounds.low,
                    "lash": lash if isinstance(lash, Given) else None,
                    "runout": None if face is None else face.high,
                    "system": look.system,
                    "cuts": look.own_cuts("reface valve"),
                },
            )
        )
    return tuple(found)
