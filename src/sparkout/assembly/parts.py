"""Every part accounted for: what the plan uses against what came and what went in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from sparkout.assembly.records import Record, records
from sparkout.assembly.step import PlanFacts
from sparkout.job.bodies import Observation, Part
from sparkout.job.replay import Standing
from sparkout.sheet.model import DataSheet

__all__ = ["PartLine", "PartVerdict", "account"]

# Kinds that every rebuild renews: not chosen while the sheet lists them, they are asked for.
_RENEWED = ("gasket", "base gasket")


class PartVerdict(StrEnum):
    """How a part stands: planned, received and used against each other."""

    COMPLETE = "complete"
    MISSING = "not all received"
    TO_FIT = "received, not recorded as used"
    SHORT = "fewer used than planned"
    EXTRA = "more used than planned"
    SPARE = "left over"
    UNPLANNED = "not in the plan"
    NOT_CHOSEN = "none chosen"
    SUBSTITUTED = "substituted, approved"
    NOT_APPROVED = "substituted without approval"


_SETTLED = (PartVerdict.COMPLETE, PartVerdict.SUBSTITUTED)


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part: how many the plan uses, how many came, how many went in.

    instead: what was fitted in its place. reason, approved_by: of a substitution.
    """

    part: str
    planned: int
    received: int
    used: int
    verdict: PartVerdict
    words: str
    instead: str = ""
    reason: str = ""
    approved_by: str = ""

    @property
    def settled(self) -> bool:
        return self.verdict in _SETTLED


def account(
    facts: PlanFacts, sheet: DataSheet | None, standing: Iterable[Standing]
) -> tuple[PartLine, ...]:
    """A line for every part planned, received or used; what is missing or spare stands out.

    Received: quantities of the log's part entries. Used: check entries `step/used/part` with how
    many as result. Substituted: `step/substitute/part planned`, the part fitted as result, why as
    note, and who approved it as second person; without either of the last two it is not approved.

    facts: parts of the plan [-].
    sheet: tells which gaskets exist, so that one nobody chose is missed; None to leave it out [-].
    standing: the log's entries that count [-].
    Returns a line a part: planned ones first, then others.
    Holds for parts named as the sheet names them.
    Source: common practice.

    >>> from sparkout.assembly.step import PlannedPart
    >>> account(PlanFacts((PlannedPart("pushrod", "pushrod", 1),)), None, ())[0].verdict.value
    'not all received'
    """
    entries = tuple(standing)
    received: dict[str, int] = {}
    for entry in entries:
        if isinstance(entry.body, Part):
            name = entry.body.part
            received[name] = received.get(name, 0) + _count(entry.body.quantity)
    used: dict[str, int] = {}
    swapped: dict[str, Record] = {}
    for record in records(entries):
        if record.check == "used" and record.position:
            used[record.position] = used.get(record.position, 0) + _count(record.result)
        elif record.check == "substitute" and record.position:
            swapped[record.position] = record
    planned = {part.part: part.count for part in facts.parts}
    stands_in = {record.result for record in swapped.values()}
    lines = [
        _line(name, count, received.get(name, 0), used.get(name, 0), swapped.get(name))
        for name, count in planned.items()
    ]
    for name in dict.fromkeys((*received, *used)):
        if name not in planned and name not in stands_in:
            lines.append(_unplanned(name, received.get(name, 0), used.get(name, 0)))
    lines.extend(_not_chosen(facts, sheet))
    for entry in entries:
        body = entry.body
        if isinstance(body, Observation) and body.what == "spare part left over":
            text = f"{body.feature}: left over ({body.text or 'no words'})"
            lines.append(PartLine(body.feature, 0, 0, 0, PartVerdict.SPARE, text))
    return tuple(lines)


def _count(text: str) -> int:
    """`4`, `4 pieces`, `set of 4`; nothing typed is one."""
    digits = [word for word in text.replace("×", " ").split() if word.isdecimal()]
    return int(digits[0]) if digits else 1


def _line(part: str, planned: int, received: int, used: int, swap: Record | None) -> PartLine:
    if swap is not None:
        approved = bool(swap.note) and bool(swap.second_person)
        verdict = PartVerdict.SUBSTITUTED if approved else PartVerdict.NOT_APPROVED
        words = f"{part}: {swap.result} fitted instead"
        if approved:
            words += f", approved by {swap.second_person}: {swap.note}"
        else:
            lacks = [word for word, there in (("the reason", swap.note),
                     ("who approved it", swap.second_person)) if not there]  # fmt: skip
            words += f"; {' and '.join(lacks)} not recorded"
        return PartLine(part, planned, received, used, verdict, words, swap.result, swap.note,
                        swap.second_person)  # fmt: skip
    if used > planned:
        verdict = PartVerdict.EXTRA
    elif received < planned and used < planned:
        verdict = PartVerdict.MISSING
    elif used == 0:
        verdict = PartVerdict.TO_FIT
    elif used < planned:
        verdict = PartVerdict.SHORT
    elif received > used:
        verdict = PartVerdict.SPARE
    else:
        verdict = PartVerdict.COMPLETE
    words = f"{part}: {planned} planned, {received} received, {used} used: {verdict.value}"
    return PartLine(part, planned, received, used, verdict, words)


def _unplanned(part: str, received: int, used: int) -> PartLine:
    verdict = PartVerdict.UNPLANNED if used else PartVerdict.SPARE
    words = f"{part}: not in the plan, {received} received, {used} used: {verdict.value}"
    return PartLine(part, 0, received, used, verdict, words)


def _not_chosen(facts: PlanFacts, sheet: DataSheet | None) -> list[PartLine]:
    if sheet is None:
        return []
    found = []
    for kind in _RENEWED:
        if sheet.parts_of(kind) and not facts.of_kind(kind):
            words = f"{kind}: the sheet lists {len(sheet.parts_of(kind))}, the plan uses none"
            found.append(PartLine(kind, 0, 0, 0, PartVerdict.NOT_CHOSEN, words))
    return found
