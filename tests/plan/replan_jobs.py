"""The shipped jobs with more in their logs: approvals, work, parts and readings, as a shop adds
them; and what becomes of the approved plan."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import sparkout
from sparkout.job.append import LogWriter
from sparkout.job.entry import draft
from sparkout.job.ids import ulid_source
from sparkout.job.reader import read_log
from sparkout.load import Job, files_in, load_job
from sparkout.plan.decide import Plan, make_plan
from sparkout.plan.replan import (
    Approved,
    Replanned,
    approved_plan,
    open_work,
    plan_digest,
    replan,
    situation_at,
)

DEMOS = Path(sparkout.__file__).parent / "demos"


class Growing:
    """A shipped job in a folder of its own, whose log can grow."""

    def __init__(self, folder: Path, name: str) -> None:
        self.folder = folder / name
        shutil.copytree(DEMOS / name, self.folder)
        if not (self.folder / "shop.yaml").exists():
            shutil.copy(DEMOS / "shop.yaml", self.folder)
        self.now = datetime(2026, 11, 20, 8, tzinfo=UTC)  # after the last entry of each
        self.count = 0

    def add(self, kind: str, **body: object) -> str:
        """One more entry, a minute after the last; its id."""
        made, faults = draft(kind, "Ines", body)
        assert made is not None, faults
        with LogWriter(self.folder / "log.jsonl") as writer:
            source = ulid_source(self._clock, self._token)
            return writer.append(made, self._clock, "bench-2", source).id

    def _clock(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now

    def _token(self, size: int) -> bytes:
        self.count += 1
        return self.count.to_bytes(size, "big")

    def job(self) -> Job:
        job, faults = load_job(files_in(self.folder))
        assert faults == ()
        assert job is not None
        return job

    def plan(self) -> Plan:
        job = self.job()
        plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
        assert isinstance(plan, Plan)
        return plan

    def approve(self, plan: Plan | None = None, **more: object) -> str:
        """The plan at hand, or another, approved by its digest."""
        digest = plan_digest(self.plan() if plan is None else plan)[:12]
        return self.add(
            "approval", **{"what": f"plan {digest}", "by_whom": "owner", "how": "phone", **more}
        )

    def approved(self) -> Approved:
        job = self.job()
        entries, _ = read_log(self.folder / "log.jsonl")
        found = approved_plan(job.sheet, job.shop, job.frame, entries)
        assert found is not None
        return found

    def again(self) -> Replanned:
        job, approved = self.job(), self.approved()
        assert approved.plan is not None, approved.why
        now = situation_at(job.sheet, job.shop, job.frame, job.replayed.effective, job.located)
        return replan(approved.plan, open_work(approved, now), approved.before)
