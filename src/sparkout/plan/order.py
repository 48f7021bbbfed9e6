"""Order of work: the plan's operations, with what must be bought, read, washed and tried between.

A topological order of the precedence rules; ties go by the usual run of a shop. Where one's
result decides a later one, the reading stands in between; after abrasive work stands the wash.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from sparkout.engine.dimension import Key
from sparkout.plan.forms import Group, MoveBy, Option, SetTo, Work
from sparkout.plan.precedence import AFTER_KIND, PRECEDENCE, STAGES
from sparkout.sheet.shop import Shop

__all__ = ["Step", "order_of_work"]

# What each operation needs in hand, by kind of feature its parts go on.
_IN_HAND = {
    "grind main journals": ("main shells", "ground to shells in hand, not to a size on paper"),
    "grind rod journals": ("rod shells", "ground to shells in hand, not to a size on paper"),
    "hone cylinder": ("piston", "each bore is honed to its own measured piston"),
    "bore cylinder": ("piston", "each bore is sized to its own measured piston"),
    "re-bush rod": ("pin", "the bush is honed to the pin that will run in it"),
    "fit dry liner": ("liner", "the fit of each liner in its parent bore is worked out first"),
    "bore parent bore": ("liner", "each parent bore is made to the liner that goes in it"),
    "ream follower bores": ("follower", "each bore is reamed to the follower that goes in it"),
    "ream guide": ("valve", "each guide is reamed to the stem that will run in it"),
    "line guide": ("guide liner", "each guide is bored to the liner that goes in it"),
    "grind thrust faces": ("thrust washers", "the faces go by the washers that will be fitted"),
    "recut ledge": ("liner", "the ledge depth goes by the flanges that will sit on it"),
    "fit seat insert": ("seat insert", "the pocket is cut to the insert in hand"),
}

_ABRASIVE = (
    "align-hone mains",
    "hone parent bore",
    "grind thrust faces",
    "hone cylinder",
    "deglaze cylinder",
    "resize rod",
    "re-bush rod",
    "grind main journals",
    "grind rod journals",
    "polish journals",
    "cut seat",
    "lap oil pump",
    "ream guide",
    "ream follower bores",
    "reface rocker",
)

_SKIM = "Blue a skim of 0.01 mm (0.0004 in); look at the witness before the full depth."

_LOOK = {
    "surface deck": _SKIM,
    "surface head": _SKIM,
    "fit dry liner": "Fit one, measure it, compare with the prediction; only then the rest.",
    "bore cylinder": "Cut 5 mm (0.2 in) at the top, stop, measure, then run.",
    "hone cylinder": "Measure cool; the last 0.01 mm (0.0004 in) in small bites,"
    " every second bore in turn.",
    "grind rod journals": "Grind the worst journal first; stop if it does not clean up.",
    "grind main journals": "Grind the worst journal first; stop if it does not clean up.",
    "align-hone mains": "Turn the mandrel by hand: one saddle tight means stop.",
    "recut ledge": "Read the depth at four points after each cut.",
    "cut seat": "Cut the deepest valve first, then match the others to it.",
}

# Where the step has one part only, there are no others to go by.
_LOOK_AT_ONE = {
    "fit dry liner": "Measure it when it is in, compare with the prediction.",
    "hone cylinder": "Measure cool; the last 0.01 mm (0.0004 in) in small bites.",
    "grind rod journals": "Stop if it does not clean up.",
    "grind main journals": "Stop if it does not clean up.",
    "cut seat": "Look after every light touch: stop as soon as the ring is whole.",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work.

    kind: `receive`, `machine`, `outside`, `measure`, `wash`, `trial`. after: reasons why it stands
    where it does. read: characteristics to read and enter when it is done. look: where to stop and
    look.
    """

    number: int
    kind: str
    title: str
    operation: str = ""
    features: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    read: tuple[Key, ...] = ()
    look: str = ""
    groups: tuple[str, ...] = field(default=())


def _look(operation: str, parts: int) -> str:
    told = _LOOK.get(operation, "")
    return _LOOK_AT_ONE.get(operation, told) if parts == 1 else told


