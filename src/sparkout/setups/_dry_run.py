"""Before the spindle starts.

Source: common practice.
"""

from __future__ import annotations

from sparkout.plan.order import Step
from sparkout.setups._lookup import Lookup
from sparkout.setups.record import SetUp

__all__ = ["COMMON", "before_starting"]

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
    "true crankshaft",
)
# Done by hand or by feel: there is no stop to set and no tool to check.
_BY_HAND = (
    "lap oil pump",
    "polish journals",
    "deglaze cylinder",
    "fit dry liner",
    "hone cylinder",
)

_NO_TOOL = ("press in a guide", "press in a small-end bush", "check a guide sold finished")
# Pressed or checked: nothing is cut, so there is no tool to set and no first cut to measure.

# A bore takes another shape when its bolts are drawn down: what it is held in while it is cut.
_BORES = ("bore cylinder", "hone cylinder")
_HELD_BY_LIMITS = ("bore diameter", "bore out-of-round", "bore taper", "piston clearance")


def before_starting(look: Lookup, set_up: SetUp, step: Step) -> tuple[str, ...]:
    """What to say, point at and compare before the first cut of one set-up."""
    if step.operation in _NO_CUTTING or step.kind != "machine":
        return ()
    if not set_up.passes and not set(set_up.features) & set(step.features):
        return ()  # what follows from the cut, not a cut of its own
    where = look.frame.notes.get("cylinder 1", "")
    name = ", ".join(set_up.features) or step.operation
    lines = [f"Point at {name} and say it" + (f"; cylinder 1 is {where}." if where else ".")]
    if step.operation in _BORES:
        lines.append(_clamped(look, set_up))
    lines += [
        f"Card against the part in hand: {term.words} {look.said.value(term.value)}."
        for number in set_up.numbers[:1]
        for term in number.terms
        if term.kind == "length" and term.sign in "+−" and _in_hand(term.words)
    ]
    if set_up.kind in _NO_TOOL:
        return (*lines, *COMMON[-2:])
    hold = next((n for n in set_up.numbers if n.held_by.startswith("as well as")), None)
    if hold is not None and hold.high is not None:
        either = look.said.most(hold.high - hold.value)
        lines.append(f"After the first cut, measure: off by more than {either}, stop and look why.")
    else:
        lines.append("After the first cut, measure and compare with this card before going on.")
    return (*lines, *(COMMON[-2:] if step.operation in _BY_HAND else COMMON))


def _clamped(look: Lookup, set_up: SetUp) -> str:
    """As the data sheet has the bore held when it is judged, else as is common practice."""
    feature = set_up.features[0] if set_up.features else ""
    limits = (look.limit(name, feature) for name in _HELD_BY_LIMITS)
    held = dict.fromkeys(limit.held for limit in limits if limit is not None and limit.held)
    if held:
        return f"Held as the data sheet has the bore judged: {'; '.join(held)}."
    return (
        "Torque plate on, with a used gasket and the real bolts, where the maker asks for it; "
        "main caps torqued (common practice)."
    )


def _in_hand(words: str) -> bool:
    return words.startswith(("piston ", "liner ", "valve ", "pin")) or "in hand" in words
