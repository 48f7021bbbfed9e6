"""A joint in a terminal: its stages, its map, what to do now, and what was recorded."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sparkout.assembly.fastening import Act, JointWork, moves
from sparkout.assembly.progress import StepState, StepStatus
from sparkout.assembly.records import Record
from sparkout.assembly.tightening import order_in_words, tightening_order
from sparkout.cautions import SafetyMessage
from sparkout.report.text.assembly import caution_lines
from sparkout.report.text.joint_map import joint_map
from sparkout.report.text.layout import heading, table, wrapped
from sparkout.sheet.assembly_model import Again, Joint, Stage, StageKind
from sparkout.units import rounded

__all__ = ["joint_text", "joints_text", "now_lines"]

_LAST = 6  # records shown; the log holds them all


def joints_text(engine: str, steps: Iterable[StepStatus]) -> list[str]:
    """Every tightening step with how far it has come."""
    lines = [*wrapped(engine), *heading("Joints")]
    rows = []
    for status in steps:
        if status.next is None:
            continue
        count = f"{status.next.done} of {status.next.of}"
        state = "begin again" if status.next.act is Act.RESTART else status.state.value
        rows.append((f"  {status.step.id}", status.step.title, state, count))
    lines += table(rows, right=(2, 3)) or ["  none on the data sheet"]
    return lines


def joint_text(
    status: StepStatus, recorded: Sequence[Record], messages: Iterable[SafetyMessage]
) -> list[str]:
    """One joint in full. recorded: every check entry of the log, in its order."""
    work = status.step.joint
    assert work is not None
    joint = work.joint
    lines = heading(status.step.title)[1:]
    text = f"{joint.count} × {joint.fastener} {joint.thread}, {_order_words(joint)}"
    lines += wrapped(f"Step {status.step.id}: {text}.", "  ")
    if status.state is StepState.HELD:
        for reason in status.reasons:
            lines += wrapped(f"Held: {reason.rstrip('.')}.", "  · ")
    lines += caution_lines(messages)
    lines += wrapped(f"lubrication: {joint.lubrication}", "  ", "      ")
    for number, stage in enumerate(work.to_do, start=1):
        lines += wrapped(f"stage {number}: {stage.words}{_allowed(stage, joint)}", "  ", "      ")
    lines += wrapped(f"used fasteners: {_again(joint)}", "  ", "      ")
    if joint.note:
        lines += wrapped(joint.note, "  ")
    lines += wrapped(f"source: {joint.source or 'none given'}", "  ")
    lines += ["", *_map(work, status), *now_lines(status)]
    lines += _recorded(status, recorded)
    return lines


def _order_words(joint: Joint) -> str:
    words = order_in_words(joint.pattern, joint.count)
    return f"order {words}" if joint.count > 2 else words


def _allowed(stage: Stage, joint: Joint) -> str:
    """How near a value has to be, where the sheet says."""
    if stage.kind is StageKind.TORQUE and joint.torque_tolerance is not None:
        return f" ± {rounded(joint.torque_tolerance * 100, 1).removesuffix('.0')} %"
    if stage.kind is StageKind.TURN and joint.turn_tolerance is not None:
        return f" ± {rounded(joint.turn_tolerance, 1).removesuffix('.0')}°"
    return "" if stage.kind is StageKind.LOOSEN else ", no tolerance given"


def _again(joint: Joint) -> str:
    match joint.again:
        case Again.YES:
            return "may go back"
        case Again.NO:
            return "never: new ones"
        case Again.LENGTH:
            longest = "" if joint.longest is None else f" {rounded(joint.longest, 2)} mm"
            return f"may go back up to a free length of{longest}"
        case _:
            return "the sheet does not say; ask the maker"


def _map(work: JointWork, status: StepStatus) -> list[str]:
    """Fasteners where they stand, with the marks of the stage that is under way."""
    joint, following = work.joint, status.next
    assert following is not None
    order = tightening_order(joint.places, joint.pattern, joint.order)
    if not joint.mapped or joint.count < 2:
        return []
    every = moves(work)[: following.done]
    stage = following.stage or (len(work.to_do) if following.act is Act.DONE else 0)
    done = {move.fastener for move in every if move.stage == stage}
    if stage and work.to_do[stage - 1].kind is StageKind.LOOSEN:
        order = order[::-1]
    marked = "" if status.state is StepState.HELD else following.fastener
    drawn = joint_map(joint.places, order, done, marked)
    listed = wrapped("order: " + ", ".join(order), "  ", "      ")
    if not drawn:
        return [*listed, ""]
    key = "  Number in the order above the name of each; ✓ at this stage, [ ] next."
    return [*drawn, "", key, ""]


def now_lines(status: StepStatus) -> list[str]:
    """What to do now, said to the person at the wrench."""
    following, work = status.next, status.step.joint
    assert following is not None
    assert work is not None
    if following.act is Act.DONE:
        return wrapped(f"{following.words} {following.of} of {following.of} recorded.", "  ✓ ")
    if following.act is Act.RESTART:
        lines = wrapped(f"{following.reason[0].upper()}{following.reason[1:]}.", "  ✕ ")
        return lines + wrapped(following.words, "    ")
    if status.state is StepState.HELD:
        return wrapped("Not yet: a step before holds this joint.", "  · ")
    lines = wrapped(following.words, "  ▸ ")
    lines += wrapped(f"{following.done} of {following.of} done. Record: "
                     f"{following.record.partition(': ')[2]}.", "    ")  # fmt: skip
    return lines


def _recorded(status: StepStatus, recorded: Sequence[Record]) -> list[str]:
    own = [record for record in recorded if record.step == status.step.id and (
        record.check.startswith("stage ") or record.check in ("loosen", "interrupted")
    )]  # fmt: skip
    if not own:
        return []
    rows = [
        (
            f"    {record.check}",
            record.feature or "–",
            f"{record.result} {record.unit}".strip(),
            record.tool or "–",
            record.lubricant,
            f"{record.by} {record.at[11:16]}",
        )
        for record in own[-_LAST:]
    ]
    more = f", the last {_LAST} of {len(own)}" if len(own) > _LAST else ""
    return ["", f"  Recorded{more}:", *table(rows)]
