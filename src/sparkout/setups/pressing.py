"""Pressing one part into another: interference, force, the heat or cold that lets it drop in.

Sources: Lamé's thick cylinders and Coulomb friction as in `mechanics.press_fit`; temperatures from
mean linear expansion; friction and drop-in gap are common practice, rules of thumb.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.mechanics.materials import Material
from sparkout.mechanics.press_fit.assembly import DropIn, chill_temperature, heat_temperature
from sparkout.mechanics.press_fit.cylinder import Cylinder
from sparkout.mechanics.press_fit.grip import press_force
from sparkout.mechanics.press_fit.joint import press_fit
from sparkout.setups._build import by_rule, given, total
from sparkout.setups._practice import thumb
from sparkout.setups.number import RULE_OF_THUMB, Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["FRICTION", "press_in"]

KIND = "press in"

# Lowest and highest coefficient of friction of clean or lightly oiled metal pressed dry.
FRICTION = (Fraction(10, 100), Fraction(20, 100))
_ROOM = 20.0
_DEGREE = Fraction(1)


def press_in(
    part: Plain,
    hole: Plain,
    part_least: Plain | None = None,
    hole_most: Plain | None = None,
    holds: bool = True,
    least_interference: Plain | None = None,
    most_interference: Plain | None = None,
    length: Plain | None = None,
    part_inside: Plain | None = None,
    wall_outside: Plain | None = None,
    part_grade: Material | None = None,
    wall_grade: Material | None = None,
    friction: tuple[Fraction, Fraction] | None = None,
    gap: Plain | None = None,
    system: str = "mm",
) -> SetUp:
    """How one round part goes into another, and what it takes.

    interference = part − hole, least and most over their readings; force after Lamé with a range of
    friction; temperatures at which it drops in with a gap.

    part: largest outside diameter of what goes in [mm], above zero.
    hole: smallest diameter of where it goes [mm], above zero.
    part_least: smallest outside diameter [mm], or None when there is one reading.
    hole_most: largest diameter of the hole [mm], or None when there is one reading.
    holds: whether the joint has to hold by its grip; False for a part that may slip in [-].
    least_interference: smallest allowed, negative is clearance [mm], or None.
    most_interference: largest allowed [mm], or None.
    length: of the contact [mm], or None.
    part_inside: inside diameter of what goes in, 0 for a solid one [mm], or None.
    wall_outside: outside diameter of the metal round the hole, roughly [mm], or None.
    part_grade: metal of what goes in, from `mechanics.materials` [-], or None.
    wall_grade: metal round the hole [-], or None.
    friction: lowest and highest coefficient [-], or None for a rule of thumb.
    gap: diametral, to drop it in with [mm], or None for a rule of thumb.
    system: `mm` or `inch`, for figures of common practice [-].
    Returns the set-up: interference, force, how far the bore closes, temperatures.
    Holds for round parts and elastic metal; a cast wall is a cylinder only roughly, so the force is
    a range to expect, not a limit.
    Source: `mechanics.press_fit` names its own; friction and gap are common practice.
    Raises ValueError when a joint that has to hold has no interference, or a part cannot be.

    >>> from sparkout.mechanics.materials import material
    >>> iron = material("grey iron G3000")
    >>> made = press_in(40.05, 40.0, length=20, part_inside=34, wall_outside=60, part_grade=iron,
    ...     wall_grade=iron)
    >>> [round(float(n.value)) for n in made.numbers if n.kind == "temperature"]
    [195, 95]
    """
    most = total(
        "interference" if part_least is None and hole_most is None else "interference, most",
        given(part, "largest outside") - given(hole, "smallest hole"),
        Sense.DIAMETRAL,
    )
    smallest = given(part, "outside") if part_least is None else given(part_least, "least outside")
    widest = given(hole, "hole") if hole_most is None else given(hole_most, "largest hole")
    least = total("interference, least", smallest - widest, Sense.DIAMETRAL)
    bounds = [
        None if end is None else given(end, "").value
        for end in (least_interference, most_interference)
    ]
    said = "limit" if any(bound is not None for bound in bounds) else ""
    both = (most,) if least.value == most.value else (least, most)
    numbers = [number.held(bounds[0], bounds[1], said) for number in both]
    if holds and least.value <= 0:
        raise ValueError(
            f"interference is {float(least.value):.6g} mm, which does not hold; it has to be above "
            "0 mm: a larger part or a smaller hole"
        )
    if most.value <= 0:
        note = "Goes in by hand: there is no interference."
        return SetUp(KIND, numbers=tuple(numbers), notes=(note,))
    joint = _Joint(most.given("interference"), least, given(part, "part"), given(hole, "hole"))
    grip, want = _grip(joint, length, part_inside, wall_outside, part_grade, wall_grade, friction)
    warm, cannot, also = _temperatures(joint, part_grade, wall_grade, gap, system)
    return SetUp(
        KIND,
        numbers=(*numbers, *grip, *warm),
        looks=("Start square: a part that cocks tears the hole. Stop when the force jumps early.",),
        notes=cannot if warm else (),
        read_first=tuple(dict.fromkeys((*want, *also))),
        refused=() if warm else cannot,
        source="Lamé, Coulomb friction, mean linear expansion",
    )


@dataclass(frozen=True, slots=True)
class _Joint:
    most: Given
    least: Number
    part: Given
    hole: Given


def _grip(
    joint: _Joint,
    length: Plain | None,
    part_inside: Plain | None,
    wall_outside: Plain | None,
    part_grade: Material | None,
    wall_grade: Material | None,
    friction: tuple[Fraction, Fraction] | None,
) -> tuple[list[Number], list[str]]:
    """Force and closing, or what is wanted for them."""
    lacking = [
        words
        for words, value in (
            ("length of the contact", length),
            ("inside diameter of the part", part_inside),
            ("outside diameter of the metal round the hole", wall_outside),
            ("grade of the part", part_grade),
            ("grade of the metal round the hole", wall_grade),
        )
        if value is None
    ]
    wanted = [f"for the press force: {', '.join(lacking)}"] if lacking else []
    if (
        length is None
        or part_inside is None
        or wall_outside is None
        or part_grade is None
        or wall_grade is None
    ):
        return [], wanted
    mu = friction if friction is not None else FRICTION
    marks = () if friction is not None else (RULE_OF_THUMB,)
    size, long = float(joint.hole.value), given(length, "contact")
    inside, outside = given(part_inside, "inside"), given(wall_outside, "wall outside")

    def fit(interference: float, stiff: Callable[[Material], float]) -> tuple[float, float]:
        """Contact pressure and closing of the part's bore."""
        result = press_fit(
            Cylinder(size, float(outside.value), stiff(wall_grade), wall_grade.poisson.value),
            Cylinder(float(inside.value), size, stiff(part_grade), part_grade.poisson.value),
            interference,
        )
        return result.pressure, result.bore_change

    soft = float(joint.least.value)
    high, closing = fit(float(joint.most.value), lambda metal: metal.youngs_modulus.high)
    low = fit(soft, lambda metal: metal.youngs_modulus.low)[0] if soft > 0 else 0.0
    inputs = (
        ("interference", joint.most),
        ("joint", joint.hole),
        ("length", long),
        ("inside", inside),
        ("outside", outside),
        ("friction", Given(mu[1], f"at most, {float(mu[0]):g} at least", "ratio",
                           Fraction(1, 100), marks)),
    )  # fmt: skip
    force_high = press_force(high, size, float(long.value), float(mu[0]), float(mu[1])).high
    force_low = (
        press_force(low, size, float(long.value), float(mu[0]), float(mu[1])).low if low else 0.0
    )
    rule = "friction × pressure (Lamé) × π × joint × length"
    force = by_rule("press force, most", round(force_high), rule, inputs, Sense.AXIAL, kind="force")
    numbers = [
        force.held(Fraction(round(force_low)), Fraction(round(force_high)), "as friction and metal "
                   "vary"),
        by_rule("contact pressure, most", round(high, 3), "Lamé", (*inputs[:2], *inputs[3:5]),
                kind="pressure"),
    ]  # fmt: skip
    if inside.value:
        numbers.append(
            by_rule(
                "bore of the part closes by, most",
                round(-closing, 6),
                "Lamé",
                (*inputs[:2], *inputs[3:5]),
                Sense.DIAMETRAL,
            )
        )
    return numbers, []


