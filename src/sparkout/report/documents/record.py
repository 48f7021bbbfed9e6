"""The build record: what came in, what was found, decided, done and left, and by whom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sparkout.cautions import SafetyMessage
from sparkout.plan.decide import Plan
from sparkout.report.documents.built.as_found import reading_tables, test_rows, untested
from sparkout.report.documents.built.as_left import AsLeft, as_left, as_left_rows
from sparkout.report.documents.built.assembled import (
    Build,
    build_of,
    check_rows,
    run_in,
    tightening_rows,
    waived_by,
    waived_rows,
)
from sparkout.report.documents.built.decided import choices, decisions, grades, stampings
from sparkout.report.documents.built.logged import (
    corrections,
    deviations,
    parts_received,
    photos,
    sights,
    work_done,
)
from sparkout.report.documents.built.missing import missing
from sparkout.report.documents.engine import approvals, identity
from sparkout.report.documents.judged import judged_rows
from sparkout.report.documents.source import Document, Source
from sparkout.report.documents.wording import sentence
from sparkout.report.pictures.bores import draw_bores
from sparkout.report.pictures.crank import draw_crank
from sparkout.report.pictures.engine import draw_engine
from sparkout.report.pictures.limits import draw_limits

__all__ = ["build_record"]

_BARS = 12


def build_record(source: Source, messages: Sequence[SafetyMessage] = ()) -> Document:
    """The record; a draft that lists what is missing as long as anything is."""
    job = source.job
    left = as_left(source)
    build = build_of(source, messages)
    lacks = missing(source, left, build)
    drawings = _drawings(source, left)
    data: dict[str, Any] = {
        "frame": source.frame("Build record, DRAFT" if lacks else "Build record"),
        "draft": bool(lacks),
        "missing": lacks,
        "identity": identity(source),
        "scope": _scope(source),
        "pictures": list(drawings),
        "found": reading_tables(source, source.found),
        "found_judged": judged_rows(source.found, source.words, source.found_sizes),
        "tests": test_rows(source),
        "untested": untested(source),
        "sights": sights(source),
        "decisions": decisions(source),
        "choices": choices(source),
        "approvals": approvals(source),
        "parts": parts_received(source),
        "accounts": [[line.part, str(line.planned), str(line.received), str(line.used),
                      line.verdict.value] for line in build.parts],
        "work": work_done(source),
        "left": as_left_rows(source, left, waived_by(build.records)),
        "grades": grades(source),
        "tightening": tightening_rows(build),
        "checks": check_rows(build),
        "waived": waived_rows(build),
        "photos": photos(source),
        "deviations": _deviations(source, build),
        "stampings": stampings(source),
        "run": run_in(build),
        "corrections": corrections(source),
        "superseded": str(len(job.replayed.superseded)),
        "signatures": ["Machinist", "Assembled by", "Inspected by", "Released by"],
        "proof": source.proof(),
    }  # fmt: skip
    return Document("record", data, drawings)


def _drawings(source: Source, left: AsLeft) -> dict[str, str]:
    job = source.job
    drawings = {"engine": draw_engine(job, source.found, job.state.found)}
    read = [f for f in left.findings if f.low is not None and f.bounds is not None]
    for name, drawn in (
        ("bores", draw_bores(job, source.found, "found")),
        ("bores_left", draw_bores(job, left.findings, "left", "mock-up")),
        ("crank", draw_crank(job, source.found, job.state.found)),
        ("limits", draw_limits(read[:_BARS], job.shop.units, float(job.shop.confidence),
                               "As left against limits") if read else None),
    ):  # fmt: skip
        if drawn is not None:
            drawings[name] = drawn
    return drawings


def _scope(source: Source) -> list[str]:
    """What this job covers, and what it does not."""
    plan = source.decided
    told = [
        f"Judged: {len(source.job.checks)} limits of the data sheet, on every feature they are "
        "about."
    ]
    if isinstance(plan, Plan):
        words = [sentence(reason.words, end="") for reason in plan.reasons]
        told.append(f"Decided work: {'; '.join(words)}." if words else "Decided work: none.")
    declined = [text for approval in approvals(source) for text in approval["declined"]]
    if declined:
        told.append(f"Declined by the customer: {'; '.join(declined)}.")
    kinds = sorted(set(source.job.frame.kinds()) - _judged_kinds(source))
    if kinds:
        told.append(f"Not part of it, for want of limits on the data sheet: {', '.join(kinds)}.")
    return told


def _judged_kinds(source: Source) -> set[str]:
    """Kinds of feature that some limit is about, in itself or as part of a fit."""
    found = set()
    for check in source.job.checks:
        keys = [key for _, key in check.instance.terms]
        keys += [key for _, one in check.instance.inner for _, key in one.terms]
        for name in (check.instance.feature, *(key.feature for key in keys)):
            feature = source.job.frame.feature(name)
            if feature is not None:
                found.add(feature.kind)
    return found


def _deviations(source: Source, build: Build) -> list[str]:
    """Work done otherwise than planned, and parts fitted instead of others."""
    told = deviations(source)
    told += [f"{sentence(line.words)}" for line in build.parts if line.instead]
    return told
