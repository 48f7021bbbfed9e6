"""One check of a step against what was recorded for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from sparkout.assembly.fastening import Act, next_fastener
from sparkout.assembly.mock_up import latest, mock_up
from sparkout.assembly.parts import PartLine
from sparkout.assembly.records import CONFIRMED, REFUSED, Record
from sparkout.assembly.step import CheckKind, Step, StepCheck
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import Frame
from sparkout.engine.state import measured_state
from sparkout.judge.finding import Verdict, judge
from sparkout.judge.proof import Range, prove_all
from sparkout.judge.words import Words
from sparkout.measure.estimate import Estimate
from sparkout.sheet.model import Bounds
from sparkout.sheet.shop import Shop
from sparkout.units import QuantityError, parse, parse_gap

__all__ = ["CheckState", "CheckStatus", "Evidence", "status_of"]

_Sizes = MappingProxyType[Key, Dimension]


class CheckState(StrEnum):
    OPEN = "not recorded"
    PASSED = "in order"
    FAILED = "out"
    NOT_PROVEN = "not proven"
    WAIVED = "waived"


@dataclass(frozen=True, slots=True)
class CheckStatus:
    """One check as it stands. number: place in the log of its last record, -1 without one."""

    check: StepCheck
    state: CheckState
    reading: str = ""
    reason: str = ""
    entries: tuple[str, ...] = ()
    by: str = ""
    second_person: str = ""
    number: int = -1


class Evidence(NamedTuple):
    """What the checks of all steps are judged with."""

    frame: Frame
    shop: Shop
    accounts: tuple[PartLine, ...]


def status_of(step: Step, own: tuple[Record, ...], evidence: Evidence) -> tuple[CheckStatus, ...]:
    """Every check of a step, from the records made under the step's id."""
    sizes = _sizes(own, evidence)
    seen = [check for check in step.checks if check.kind is CheckKind.SEEN]
    found = []
    for check in step.checks:
        mine = _records(check, own, alone=len(seen) == 1)
        status = _judged(step, check, mine, own, sizes, evidence)
        if mine:
            last = mine[-1]
            status = replace(
                status,
                reading=status.reading or last.result,
                entries=tuple(record.entry for record in mine),
                by=last.by,
                second_person=last.second_person,
                number=max(record.number for record in mine),
            )
        found.append(_waived(check, status, own))
    return tuple(found)


def _records(check: StepCheck, own: tuple[Record, ...], *, alone: bool) -> tuple[Record, ...]:
    """The records a check rests on, the last of each place."""
    if check.kind is CheckKind.FASTENERS:
        return tuple(r for r in own if r.check.startswith("stage ") and not r.waived)
    named = {check.name}
    if check.kind is CheckKind.SEEN and alone:
        named.add("")
    mine = [r for r in own if r.check in named]
    if check.kind is CheckKind.SEEN:
        return latest(mine)[-1:]
    return tuple(r for r in latest(mine) if not check.feature or r.feature == check.feature)


def _waived(check: StepCheck, status: CheckStatus, own: tuple[Record, ...]) -> CheckStatus:
    """A person's word, with a reason, in place of a reading that is out or missing."""
    for record in reversed(own):
        about = record.check == check.name and record.feature in ("", check.feature)
        if not (record.waived and about) or record.number < status.number:
            continue
        if status.state is CheckState.PASSED:
            return status
        if not record.note:
            reason = f"{check.label}: waived without a reason; a waiver says why in its note"
            return replace(status, state=CheckState.FAILED, reason=reason, number=record.number)
        return replace(
            status,
            state=CheckState.WAIVED,
            reason=f"{check.label}: waived by {record.by}: {record.note}",
            entries=(*status.entries, record.entry),
            by=record.by,
            second_person=record.second_person,
            number=record.number,
        )
    return status


