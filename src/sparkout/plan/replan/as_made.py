"""What was read after work, judged by the size the work was to give it; what was not read again
is no longer known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.state import State
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, judge_each
from sparkout.measure.gauges.register import Register
from sparkout.plan.apply import keys_of
from sparkout.plan.decide import Plan
from sparkout.plan.forms import MoveBy, SetTo, ShiftBy
from sparkout.plan.replan.done import Done, left_ids, realised
from sparkout.plan.replan.situation import Situation

__all__ = ["AsMade", "as_made"]


@dataclass(frozen=True, slots=True)
class AsMade:
    """sizes: as they stand, what was read after work with the size it was to have. findings: every
    limit, judged by these. given: sizes read after work that the plan makes or moves, as it means
    to leave them."""

    sizes: Mapping[Key, Dimension]
    findings: tuple[Finding, ...]
    given: Mapping[Key, Dimension]


def as_made(
    plan: Plan,
    done: Iterable[Done],
    now: Situation,
    checks: tuple[Check, ...],
    gauges: Register | None = None,
) -> AsMade:
    """The engine as it was read, held against what the plan makes of it.

    done: all work of the plan and of those before it. A size that work has moved and nobody read
    since is stale; a fit of something that was worked and something still to come is judged with
    the part in hand, where that was measured, and else not at all.
    """
    state = now.state
    left = left_ids(state)
    read = {key for key, size in state.sizes.items() if set(size.entries) & left}
    moved = {effect.key for item in done for effect in realised(item)} - read
    moved = _with_derived(moved, state.sizes) - read
    changed = _changed(plan)
    meant = {key: plan.sizes[key] for key in read if key in plan.sizes}
    sizes = dict(state.sizes)
    for key, size in meant.items():
        sizes[key] = replace(sizes[key], as_new=size.as_new, size=size.size, free=size.free)
    for key in moved & set(sizes):
        sizes[key] = replace(sizes[key], how=How.STALE)
    in_hand = _in_hand(plan, state)
    to_come = changed - read - moved
    limits = [
        (check, _for(check, sizes, read, moved, to_come, in_hand))
        if (keys_of(check.instance) | _basis(check)) & (read | moved)
        else (check, state.sizes)
        for check in checks
    ]
    findings = judge_each(
        limits,
        confidence=float(now.shop.confidence),
        rule=now.shop.rule,
        words=now.words,
        gauges=gauges,
    )
    given = {
        key: size
        for key, size in meant.items()
        if key in changed or size.as_new or size.size or size.free
    }
    return AsMade(sizes, findings, given)


def _for(
    check: Check,
    sizes: Mapping[Key, Dimension],
    read: set[Key],
    moved: set[Key],
    to_come: set[Key],
    in_hand: Mapping[Key, Dimension],
) -> Mapping[Key, Dimension]:
    """The sizes one limit is judged by."""
    terms = _terms(check.instance)
    if check.key in read or terms == {check.key}:
        return sizes
    found = dict(sizes)
    unknown = terms & moved
    for key in terms & to_come:
        if key in in_hand:
            found[key] = in_hand[key]
        else:
            unknown.add(key)
    between = (keys_of(check.instance) | _basis(check)) - terms - read
    if unknown or check.instance.constant is None:
        for key in between & set(found):
            found[key] = replace(found[key], how=How.STALE)
        for key in unknown:
            found.pop(key, None)  # what it was before says nothing of the fit
    else:
        for key in between:
            found.pop(key, None)  # read before something in it changed: worked out again
    return found


def _terms(instance: Instance) -> set[Key]:
    """The sizes a fit is made of in the end."""
    found = {key for _, key in instance.terms}
    for _, inner in instance.inner:
        found |= _terms(inner)
    return found


def _basis(check: Check) -> set[Key]:
    """What a difference of two features is taken between: the protrusion of each liner."""
    known = BY_NAME.get(check.limit.characteristic)
    if known is None or known.derive not in (Derive.NEIGHBOUR, Derive.ACROSS):
        return set()
    return {Key(name, known.basis) for name in check.instance.feature.split(" to ")}


def _with_derived(moved: set[Key], sizes: Iterable[Key]) -> set[Key]:
    """Sizes with what is worked out from readings of them (taper, out of round)."""
    found = set(moved)
    for key in sizes:
        known = BY_NAME.get(key.characteristic)
        if known is not None and known.basis and Key(key.feature, known.basis) in moved:
            found.add(key)
    return found


def _changed(plan: Plan) -> set[Key]:
    return {
        effect.key
        for _, option in plan.chosen
        for effect in option.effects
        if isinstance(effect, SetTo | MoveBy | ShiftBy)
    }


def _in_hand(plan: Plan, state: State) -> dict[Key, Dimension]:
    """Sizes of the plan's parts that have come and were measured."""
    found: dict[Key, Dimension] = {}
    for _, option in plan.chosen:
        for use in option.parts:
            for key, size in state.new_parts.get(use.part, {}).items():
                planned = plan.sizes.get(key)
                if planned is not None:
                    found[key] = replace(
                        size, how=How.NEW_PART, as_new=planned.as_new, size=planned.size,
                        free=planned.free,
                    )  # fmt: skip
    return found
