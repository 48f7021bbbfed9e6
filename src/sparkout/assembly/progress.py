"""Where a build stands, worked out from the log alone: what is done, open, held, failed, and why.

The next step is held until the checks of the one before are recorded and in order, or waived by a
person with a reason. Nothing is stored: the same log gives the same answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from sparkout.assembly._judging import CheckState, CheckStatus, Evidence, status_of
from sparkout.assembly._strays import strays
from sparkout.assembly.fastening import NextFastener, next_fastener
from sparkout.assembly.mock_up import mock_up
from sparkout.assembly.parts import PartLine
from sparkout.assembly.records import Record
from sparkout.assembly.step import CheckKind, Step
from sparkout.engine.frame import Frame
from sparkout.faults import Fault
from sparkout.sheet.shop import Shop

__all__ = ["CheckState", "CheckStatus", "Progress", "StepState", "StepStatus", "progress"]


class StepState(StrEnum):
    """Where a step stands."""

    DONE = "done"
    OPEN = "open"
    HELD = "held"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class StepStatus:
    """One step as it stands.

    reasons: why it is held or failed. next: the next fastener of a tightening step. notes: what
    should be looked at though it holds nothing: no second person, recorded before its turn.
    """

    step: Step
    state: StepState
    checks: tuple[CheckStatus, ...]
    reasons: tuple[str, ...] = ()
    next: NextFastener | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Progress:
    """The whole build, in the order of the sheet, and records that fit no step."""

    steps: tuple[StepStatus, ...]
    faults: tuple[Fault, ...]

    def of(self, step_id: str) -> StepStatus:
        for status in self.steps:
            if status.step.id == step_id:
                return status
        raise KeyError(f"no step {step_id!r}")

    def in_state(self, state: StepState) -> tuple[StepStatus, ...]:
        return tuple(status for status in self.steps if status.state is state)

    @property
    def finished(self) -> bool:
        return all(status.state is StepState.DONE for status in self.steps)

    @property
    def waived(self) -> tuple[tuple[Step, CheckStatus], ...]:
        """Everything somebody let pass, for the record."""
        return tuple(
            (status.step, check)
            for status in self.steps
            for check in status.checks
            if check.state is CheckState.WAIVED
        )


def progress(
    steps: Sequence[Step],
    recorded: Iterable[Record],
    frame: Frame,
    shop: Shop,
    accounts: Sequence[PartLine] = (),
) -> Progress:
    """The state of every step, from the records alone.

    Done: all its checks are in order or waived and all steps before it are done. Failed: a check
    was recorded and is out, or not proven within at the shop's confidence. Held: a step before it
    is not done. Open: everything else. Readings are judged as all findings are (ISO 14253-1), with
    the limits and side the step shows; the last reading of each place counts.

    steps: of the assembly sheet [-].
    recorded: the log's check entries, in its order [-].
    frame: the engine's features [-].
    shop: units, gauges and confidence [-].
    accounts: parts accounting, for the step that asks for it [-].
    Returns the progress.
    Holds for records made under the ids of these steps; others come back as faults.
    Source: gates between steps are common practice.

    >>> progress((), (), None, None).finished
    True
    """
    all_records = tuple(recorded)
    if not steps:
        return Progress((), strays(steps, all_records))
    seen = mock_up(all_records, frame, shop)
    by_step: dict[str, list[Record]] = {}
    for record in all_records:
        by_step.setdefault(record.step, []).append(record)
    evidence = Evidence(frame, shop, tuple(accounts))
    found: dict[str, StepStatus] = {}
    for step in steps:
        own = tuple(by_step.get(step.id, ()))
        found[step.id] = _status(step, own, evidence, found)
    faults = (*strays(steps, all_records), *seen.faults)
    return Progress(tuple(found.values()), faults)


def _status(
    step: Step, own: tuple[Record, ...], evidence: Evidence, before: dict[str, StepStatus]
) -> StepStatus:
    checks = status_of(step, own, evidence)
    following = next_fastener(step.joint, own) if step.joint is not None else None
    waiting = [before[name] for name in step.after if before[name].state is not StepState.DONE]
    bad = [
        check
        for check in checks
        if check.state in (CheckState.FAILED, CheckState.NOT_PROVEN)
        # parts are still coming and going in while a step before is not done
        and not (waiting and check.check.kind is CheckKind.PARTS)
    ]
    complete = all(c.state in (CheckState.PASSED, CheckState.WAIVED) for c in checks)
    if not checks:  # nothing to read: a plain word that it was done
        complete = any(record.check == "" and not record.waived for record in own)
    notes = _notes(step, own, complete, before)
    if bad:
        reasons = tuple(check.reason for check in bad)
        return StepStatus(step, StepState.FAILED, checks, reasons, following, notes)
    if waiting:
        reasons = tuple(_why(status) for status in waiting)
        return StepStatus(step, StepState.HELD, checks, reasons, following, notes)
    state = StepState.DONE if complete else StepState.OPEN
    return StepStatus(step, state, checks, (), following, notes)


def _why(status: StepStatus) -> str:
    """Why a step before holds the next."""
    title = f"'{status.step.title}'"
    if status.state is StepState.FAILED:
        return f"{title} failed: {status.reasons[0]}"
    missing = [check.check.label for check in status.checks if check.state is CheckState.OPEN]
    if status.state is StepState.HELD:
        return f"{title} is held itself"
    return f"{title} is not recorded: {', '.join(missing)}" if missing else f"{title} is not done"


def _notes(
    step: Step, own: tuple[Record, ...], complete: bool, before: dict[str, StepStatus]
) -> tuple[str, ...]:
    notes = []
    if step.second_person and complete and not any(record.second_person for record in own):
        notes.append("no second person recorded")
    if any(record.second_person and record.second_person == record.by for record in own):
        notes.append("the second person is the one who did it")
    last = max((c.number for name in step.after for c in before[name].checks), default=-1)
    if own and min(record.number for record in own) < last:
        notes.append("recorded before the step that holds it was in order")
    return tuple(notes)
