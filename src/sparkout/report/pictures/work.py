"""The order of work as a graph: a column for each part of the engine, time running down."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from sparkout.drawings.work_order import Operation, Precedence, WorkState, work_order
from sparkout.engine.frame import Frame
from sparkout.plan.order import Step
from sparkout.plan.precedence import PRECEDENCE

__all__ = ["draw_order", "order_graph"]

_LANES = (
    ("Crankshaft", ("crankshaft", "main journal", "rod journal", "damper", "flywheel")),
    ("Block", ("block", "deck", "bore", "parent bore", "liner", "ledge", "main housing")),
    ("Rods", ("rod", "rods", "piston", "rod bolt")),
    ("Head", ("head", "guide", "valve", "seat", "spring", "injector", "chamber")),
)


def draw_order(frame: Frame, steps: Iterable[Step], done: Collection[str] = ()) -> str | None:
    """Operations with what must come before what; None where there is nothing to do."""
    operations, before = order_graph(frame, steps, done)
    return work_order("What waits for what", operations, before) if operations else None


def order_graph(
    frame: Frame, steps: Iterable[Step], done: Collection[str] = ()
) -> tuple[tuple[Operation, ...], tuple[Precedence, ...]]:
    """The record behind `draw_order`. done: operations that the log says are done."""
    work = [step for step in steps if step.operation]
    names = {step.operation for step in work}
    before = tuple(
        Precedence(rule.first, rule.then, rule.why)
        for rule in PRECEDENCE
        if rule.first in names and rule.then in names
    )
    waiting = {pair.after for pair in before if pair.before not in done}
    operations = []
    for step in work:
        state = WorkState.WAITING
        if step.operation in done:
            state = WorkState.DONE
        elif step.operation not in waiting:
            state = WorkState.NEXT
        operations.append(
            Operation(
                step.operation,
                step.title.removesuffix(" (sent out)"),
                _lane(frame, step),
                "sent out" if step.kind == "outside" else "",
                state,
                bool(step.look),
                step.number,
            )
        )
    return tuple(operations), before


def _lane(frame: Frame, step: Step) -> str:
    feature = frame.feature(step.features[0]) if step.features else None
    kind = feature.kind if feature else ""
    return next((lane for lane, kinds in _LANES if kind in kinds), "Other")
