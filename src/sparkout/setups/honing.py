"""Honing to the piston in hand: the size, what the gauge reads on a warm block, tight spots.

Source: common practice; the warm reading by ISO 1:2022 (20 °C) and mean linear expansion.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.engine.dimension import Key
from sparkout.mechanics.honing import cross_hatch
from sparkout.mechanics.temperature import REFERENCE, size_at, size_at_reference
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, by_rule, given, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import FINE, Given, Number, Plain
from sparkout.setups.record import Pass, SetUp

__all__ = ["cross_hatch_set_up", "hone_to_piston", "tight_spots", "warm_reading"]

KIND = "hone to the piston in hand"
_EXPANSION = Fraction(1, 10)


def warm_reading(
    target: Plain,
    temperature: Plain,
    expansion: Plain,
    gauge_temperature: Plain = 20,
    gauge_expansion: Plain = Fraction(115, 10),
) -> Number:
    """What the gauge has to read on a warm part so that the size is right at 20 °C.

    reads = D × (1 + α × (t − 20)) ÷ (1 + αg × (tg − 20)).

    target: size wanted at 20 °C [mm], above zero.
    temperature: of the part at that moment [°C], above absolute zero.
    expansion: of the part, millionths per kelvin [µm/(m·K)], 0 to 100.
    gauge_temperature: of gauge and master at that moment [°C], above absolute zero.
    gauge_expansion: of gauge and master, millionths per kelvin [µm/(m·K)], 0 to 100.
    Returns the reading, with its rule and inputs [mm].
    Holds for a part of one metal, warm right through; a thin iron liner in a warm aluminium barrel
    grows with the barrel, so take what a ring of both was found to do.
    Source: ISO 1:2022 (reference temperature); definition of mean linear expansion.
    Raises ValueError naming the number when it is out of range.

    >>> round(float(warm_reading(72.500, 32, 11).value), 3)
    72.51
    """
    size = given(target, "wanted at 20 °C")
    warm = given(temperature, "part", "temperature", Fraction(1))
    alpha = given(expansion, "part", "expansion", _EXPANSION)
    gauge_warm = given(gauge_temperature, "gauge", "temperature", Fraction(1))
    gauge_alpha = given(gauge_expansion, "gauge", "expansion", _EXPANSION)
    grown = size_at(float(size.value), float(alpha.value) * 1e-6, float(warm.value))
    reads = size_at_reference(grown, float(gauge_alpha.value) * 1e-6, float(gauge_warm.value))
    rule, inputs = "D × (1 + α × (t − 20))", [("D", size), ("α", alpha), ("t", warm)]
    if float(gauge_warm.value) != REFERENCE:
        rule += " ÷ (1 + αg × (tg − 20))"
        inputs += [("αg", gauge_alpha), ("tg", gauge_warm)]
    return by_rule("gauge reads, warm", reads, rule, inputs, Sense.DIAMETRAL)


def hone_to_piston(
    piston: Plain,
    clearance: Plain,
    stock: Plain | None = None,
    temperature: Plain | None = None,
    expansion: Plain | None = None,
    gauge_temperature: Plain = 20,
    gauge_expansion: Plain = Fraction(115, 10),
    least_clearance: Plain | None = None,
    most_clearance: Plain | None = None,
    hold: Fraction | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What to hone one cylinder to, cold, and what the gauge then reads on the warm block.

    finish = piston + clearance; warm reading after `warm_reading`.

    piston: skirt of the piston that will run there, at its gauge height [mm], above zero.
    clearance: diametral, bore less skirt [mm], above zero.
    stock: left on diameter by the boring tool [mm], or None.
    temperature: of the block at the size-deciding reading [°C], or None when not said.
    expansion: of the block, millionths per kelvin [µm/(m·K)], or None when not said.
    gauge_temperature: of gauge and master at that moment [°C].
    gauge_expansion: of gauge and master, millionths per kelvin [µm/(m·K)].
    least_clearance: smallest allowed [mm], or None.
    most_clearance: largest allowed [mm], or None.
    hold: how well the hone hits its size, either way [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: size cold, reading warm, what sizing warm without it would leave, passes.
    Holds for a block warm right through; the last reading belongs to a cold block all the same.
    Source: common practice; ISO 1:2022 for 20 °C.
    Raises ValueError naming the number when it is out of range.

    >>> made = hone_to_piston(72.452, 0.048, temperature=32, expansion=11)
    >>> [round(float(made.number(name).value), 3) for name in ("hone to", "gauge reads, warm")]
    [72.5, 72.51]
    """
    skirt, gap = given(piston, "piston skirt"), given(clearance, "clearance")
    above_zero(piston=skirt, clearance=gap)
    finish = total("hone to", skirt + gap, Sense.DIAMETRAL).within(hold, "as well as the hone hits")
    low = None if least_clearance is None else given(least_clearance, "").value
    high = None if most_clearance is None else given(most_clearance, "").value
    numbers = [finish]
    if low is not None or high is not None:
        numbers.append(
            total("clearance it leaves", finish.given("bore") - skirt, Sense.DIAMETRAL).held(
                low, high, "limit for new"
            )
        )
    read_first: tuple[str, ...] = ()
    notes: tuple[str, ...] = (
        "Sized on a warm block without the warm reading, a bore is small when cold.",
    )
    if temperature is not None and expansion is not None:
        numbers += _warm(finish, skirt, low, high, given(temperature, "part", "temperature"),
                         given(expansion, "part", "expansion", _EXPANSION), gauge_temperature,
                         gauge_expansion)  # fmt: skip
        notes = ()
    elif temperature is not None:
        read_first = ("grade of the bore: how much it grows with warmth",)
    passes: tuple[Pass, ...] = ()
    if stock is not None:
        left = given(stock, "left for honing")
        numbers.append(total("stock for the hone", left, Sense.DIAMETRAL))
        passes = passes_by_habit("hone cylinder", left, system, Sense.DIAMETRAL, cuts)
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Measure cool; the last bite small. Hone every second bore, then the others.",),
        notes=notes,
        read_first=read_first,
    )


