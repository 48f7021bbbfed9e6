"""The shipped engines, loaded and planned once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

import sparkout
from sparkout.load import Job, files_in, load_job
from sparkout.plan.decide import Plan, make_plan

DEMOS = Path(sparkout.__file__).parent / "demos"


@cache
def _job(name: str) -> Job:
    job, faults = load_job(files_in(DEMOS / name))
    assert faults == ()
    assert job is not None
    return job


@cache
def _plan(name: str) -> Plan:
    job = _job(name)
    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    assert isinstance(plan, Plan)
    return plan


@pytest.fixture
def job_of():
    return _job


@pytest.fixture
def plan_of():
    return _plan
