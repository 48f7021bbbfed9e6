"""What a paper is made from, and the words on it that prove which data that was."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from sparkout.assembly.records import records
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.known import with_known
from sparkout.engine.state import measured_state
from sparkout.job.entry import Entry, order
from sparkout.job.verify import heads
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.words import Words
from sparkout.load import Job
from sparkout.plan.decide import Plan, Stuck, make_plan
from sparkout.plan.explain import Reason
from sparkout.plan.replan import Approved, Replanned, plan_digest, whole_plan
from sparkout.report.documents.standing import approved_of, followed, judged, replanned

__all__ = ["Document", "Source", "day", "decided", "decided_plan", "source_of"]

_LATER = ("left", "mock-up")


class Document(NamedTuple):
    """What the press needs: a template, its data, and drawings by the names it calls them."""

    template: str
    data: Mapping[str, Any]
    drawings: Mapping[str, str]


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A job with its plan and every entry of its log.

    plan: from the engine as it stands; decided: from the engine as it was found, which is the same
    as long as no work is done. found, found_sizes: limits and sizes as it was found. number: what
    the shop calls the job. date: day of the last entry, or the day given where there is none yet
    (2027-03-01). follows: where something is approved or worked on, which plan that is: decided is
    then that plan, plan what is left of it, and the job is judged by it. approved: whether it is
    one that was approved. Made by `source_of`.
    """

    job: Job
    plan: Plan | Stuck
    decided: Plan | Stuck
    found: tuple[Finding, ...]
    found_sizes: Mapping[Key, Dimension]
    entries: tuple[Entry, ...]
    number: str
    date: str
    follows: str = ""
    approved: bool = False

    @property
    def words(self) -> Words:
        return self.job.words

    @property
    def made(self) -> Plan | None:
        """The plan, where there is one."""
        return self.plan if isinstance(self.plan, Plan) else None

    def heads(self) -> tuple[Entry, ...]:
        """The last entry of each device, by device."""
        last = heads(self.entries)
        return tuple(last[device] for device in sorted(last))

    def digest(self) -> str:
        """SHA-256 over the data sheet, the shop's files and the heads of the log's chains.

        A head's hash vouches for every entry before it on its device, so this stands for all data
        of the job.
        """
        whole = {
            "sheet": self.job.sheet.digest,
            "shop": self.job.shop.digest,
            "log": [[head.device, head.number, head.hash] for head in self.heads()],
        }
        text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()

    def frame(self, title: str) -> dict[str, str]:
        """Head and foot of every page. The revision is the number of entries it was made from."""
        return {
            "shop": self.job.shop.name,
            "job": self.number,
            "title": title,
            "revision": f"{len(self.entries)} log entries",
            "date": self.date,
            "anchor": f"job data {self.digest()[:16]}",
        }

    def proof(self) -> dict[str, Any]:
        """The digest of the job's data and the head of each chain, in full (docs/log.md)."""
        return {
            "digest": self.digest(),
            "sheet": self.job.sheet.digest,
            "shop": self.job.shop.digest,
            "heads": [
                [head.device, str(head.number), f"{day(head.at)} {head.at[11:16]} UTC", head.hash]
                for head in self.heads()
            ],
        }

    def in_order(self) -> tuple[Entry, ...]:
        return tuple(sorted({entry.id: entry for entry in self.entries}.values(), key=order))


def source_of(
    job: Job,
    entries: tuple[Entry, ...],
    number: str,
    date: str = "",
    plan: Plan | Stuck | None = None,
) -> Source:
    """A job planned as it stands and as it was found.

    date: of a job without entries; else the day of the last entry counts. plan: of the job as it
    stands, where it was made already.
    """
    last = max((entry.at for entry in entries), default=date)
    known = replanned(job) if plan is None else None
    if known is not None and known[0].plan is not None and known[1] is not None:
        return _followed(job, known[0], known[1], entries, number, day(last))
    if plan is None:
        plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    if not _built_on(job):
        found = job.findings, job.state.sizes
        return Source(job, plan, plan, *found, entries, number, day(last))
    before, found_, sizes = _before(job)
    return Source(job, plan, before, found_, sizes, entries, number, day(last))


def _followed(
    job: Job,
    approved: Approved,
    again: Replanned,
    entries: tuple[Entry, ...],
    number: str,
    date: str,
) -> Source:
    """A job of which something is approved or done: what was decided, and what is left of it."""
    before, found, sizes = _before(job)
    whole = whole_plan(approved)
    assert whole is not None
    plan: Plan | Stuck
    if again.plan is None:
        plan = Stuck(whole.compiled, (), again.why_not, again.left_out)
    else:
        plan = again.plan
    return Source(
        judged(job, approved).job, plan, _with_reasons(whole, before), found, sizes, entries,
        number, date, followed(approved), approved.given,
    )  # fmt: skip


def _with_reasons(whole: Plan, before: Plan | Stuck) -> Plan:
    """The approved plan with the reasons of the one the engine as found asks for, as far as they
    are the same; what was chosen beyond it has none but the approval."""
    if isinstance(before, Stuck):
        known = {}
    elif plan_digest(before) == plan_digest(whole):
        return before
    else:
        known = {(reason.group, reason.option): reason for reason in before.reasons}
        whole = replace(
            whole, compiled=before.compiled, left_out=before.left_out, before=before.before
        )
    reasons = [
        known.get((group.name, option.name))
        or Reason(group.name, option.name, option.words, option.cost, "", ())
        for group, option in whole.chosen
        if option.name != group.keep and (option.work or option.parts or option.effects)
    ]
    return replace(whole, reasons=tuple(sorted(reasons, key=lambda reason: -reason.cost)))


def decided_plan(job: Job) -> Plan | Stuck:
    """What is being built, whatever was read since: the approved plan, or else the one that the
    recorded work belongs to; without either, the plan from the engine as it was found."""
    return decided(job, approved_of(job))


def decided(job: Job, approved: Approved | None) -> Plan | Stuck:
    """The same, where what was approved is known."""
    whole = None if approved is None else whole_plan(approved)
    if whole is not None:
        return whole
    if _built_on(job):
        return _before(job)[0]
    return make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)


def _built_on(job: Job) -> bool:
    """Whether anything was read after work or while the engine goes together."""
    return any(spot.phase in _LATER for spot in job.located.spots) or any(
        record.check in BY_NAME for record in records(job.replayed.effective)
    )


def _before(job: Job) -> tuple[Plan | Stuck, tuple[Finding, ...], Mapping[Key, Dimension]]:
    """Plan, findings and sizes of the engine as it was found."""
    spots = tuple(spot for spot in job.located.spots if spot.phase not in _LATER)
    before = with_known(measured_state(job.frame, spots, job.located.tests), job.sheet)
    judged = judge_all(
        job.checks,
        before.sizes,
        confidence=float(job.shop.confidence),
        rule=job.shop.rule,
        words=job.words,
    )
    plan = make_plan(job.sheet, job.shop, before, job.checks, judged)
    return plan, judged, before.sizes


def day(at: str) -> str:
    """The day of a time as the log writes it."""
    return at[:10]
