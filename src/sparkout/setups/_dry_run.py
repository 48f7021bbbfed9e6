"""Before the spindle starts, and what to read when it stands still again.

Source: common practice.
"""

from __future__ import annotations

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.plan.order import Step
from sparkout.setups._lookup import Lookup
from sparkout.setups.record import After, SetUp

__all__ = ["COMMON", "afterwards", "before_starting"]

COMMON = (
    "Datum clean, then indicated.",
    "Tool as set, checked on a micrometer by a second person.",
    "Stop set with a slip or a block and run down by hand, cutter clear.",
    "Part at room temperature for the reading that decides the size.",
    "After any interruption this list starts again from the top.",
)
"""The same for every cut; what is particular to one set-up comes before."""

_NO_CUTTING = (
    "crack-test crankshaft",
    "crack-test rod",
    "fit injectors",
    "fit thrust washers",
    "straighten rod",
    "straighten crankshaft",
)
# Done by hand or by feel: there is no stop to set and no tool to check.
_BY_HAND = (
    "lap oil pump",
    "polish journals",
    "deglaze cylinder",
    "fit dry liner",
    "hone cylinder",
)

# Where an operation is not the last of its option, the plan does not ask for its own reading.
_OWN_READING = {
    "bore cylinder": ("bore", "bore diameter"),
    "sleeve cylinder": ("bore", "bore diameter"),
    "grind rod journals": ("rod journal", "rod journal diameter"),
    "grind main journals": ("main journal", "main journal diameter"),
    "straighten rod": ("rod", "rod bend"),
    "crack-test rod": ("rod", "rod crack test"),
    "crack-test crankshaft": ("crankshaft", "crankshaft crack test"),
}


def before_starting(look: Lookup, set_up: SetUp, step: Step) -> tuple[str, ...]:
    """What to say, point at and compare before the first cut of one set-up."""
    if step.operation in _NO_CUTTING or step.kind != "machine":
        return ()
    if not set_up.passes and not set(set_up.features) & set(step.features):
        return ()  # what follows from the cut, not a cut of its own
    where = look.frame.notes.get("cylinder 1", "")
    name = ", ".join(set_up.features) or step.operation
    lines = [f"Point at {name} and say it" + (f"; cylinder 1 is {where}." if where else ".")]
    lines += [
        f"Card against the part in hand: {term.words} {look.said.value(term.value)}."
        for number in set_up.numbers[:1]
        for term in number.terms
        if term.kind == "length" and term.sign in "+−" and _in_hand(term.words)
    ]
    hold = next((n for n in set_up.numbers if n.held_by.startswith("as well as")), None)
    if hold is not None and hold.high is not None:
        either = look.said.value(hold.high - hold.value)
        lines.append(f"After the first cut, measure: off by more than {either}, stop and look why.")
    else:
        lines.append("After the first cut, measure and compare with this card before going on.")
    return (*lines, *(COMMON[-2:] if step.operation in _BY_HAND else COMMON))


def _in_hand(words: str) -> bool:
    return words.startswith(("piston ", "liner ", "valve ", "pin")) or "in hand" in words


def afterwards(look: Lookup, set_up: SetUp, step: Step) -> tuple[After, ...]:
    """What to read of these features when it is done: places, what is counted on, the limit."""
    keys = [key for key in step.read if _about(key, set_up, step)]
    own = _OWN_READING.get(step.operation)
    if own is not None:
        keys += [Key(feature, own[1]) for feature in set_up.features if feature.startswith(own[0])]
    found = []
    for key in dict.fromkeys(keys):
        known = BY_NAME.get(key.characteristic)
        size = look.plan.sizes.get(key)
        limit = look.limit(key.characteristic, key.feature)
        found.append(
            After(
                key,
                "" if known is None else known.places,
                None if size is None or size.free else size.low.value,
                None if size is None or size.free else size.high.value,
                None if limit is None else limit.side("new"),
            )
        )
    return tuple(found)


def _about(key: Key, set_up: SetUp, step: Step) -> bool:
    if key.feature in set_up.features or len(step.features) == 1:
        return True
    ends = {name.rsplit(" ", 1)[-1] for name in set_up.features}
    return key.feature.rsplit(" ", 1)[-1] in ends