def order_of_work(chosen: Iterable[tuple[Group, Option]], shop: Shop) -> tuple[Step, ...]:
    """The steps of a plan in an order that no precedence rule forbids, each with its reasons."""
    work, readings, parts, owners = _gathered(chosen)
    steps: list[Step] = []

    def add(kind: str, title: str, **more: object) -> None:
        steps.append(Step(len(steps) + 1, kind, title, **more))  # type: ignore[arg-type]

    if parts:
        add(
            "receive",
            "Receive the parts; measure every one that a size depends on and enter it",
            after=tuple(
                f"{operation}: {why}"
                for operation, (_, why) in _IN_HAND.items()
                if operation in work
            ),
        )
    for operation in _sorted(work):
        rate = shop.operations.get(operation)
        away = rate is not None and (rate.outside is not None or rate.outside_each is not None)
        features = tuple(dict.fromkeys(work[operation]))
        add(
            "outside" if away else "machine",
            f"{operation[0].upper()}{operation[1:]}" + (" (sent out)" if away else ""),
            operation=operation,
            features=features,
            after=tuple(
                f"after {rule.first}: {rule.why}"
                for rule in PRECEDENCE
                if rule.then == operation and rule.first in work
            ),
            read=tuple(dict.fromkeys(readings.get(operation, ()))),
            look=_look(operation, len(features)),
            groups=tuple(dict.fromkeys(owners.get(operation, ()))),
        )
    # what an operation unknown to the program leaves behind is not known either
    if any(operation in _ABRASIVE or operation not in STAGES for operation in work):
        add("wash", "Wash everything, brush the oil ways, wipe with a white cloth until it stays "
            "white",
            after=("abrasive left in bores and oil ways ruins bearings and rings",))  # fmt: skip
    if work or parts:
        add("measure", "Read every size that work has moved again, cold, and enter it as left",
            after=("what was read before a datum moved no longer counts",))  # fmt: skip
        add("trial", "Trial assembly: read protrusion, piston to head, end play, backlash and lash "
            "before anything is built for good",
            after=("four hours now or a strip later",))  # fmt: skip
    return tuple(steps)


Gathered = tuple[dict[str, list[str]], dict[str, list[Key]], dict[str, int], dict[str, list[str]]]


def _gathered(chosen: Iterable[tuple[Group, Option]]) -> Gathered:
    """Features by operation, what each operation sets, parts, and the groups behind each."""
    work: dict[str, list[str]] = {}
    readings: dict[str, list[Key]] = {}
    parts: dict[str, int] = {}
    owners: dict[str, list[str]] = {}
    for group, option in chosen:
        for use in option.parts:
            parts[use.part] = parts.get(use.part, 0) + use.count
        for item in option.work:
            work.setdefault(item.operation, []).extend(item.features)
            owners.setdefault(item.operation, []).append(group.name)
        if option.work:
            last: Work = option.work[-1]
            moved = [
                effect.key
                for effect in option.effects
                if isinstance(effect, SetTo | MoveBy)
                and not effect.key.feature.startswith("deck at")
            ]
            readings.setdefault(last.operation, []).extend(moved)
    return work, readings, parts, owners


def _sorted(work: dict[str, list[str]]) -> list[str]:
    """Operations so that none stands before one that must precede it; ties by the usual run."""
    place = {name: i for i, name in enumerate(STAGES)}

    def usual(name: str) -> tuple[float, str]:
        if name in place:
            return place[name], name
        kinds = {feature.rsplit(" ", 1)[0] for feature in work[name]} | set(work[name])
        behind = [place[AFTER_KIND[kind]] for kind in kinds if kind in AFTER_KIND]
        return (max(behind) + 0.5 if behind else len(STAGES)), name

    left = sorted(work, key=usual)
    before = {
        name: {rule.first for rule in PRECEDENCE if rule.then == name and rule.first in work}
        for name in left
    }
    done: list[str] = []
    while left:
        ready = next((name for name in left if before[name] <= set(done)), None)
        if ready is None:
            raise AssertionError(f"the precedence rules go in a circle among {left}")
        done.append(ready)
        left.remove(ready)
    return done