def _sizes(own: tuple[Record, ...], evidence: Evidence) -> _Sizes:
    """What the step's own readings make known."""
    if not any(record.check in BY_NAME for record in own):
        return MappingProxyType({})
    read = mock_up(own, evidence.frame, evidence.shop)
    sizes = dict(measured_state(evidence.frame, read.spots).sizes)
    for test in read.tests:
        value = Estimate(Fraction(0 if test.passed else 1))
        sizes[test.key] = Dimension(test.key, value, value, How.MEASURED, (test.entry,))
    return MappingProxyType(sizes)


def _judged(
    step: Step,
    check: StepCheck,
    mine: tuple[Record, ...],
    own: tuple[Record, ...],
    sizes: _Sizes,
    evidence: Evidence,
) -> CheckStatus:
    match check.kind:
        case CheckKind.READING | CheckKind.DERIVED:
            return _reading(check, mine, sizes, evidence.shop)
        case CheckKind.LARGEST:
            return _largest(check, sizes, evidence)
        case CheckKind.FIGURE:
            return _figure(check, mine, evidence.shop)
        case CheckKind.SEEN:
            return _seen(check, mine)
        case CheckKind.FASTENERS:
            return _fasteners(step, check, own)
        case CheckKind.PARTS:
            return _parts(check, evidence.accounts)


def _reading(check: StepCheck, mine: tuple[Record, ...], sizes: _Sizes, shop: Shop) -> CheckStatus:
    assert check.judged is not None
    finding = judge(
        check.judged,
        sizes,
        side=check.side,
        confidence=float(shop.confidence),
        words=Words(shop.units),
        gauges=shop.gauges,
    )
    state = {
        Verdict.WITHIN: CheckState.PASSED,
        Verdict.NO_LIMIT: CheckState.PASSED,
        Verdict.NOT_PROVEN: CheckState.NOT_PROVEN,
        Verdict.NOT_MEASURED: CheckState.OPEN,
    }.get(finding.verdict, CheckState.FAILED)
    if state is CheckState.NOT_PROVEN and _proved_by_blades(check, mine, shop):
        state = CheckState.PASSED
    shown = ""
    if finding.low is not None and finding.high is not None:
        words = Words(shop.units)
        shown = words.span(finding.low.value, finding.high.value, check.characteristic)
    reason = " ".join(part for part in (finding.reason, finding.settle) if part)
    return CheckStatus(check, state, shown, "" if state is CheckState.OPEN else reason)


def _proved_by_blades(check: StepCheck, mine: tuple[Record, ...], shop: Shop) -> bool:
    """A go and a no-go blade that both lie within the limits prove a gap, however wide the pair."""
    if check.bounds is None or check.dimension != "length" or not mine:
        return False
    return all(
        _is_pair(record)
        and _inside(record, check.dimension, check.bounds, shop) is CheckState.PASSED
        for record in mine
    )


def _is_pair(record: Record) -> bool:
    words = record.result.casefold()
    return any(word in words for word in ("fits", "pass", "goes", "not"))


def _largest(check: StepCheck, sizes: _Sizes, evidence: Evidence) -> CheckStatus:
    assert check.bounds is not None
    kind = BY_NAME[check.characteristic].feature
    keys = [Key(f.name, check.characteristic) for f in evidence.frame.of_kind(kind)]
    if any(key not in sizes for key in keys) or not keys:
        return CheckStatus(check, CheckState.OPEN)
    top = max((sizes[key] for key in keys), key=lambda size: size.high.value)
    words = Words(evidence.shop.units)
    shown = words.value(top.high.value, check.characteristic)
    (proof,) = prove_all((Range(top.high, top.high, check.bounds.low, check.bounds.high),))
    if proof.conforming >= float(evidence.shop.confidence):
        return CheckStatus(check, CheckState.PASSED, shown)
    state = CheckState.NOT_PROVEN if proof.plain else CheckState.FAILED
    said = "not proven to be in" if proof.plain else "outside"
    limit = words.bounds(check.bounds, check.characteristic)
    return CheckStatus(check, state, shown,
                       f"{check.words}: {shown} at {top.key.feature} is {said} {limit}.",
                       )  # fmt: skip


