"""Work that is done is a fact: what it made of the engine, and what is left of its option.

Sizes are those that were read after the work; where none were read, those the plan meant to leave.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.moves import moves_of
from sparkout.engine.state import State
from sparkout.fits import evaluate
from sparkout.job.bodies import Work as WorkEntry
from sparkout.judge.checks import Check
from sparkout.plan.apply import planned_sizes
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Effect, Group, MoveBy, Option, SetTo, Work
from sparkout.plan.options.context import rank_of
from sparkout.units import QuantityError, parse

__all__ = [
    "DONE",
    "Done",
    "continued",
    "done_work",
    "left_ids",
    "made_fits",
    "realised",
    "state_after",
]

DONE = ", done"
"""Added to the name of an option whose work is done, or begun."""


@dataclass(frozen=True, slots=True)
class Done:
    """What is done of one approved choice.

    features: by operation, those the log says were worked on. depths: actual amounts in mm, and
    whether each was entered or read (False: taken as planned). whole: nothing of its work is left.
    """

    group: Group
    option: Option
    features: Mapping[str, frozenset[str]]
    depths: Mapping[str, tuple[Fraction, bool]]

    @property
    def whole(self) -> bool:
        return all(
            set(work.features) <= self.features.get(work.operation, frozenset())
            for work in self.option.work
        )

    @property
    def left(self) -> tuple[Work, ...]:
        """The work that is still to be done."""
        rest = []
        for work in self.option.work:
            done = self.features.get(work.operation, frozenset())
            features = tuple(name for name in work.features if name not in done)
            if features:
                rest.append(Work(work.operation, features))
        return tuple(rest)


def done_work(
    plan: Plan,
    work: Iterable[WorkEntry],
    state: State,
    unit: str,
    base: Mapping[Key, Dimension] | None = None,
) -> tuple[tuple[Done, ...], tuple[WorkEntry, ...]]:
    """What is done of a plan, and work that it does not have.

    unit: of bare numbers. base: sizes as the plan began from, as found where they are not given.
    """
    start = state.found if base is None else base
    entries = tuple(work)
    found: list[Done] = []
    used: set[int] = set()
    for group, option in plan.chosen:
        features: dict[str, frozenset[str]] = {}
        depths: dict[str, tuple[Fraction, bool]] = {}
        for step in option.work:
            for at, entry in enumerate(entries):
                if _plain(entry.operation) != step.operation:
                    continue
                these = _named(entry, step, group)
                if not these:
                    continue
                used.add(at)
                features[step.operation] = features.get(step.operation, frozenset()) | these
                depths |= _depths(plan, option, step.operation, entry, state, start, unit, depths)
        if features or option.name.endswith(DONE):  # or done under an earlier plan
            found.append(Done(group, option, MappingProxyType(features), MappingProxyType(depths)))
    extra = tuple(entry for at, entry in enumerate(entries) if at not in used)
    return tuple(found), extra


def _plain(text: str) -> str:
    """A typed name as the program writes it."""
    return " ".join(text.split()).casefold()


def _named(entry: WorkEntry, step: Work, group: Group) -> frozenset[str]:
    """The features of a step that an entry names; the group's own name stands for all of them."""
    typed = {" ".join(name.split()) for name in entry.features}
    if group.name in typed and group.name not in step.features:
        return frozenset(step.features)
    return frozenset(name for name in step.features if name in typed)


def _depths(
    plan: Plan,
    option: Option,
    operation: str,
    entry: WorkEntry,
    state: State,
    base: Mapping[Key, Dimension],
    unit: str,
    before: Mapping[str, tuple[Fraction, bool]],
) -> dict[str, tuple[Fraction, bool]]:
    """How deep was really cut: as entered, else by what was read before and after, else as planned.

    before: what earlier entries on the same work came to. A depth that was entered is that of one
    pass and adds to them; a size that was worked to, or read since, stands for all passes together.
    """
    planned = {item.name: item.value for item in plan.amounts}
    most = {spec.name: spec.most for group, _ in plan.chosen for spec in group.amounts}
    moves = [
        effect
        for effect in option.effects
        if isinstance(effect, MoveBy)
        and any(m.characteristic == effect.key.characteristic for m in moves_of(operation))
    ]
    found: dict[str, tuple[Fraction, bool]] = {}
    for name in dict.fromkeys(move.amount for move in moves):
        some = [move for move in moves if move.amount == name]
        starts = [
            (move, start) for move in some if (start := _start(option, move, base)) is not None
        ]
        passed = before.get(name, (Fraction(0), True))
        entered = _entered(entry, unit, most.get(name, Fraction(0)), starts)
        if entered is not None:
            depth, of_pass = entered
            found[name] = (passed[0] + depth if of_pass else depth, passed[1] or not of_pass)
            continue
        read = _read(starts, state)
        if read is not None:
            found[name] = (read, True)
        else:
            found[name] = before.get(name, (planned.get(name, Fraction(0)), False))
    return found


def _start(option: Option, move: MoveBy, base: Mapping[Key, Dimension]) -> Fraction | None:
    """The size an amount counts from: one the option sets first (a ledge), else as it was."""
    for effect in option.effects:
        if isinstance(effect, SetTo) and effect.key == move.key and effect.rank < move.rank:
            return effect.low.value
    found = base.get(move.key)
    return None if found is None else found.low.value


