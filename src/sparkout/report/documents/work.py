"""The shop's work sheet: each operation in its turn, with all that is dialled in and read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from sparkout.cautions import SafetyMessage
from sparkout.plan.decide import Plan, Stuck
from sparkout.plan.order import Step, order_of_work
from sparkout.plan.tables import MICRO
from sparkout.report.documents.engine import identity
from sparkout.report.documents.source import Document, Source, day
from sparkout.report.documents.steps.boxes import (
    boxes_of,
    changing_steps,
    readings_by_step,
)
from sparkout.report.documents.steps.cautions import cautions_of
from sparkout.report.documents.steps.numbers import numbers_of, short_names
from sparkout.report.documents.steps.parts import part_rows, parts_of_step, size_rows
from sparkout.report.documents.steps.trial import trial_rows
from sparkout.report.documents.wording import sentence
from sparkout.report.grouping import minus
from sparkout.report.pictures.engine import draw_engine
from sparkout.report.pictures.sections import draw_liner
from sparkout.report.pictures.work import draw_order
from sparkout.setups.all_steps import set_ups
from sparkout.setups.record import SetUp
from sparkout.setups.words import Said

__all__ = ["work_sheet"]

_BY_KIND = {"wash": ("wash",), "trial": ("turn crank", "lift"), "receive": ()}


def work_sheet(source: Source, messages: Sequence[SafetyMessage] = ()) -> Document:
    """The sheet. messages: cautions of the shop, or those that come with the program."""
    job, plan = source.job, source.made
    drawings = {"engine": draw_engine(job, job.findings, job.state.found)}
    data: dict[str, Any] = {
        "frame": source.frame("Work sheet"),
        "identity": identity(source),
        "proof": source.proof(),
        "stuck": _stuck(source.plan),
        "by_hand": [minus(sentence(finding.reason)) for finding in source.plan.left_out],
        "steps": [],
        "overview": [],
        "parts": [],
        "sizes": [],
        "amounts": [],
        "done": _done(source),
        "pictures": [],
    }
    if plan is not None:
        steps = order_of_work(plan.chosen, job.shop)
        finished = _finished(source)
        made = set_ups(job, plan, steps, None, messages)
        for name, drawn in (
            ("order", draw_order(job.frame, steps, finished)),
            ("liner", draw_liner(job, plan.after, plan.sizes, "as planned")),
        ):
            if drawn is not None:
                drawings[name] = drawn
        data["overview"] = [_overview(step, finished) for step in steps]
        data["parts"] = part_rows(source, plan)
        data["sizes"] = size_rows(source, plan)
        data["amounts"] = _amounts(source, plan)
        data["steps"] = _steps(source, plan, steps, made, messages, finished)
    data["pictures"] = list(drawings)
    return Document("work", data, drawings)


def _stuck(plan: Plan | Stuck) -> list[str]:
    return [minus(sentence(text)) for text in plan.sentences] if isinstance(plan, Stuck) else []


def _finished(source: Source) -> set[str]:
    """Operations that the log says were done. What is left of a plan has none of them: what it
    still names is still to be done, on other features."""
    if source.follows:
        return set()
    return {work.operation for _, work in source.job.located.work}


def _done(source: Source) -> list[list[str]]:
    return [
        [day(entry.at), work.operation, short_names(work.features), work.target or "–", entry.by]
        for entry, work in source.job.located.work
    ]


def _overview(step: Step, finished: set[str]) -> list[Any]:
    title = step.title.partition(";")[0].partition(":")[0]
    done = {"tick": step.operation in finished and bool(step.operation)}
    return [str(step.number), title, short_names(step.features), done]


def _amounts(source: Source, plan: Plan) -> list[list[str]]:
    """Depths the plan chose, and how far each may be moved, in whole steps of the dial.

    Ends are taken inwards, so that what is printed lies within what is allowed.
    """
    alike: dict[tuple[str, str], list[str]] = {}
    for item in plan.amounts:
        step = Fraction(plan.compiled.steps[item.name], MICRO)
        least, most = -(-item.least // step) * step, item.most // step * step
        shown = [minus(source.words.value(v, "deck height")) for v in (item.value, least, most)]
        span = "only this" if least >= most else f"{shown[1]} to {shown[2]}"
        alike.setdefault((shown[0], span), []).append(item.name)
    return [
        [sentence(short_names(names), end=""), value, span]
        for (value, span), names in alike.items()
    ]


def _steps(
    source: Source,
    plan: Plan,
    steps: Sequence[Step],
    made: Sequence[SetUp],
    messages: Sequence[SafetyMessage],
    finished: set[str],
) -> list[dict[str, Any]]:
    readings = readings_by_step(plan, steps, made, source.job.shop)
    numbers = {step.operation: step.number for step in steps if step.operation}
    changed = changing_steps(plan, numbers, source.job.shop)
    said = Said(source.job.shop.units)
    found = []
    for step in steps:
        own = [item for item in made if item.step == step.number]
        later = {key: max(at) for key, at in changed.items() if max(at) > step.number}
        boxes = boxes_of(source, plan, readings.get(step.number, ()), later)
        found.append(_step(source, plan, step, own, boxes, said, messages, finished))
    return found


def _step(
    source: Source,
    plan: Plan,
    step: Step,
    own: Sequence[SetUp],
    boxes: list[dict[str, Any]],
    said: Said,
    messages: Sequence[SafetyMessage],
    finished: set[str],
) -> dict[str, Any]:
    rate = source.job.shop.operations.get(step.operation)
    looks = _union(item.looks for item in own) or ([step.look] if step.look else [])
    named = [name for item in own for name in item.cautions]
    words = [step.operation] if step.operation else list(_BY_KIND.get(step.kind, ()))
    return {
        "number": step.number,
        "title": step.title.partition(";")[0].partition(":")[0],
        "text": step.title if ";" in step.title or ":" in step.title else "",
        "features": short_names(step.features),
        "machine": rate.machine if rate is not None else "",
        "away": step.kind == "outside",
        "receive": step.kind == "receive",
        "done": bool(step.operation) and step.operation in finished,
        "after": [sentence(reason) for reason in step.after],
        "parts": parts_of_step(plan, step),
        "stopped": any(item.refused for item in own),
        "waits": any(item.stopped and not item.refused for item in own),
        "blocks": numbers_of(own, said),
        "dry_run": _dry_run(own),
        "looks": [minus(text) for text in looks],
        "boxes": boxes,
        "trial": trial_rows(source, plan) if step.kind == "trial" else [],
        "cautions": cautions_of(messages, words, named),
        "liner": "fit dry liner" in step.operation,
    }


def _dry_run(own: Sequence[SetUp]) -> list[str]:
    """What is particular to a part first; pointing at each of many is one line."""
    rows = _union(item.dry_run for item in own)
    points = [row for row in rows if row.startswith("Point at ")]
    if len(points) > 2:
        tail = points[0].partition("; ")[2]
        first = "Point at each part before its own cut and say its name"
        rows = [f"{first}; {tail}" if tail else f"{first}.", *(r for r in rows if r not in points)]
    return [minus(row) for row in rows]


def _union(groups: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(text for group in groups for text in group))
