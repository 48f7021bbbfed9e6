"""Overhead cam timing after the head came nearer to the crank: how late, and how long the slots.

Source: geometry as in `mechanics.cam.timing_shift`; common practice.
"""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.mechanics.cam import timing_shift
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, by_rule, exact, given, plain, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["slot_sprocket"]

KIND = "slot the cam sprocket"
_TENTH = Fraction(1, 10)


def slot_sprocket(
    distance_change: Plain,
    pitch_radius: Plain,
    error_before: Plain = 0,
    most_error: Plain | None = None,
    bolt_radius: Plain | None = None,
) -> SetUp:
    """How far a cam is turned by cuts and gaskets, and the slots that turn it back.

    cam late by −Δ ÷ r radians, crank twice that; error then = before − crank; slot = bolt radius ×
    angle at the cam.

    distance_change: crank to cam, negative when they came together [mm].
    pitch_radius: of the cam sprocket [mm], above zero.
    error_before: crank degrees, advanced positive [°].
    most_error: largest error allowed either way, crank degrees [°], or None.
    bolt_radius: of the circle the slots are cut on [mm], or None.
    Returns the set-up: shift at cam and crank, error, turn back, slot length.
    Holds for a plain tight run, straight between the sprockets.
    Source: geometry; common practice.
    Raises ValueError naming the number when it is out of range.

    >>> made = slot_sprocket(-0.35, 36.4)
    >>> [round(float(n.value), 1) for n in made.numbers[:2]]
    [0.6, 1.1]
    """
    apart, radius = given(distance_change, "crank to cam"), given(pitch_radius, "pitch radius")
    shift = timing_shift(float(apart.value), float(radius.value))
    inputs = (("Δ", apart), ("r", radius))
    cam = by_rule("cam is late by, cam degrees", exact(round(shift.cam_degrees, 6)),
                  "−Δ ÷ r in degrees", inputs, kind="angle")  # fmt: skip
    crank = by_rule("cam is late by, crank degrees", exact(round(shift.crank_degrees, 6)),
                    "2 × −Δ ÷ r in degrees", inputs, kind="angle")  # fmt: skip
    before = given(error_before, "error before, + early", "angle", Fraction(1, 100))
    error = total("error then, + early", before - crank.given("late by"), kind="angle")
    most = plain(most_error)
    numbers: list[Number] = [cam, crank]
    numbers.append(error if most is None else error.held(-most, most, "limit"))
    back = worked_out(error.given("error then") / -2, "half the error, other way", kind="angle")
    turn = total("turn the cam on its sprocket, + early", back, kind="angle")
    numbers.append(turn)
    read_first: tuple[str, ...] = ()
    if bolt_radius is None:
        read_first = ("for the length of the slots: radius of the circle the bolts stand on",)
    else:
        circle = given(bolt_radius, "bolt circle radius")
        above_zero(bolt_radius=circle)
        arc = float(circle.value) * math.radians(abs(float(turn.value)))
        numbers.append(
            by_rule("slots longer than their bolts by", exact(round(arc, 6)), "radius × turn",
                    (("radius", circle), ("turn", turn.given("turn"))), step=_TENTH)
        )  # fmt: skip
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=("Find top dead centre by a positive stop, both sides; take the chain's slack out.",
               "Set by degree wheel at a checking lift, then turn twice and read again."),
        read_first=read_first,
    )  # fmt: skip


def slotting(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """The shift from everything that brings head and crank together."""
    changes = [
        look.change("deck at bore 1", "deck height"),
        look.change("head", "head height"),
        look.change("head gasket", "gasket thickness"),
        look.change("base gasket", "base gasket thickness"),
    ]
    cuts = [
        ("deck cut", -look.amount("deck cut"), changes[0]),
        ("head cut", -look.amount("head cut"), changes[1]),
    ]
    parts = []
    for words, amount, change in cuts:
        # a height that was read tells of a risen centre line too; a cut alone does not
        if isinstance(change, Given):
            parts.append(Given(change.value, words, marks=change.marks))
        elif amount:
            parts.append(Given(amount, words))
    for words, change in (("head gasket", changes[2]), ("base gasket", changes[3])):
        if isinstance(change, Given):
            parts.append(Given(change.value, f"thicker {words}", marks=change.marks))
    whole = sum((part.value for part in parts), Fraction(0))
    shown = "; ".join(f"{part.words} {float(part.value):+.3f}" for part in parts if part.value)
    apart: Given | Missing = Given(
        whole,
        f"crank to cam ({shown})",
        marks=tuple(dict.fromkeys(mark for part in parts for mark in part.marks)),
    )
    bounds = look.new_bounds("cam timing error")
    before = look.now("camshaft", "cam timing error")
    return (
        made(
            KIND,
            slot_sprocket,
            step.features,
            {"distance_change": apart, "pitch_radius": look.nominal("cam sprocket pitch radius")},
            {"error_before": before},
            {
                "most_error": None if bounds is None else bounds.high,
                "bolt_radius": _known(look),
            },
        ),
    )


def _known(look: Lookup) -> Given | None:
    value = look.known("sprocket bolt circle radius")
    return None if isinstance(value, Missing) else value
