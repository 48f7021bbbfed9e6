"""The build as plain objects for --json: stable keys, states in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sparkout.assembly.fastening import JointWork, NextFastener, moves
from sparkout.assembly.lash import LashTable, ValveLash
from sparkout.assembly.progress import CheckStatus, StepStatus
from sparkout.assembly.run_sheet import RunSheet
from sparkout.report.documents.built.assembled import Build
from sparkout.sheet.model import Bounds

__all__ = ["assembly_data", "joint_data", "lash_data", "next_data", "step_data"]


def assembly_data(
    engine: str, build: Build, chosen: Sequence[StepStatus], follows: str = ""
) -> dict[str, Any]:
    """Everything `assembly --json` prints. chosen: the steps asked for, all or one. follows: the
    plan it goes by, in a sentence."""
    return {
        "engine": engine,
        "follows": follows,
        "finished": build.progress.finished,
        "steps": [step_data(status) for status in chosen],
        "parts": [
            {
                "part": line.part,
                "planned": line.planned,
                "received": line.received,
                "used": line.used,
                "verdict": line.verdict.value,
                "settled": line.settled,
                "instead": line.instead,
                "reason": line.reason,
                "approved_by": line.approved_by,
            }
            for line in build.parts
        ],
        "first_start": _run(build.sheet.run),
        "strays": [str(fault) for fault in (*build.faults, *build.progress.faults)],
    }


def step_data(status: StepStatus) -> dict[str, Any]:
    """One step with its checks as they stand."""
    step = status.step
    return {
        "step": step.id,
        "title": step.title,
        "stage": step.stage.value,
        "state": status.state.value,
        "reasons": list(status.reasons),
        "notes": list(status.notes),
        "after": list(step.after),
        "features": list(step.features),
        "do": list(step.do),
        "lubricant": step.lubricant,
        "sealant": step.sealant,
        "orientation": step.orientation,
        "special_fasteners": step.fasteners,
        "timing_marks": step.marks,
        "align": step.align,
        "parts": [
            {"part": part.part, "count": part.count, "features": list(part.features)}
            for part in step.parts
        ],
        "checks": [_check(check) for check in status.checks],
        "next_fastener": None if status.next is None else next_data(status.next),
        "cautions": list(step.cautions),
        "second_person": step.second_person,
        "source": step.source,
    }


def _check(status: CheckStatus) -> dict[str, Any]:
    check = status.check
    return {
        "check": check.name,
        "kind": check.kind.value,
        "feature": check.feature,
        "words": check.words,
        "how": check.how,
        "bounds": None if check.bounds is None else _bounds(check.bounds),
        "state": status.state.value,
        "reading": status.reading,
        "reason": status.reason,
        "by": status.by,
        "second_person": status.second_person,
        "entries": list(status.entries),
        "source": check.source,
    }


def _bounds(bounds: Bounds) -> dict[str, Any]:
    return {
        "low": None if bounds.low is None else float(bounds.low),
        "high": None if bounds.high is None else float(bounds.high),
        "typed": bounds.typed,
    }


def next_data(following: NextFastener) -> dict[str, Any]:
    """What is to be done now on a joint."""
    return {
        "act": following.act.value,
        "words": following.words,
        "stage": following.stage,
        "fastener": following.fastener,
        "done": following.done,
        "of": following.of,
        "reason": following.reason,
        "record": following.record,
    }


def joint_data(work: JointWork) -> dict[str, Any]:
    """A joint of the sheet: fasteners with their places, stages, and every move in order."""
    joint = work.joint
    return {
        "name": joint.name,
        "feature": work.feature,
        "fastener": joint.fastener,
        "thread": joint.thread,
        "count": joint.count,
        "lubrication": joint.lubrication,
        "order": joint.pattern.value,
        "mapped": joint.mapped,
        "places": [
            {"fastener": place.name, "x": float(place.x), "y": float(place.y)}
            for place in joint.places
        ],
        "stages": [
            {
                "kind": stage.kind.value,
                "words": stage.words,
                "value": None if stage.value is None else float(stage.value),
            }
            for stage in work.to_do
        ],
        "moves": [{"stage": move.stage, "fastener": move.fastener} for move in moves(work)],
        "used_again": joint.again.value,
        "source": joint.source,
    }


def lash_data(table: LashTable) -> dict[str, Any]:
    """Crank positions with the valves set at each, and what each valve is set to."""
    return {
        "method": table.method,
        "positions": [
            {
                "cylinder": position.cylinder,
                "event": position.event,
                "angle": float(position.angle),
                "turn_on": float(position.turn_on),
                "words": position.words,
                "set_here": list(position.set_here),
                "may_set": list(position.may_set),
            }
            for position in table.positions
        ],
        "valves": [_valve(valve) for valve in table.valves],
        "assumptions": list(table.assumptions),
        "doubts": list(table.doubts),
        "source": table.source,
    }


def _valve(valve: ValveLash) -> dict[str, Any]:
    def pair(one: Any) -> dict[str, Any] | None:
        if one is None:
            return None
        return {"go": float(one.go), "no_go": float(one.no_go), "words": one.words,
                "rule_of_thumb": one.thumb}  # fmt: skip

    return {
        "valve": valve.valve,
        "side": valve.side,
        "cold": None if valve.cold is None else _bounds(valve.cold),
        "cold_pair": pair(valve.cold_pair),
        "hot": None if valve.hot is None else _bounds(valve.hot),
        "hot_pair": pair(valve.hot_pair),
    }


def _run(run: RunSheet) -> dict[str, Any]:
    return {
        "lines": [
            {"when": line.when, "words": line.words, "source": line.source} for line in run.lines
        ],
        "stages": [
            {"stage": s.name, "speed": s.speed, "load": s.load, "time": s.time, "watch": s.watch}
            for s in run.stages
        ],
        "stages_source": run.stages_source,
    }