def _warm(
    finish: Number,
    skirt: Given,
    low: Fraction | None,
    high: Fraction | None,
    temperature: Given,
    expansion: Given,
    gauge_temperature: Plain,
    gauge_expansion: Plain,
) -> list[Number]:
    """The warm reading, and what the bore would be cold if it were sized without it."""
    reads = warm_reading(
        finish.given("wanted at 20 °C"), temperature, expansion, gauge_temperature, gauge_expansion
    )
    cold = by_rule(
        "cold, if sized without that",
        float(finish.value) * float(finish.value) / float(reads.value),
        "D × D ÷ warm reading",
        (("D", finish.given("wanted")), ("warm reading", reads.given("warm reading"))),
        Sense.DIAMETRAL,
    )
    clearance = total("clearance then", cold.given("bore") - skirt, Sense.DIAMETRAL)
    return [reads, cold, clearance.held(low, high, "limit for new")]


def tight_spots(
    readings: Sequence[tuple[str, Plain]], target: Plain | None = None, step: Fraction = FINE
) -> SetUp:
    """Where a bore is tight, and how much the hone takes there: least metal that makes it straight.

    stock at a place = target − reading; without a target, the largest reading is the target: no
    smaller cylinder cleans all of it.

    readings: place and diameter there [mm], two or more.
    target: size to straighten to [mm], or None for the largest reading.
    step: what counts as the same size [mm].
    Returns the set-up: one number for each place that is tight, the tightest first.
    Holds for two-point readings: an odd number of lobes does not show in them.
    Source: geometry.
    Raises ValueError with fewer than two readings, or when a place is already over the target.

    >>> found = tight_spots((("top", 100.012), ("middle", 100.004), ("bottom", 100.011)))
    >>> [(n.label, float(n.value)) for n in found.numbers]
    [('straighten to', 100.012), ('take off at middle', 0.008), ('take off at bottom', 0.001)]
    """
    if len(readings) < 2:
        raise ValueError(f"{len(readings)} readings; there have to be two or more")
    places = [given(value, place) for place, value in readings]
    widest = max(places, key=lambda item: item.value)
    aim = given(widest if target is None else target, "target")
    over = [item for item in places if item.value - aim.value > step / 2]
    if over:
        raise ValueError(
            f"target is {float(aim.value):.6g} mm and {over[0].words} reads "
            f"{float(over[0].value):.6g} mm; the target has to be at least the largest reading"
        )
    numbers = [total("straighten to", aim, Sense.DIAMETRAL)]
    for item in sorted(places, key=lambda one: one.value):
        if aim.value - item.value >= step:
            off = total(f"take off at {item.words}", given(aim, "target") - item, Sense.DIAMETRAL)
            numbers.append(off)
    return SetUp(
        "straighten tight spots",
        numbers=tuple(numbers),
        notes=() if len(numbers) > 1 else ("Straight as it is: nothing to take off.",),
        looks=("Short strokes at the tight place, then full strokes; measure every few of them.",),
    )


