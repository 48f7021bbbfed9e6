"""One fastener at a time: which is next, at which stage, what to record; and when to begin again.

A sequence that was interrupted, or in which one fastener had another value or another place in the
order than the sheet says, is loosened fully and begun again: nobody knows the load of a fastener
that was brought up in pieces ("never add a bit", common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from sparkout.assembly.records import CONFIRMED, Record
from sparkout.assembly.tightening import tightening_order
from sparkout.sheet.assembly_model import Again, Joint, Stage, StageKind
from sparkout.units import QuantityError, parse, show_quantity

__all__ = ["Act", "JointWork", "Move", "NextFastener", "moves", "next_fastener"]


class Act(StrEnum):
    """What is to be done at a joint."""

    TIGHTEN = "tighten"
    LOOSEN = "loosen"
    RESTART = "loosen fully and begin again"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class JointWork:
    """A joint of the sheet on one feature of this engine: what one tightening step works through.

    step: id of the step its records name. feature: `head left`, "" where the engine has one.
    stages: of a later retightening; empty for the joint's own.
    """

    step: str
    joint: Joint
    feature: str = ""
    stages: tuple[Stage, ...] = ()

    @property
    def to_do(self) -> tuple[Stage, ...]:
        """The stages of this step: the joint's own unless it is a later retightening."""
        return self.stages or self.joint.stages


@dataclass(frozen=True, slots=True)
class Move:
    """One fastener brought through one stage. stage counts from 1."""

    stage: int
    fastener: str
    what: Stage

    @property
    def check(self) -> str:
        return f"stage {self.stage}"


@dataclass(frozen=True, slots=True)
class NextFastener:
    """What to do now on a joint.

    words: said to the person at the wrench. record: what to enter, and under which name. done: how
    many moves of the sequence count; of: how many there are. reason: why it has to begin again.
    """

    act: Act
    words: str
    record: str = ""
    stage: int = 0
    fastener: str = ""
    done: int = 0
    of: int = 0
    reason: str = ""


def moves(work: JointWork) -> tuple[Move, ...]:
    """Every move of a joint: all fasteners through one stage before any goes on to the next.

    Stages × tightening order; a stage of loosening goes through the order backwards.

    work: the joint on its feature [-].
    Returns stages × fasteners moves, in order.
    Holds for any joint of a sheet.
    Source: common practice.

    >>> from sparkout.sheet.assembly_model import FastenerPlace, Pattern
    >>> two = (FastenerPlace("1", 0, 0), FastenerPlace("2", 1, 0))
    >>> stages = (Stage(StageKind.TORQUE, "30 N·m", 30), Stage(StageKind.TURN, "turn 90 deg", 90))
    >>> joint = Joint("rod caps", "bolt", 2, "M10", "oil", stages, Pattern.RINGS, two)
    >>> [(move.stage, move.fastener) for move in moves(JointWork("tighten-rod-caps", joint))]
    [(1, '1'), (1, '2'), (2, '1'), (2, '2')]
    """
    joint = work.joint
    order = tightening_order(joint.places, joint.pattern, joint.order)
    return tuple(
        Move(number, name, stage)
        for number, stage in enumerate(work.to_do, start=1)
        for name in (order[::-1] if stage.kind is StageKind.LOOSEN else order)
    )


def next_fastener(work: JointWork, recorded: Iterable[Record]) -> NextFastener:
    """The next fastener of a joint, or why the whole sequence begins again.

    The records are gone through in the order of the log. Each has to be the next move with the
    value of its stage; else the sequence is broken until `loosen` is recorded. What was recorded
    while it was broken does not count.

    work: the joint on its feature [-].
    recorded: records of any steps, in the order of the log [-].
    Returns what to do now; `done` when every move is recorded.
    Holds for values recorded as the wrench was set or the angle turned. Without a tolerance on the
    sheet a value has to agree with it to the last digit it was typed with.
    Source: loosen fully and redo rather than add to an uncertain load: common practice.

    >>> from sparkout.sheet.assembly_model import FastenerPlace, Pattern
    >>> one = (FastenerPlace("1", 0, 0),)
    >>> joint = Joint("damper", "bolt", 1, "M20", "dry", (Stage(StageKind.TORQUE, "300 N·m", 300),),
    ...               Pattern.RINGS, one)
    >>> next_fastener(JointWork("tighten-damper", joint), ()).words
    'Stage 1 of 1, fastener 1: 300 N·m, dry.'
    """
    todo = moves(work)
    at = 0
    broken = ""
    for record in recorded:
        if record.step != work.step or record.waived:
            continue
        if record.check == "loosen":
            at, broken = 0, ""
        elif record.check == "interrupted":
            broken = f"the sequence was interrupted ({record.result or record.note})"
        elif record.check.startswith("stage ") and not broken:
            broken = _wrong(todo, at, record, work.joint)
            at += not broken
    if broken:
        return _restart(work, broken, at, len(todo))
    if at == len(todo):
        return NextFastener(Act.DONE, "All fasteners are at their last stage.", done=at, of=at)
    move = todo[at]
    loosen = move.what.kind is StageKind.LOOSEN
    return NextFastener(
        Act.LOOSEN if loosen else Act.TIGHTEN,
        f"Stage {move.stage} of {len(work.to_do)}, fastener {move.fastener}: {move.what.words}"
        f"{'' if loosen else ', ' + work.joint.lubrication}.",
        _to_record(work, move),
        move.stage,
        move.fastener,
        at,
        len(todo),
    )