def _temperatures(
    joint: _Joint,
    part_grade: Material | None,
    wall_grade: Material | None,
    gap: Plain | None,
    system: str,
) -> tuple[list[Number], tuple[str, ...], list[str]]:
    """Ways to drop it in, ways the metals do not allow and why, and what is wanted for either."""
    if part_grade is None or wall_grade is None:
        lacking = [
            words
            for words, grade in (
                ("grade of the part", part_grade),
                ("grade of the metal round the hole", wall_grade),
            )
            if grade is None
        ]
        return [], (), [f"for heating or chilling: {', '.join(lacking)}"]
    room = given(thumb("drop-in gap", system) if gap is None else gap, "gap to drop in with")
    sizes = (float(joint.hole.value), float(joint.part.value), float(room.value))
    hole, part = wall_grade.expansion.value, part_grade.expansion.value
    coldest, hottest = part_grade.coldest.value, wall_grade.hottest.value
    numbers: list[Number] = []
    cannot: list[str] = []
    heat = heat_temperature(*sizes, hole, _ROOM, part, hottest)
    numbers += _way(heat, "heat the hole to", joint, room, wall_grade, cannot, hot=True)
    try:
        chill = chill_temperature(*sizes, part, _ROOM, hole, coldest)
    except ValueError as impossible:
        cannot.append(f"chill the part alone: {impossible}")
    else:
        numbers += _way(chill, "chill the part to", joint, room, part_grade, cannot, hot=False)
    if cannot:
        both = heat_temperature(*sizes, hole, coldest, part, hottest)
        words = f"with the part at {coldest:.0f} °C, heat the hole to"
        if both.temperature > _ROOM:
            numbers += _way(both, words, joint, room, wall_grade, cannot, hot=True)
    return numbers, tuple(cannot), []


