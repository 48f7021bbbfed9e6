"""Injector washers: the projection each washer gives after the head was surfaced.

Source: geometry: the tip comes out by what is cut off the face and goes back by what is put under.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, plain, total
from sparkout.setups._lookup import Lookup
from sparkout.setups._making import made
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["choose_washer"]

KIND = "choose an injector washer"
_HUNDREDTH = Fraction(1, 100)


def choose_washer(
    projection: Plain,
    old_washer: Plain,
    head_cut: Plain,
    washers: Sequence[Plain],
    least: Plain,
    most: Plain,
    preferred: Plain | None = None,
) -> SetUp:
    """The washer that brings an injector's tip back inside its limits.

    projection = before + head cut + old washer − new washer; of those that fit, the one nearest the
    middle, or the one settled on.

    projection: of the tip below the head face before, with the old washer [mm].
    old_washer: thickness it was read with [mm], above zero.
    head_cut: taken off the head face since [mm], zero or more.
    washers: thicknesses that can be had [mm], above zero.
    least: smallest projection allowed [mm].
    most: largest projection allowed [mm].
    preferred: the washer settled on [mm], or None.
    Returns the set-up: projection with the old washer, the washer to fit, projection with it.
    Holds for one washer under each injector.
    Source: geometry.
    Raises ValueError when no washer that exists brings the tip inside its limits.

    >>> made = choose_washer(2.51, 1.5, 0.14, (1.5, 2.0), 2.00, 2.60)
    >>> [round(float(n.value), 2) for n in made.numbers]
    [2.65, 2.0, 2.15]
    """
    out = given(projection, "projection before", step=_HUNDREDTH)
    old, cut = given(old_washer, "old washer"), given(head_cut, "head cut", step=_HUNDREDTH)
    above_zero(old_washer=old)
    low, high = given(least, "").value, given(most, "").value
    same = total("projection with the old washer", out + cut, Sense.AXIAL, step=_HUNDREDTH)
    rows = [given(washer, "washer", step=_HUNDREDTH) for washer in washers]
    fits = [row for row in rows if low <= same.value + old.value - row.value <= high]
    settled = plain(preferred)
    if settled is not None:
        fits = [row for row in fits if row.value == settled]
    if not fits:
        shown = ", ".join(f"{float(row.value):g}" for row in rows) or "none"
        raise ValueError(
            f"washers are {shown} mm; none brings a projection of {float(same.value):.4g} mm into "
            f"{float(low):.4g} to {float(high):.4g} mm: another thickness, or recess the seat"
        )
    middle = (low + high) / 2
    best = min(fits, key=lambda row: abs(same.value + old.value - row.value - middle))
    after = total("projection then", out + cut + old - best, Sense.AXIAL, step=_HUNDREDTH)
    numbers: list[Number] = [
        same.held(low, high, "limit"),
        total("fit a washer of", Given(best.value, "nearest the middle", step=best.step,
                                       marks=best.marks), Sense.AXIAL, step=_HUNDREDTH),
        after.held(low, high, "limit"),
    ]  # fmt: skip
    return SetUp(KIND, numbers=tuple(numbers), looks=("One washer only; read it with it fitted.",))


def washers(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each injector; all take the washer the plan chose."""
    found = []
    for injector in step.features:
        bounds = look.new_bounds("injector projection", injector)
        chosen = look.planned(injector, "injector washer thickness", "middle")
        sold = tuple(
            Given(
                size.middle,
                "washer",
                step=_HUNDREDTH,
                marks=(f"{part.name} as sold: measure the one that goes in",),
            )
            for part in look.sheet.parts_of("injector washer")
            if (size := part.sizes.get("injector washer thickness")) is not None
            and size.width is not None
        )
        if bounds is None or bounds.low is None or bounds.high is None:
            continue
        cut = look.head_cut(injector)
        found.append(
            made(
                KIND,
                choose_washer,
                (injector,),
                {
                    "projection": look.now(injector, "injector projection"),
                    "old_washer": look.now(injector, "injector washer thickness"),
                    "head_cut": cut,
                },
                {},
                {
                    "washers": sold,
                    "least": bounds.low,
                    "most": bounds.high,
                    "preferred": chosen if isinstance(chosen, Given) else None,
                },
            )
        )
    return tuple(found)