def _to_record(work: JointWork, move: Move) -> str:
    what = {
        StageKind.TORQUE: "the torque the wrench was set to, the wrench",
        StageKind.TURN: "the angle turned, the angle gauge",
        StageKind.LOOSEN: "done",
    }[move.what.kind]
    if move.stage == 1 and move.what.kind is StageKind.TORQUE:
        what += ", the lubricant used"
    return f"{work.step}/{move.check}, feature {move.fastener}: {what}"


def _restart(work: JointWork, reason: str, at: int, of: int) -> NextFastener:
    words = "Loosen every fastener fully, then begin again with the first at stage 1."
    words += " If only the entry is wrong, correct the entry instead."
    if work.joint.again is Again.NO:
        words += " The sheet has these used once only: fit new ones where it says so."
    elif work.joint.again is Again.LENGTH:
        words += " Measure their free length before they go back."
    record = f"{work.step}/loosen: done"
    return NextFastener(Act.RESTART, words, record, 0, "", at, of, reason)


def _wrong(todo: Sequence[Move], at: int, record: Record, joint: Joint) -> str:
    """Why this record is not the next move, "" when it is."""
    named = f"fastener {record.feature or '(none named)'}, {record.check}"
    if at == len(todo):
        return f"{named} was recorded after the last one: nothing is to be added"
    move = todo[at]
    if (record.check, record.feature) != (move.check, move.fastener):
        before = any((m.check, m.fastener) == (record.check, record.feature) for m in todo[:at])
        if before:
            return f"{named} was recorded a second time"
        return f"{named} was recorded where fastener {move.fastener}, {move.check} was next"
    if move.what.kind is StageKind.LOOSEN:
        return "" if record.word in CONFIRMED else f"{named}: '{record.result}' instead of 'done'"
    if not record.tool:
        return f"{named}: no {'wrench' if move.what.kind is StageKind.TORQUE else 'gauge'} named"
    return _lubricant(record, move, joint, named) or _value(record, move, joint, named)


def _lubricant(record: Record, move: Move, joint: Joint, named: str) -> str:
    if not record.lubricant:
        if move.stage > 1 or move.what.kind is not StageKind.TORQUE:
            return ""
        return f"{named}: no lubricant recorded; the sheet has: {joint.lubrication}"
    said = record.lubricant.strip().casefold()
    # `engine oil` is enough where the sheet goes on with where it goes
    wanted = joint.lubrication.casefold()
    if not (wanted.startswith(said) and wanted[len(said) : len(said) + 1] in ("", " ", ",", ";")):
        return f"{named}: lubricant '{record.lubricant}', and the sheet has: {joint.lubrication}"
    return ""


def _value(record: Record, move: Move, joint: Joint, named: str) -> str:
    torque = move.what.kind is StageKind.TORQUE
    dimension = "torque" if torque else "angle"
    try:
        typed = parse(record.result, dimension, record.unit or None)
    except (QuantityError, LookupError):
        return f"{named}: '{record.result}' is not {'a torque' if torque else 'an angle'}"
    wanted = move.what.value
    assert wanted is not None
    if torque:
        either_way = None if joint.torque_tolerance is None else wanted * joint.torque_tolerance
    else:
        either_way = joint.turn_tolerance
    if either_way is None:
        either_way = typed.step / 2
    if abs(typed.value - wanted) <= either_way:
        return ""
    shown = show_quantity(wanted, dimension)
    return f"{named}: {record.result} {record.unit}".rstrip() + f" recorded, {shown} wanted"
