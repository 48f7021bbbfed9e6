"""What the log records of the job besides readings: work, parts, sights, photos, corrections."""

from __future__ import annotations

from typing import Any

from sparkout.job.bodies import (
    Correction,
    Intake,
    Measured,
    Observation,
    Part,
    Photo,
    Reading,
    Work,
)
from sparkout.job.entry import Entry
from sparkout.report.documents.source import Source, day
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.grouping import minus

__all__ = ["corrections", "deviations", "parts_received", "photos", "sights", "work_done"]


def work_done(source: Source) -> list[list[str]]:
    rows = []
    for entry, work in source.job.located.work:
        rows.append(
            [
                day(entry.at),
                work.operation,
                short_names(work.features),
                work.target or "–",
                "; ".join(_measured(row) for row in work.results) or "none entered",
                ", ".join(word for word in (work.machine, work.tool) if word) or "–",
                entry.by,
            ]
        )
    return rows


def _measured(row: Measured) -> str:
    place = ", ".join(word for word in (row.level, row.direction) if word)
    head = " ".join(word for word in (row.feature, row.characteristic, place) if word)
    unit = f" {row.unit}" if row.unit else ""
    gauge = f" [{row.gauge}]" if row.gauge else ""
    return minus(f"{head} {row.typed}{unit}{gauge}")


def deviations(source: Source) -> list[str]:
    """Where the work went otherwise than planned, in the words of whoever did it."""
    return [
        f"{day(entry.at)}, {work.operation} on {short_names(work.features)}: "
        f"{work.deviation_from_plan} ({entry.by})"
        for entry, work in source.job.located.work
        if work.deviation_from_plan
    ]


def parts_received(source: Source) -> list[list[str]]:
    rows = []
    for entry in source.job.replayed.effective:
        body = entry.body
        if not isinstance(body, Part):
            continue
        marks = ", ".join(
            word
            for word in (
                f"number {body.number}" if body.number else "",
                f"batch {body.batch}" if body.batch else "",
                body.supplier,
                body.note,
            )
            if word
        )
        rows.append(
            [
                body.part,
                body.quantity or "1",
                body.for_feature or "–",
                marks or "–",
                "; ".join(_measured(row) for row in body.sizes) or "not measured",
                f"{entry.by}, {day(entry.at)}",
            ]
        )
    return rows


def sights(source: Source) -> list[list[str]]:
    """Things seen rather than measured."""
    return [
        [day(entry.at), body.feature, body.what, body.text or "–", body.severity or "–", entry.by]
        for entry in source.job.replayed.effective
        if isinstance(body := entry.body, Observation)
    ]


def photos(source: Source) -> list[list[str]]:
    """Every photo by the hash it lies under, with what it belongs to."""
    rows = []
    for entry in source.job.replayed.effective:
        body = entry.body
        if isinstance(body, Observation | Intake):
            about = body.feature if isinstance(body, Observation) else "intake"
            rows += [[about, photo.name, photo.sha256, day(entry.at)] for photo in _of(body.photos)]
    return rows


def _of(some: tuple[Photo, ...]) -> tuple[Photo, ...]:
    return some


def corrections(source: Source) -> list[list[str]]:
    """Every correction: of what, what was done, why, and what stood there before."""
    entries = {entry.id: entry for entry in source.entries}
    rows = []
    for entry in source.in_order():
        body = entry.body
        if not isinstance(body, Correction):
            continue
        target = entries.get(body.of)
        about = "an entry that is not in this log" if target is None else _about(target)
        now = ", ".join(f"{name}: {value}" for name, value in body.body)
        rows.append([day(entry.at), entry.by, body.action, about, minus(now) or "–", body.reason])
    return rows


def _about(entry: Entry) -> str:
    """What an entry said, short: `reading of bore 2, bore diameter: 100.246 (Ines, 2027-03-01)`."""
    body: Any = entry.body
    words: str = entry.kind
    if isinstance(body, Reading):
        place = ", ".join(w for w in (body.level, body.direction) if w)
        at = f" at {place}" if place else ""
        words = f"reading of {body.feature}, {body.characteristic}{at}: {body.typed}"
    elif isinstance(body, Work):
        words = f"work: {body.operation} on {short_names(body.features)}"
    elif isinstance(body, Part):
        words = f"part: {body.part}"
    elif isinstance(body, Correction):
        words = f"correction ({body.action}): {body.reason}"
    return minus(f"{words} ({entry.by}, {day(entry.at)})")
