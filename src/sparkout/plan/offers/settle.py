"""A plan from what a solver answered: sizes, findings and windows of amounts, as `make_plan` has
them, for plans that were found by other questions than `what is cheapest`."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.words import Words
from sparkout.plan.apply import planned_sizes
from sparkout.plan.compile import Compiled
from sparkout.plan.decide import Plan
from sparkout.plan.explain import say_amount
from sparkout.plan.outcome import centred
from sparkout.solve import Optimum, price
from sparkout.solve.answer import Fixed

__all__ = ["MICRO", "depths_of", "settled", "sizes_after"]

MICRO = 1_000_000


def depths_of(compiled: Compiled, optimum: Optimum) -> dict[str, Fraction]:
    """The chosen amounts in mm."""
    return {
        name: Fraction(steps * compiled.steps[name], MICRO)
        for name, steps in optimum.amounts.items()
    }


def sizes_after(compiled: Compiled, optimum: Optimum) -> dict[Key, Dimension]:
    """Every size as the answer leaves it."""
    problem = compiled.problem
    depths = depths_of(compiled, optimum)
    return planned_sizes(problem.sizes, problem.groups, optimum.picks, depths, problem.checks)


def settled(
    compiled: Compiled,
    optimum: Optimum,
    words: Words,
    findings: Mapping[str, Finding],
    left_out: tuple[Finding, ...] = (),
) -> Plan:
    """The plan of an answer, without reasons.

    compiled: the model the plan is told by, whose options are those the answer picks from; its
    cost is worked out again from there.
    """
    problem = compiled.problem
    own = {group.name for group in problem.groups}
    picks = Fixed({name: pick for name, pick in optimum.picks.items() if name in own})
    steps, ranges = centred(compiled, picks, optimum.amounts)
    cost, preference = price(compiled.model, picks, steps)
    plain = Optimum(cost, preference, picks, Fixed(steps), optimum.method)
    sizes = sizes_after(compiled, plain)
    return Plan(
        compiled,
        plain,
        cost,
        tuple((group, group.option(picks[group.name])) for group in problem.groups),
        ranges,
        (),
        tuple(say_amount(compiled, item, findings, words) for item in ranges),
        sizes,
        judge_all(
            problem.checks, sizes, confidence=problem.confidence, rule=problem.rule, words=words
        ),
        left_out,
        compiled.unjudged,
    )