def cross_hatch_set_up(
    bore: Plain, rev_per_min: Plain, stroke: Plain, double_strokes_per_min: Plain
) -> SetUp:
    """The cross-hatch that spindle speed and stroking give, in both customs of measuring it.

    angle = 2 × atan(2 × stroke × double strokes ÷ (π × D × n)).

    bore: diameter [mm], above zero.
    rev_per_min: spindle speed [1/min], above zero.
    stroke: length of one stroke [mm], above zero.
    double_strokes_per_min: up and down counts as one [1/min], above zero.
    Returns the set-up: the angle between the lines, about the circumference and about the axis.
    Holds in the middle of the stroke.
    Source: honing kinematics, as in `mechanics.honing`.
    Raises ValueError naming the number when it is out of range.

    >>> round(float(cross_hatch_set_up(100, 150, 130, 60).numbers[0].value), 1)
    36.6
    """
    values = [given(bore, "bore"), given(rev_per_min, "speed", "count", Fraction(1)),
              given(stroke, "stroke"),
              given(double_strokes_per_min, "double strokes", "count", Fraction(1))]  # fmt: skip
    hatch = cross_hatch(*(float(item.value) for item in values))
    inputs = tuple(zip(("D", "n", "s", "z"), values, strict=True))
    rule = "2 × atan(2 × s × z ÷ (π × D × n))"
    return SetUp(
        "cross-hatch",
        numbers=(
            by_rule("between the lines, about the circumference", hatch.about_circumference, rule,
                    inputs, kind="angle", step=Fraction(1, 10)),
            by_rule("between the lines, about the axis", hatch.about_axis, f"180° − {rule}",
                    inputs, kind="angle", step=Fraction(1, 10)),
        ),
    )  # fmt: skip


def honing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each cylinder, and tight spots where it was read after the last honing."""
    bounds = look.new_bounds("piston clearance")
    grade = look.grade("bore")
    expansion: Given | Missing = (
        grade
        if isinstance(grade, Missing)
        else Given(Fraction(repr(grade.expansion.value)) * 10**6, grade.name, "expansion",
                   _EXPANSION)
    )  # fmt: skip
    found = []
    for bore in step.features:
        number = bore.rsplit(" ", 1)[-1]
        warmth = look.known("block temperature")
        found.append(
            made(
                KIND,
                hone_to_piston,
                (bore,),
                {
                    "piston": look.planned(f"piston {number}", "piston skirt diameter"),
                    "clearance": look.aim("piston clearance", bore, "clearance"),
                },
                {
                    "stock": look.thumb("hone stock"),
                    "temperature": warmth,
                    **({} if isinstance(warmth, Missing) else {"expansion": expansion}),
                },
                {
                    "gauge_temperature": _or(look.known("gauge temperature"), Fraction(20)),
                    "least_clearance": None if bounds is None else bounds.low,
                    "most_clearance": None if bounds is None else bounds.high,
                    "hold": look.hold(step.operation, "bore diameter"),
                    "system": look.system,
                    "cuts": look.own_cuts("hone cylinder"),
                },
            )
        )
        found += _read_again(look, bore)
    return tuple(found)


def _or(value: Given | Missing, other: Fraction) -> Plain:
    return other if isinstance(value, Missing) else value


def _read_again(look: Lookup, bore: str) -> list[SetUp]:
    """Tight spots of a bore read as left: level by level, the smallest of its directions."""
    spots = [
        spot
        for spot in look.state.spots.get(Key(bore, "bore diameter"), ())
        if spot.phase == "left"
    ]
    levels: dict[str, Fraction] = {}
    for spot in spots:
        value = spot.estimate.value
        levels[spot.level] = min(levels.get(spot.level, value), value)
    if len(levels) < 2:
        return []
    rows = tuple(levels.items())
    return [made("straighten tight spots", tight_spots, (bore,), {"readings": rows})]
