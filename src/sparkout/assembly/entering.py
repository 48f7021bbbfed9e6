"""Before a check is written into the log: can this build take it, and is it its turn."""

from __future__ import annotations

from collections.abc import Sequence

from sparkout.assembly._strays import strays
from sparkout.assembly.fastening import Act, next_fastener
from sparkout.assembly.mock_up import mock_up
from sparkout.assembly.progress import Progress, StepState, StepStatus
from sparkout.assembly.records import CONFIRMED, REFUSED, Record
from sparkout.assembly.step import CheckKind, StepCheck
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.frame import Frame
from sparkout.faults import Fault, Place
from sparkout.sheet.shop import Shop
from sparkout.units import QuantityError, parse, parse_gap

__all__ = ["entry_faults", "held_by"]

_PARTS = ("used", "substitute")


def held_by(record: Record, build: Progress) -> tuple[str, ...]:
    """Why a check may not be entered yet: the step it belongs to is held by those before it.

    A reading is a fact and may be entered at any time; so may parts, waivers, and that a joint was
    loosened. What says that a step was done waits for its turn.

    record: the entry as it would be made [-].
    build: the build as it stands [-].
    Returns the reasons; none where it may be entered.
    Holds for steps of this build; others hold nothing.
    Source: gates between steps are common practice.

    >>> held_by(Record("wash-parts", "", "", "", "done"), Progress((), ()))
    ()
    """
    status = _status(record, build)
    free = record.check in BY_NAME or record.check in (*_PARTS, "loosen", "interrupted")
    if status is None or free or record.waived:
        return ()
    return tuple(
        f"'{other.step.title}' ({other.step.id}) is {_how(other)}"
        for other in build.steps
        if other.step.id in status.step.after and other.state is not StepState.DONE
    )


def _how(status: StepStatus) -> str:
    if status.state is StepState.FAILED:
        return f"not in order: {status.reasons[0].rstrip('.')}"
    return "held itself" if status.state is StepState.HELD else "not recorded as done"


def _status(record: Record, build: Progress) -> StepStatus | None:
    return next((status for status in build.steps if status.step.id == record.step), None)


def entry_faults(
    record: Record, build: Progress, recorded: Sequence[Record], frame: Frame, shop: Shop
) -> tuple[Fault, ...]:
    """What is wrong with a check before it is entered: no such step, check, fastener or unit.

    record: the entry as it would be made [-].
    build: the build as it stands [-].
    recorded: the check entries before it, in the order of the log [-].
    frame: the engine's features [-].
    shop: units and gauges [-].
    Returns the faults, each of which stops it; a result out of its limits is none.
    Holds for steps of this build.
    Source: common practice; one fastener at a time as `next_fastener`.

    >>> entry_faults(Record("wash", "", "", "", "done"), Progress((), ()), (), None, None)[0].found
    "'wash'"
    """
    faults = [fault._replace(stops=True) for fault in
              strays([status.step for status in build.steps], (record,))]  # fmt: skip
    status = _status(record, build)
    if faults or status is None:
        return tuple(faults)
    if record.waived:
        return () if record.note else (_fault("note", "no reason", "why it is let pass"),)
    if record.check in BY_NAME:
        return _elsewhere(record, frame) or mock_up((record,), frame, shop).faults
    if record.check == "substitute":
        return _substitute(record)
    if status.step.joint is not None and record.check.startswith("stage "):
        before = next_fastener(status.step.joint, recorded)
        after = next_fastener(status.step.joint, (*recorded, record))
        if before.act is Act.RESTART:
            return (_fault("step", before.reason, "the joint loosened fully first",
                           f'Record "{record.step}/loosen" done.'),)  # fmt: skip
        if after.act is Act.RESTART:
            return (_fault("result", after.reason, before.words.rstrip(".")),)
        return ()
    check = next((c.check for c in status.checks if c.check.name == record.check), None)
    if check is None and record.check == "":
        check = next((c.check for c in status.checks if c.check.kind is CheckKind.SEEN), None)
        return _seen(record) if check is not None or not status.checks else ()
    return () if check is None else _result(record, check, shop)


def _fault(key: str, found: str, expected: str, remedy: str = "") -> Fault:
    return Fault(Place(key=f"check, {key}"), found, expected, remedy)


def _elsewhere(record: Record, frame: Frame) -> tuple[Fault, ...]:
    """A reading named on a feature that it is never read on: it would be judged by nothing."""
    kind = BY_NAME[record.check].feature
    feature = frame.feature(record.feature)
    if feature is None or feature.kind == kind:
        return ()
    names = ", ".join(item.name for item in frame.of_kind(kind)[:6])
    return (_fault("feature", f"'{record.feature}'", f"where {record.check} is read: {names}"),)


def _substitute(record: Record) -> tuple[Fault, ...]:
    faults = []
    if not record.note:
        faults.append(_fault("note", "no reason", "why another part was fitted"))
    if not record.second_person:
        faults.append(_fault("second person", "nobody", "who approved the other part"))
    return tuple(faults)


def _seen(record: Record) -> tuple[Fault, ...]:
    if record.word in CONFIRMED | REFUSED:
        return ()
    return (_fault("result", f"'{record.result}'", "'done', or 'not ok' with a note"),)


def _result(record: Record, check: StepCheck, shop: Shop) -> tuple[Fault, ...]:
    if check.kind is CheckKind.SEEN:
        return _seen(record)
    if check.kind is not CheckKind.FIGURE:
        return ()
    words = record.result.casefold()
    try:
        if check.dimension == "length" and any(word in words for word in ("fits", "goes", "not")):
            parse_gap(record.result, shop.units)
        else:
            parse(record.result, check.dimension, record.unit or None)
    except QuantityError as wrong:
        return (_fault("result", wrong.found, wrong.expected, wrong.remedy),)
    return ()
