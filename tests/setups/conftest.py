"""The shipped engines with their plans and set-ups, made once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

import sparkout
from sparkout.load import Job, files_in, load_job
from sparkout.plan.decide import Plan, make_plan
from sparkout.plan.order import Step, order_of_work
from sparkout.setups.all_steps import set_ups
from sparkout.setups.record import SetUp

DEMOS = Path(sparkout.__file__).parent / "demos"


@cache
def _job(name: str) -> Job:
    job, _ = load_job(files_in(DEMOS / name))
    assert job is not None
    return job


@cache
def _plan(name: str) -> tuple[Plan, tuple[Step, ...]]:
    job = _job(name)
    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    assert isinstance(plan, Plan)
    return plan, order_of_work(plan.chosen, job.shop)


@cache
def _made(name: str) -> tuple[SetUp, ...]:
    plan, steps = _plan(name)
    return set_ups(_job(name), plan, steps)


@pytest.fixture
def setup_job():
    return _job


@pytest.fixture
def setup_plan():
    return _plan


@pytest.fixture
def made_of():
    return _made
