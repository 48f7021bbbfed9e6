"""Tightening steps: each joint of the sheet on each feature it is on."""

from __future__ import annotations

from sparkout.assembly.fastening import JointWork
from sparkout.assembly.step import CheckKind, Stage, Step, StepCheck
from sparkout.assembly.tightening import order_in_words
from sparkout.engine.frame import Frame
from sparkout.sheet.assembly_model import Again, Joint, StageKind
from sparkout.sheet.assembly_model import Stage as Turned
from sparkout.sheet.model import Bounds

__all__ = ["missing_joint", "retightening_steps", "slug", "tightening_steps"]

_THROUGH = {
    1: "",
    2: "Both fasteners through one stage before either goes on. ",
    3: "All fasteners through one stage before any goes on. ",
}


def slug(text: str) -> str:
    """A name as an id: `main caps` → `main-caps`."""
    return "-".join(text.casefold().replace("/", " ").split())


def tightening_steps(
    joint: Joint, frame: Frame, stage: Stage, after: tuple[str, ...]
) -> tuple[Step, ...]:
    """A step for each feature the joint is on; none where the engine has no such feature."""
    return tuple(
        _step(joint, feature, f"tighten-{_suffix(joint, feature)}", stage, after)
        for feature in _features(joint, frame)
    )


def retightening_steps(joint: Joint, frame: Frame, after: tuple[str, ...]) -> tuple[Step, ...]:
    """A step for each feature whose joint is tightened again after warm-up."""
    again = joint.retorque
    if again is None:
        return ()
    found = []
    for feature in _features(joint, frame):
        step_id = f"retighten-{_suffix(joint, feature)}"
        found.append(
            Step(
                step_id,
                f"Tighten {_named(joint, feature)} again",
                Stage.START,
                (feature,) if feature else (),
                (f"When: {again.when}.", _stages_words([s.words for s in again.stages])),
                lubricant=joint.lubrication,
                checks=(_fasteners(joint, feature),),
                joint=JointWork(step_id, joint, feature, again.stages),
                operations=_operations("retighten", again.stages),
                after=after,
                gate="every fastener recorded in order",
                source=joint.source,
            )
        )
    return tuple(found)


def missing_joint(name: str, stage: Stage, after: tuple[str, ...]) -> Step:
    """A step for a joint the sheet says nothing of: held until somebody says what was done.

    No figure is invented where the sheet has none.
    """
    words = (
        "no tightening data on the sheet: record stages, lubrication, order and where they are "
        "from in the note"
    )
    return Step(
        f"tighten-{slug(name)}",
        f"Tighten {name}",
        stage,
        (),
        ("The data sheet has no figures for this joint. Take them from the maker's book; better, "
         "add them to the sheet under `tightening`.",),
        checks=(StepCheck("tightened", CheckKind.SEEN, words, needs_note=True),),
        operations=("tighten",),
        after=after,
        gate=words,
        second_person=True,
        source="",
    )  # fmt: skip


def _features(joint: Joint, frame: Frame) -> tuple[str, ...]:
    if not joint.each:
        return ("",)
    return tuple(feature.name for feature in frame.of_kind(joint.each))


def _suffix(joint: Joint, feature: str) -> str:
    """`rod caps` on `rod 2` → `rod-caps-2`; `head` on `head left` → `head-left`."""
    tail = feature[len(joint.each) :].strip() if feature else ""
    return slug(f"{joint.name} {tail}")


def _named(joint: Joint, feature: str) -> str:
    if not feature or feature == joint.name:
        return joint.name
    return feature if feature.startswith(joint.name) else f"{joint.name} of {feature}"


def _stages_words(stages: list[str]) -> str:
    return "Stages: " + "; then ".join(stages) + "."


def _operations(work: str, stages: tuple[Turned, ...]) -> tuple[str, ...]:
    """What the cautions go by: a turn takes a fastener to its yield or near it."""
    by_angle = any(stage.kind is StageKind.TURN for stage in stages)
    return (work, f"{work} by angle") if by_angle else (work,)


def _fasteners(joint: Joint, feature: str) -> StepCheck:
    return StepCheck(
        "fasteners",
        CheckKind.FASTENERS,
        f"{joint.count} × {joint.fastener} {joint.thread}, every stage in order",
        feature,
        "torque wrench and angle gauge by their numbers",
        source=joint.source,
    )


def _step(joint: Joint, feature: str, step_id: str, stage: Stage, after: tuple[str, ...]) -> Step:
    do = [
        f"{joint.count} × {joint.fastener} {joint.thread}, "
        f"{order_in_words(joint.pattern, joint.count)}.",
        _stages_words([s.words for s in joint.stages]),
        _THROUGH[min(joint.count, 3)] + "An interrupted sequence is loosened fully and begun again "
        "from the first; never add a bit.",
    ]
    checks: list[StepCheck] = []
    if joint.again is Again.NO:
        do.insert(0, "New fasteners: these are used once only.")
    elif joint.again is Again.UNSAID:
        do.insert(0, "The sheet does not say whether used fasteners may go back: ask the maker.")
    if joint.longest is not None:
        bounds = Bounds(None, joint.longest, f"at most {float(joint.longest):g} mm")
        checks.append(
            StepCheck("free length", CheckKind.FIGURE,
                      f"free length of the longest fastener: {bounds.typed}", feature,
                      "calliper or bolt micrometer, each one", "length", "", bounds,
                      source=joint.source)
        )  # fmt: skip
    if joint.note:
        do.append(joint.note)
    checks.append(_fasteners(joint, feature))
    return Step(
        step_id,
        f"Tighten {_named(joint, feature)}",
        stage,
        (feature,) if feature else (),
        tuple(do),
        lubricant=joint.lubrication,
        checks=tuple(checks),
        joint=JointWork(step_id, joint, feature),
        operations=_operations("tighten", joint.stages),
        after=after,
        gate="every fastener recorded in order, at its value",
        second_person=True,
        source=joint.source,
    )
