"""The map of a joint with what is done and which fastener is next."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.assembly.fastening import Act, JointWork, moves
from sparkout.assembly.progress import StepStatus
from sparkout.assembly.tightening import tightening_order
from sparkout.drawings.fasteners import Fastener, FastenerMap, fastener_map
from sparkout.sheet.assembly_model import FastenerPlace, StageKind

__all__ = ["draw_joint", "joint_of"]


def draw_joint(status: StepStatus) -> str | None:
    """The map, or None where the data sheet has none of this joint."""
    made = joint_of(status)
    return None if made is None else fastener_map(made)


def joint_of(status: StepStatus) -> FastenerMap | None:
    """The record behind `draw_joint`: the stage under way, or the first one still to come."""
    work, following = status.step.joint, status.next
    if work is None or following is None or not work.joint.mapped or work.joint.count < 2:
        return None
    joint = work.joint
    stage = following.stage or (len(work.to_do) if following.act is Act.DONE else 1)
    order = tightening_order(joint.places, joint.pattern, joint.order)
    if work.to_do[stage - 1].kind is StageKind.LOOSEN:
        order = order[::-1]
    done = {move.fastener for move in moves(work)[: following.done] if move.stage == stage}
    if following.act is Act.RESTART:
        done = set()
    number = {name: k for k, name in enumerate(order, start=1)}
    return FastenerMap(
        status.step.title,
        tuple(
            Fastener(float(p.x), float(p.y), number[p.name], p.name in done, p.name)
            for p in joint.places
        ),
        _stage(work, stage, following.act),
        ends=("", "") if _round(joint.places) else ("end of cylinder 1", "other end"),
    )


def _stage(work: JointWork, stage: int, act: Act) -> str:
    if act is Act.RESTART:
        return "Loosen all fully and begin again"
    if act is Act.DONE:
        return "All stages recorded"
    what = work.to_do[stage - 1]
    lubricant = "" if what.kind is StageKind.LOOSEN else f", {work.joint.lubrication}"
    return f"Stage {stage} of {len(work.to_do)}: {what.words}{lubricant}"


def _round(places: Sequence[FastenerPlace]) -> bool:
    """Whether they stand on one circle, which has no ends."""
    if len(places) < 3:
        return False
    x = sum(float(p.x) for p in places) / len(places)
    y = sum(float(p.y) for p in places) / len(places)
    out = [math.hypot(float(p.x) - x, float(p.y) - y) for p in places]
    return len({p.y for p in places}) > 2 and max(out) - min(out) < 0.01 * max(out)