def _figure(check: StepCheck, mine: tuple[Record, ...], shop: Shop) -> CheckStatus:
    if not mine:
        return CheckStatus(check, CheckState.OPEN)
    assert check.bounds is not None
    for record in mine:
        try:
            inside = _inside(record, check.dimension, check.bounds, shop)
        except QuantityError as wrong:
            reason = f"{check.label}: {wrong.found}; expected {wrong.expected}."
            return CheckStatus(check, CheckState.FAILED, record.result, reason)
        if inside is not CheckState.PASSED:
            word = "outside" if inside is CheckState.FAILED else "not proven to be in"
            reason = f"{check.label}: {record.result} is {word} {check.bounds.typed}."
            return CheckStatus(check, inside, record.result, reason)
    return CheckStatus(check, CheckState.PASSED, mine[-1].result)


def _inside(record: Record, dimension: str, bounds: Bounds, shop: Shop) -> CheckState:
    """The plain comparison, as these figures carry no gauge; a feeler pair proves both ends."""
    if dimension == "length" and _is_pair(record):
        blades = parse_gap(record.result, shop.units)
        if _outside(blades.low, blades.high, bounds):
            return CheckState.FAILED
        low = bounds.low is None or (blades.low is not None and blades.low >= bounds.low)
        high = bounds.high is None or (blades.high is not None and blades.high <= bounds.high)
        return CheckState.PASSED if low and high else CheckState.NOT_PROVEN
    value = parse(record.result, dimension, record.unit or None).value
    low = bounds.low is None or value >= bounds.low
    high = bounds.high is None or value <= bounds.high
    return CheckState.PASSED if low and high else CheckState.FAILED


def _outside(low: Fraction | None, high: Fraction | None, bounds: Bounds) -> bool:
    """Whether no gap between the blades can be in bounds."""
    over = low is not None and bounds.high is not None and low > bounds.high
    under = high is not None and bounds.low is not None and high <= bounds.low
    return over or under


def _seen(check: StepCheck, mine: tuple[Record, ...]) -> CheckStatus:
    if not mine:
        return CheckStatus(check, CheckState.OPEN)
    record = mine[-1]
    if record.word in CONFIRMED:
        if check.needs_note and not record.note:
            return CheckStatus(check, CheckState.FAILED, record.result,
                               f"{check.label}: recorded without a note; {check.words}.",
                               )  # fmt: skip
        return CheckStatus(check, CheckState.PASSED, record.result)
    if record.word in REFUSED:
        why = f" ({record.note})" if record.note else ""
        reason = f"{check.label}: {record.result}{why}; wanted: {check.words}."
    else:
        reason = f"{check.label}: '{record.result}' says neither done nor not ok."
    return CheckStatus(check, CheckState.FAILED, record.result, reason)


def _fasteners(step: Step, check: StepCheck, own: tuple[Record, ...]) -> CheckStatus:
    assert step.joint is not None
    following = next_fastener(step.joint, own)
    shown = f"{following.done} of {following.of}"
    if following.act is Act.DONE:
        return CheckStatus(check, CheckState.PASSED, shown)
    if following.act is Act.RESTART:
        reason = f"{step.title}: {following.reason}. {following.words}"
        return CheckStatus(check, CheckState.FAILED, shown, reason)
    return CheckStatus(check, CheckState.OPEN, shown)


def _parts(check: StepCheck, accounts: tuple[PartLine, ...]) -> CheckStatus:
    if not accounts:
        return CheckStatus(check, CheckState.OPEN)
    open_lines = [line for line in accounts if not line.settled]
    if not open_lines:
        return CheckStatus(check, CheckState.PASSED, f"{len(accounts)} accounted for")
    reason = "; ".join(line.words for line in open_lines)
    return CheckStatus(check, CheckState.FAILED, f"{len(open_lines)} open", reason)
