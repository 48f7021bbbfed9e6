"""Weights: a set brought to its lightest, end by end, and the bob-weights of a V crank.

Source: common practice: rods are weighed by the end, pistons whole; what is heavier gives to the
lightest, from the pads meant for it. Bob-weights as in `mechanics.balance`.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from sparkout.mechanics.balance.bob_weight import bob_weight, permissible_unbalance, rod_ends
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, by_rule, exact, given, plain, total
from sparkout.setups._lookup import Lookup
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["bob_weights", "match_rod_ends", "match_weights"]

_MATCH = "match the weights of a set"
_GRAM = Fraction(1)


def match_weights(
    weights: Sequence[tuple[str, Plain]], allowed_spread: Plain | None = None
) -> SetUp:
    """Which of a set gives how much so that all weigh what the lightest weighs.

    take off = weight − (lightest + spread allowed), where that is above zero: the least metal that
    brings the set together.

    weights: name and weight of each [g], two or more, above zero.
    allowed_spread: largest less smallest that may be left [g], or None for none.
    Returns the set-up: the weight to come down to, and what each heavier one gives.
    Holds for parts with metal to give; weigh all ready for assembly, bolts and locks in.
    Source: common practice.
    Raises ValueError with fewer than two weights, or one that is not above zero.

    >>> made = match_weights((("rod 1", 640), ("rod 2", 652), ("rod 3", 641)), 5)
    >>> [(n.label, float(n.value)) for n in made.numbers]
    [('spread as it is', 12.0), ('no heavier than', 645.0), ('take off rod 2', 7.0)]
    """
    if len(weights) < 2:
        raise ValueError(f"{len(weights)} weights; there have to be two or more")
    rows = [given(value, name, "mass", _GRAM) for name, value in weights]
    above_zero("g", **{row.words: row for row in rows})
    least, most = min(rows, key=lambda r: r.value), max(rows, key=lambda r: r.value)
    room = plain(allowed_spread)
    spread = total("spread as it is", most - least, kind="mass", step=_GRAM)
    numbers = [spread.held(None, room, "" if room is None else "limit")]
    top = least + Given(room or Fraction(0), "spread allowed", "mass", _GRAM)
    ceiling = total("no heavier than", top, kind="mass", step=_GRAM)
    numbers.append(ceiling)
    for row in rows:
        if row.value > ceiling.value:
            numbers.append(
                total(f"take off {row.words}", row - ceiling.given("heaviest allowed"),
                      kind="mass", step=_GRAM)
            )  # fmt: skip
    notes = () if len(numbers) > 2 else ("Within the spread as they are: nothing to take off.",)
    return SetUp(_MATCH, numbers=tuple(numbers), notes=notes,
                 looks=("Take a little, weigh, take again; smooth where you ground.",))  # fmt: skip


def match_rod_ends(rods: Sequence[tuple[str, Plain, Plain]]) -> SetUp:
    """Which rod gives how much at which end.

    big end as hung; small end = whole − big end; each end comes down to the lightest of its kind.

    rods: name, whole weight and big-end weight of each [g], two or more.
    Returns the set-up: lightest of each end, and what every other rod gives there.
    Holds for rods hung level, both eyes on their centres.
    Source: common practice; `mechanics.balance` for the small end.
    Raises ValueError with fewer than two rods, or a big end heavier than its rod.

    >>> made = match_rod_ends((("rod 1", 640, 450), ("rod 2", 652, 455)))
    >>> [(n.label, float(n.value)) for n in made.numbers][2:]
    [('take off rod 2, big end', 5.0), ('take off rod 2, small end', 7.0)]
    """
    if len(rods) < 2:
        raise ValueError(f"{len(rods)} rods; there have to be two or more")
    ends: dict[str, list[Given]] = {"big end": [], "small end": []}
    for name, whole, big in rods:
        total_weight, hung = given(whole, "whole", "mass"), given(big, "big end", "mass")
        parts = rod_ends(float(total_weight.value), float(hung.value))
        marks = tuple(dict.fromkeys((*total_weight.marks, *hung.marks)))
        for (end, row), value in zip(ends.items(), parts, strict=True):
            row.append(Given(exact(round(value, 3)), f"{name}, {end}", "mass", _GRAM, marks))
    numbers: list[Number] = []
    gives: list[Number] = []
    for end, row in ends.items():
        least = min(row, key=lambda one: one.value)
        numbers.append(total(f"lightest {end}", least, kind="mass", step=_GRAM))
        gives += [
            total(f"take off {one.words}", one - least, kind="mass", step=_GRAM)
            for one in row
            if one.value > least.value
        ]
    looks = ("Take it from the pads only; weigh both ends again after each.",)
    return SetUp(_MATCH, numbers=(*numbers, *gives), looks=looks)


def bob_weights(
    big_end: Plain,
    small_end: Plain,
    piston: Plain,
    pin_and_rings: Plain,
    shells: Plain = 0,
    oil: Plain = 0,
    rods_per_pin: int = 2,
    reciprocating_share: Plain = Fraction(1, 2),
    grade: Plain | None = None,
    crank_mass_kg: Plain | None = None,
    rev_per_min: Plain | None = None,
) -> SetUp:
    """The bob-weight to hang on each pin of a V crank, and the unbalance that may be left.

    W = rods × (big end + shells + oil + share × (small end + piston + pin and rings)).

    big_end: of one rod, with bolts [g], above zero.
    small_end: of one rod [g], above zero.
    piston: one piston [g], above zero.
    pin_and_rings: pin, locks and rings of one piston [g], zero or more.
    shells: one pair of shells [g], zero or more.
    oil: in the pin's drillings, for one rod [g], zero or more.
    rods_per_pin: [-], 1 or 2.
    reciprocating_share: maker's word for the engine [-], 0 to 1.
    grade: balance quality grade asked for [mm/s], or None.
    crank_mass_kg: of the crank as balanced [kg], or None.
    rev_per_min: highest speed in service [1/min], or None.
    Returns the set-up: rotating and reciprocating weight, bob-weight, unbalance allowed.
    Holds for cranks balanced with bob-weights; in-line fours and sixes need none.
    Source: common practice; ISO 21940-11 for the grade.
    Raises ValueError naming the number when it is out of range.

    >>> made = bob_weights(480, 160, 430, 110, shells=35, oil=5)
    >>> float(made.number("bob-weight, each pin").value)
    1740.0
    """
    turns = [
        given(value, words, "mass", _GRAM)
        for value, words in ((big_end, "big end"), (shells, "shells"), (oil, "oil"))
    ]
    moves = [
        given(value, words, "mass", _GRAM)
        for value, words in (
            (small_end, "small end"),
            (piston, "piston"),
            (pin_and_rings, "pin and rings"),
        )
    ]
    rotating = total("rotating, one rod", turns[0] + turns[1] + turns[2], kind="mass", step=_GRAM)
    to_and_fro = total(
        "reciprocating, one rod", moves[0] + moves[1] + moves[2], kind="mass", step=_GRAM
    )
    share = given(reciprocating_share, "share", "ratio", Fraction(1, 100))
    weight = bob_weight(
        float(rotating.value), float(to_and_fro.value), rods_per_pin, float(share.value)
    )
    count = Given(Fraction(rods_per_pin), "rods a pin", "count", _GRAM)
    numbers = [
        rotating,
        to_and_fro,
        by_rule("bob-weight, each pin", exact(round(weight, 3)), "n × (rotating + share × "
                "reciprocating)", (("n", count), ("rotating", rotating.given("one rod")),
                                   ("share", share), ("reciprocating", to_and_fro.given("one "
                                    "rod"))), kind="mass", step=_GRAM),
    ]  # fmt: skip
    if grade is not None and crank_mass_kg is not None and rev_per_min is not None:
        inputs = [
            ("G", given(grade, "grade, mm/s", "ratio", Fraction(1, 10))),
            ("m", given(crank_mass_kg, "kg", "ratio", Fraction(1, 10))),
            ("n", given(rev_per_min, "rev/min", "count", _GRAM)),
        ]
        left = permissible_unbalance(*(float(item.value) for _, item in inputs))
        numbers.append(
            by_rule("unbalance that may be left, whole", exact(round(left.whole, 1)),
                    "1000 × G × m ÷ (π × n ÷ 30)", inputs, kind="unbalance", step=_GRAM)
        )  # fmt: skip
    return SetUp(
        "bob-weights",
        numbers=tuple(numbers),
        notes=("Every change of piston, pin, rod or shell asks for balancing again.",),
    )


def matching(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """Rods and pistons that were weighed, each as a set."""
    found = []
    for kind in ("rod", "piston"):
        rows: list[tuple[str, Plain]] = []
        for feature in look.frame.of_kind(kind):
            weight = look.in_hand(feature.name, f"{kind} weight")
            if isinstance(weight, Given):
                rows.append((feature.name, Given(weight.value, feature.name, "mass", _GRAM,
                                                 weight.marks)))  # fmt: skip
        bounds = look.new_bounds(f"{kind} weight spread")
        if len(rows) > 1 and bounds is not None:
            set_up = match_weights(rows, bounds.high)
            found.append(SetUp(set_up.kind, features=tuple(name for name, _ in rows),
                               numbers=set_up.numbers, looks=set_up.looks,
                               notes=set_up.notes))  # fmt: skip
    return tuple(found)
