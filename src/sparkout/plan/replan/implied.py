"""Work that nobody entered, told by a size that was read as left: the reading says it was done.

Without it such a size would be taken for one still to be worked, and more metal be asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sparkout.engine.dimension import Dimension, Key
from sparkout.job.bodies import Work as WorkEntry
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Effect, MoveBy, Option, SetTo
from sparkout.plan.options.context import rank_of
from sparkout.plan.replan.done import Done, done_work, left_ids
from sparkout.plan.replan.naming import together
from sparkout.plan.replan.situation import Situation, Worked

__all__ = ["implied_work", "said_implied", "work_so_far"]


def implied_work(
    plan: Plan, now: Situation, base: Mapping[Key, Dimension] | None = None
) -> tuple[Worked, ...]:
    """Work of a plan that sizes read as left stand for, where no entry has it.

    Only where what was read is nearer to the size the plan gives it than to the size it had: a
    reading of an untouched part in the wrong phase is no work. base: sizes the plan began from.
    """
    start = now.state.found if base is None else base
    left = left_ids(now.state)
    entered = {
        (" ".join(item.body.operation.split()).casefold(), " ".join(name.split()))
        for item in now.work
        for name in item.body.features
    }
    own = {item.entry for item in now.work}
    found: dict[tuple[str, str], Worked] = {}
    for group, option in plan.chosen:
        for effect in option.effects:
            if not isinstance(effect, SetTo | MoveBy):
                continue
            size = now.state.sizes.get(effect.key)
            if size is None or not (set(size.entries) & left) - own:
                continue
            if not _worked(size, plan.sizes.get(effect.key), start.get(effect.key)):
                continue
            spots = [s for s in now.state.spots.get(effect.key, ()) if s.entry not in own]
            for operation in _behind(option, effect):
                key = (operation, effect.key.feature)
                if key in entered or (operation, group.name) in entered or not spots:
                    continue
                body = WorkEntry(operation=operation, features=(effect.key.feature,))
                found.setdefault(key, Worked(body, spots[-1].entry, spots[-1].at))
    return tuple(found.values())


def work_so_far(
    plan: Plan, now: Situation, base: Mapping[Key, Dimension] | None = None
) -> tuple[tuple[Done, ...], tuple[WorkEntry, ...], tuple[Worked, ...]]:
    """What is done of a plan, work that it does not have, and the work that was told by readings
    alone, which counts as done. base: sizes the plan began from."""
    told = implied_work(plan, now, base)
    unit = "in" if now.shop.units == "inch" else "mm"
    entries = (item.body for item in (*now.work, *told))
    done, extra = done_work(plan, entries, now.state, unit, base)
    return done, extra, told


def _worked(size: Dimension, planned: Dimension | None, before: Dimension | None) -> bool:
    if planned is None or before is None:
        return planned is not None
    read = size.low.value
    return abs(read - planned.low.value) < abs(read - before.low.value)


def _behind(option: Option, effect: Effect) -> tuple[str, ...]:
    """The operations that make a size, in their turn: a bore that is honed was bored before."""
    names = [work.operation for work in option.work if effect.key.feature in work.features]
    last = next((i for i, name in enumerate(names) if rank_of(name) == effect.rank), None)
    return () if last is None else tuple(names[: last + 1])


def said_implied(work: Iterable[Worked]) -> tuple[str, ...]:
    """What is taken for done, and what to enter; features of one operation together."""
    by_operation: dict[str, list[str]] = {}
    for item in work:
        by_operation.setdefault(item.body.operation, []).extend(item.body.features)
    return tuple(
        f"{_first_up(together(names))} {'was' if len(names) == 1 else 'were'} read as left, and no "
        f"entry says “{operation}”: it is taken for done there. Enter that work; if nothing was "
        "done, correct the reading to phase=found."
        for operation, names in by_operation.items()
    )


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
