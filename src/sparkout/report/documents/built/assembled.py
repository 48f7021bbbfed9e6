"""The build itself: tightening, checks of the assembly sheet, what was let pass and by whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sparkout.assembly.build import AssemblySheet, assembly_sheet
from sparkout.assembly.parts import PartLine, account
from sparkout.assembly.progress import CheckState, Progress, StepState, progress
from sparkout.assembly.records import Record, records
from sparkout.assembly.step import PlanFacts, plan_facts
from sparkout.cautions import SafetyMessage
from sparkout.faults import Fault
from sparkout.load import Job
from sparkout.plan.decide import Plan, Stuck
from sparkout.report.documents.source import Source, day
from sparkout.report.grouping import minus

__all__ = ["Build", "build_for", "build_of", "check_rows", "run_in", "tightening_rows", "waived_by"]


@dataclass(frozen=True, slots=True)
class Build:
    """The assembly sheet of the job and how far the log says it has come.

    faults: what the data sheet gets wrong about assembly.
    """

    sheet: AssemblySheet
    progress: Progress
    parts: tuple[PartLine, ...]
    records: tuple[Record, ...]
    faults: tuple[Fault, ...] = ()

    @property
    def not_done(self) -> tuple[str, ...]:
        return tuple(
            status.step.title
            for status in self.progress.steps
            if status.state is not StepState.DONE
        )


def build_of(source: Source, messages: Sequence[SafetyMessage]) -> Build:
    """Sheet and progress from the plan as decided and the log."""
    return build_for(source.job, source.decided, messages)


def build_for(job: Job, plan: Plan | Stuck, messages: Sequence[SafetyMessage]) -> Build:
    """Sheet and progress. plan: as it was decided, before anything was cut."""
    facts = plan_facts(plan.chosen, job.sheet) if isinstance(plan, Plan) else PlanFacts()
    sheet, faults = assembly_sheet(job.sheet, job.frame, facts, messages, job.shop.units)
    standing = job.replayed.effective
    lines = account(facts, job.sheet, standing)
    noted = records(standing)
    made = progress(sheet.steps, noted, job.frame, job.shop, lines)
    return Build(sheet, made, lines, noted, faults)


def _step_title(build: Build, record: Record) -> str:
    step = build.sheet.step(record.step)
    return step.title if step is not None else record.step


def _joints(build: Build) -> set[str]:
    return {step.id for step in build.sheet.steps if step.joint is not None}


def tightening_rows(build: Build) -> list[list[str]]:
    """Every turn of a wrench in the log: step, stage, fastener, reading, wrench, lubricant, by."""
    joints = _joints(build)
    return [
        [
            _step_title(build, record),
            record.check,
            record.feature or record.position or "–",
            _result(record),
            record.tool or "–",
            record.lubricant or "–",
            _who(record),
        ]
        for record in build.records
        if record.step in joints
    ]


def check_rows(build: Build) -> list[list[Any]]:
    """Every other check of the assembly sheet in the log."""
    joints = _joints(build)
    return [
        [
            _step_title(build, record),
            " ".join(word for word in (record.check, record.position) if word) or "done",
            record.feature or "–",
            _result(record),
            record.tool or "–",
            _who(record),
            record.note or "–",
        ]
        for record in build.records
        if record.step not in joints
    ]


def _result(record: Record) -> str:
    return minus(f"{record.result} {record.unit}".strip())


def _who(record: Record) -> str:
    second = f", with {record.second_person}" if record.second_person else ""
    return f"{record.by}, {day(record.at)}{second}"


def waived_by(records_: Iterable[Record]) -> Mapping[tuple[str, str], str]:
    """Who let what pass and why, by check and feature."""
    return {
        (record.check, record.feature): f"{record.by}, {day(record.at)}: "
        f"{record.note or 'no reason entered'}"
        for record in records_
        if record.waived
    }


def waived_rows(build: Build) -> list[list[str]]:
    """What was let pass on the assembly sheet."""
    return [
        [step.title, check.check.label, check.reading, check.by, check.reason]
        for step, check in build.progress.waived
        if check.state is CheckState.WAIVED
    ]


def run_in(build: Build) -> dict[str, Any]:
    """First start and running in: lines by when, stages with boxes."""
    run = build.sheet.run
    whens = dict.fromkeys(line.when for line in run.lines)
    return {
        "lines": [
            {"when": when, "words": [minus(text) for text in run.of(when)]} for when in whens
        ],
        "stages": [[s.name, s.speed or "–", s.load or "–", s.time or "–", s.watch or "–"]
                   for s in run.stages],
        "source": run.stages_source,
        "checks": [
            [check.name, check.bounds.typed if check.bounds is not None else "to be seen"]
            for check in run.checks
        ],
    }  # fmt: skip
