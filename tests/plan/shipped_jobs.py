"""The shipped engines, loaded once, and small made-up problems that can be solved by trying all."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import product
from pathlib import Path

import sparkout
from sparkout.engine.dimension import Dimension, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.judge.finding import Verdict, judge_all
from sparkout.load import Job, files_in, load_job
from sparkout.measure.estimate import Estimate
from sparkout.plan.apply import planned_sizes
from sparkout.plan.decide import Plan, make_plan, problem_of
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Bounds, Limit

DEMOS = Path(sparkout.__file__).parent / "demos"
NAMES = ("workboat_four", "road_eight", "farm_single")


@cache
def job_of(name: str) -> Job:
    job, faults = load_job(files_in(DEMOS / name))
    assert faults == ()
    assert job is not None
    return job


@cache
def shipped_problem(name: str) -> Problem:
    job = job_of(name)
    return problem_of(job.sheet, job.shop, job.state, job.checks)


@cache
def plan_of(name: str) -> Plan:
    job = job_of(name)
    plan = make_plan(job.sheet, job.shop, job.state, job.checks, job.findings)
    assert isinstance(plan, Plan)
    return plan


def bore(number: int) -> Key:
    return Key(f"bore {number}", "bore diameter")


def bore_check(number: int, new: str, worn: str) -> Check:
    """A bore that may be new up to one size and used up to another; all start at 100."""
    limit = Limit(
        "bore diameter",
        "bore diameter",
        new=Bounds(Fraction(100), Fraction(new)),
        service=Bounds(None, Fraction(worn)),
    )
    key = bore(number)
    return Check(Instance("bore diameter", key.feature, ((Fraction(1), key),), ()), limit)


def measured(number: int, size: str) -> Dimension:
    value = Estimate(Fraction(size))
    return Dimension(bore(number), value, value)


def every_plan(problem: Problem) -> Iterator[tuple[dict[str, str], int, dict[Key, Dimension]]]:
    """All picks of a problem without amounts that hold every limit by the judge, with cost and
    sizes: a way to the answer that shares no code with the solver or the model."""
    for options in product(*(group.options for group in problem.groups)):
        picks = {g.name: o.name for g, o in zip(problem.groups, options, strict=True)}
        ties = (tie for option in options for tie in option.together)
        if any(picks[tie.group] not in tie.options for tie in ties):
            continue
        sizes = planned_sizes(problem.sizes, problem.groups, picks, {}, problem.checks)
        found = judge_all(problem.checks, sizes, confidence=problem.confidence, rule=problem.rule)
        if any(f.verdict is not Verdict.WITHIN for f in found):
            continue
        cost = sum(option.cost for option in options)
        cost += sum(s.cost for s in problem.shared if any(picks[g] == o for g, o in s.when))
        yield picks, cost, sizes
