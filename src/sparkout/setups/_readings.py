"""What is read when a step is done, and what it is held against then.

Set-ups and work sheet take it from here, so that both name one limit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.judge.allowed import limit_words
from sparkout.judge.finding import Finding
from sparkout.judge.words import Words
from sparkout.plan.decide import Plan
from sparkout.plan.forms import MoveBy, SetTo
from sparkout.plan.order import Step
from sparkout.setups._lookup import Lookup
from sparkout.setups.record import After, SetUp
from sparkout.sheet.model import Bounds
from sparkout.sheet.shop import Shop

__all__ = ["Held", "afterwards", "changing_steps", "judged_by"]

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


@dataclass(frozen=True, slots=True)
class Held:
    """What the sizes of a plan are judged by as left, and the last step that changes each."""

    findings: Mapping[Key, Finding]
    last: Mapping[Key, int]

    @staticmethod
    def of(plan: Plan, steps: tuple[Step, ...], shop: Shop) -> Held:
        numbers = {step.operation: step.number for step in steps if step.operation}
        changed = changing_steps(plan, numbers, shop)
        return Held(
            {finding.key: finding for finding in plan.after},
            {key: max(at) for key, at in changed.items()},
        )


def judged_by(look: Lookup, feature: str, characteristic: str) -> Bounds | None:
    """What the plan judges a size by as left: the limit of a new part or of one in service."""
    key = Key(feature, characteristic)
    return next((f.bounds for f in look.plan.after if f.key == key), None)


def changing_steps(plan: Plan, numbers: Mapping[str, int], shop: Shop) -> dict[Key, set[int]]:
    """Numbers of the steps that change each size."""
    found: dict[Key, set[int]] = {}
    for _, option in plan.chosen:
        works = [work.operation for work in option.work if work.operation in numbers]
        if not works:
            continue
        for effect in option.effects:
            if not isinstance(effect, SetTo | MoveBy):
                continue
            name = effect.key.characteristic
            holding = [
                operation
                for operation in works
                if (rate := shop.operations.get(operation)) is not None and name in rate.holds
            ]
            operation = holding[-1] if holding else works[-1]
            found.setdefault(effect.key, set()).add(numbers[operation])
    return found


def afterwards(look: Lookup, set_up: SetUp, step: Step, held: Held) -> tuple[After, ...]:
    """What to read of these features when it is done: places, what is counted on, the limit.

    The limit is the one the plan is judged by, moved with the size. A size that a later step
    changes again has neither figure nor limit yet.
    """
    keys = [key for key in step.read if _about(key, set_up, step)]
    own = _OWN_READING.get(step.operation)
    if own is not None:
        keys += [Key(feature, own[1]) for feature in set_up.features if feature.startswith(own[0])]
    words = Words(look.system)
    return tuple(_one(look, key, step, held, words) for key in dict.fromkeys(keys))


def _one(look: Lookup, key: Key, step: Step, held: Held, words: Words) -> After:
    known = BY_NAME.get(key.characteristic)
    places = "" if known is None else known.places
    last = held.last.get(key, 0)
    if last > step.number:
        return After(key, places, again=last)
    size, finding = look.plan.sizes.get(key), held.findings.get(key)
    counted = size is not None and not size.free
    return After(
        key,
        places,
        size.low.value if size is not None and counted else None,
        size.high.value if size is not None and counted else None,
        None if finding is None else finding.bounds,
        "" if finding is None or finding.bounds is None else limit_words(finding, words),
    )


def _about(key: Key, set_up: SetUp, step: Step) -> bool:
    if key.feature in set_up.features or len(step.features) == 1:
        return True
    ends = {name.rsplit(" ", 1)[-1] for name in set_up.features}
    return key.feature.rsplit(" ", 1)[-1] in ends
