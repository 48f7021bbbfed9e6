"""The maker's own steps put among the trade's."""

from __future__ import annotations

from dataclasses import replace

from sparkout.assembly._details import own_checks
from sparkout.assembly._joints import slug, tightening_steps
from sparkout.assembly._view import EngineView
from sparkout.assembly.step import Stage, Step
from sparkout.faults import Fault, Place
from sparkout.sheet.assembly_model import MakerStep
from sparkout.sheet.model import DataSheet
from sparkout.sheet.nearest import nearest

__all__ = ["with_maker"]

# Where a step of the maker's own goes that does not say after what.
_LATE = "fit-covers"


def with_maker(
    steps: tuple[Step, ...], sheet: DataSheet, view: EngineView
) -> tuple[tuple[Step, ...], tuple[Fault, ...]]:
    """All steps in an order that holds, and what the maker's section gets wrong."""
    merged = list(steps)
    faults: list[Fault] = []
    for row in sheet.assembly.steps:
        ids = [step.id for step in merged]
        after = tuple(slug(name) for name in row.after)
        unknown = [name for name in after if name not in ids]
        for name in unknown:
            hint = nearest(name, ids)
            faults.append(Fault(Place(key=f"assembly, {row.step}, after"), f"'{name}'",
                                "a step of this engine's assembly sheet",
                                f"Did you mean '{hint}'?" if hint else "", stops=False),
                          )  # fmt: skip
        after = _closing(merged, tuple(name for name in after if name in ids))
        own = slug(row.step)
        if own in ids:
            at = ids.index(own)
            merged[at] = _added(merged[at], row, view, after)
            stage = merged[at].stage
        else:
            stage = next((s.stage for s in merged if s.id in after), Stage.BUILD)
            merged, after = _put_in(merged, row, own, stage, view, after)
        there = {step.joint.joint.name for step in merged if step.joint is not None}
        if row.joint and row.joint not in there:
            joint = sheet.assembly.joints[row.joint]
            merged = _closed(merged, own, tightening_steps(joint, view.frame, stage, (own,)))
    ordered, loops = _in_order(merged)
    return ordered, (*faults, *loops)


def _added(step: Step, row: MakerStep, view: EngineView, after: tuple[str, ...]) -> Step:
    """A step of the trade with the maker's word on top."""
    return replace(
        step,
        title=row.title or step.title,
        do=(*row.do, *step.do),
        lubricant=row.lubricant or step.lubricant,
        sealant=row.sealant or step.sealant,
        orientation=row.orientation or step.orientation,
        fasteners=row.fasteners or step.fasteners,
        marks=row.marks or step.marks,
        align=row.align or step.align,
        parts=(*step.parts, *(p for kind in row.parts for p in view.facts.of_kind(kind)
                              if p not in step.parts)),
        checks=(*step.checks, *own_checks(row.checks, view, row.source)),
        operations=tuple(dict.fromkeys((*step.operations, *row.operations))),
        after=tuple(dict.fromkeys((*step.after, *after))),
        source=f"{row.source}; {step.source}",
    )  # fmt: skip


def _put_in(
    steps: list[Step],
    row: MakerStep,
    own: str,
    stage: Stage,
    view: EngineView,
    after: tuple[str, ...],
) -> tuple[list[Step], tuple[str, ...]]:
    """A new step behind those it comes after; what waited for them waits for it as well."""
    ids = [step.id for step in steps]
    if not after:
        at = ids.index(_LATE)
        after = steps[at].after
    else:
        at = max(ids.index(name) for name in after) + 1
    blank = Step(own, row.title or row.step, stage, operations=(), after=after, source="")
    new = _added(blank, row, view, ())
    new = replace(new, source=row.source)
    behind = [
        replace(step, after=(*step.after, own)) if set(step.after) & set(after) else step
        for step in steps[at:]
    ]
    return [*steps[:at], new, *behind], after


def _closing(steps: list[Step], after: tuple[str, ...]) -> tuple[str, ...]:
    """Steps by name, those that are closed by tightening as the tightening that closes them."""
    found: list[str] = []
    for name in after:
        closing = [s.id for s in steps if s.joint is not None and s.after == (name,)]
        found.extend(closing or [name])
    return tuple(found)


def _closed(steps: list[Step], own: str, tail: tuple[Step, ...]) -> list[Step]:
    """The tightening steps behind their step; what waited for the step waits for them."""
    at = next(k for k, step in enumerate(steps) if step.id == own) + 1
    names = tuple(step.id for step in tail)
    behind = [
        replace(step, after=(*step.after, *names)) if own in step.after else step
        for step in steps[at:]
    ]
    return [*steps[:at], *tail, *behind]


def _in_order(steps: list[Step]) -> tuple[tuple[Step, ...], tuple[Fault, ...]]:
    """Steps so that none stands before one that holds it.

    Where some wait for each other, the first of them as they stood goes on without: the sheet is
    still one that can be looked at, and the fault says that it cannot be right.
    """
    left = list(steps)
    done: set[str] = set()
    ordered: list[Step] = []
    faults: list[Fault] = []
    while left:
        ready = next((step for step in left if done.issuperset(step.after)), None)
        if ready is None:
            names = ", ".join(step.id for step in left)
            faults.append(
                Fault(Place(key="assembly, after"), f"steps that wait for each other: {names}",
                      "an order with a beginning", "Take one `after` out.")
            )  # fmt: skip
            waiting = left.pop(0)
            ready = replace(waiting, after=tuple(a for a in waiting.after if a in done))
            left.insert(0, ready)
        left.remove(ready)
        done.add(ready.id)
        ordered.append(ready)
    return tuple(ordered), tuple(faults)
