"""Work entered out of its turn: it was done, so it stands; what it may have spoiled is said."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.engine.frame import Feature, Frame
from sparkout.job.bodies import Work as WorkEntry
from sparkout.plan.forms import Work
from sparkout.plan.precedence import PRECEDENCE
from sparkout.plan.replan.naming import together

__all__ = ["out_of_turn"]

# Parts that are one thing in the shop, however they are numbered: a shaft is worked as a whole.
_WHOLE = frozenset(
    {
        "crankshaft",
        "main journal",
        "rod journal",
        "main housing",
        "block",
        "camshaft",
        "cam journal",
        "lobe",
    }
)


def out_of_turn(
    entry: WorkEntry, earlier: Iterable[WorkEntry], planned: Iterable[Work], frame: Frame
) -> tuple[str, ...]:
    """Where work stands in the log before what should precede it, or after what should follow:
    `surface deck before recut ledge (ledges 1 to 4): …`.

    earlier: what the log had before it, whoever entered it; planned: the work of the plan it
    belongs to. What the plan does not have is not missed.
    """
    did = _plain(entry.operation)
    before = [(_plain(item.operation), item.features) for item in earlier]
    said = []
    for rule in PRECEDENCE:
        if did == rule.then:
            missing = [
                name
                for work in planned
                if work.operation == rule.first
                for name in work.features
                if _touch((name,), entry.features, frame, rule.first)
                and not any(op == rule.first and name in on for op, on in before)
            ]
            if missing:
                where = together(dict.fromkeys(missing))
                first = rule.first if rule.first.endswith(where) else f"{rule.first} ({where})"
                said.append(f"{did} before {first}: {rule.why}.")
        if did == rule.first and any(
            op == rule.then and _touch(on, entry.features, frame, rule.first) for op, on in before
        ):
            said.append(f"{did} after {rule.then}: {rule.why}.")
    return tuple(said)


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def _touch(some: Iterable[str], others: Iterable[str], frame: Frame, first: str) -> bool:
    """Whether work on one is any matter of work on the other: rod 2 is none of rod 3. first: the
    work that comes first of the two."""
    ours = [f for name in some if (f := frame.feature(name)) is not None]
    theirs = [f for name in others if (f := frame.feature(name)) is not None]
    beyond = first == "sleeve cylinder"  # it moves the bores beside it
    return any(_together(one, other, beyond) for one in ours for other in theirs)


def _together(one: Feature, other: Feature, beyond: bool) -> bool:
    if one.name == other.name or (one.kind in _WHOLE and other.kind in _WHOLE):
        return True
    if one.bank and other.bank and one.bank != other.bank:
        return False
    if one.cylinder and other.cylinder and not beyond:
        ends = (one.name.rsplit(" ", 1)[-1], other.name.rsplit(" ", 1)[-1])
        valves = all(not end.isdigit() for end in ends)
        return ends[0] == ends[1] if valves else one.cylinder == other.cylinder
    return True