def _entered(
    entry: WorkEntry, unit: str, most: Fraction, starts: Iterable[tuple[MoveBy, Fraction]]
) -> tuple[Fraction, bool] | None:
    """The depth from what was worked to, and whether it is that of one pass: the depth itself
    (`0.13`), or a size (`327.32`).

    A figure well beyond any depth that was looked at is a size.
    """
    if not entry.target.strip():
        return None
    try:
        value = parse(entry.target, "length", unit).value
    except QuantityError:
        return None
    if value <= 2 * most:
        return value, True
    return next((((value - start) / move.per, False) for move, start in starts if move.per), None)


def _read(starts: Iterable[tuple[MoveBy, Fraction]], state: State) -> Fraction | None:
    """The depth from a size that was read after the cut."""
    left = left_ids(state)
    for move, start in starts:
        after = state.sizes.get(move.key)
        if move.per and after is not None and set(after.entries) & left:
            return (after.low.value - start) / move.per
    return None


def state_after(state: State, stages: Iterable[Iterable[Done]], checks: tuple[Check, ...]) -> State:
    """The state with the work that is done in it. stages: what was done of each plan that was
    approved, in their order; one goes on where the one before left off."""
    some = tuple(tuple(stage) for stage in stages)
    left = left_ids(state)
    before = {
        key: state.found.get(key, size)
        for key, size in state.sizes.items()
        if key in state.found or not set(size.entries) & left
    }
    planned: dict[Key, Dimension] = dict(before)
    for stage in some:
        facts = tuple(
            Group(d.group.name, d.group.features, (Option("fact", "", realised(d)),), "fact")
            for d in stage
        )
        depths = {name: depth for d in stage for name, (depth, _) in d.depths.items()}
        picks = dict.fromkeys((group.name for group in facts), "fact")
        planned = planned_sizes(planned, facts, picks, depths, checks)
    read = {key for key, size in state.sizes.items() if set(size.entries) & left}
    for key in read:
        planned[key] = _as_read(state.sizes[key], planned.get(key))
    made = {
        effect.key
        for stage in some
        for d in stage
        for effect in realised(d)
        if isinstance(effect, SetTo)
    }
    for check in checks:
        # A fit that the plan meant to make, of sizes that were read since, is worked out from them.
        terms = {key for _, key in check.instance.terms}
        if check.key in made and check.key not in terms and terms & read and check.key not in read:
            planned.pop(check.key, None)
    for check in checks:
        # What was read of a fit no longer counts; what its sizes now give stands in its place.
        if check.key in before and check.key not in planned and not check.instance.inner:
            value = evaluate(check.instance, planned)
            if value is not None:
                planned[check.key] = Dimension(check.key, *value, How.WORKED_OUT)
    return replace(state, sizes=MappingProxyType(planned))


def left_ids(state: State) -> set[str]:
    """Ids of the readings taken after work."""
    return {
        spot.entry
        for spots in state.spots.values()
        for spot in spots
        if spot.phase in ("left", "mock-up")
    }


def _as_read(size: Dimension, planned: Dimension | None) -> Dimension:
    """A reading of what was made: judged as what it was meant to be."""
    if planned is None:
        return size
    return replace(size, as_new=planned.as_new, size=planned.size, free=planned.free)


def realised(done: Done) -> tuple[Effect, ...]:
    """The effects that have come about; those of parts that are yet to be fitted have not."""
    found: list[Effect] = []
    for effect in done.option.effects:
        if isinstance(effect, MoveBy):
            if effect.amount in done.depths:
                found.append(effect)
        elif effect.rank >= rank_of("part"):
            continue
        elif done.whole or _by_done(done, effect):
            found.append(effect)
    return tuple(found)


def _by_done(done: Done, effect: Effect) -> bool:
    """Whether an operation that is done brought this about: effects carry its rank."""
    return any(
        effect.rank == rank_of(operation)
        and (effect.key.feature in features or features >= _all(done, operation))
        for operation, features in done.features.items()
    )


def _all(done: Done, operation: str) -> set[str]:
    return {
        name for work in done.option.work if work.operation == operation for name in work.features
    }


def made_fits(done: Done, state: State, checks: Iterable[Check]) -> frozenset[Key]:
    """Fits that work has made to a part in hand, and nothing that was read since tells better.

    The part is yet to be fitted, so its size does not stand in the state beside that of what was
    made to it (a bush honed to its new pin).
    """
    read = {key for key, size in state.sizes.items() if set(size.entries) & left_ids(state)}
    made = {effect.key for effect in realised(done) if isinstance(effect, SetTo)}
    return frozenset(
        check.key
        for check in checks
        if check.key in made
        and check.key not in (terms := {key for _, key in check.instance.terms})
        and not terms & read
        and check.key not in read
    )


def continued(done: Done, received: Iterable[str], fits: frozenset[Key] = frozenset()) -> Option:
    """What is left of an approved option whose work is done or begun: parts, and the rest of it.

    Metal to clean up is asked for only while some of it is still to be worked. fits: those that it
    has made and that still stand.
    """
    stands = {effect for effect in realised(done) if effect.key not in fits}
    have = set(received)
    waits = [use.part for use in done.option.parts if use.part not in have]
    return replace(
        done.option,
        name=done.option.name.removesuffix(DONE) + DONE,
        words=f"{_said(done.option.words)} ({'begun' if done.left else 'done'})",
        effects=tuple(effect for effect in done.option.effects if effect not in stands),
        work=done.left,
        needs=tuple(n for n in done.option.needs if not n.amounts) if done.left else (),
        days=done.option.days if waits or done.left else 0,
        impossible="",
    )


def _said(words: str) -> str:
    return words.removesuffix(" (begun)").removesuffix(" (done)")