def _way(
    drop: DropIn,
    label: str,
    joint: _Joint,
    room: Given,
    grade: Material,
    cannot: list[str],
    *,
    hot: bool,
) -> list[Number]:
    """One temperature, unless the metal may not see it: then why, in `cannot`."""
    if drop.cautions:
        cannot.append(f"{label} {drop.temperature:.0f} °C: {drop.cautions[0].text} "
                      f"({drop.cautions[0].bound:.0f} °C for {grade.name})")  # fmt: skip
        return []
    expansion = Given(
        Fraction(repr(grade.expansion.value)) * 10**6, grade.name, "expansion", Fraction(1, 10)
    )
    rule = (
        "20 °C + (interference + gap) ÷ (α × hole)"
        if hot
        else "20 °C − (interference + gap) ÷ (α × part)"
    )
    if label.startswith("with the part"):
        rule = "20 °C + (part as cold as that + gap − hole) ÷ (α × hole)"
    number = by_rule(
        label,
        round(drop.temperature, 1),
        rule,
        (("interference", joint.most), ("gap", room), ("α", expansion)),
        kind="temperature",
        step=_DEGREE,
    )
    bound = grade.hottest if hot else grade.coldest
    limit = Fraction(repr(bound.value))
    said = f"for {grade.name}, {bound.source}"
    return [number.held(None, limit, said) if hot else number.held(limit, None, said)]
