"""Work that has no set-up of its own: what the plan counts on it to leave, and how it was found.

Source: the plan; what a process leaves stands in the shop's file.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Key
from sparkout.plan.forms import SetTo
from sparkout.plan.order import Step
from sparkout.setups._build import total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups.number import Number, Term
from sparkout.setups.record import SetUp

__all__: list[str] = []

# What is done by feel: how it is gone about. All common practice.
_HOW = {
    "straighten crankshaft": (
        "On V-blocks under the end mains, map the runout of every main with the angle of its high "
        "spot. Press at the worst, high spot up, a little past straight, let it come back, read.",
        "Never a nitrided shaft, never with a flame. Test it for cracks afterwards.",
    ),
    "true crankshaft": (
        "Between centres, an indicator at each end; turn it slowly and mark the high spots.",
        "High at 90° to the pin: the webs are turned on each other; strike the rim of one with a "
        "soft hammer. High in line with the pin: they gape or close; wedge them apart or squeeze "
        "them opposite the pin. A little, then read again.",
        "Never strike the journal or the bearing seat. A pin that lets itself be moved lightly has "
        "lost its press fit: press the shaft apart and measure the pin and its bores.",
    ),
}

_FORMS = (Derive.GAP, Derive.OUT_OF_ROUND, Derive.TAPER, Derive.SPREAD)


def as_planned(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each feature: from what was found to what has to be left."""
    found = []
    for feature in step.features:
        numbers = _left(look, step, feature)
        if step.operation == "polish journals":
            stock = look.thumb("polish stock")
            numbers.append(total("take no more than", stock))
        if step.operation == "deglaze cylinder":
            numbers.append(total("take no more than", look.thumb("deglaze stock")))
        notes = _HOW.get(step.operation, ())
        if not numbers and not notes:
            notes = ("Nothing is dialled in for this; what it finds is entered.",)
        kind = step.operation
        found.append(SetUp(kind, features=(feature,), numbers=tuple(numbers), notes=notes,
                           source="the plan and the shop's file"))  # fmt: skip
    return tuple(found)


def _left(look: Lookup, step: Step, feature: str) -> list[Number]:
    chosen = look.chosen(step.operation, feature)
    if chosen is None:
        return []
    numbers = []
    for effect in chosen[1].effects:
        if isinstance(effect, SetTo) and effect.key.feature == feature:
            number = _one(look, effect)
            if number is not None:
                numbers.append(number)
    return numbers


def _one(look: Lookup, effect: SetTo) -> Number | None:
    key: Key = effect.key
    known = BY_NAME[key.characteristic]
    if known.derive is Derive.TEST:
        return None
    was = look.now(key.feature, key.characteristic)
    terms = () if isinstance(was, Missing) else (Term("as found", was.value, "", was.kind, was.step,
                                                      Fraction(1), was.marks),)  # fmt: skip
    limit = look.limit(key.characteristic, key.feature)
    bounds = None if limit is None else limit.side("new")
    form = known.derive in _FORMS
    low, high = effect.low.value, effect.high.value
    label = f"{known.name}, at most" if form else known.name
    value = high if form else (low + high) / 2
    number = Number(label, value, known.dimension, known.sense, Fraction(known.step), terms,
                    "as the plan counts on" if terms else "",
                    marks=tuple(mark for term in terms for mark in term.marks))  # fmt: skip
    if bounds is not None:
        return number.held(bounds.low, bounds.high, "limit for new")
    return number if form else number.held(low, high, "as sold or made")
