"""From a measured engine to its plan: options, model, proven optimum, reasons, outcome."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.state import State
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge_all
from sparkout.judge.words import Words
from sparkout.plan.apply import planned_sizes
from sparkout.plan.ask import impossible_together
from sparkout.plan.compile import Compiled, Unjudged, compile_problem
from sparkout.plan.explain import Reason, forced_by, say_amount, say_rule
from sparkout.plan.forms import Group, Option
from sparkout.plan.options import Context, all_groups
from sparkout.plan.outcome import AmountRange, amount_ranges
from sparkout.plan.pricing import priced, set_ups, stock_limits
from sparkout.plan.problem import Problem
from sparkout.plan.tables import MICRO
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan, Optimum, best

__all__ = ["Plan", "Stuck", "make_plan", "problem_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The cheapest plan under which every limit holds, proven, with its reasons.

    cost: in cents, set-ups included, before contingency and tax. left_out: what is out of limits
    and nothing on the lists mends; it must be decided by a person. unjudged: limits that could not
    be part of the plan because something is not measured. after: every finding as the plan leaves
    the engine.
    """

    compiled: Compiled
    optimum: Optimum
    cost: int
    chosen: tuple[tuple[Group, Option], ...]
    amounts: tuple[AmountRange, ...]
    reasons: tuple[Reason, ...]
    amount_words: tuple[str, ...]
    sizes: Mapping[Key, Dimension]
    after: tuple[Finding, ...]
    left_out: tuple[Finding, ...]
    unjudged: tuple[Unjudged, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Stuck:
    """No plan exists: the smallest set of rules that cannot hold together, in words."""

    compiled: Compiled
    rules: tuple[str, ...]
    sentences: tuple[str, ...]
    left_out: tuple[Finding, ...]


def problem_of(sheet: DataSheet, shop: Shop, state: State, checks: tuple[Check, ...]) -> Problem:
    """What is to be decided, priced."""
    groups = priced(all_groups(Context(sheet, shop, state)), shop)
    return Problem(
        state.sizes,
        groups,
        checks,
        set_ups(groups, shop),
        stock_limits(groups, shop),
        float(shop.confidence),
        shop.rule,
    )


def make_plan(
    sheet: DataSheet,
    shop: Shop,
    state: State,
    checks: tuple[Check, ...],
    findings: tuple[Finding, ...],
) -> Plan | Stuck:
    """The plan of least cost within all limits, or why there is none."""
    compiled = compile_problem(problem_of(sheet, shop, state, checks))
    words = Words(shop.units)
    by_name = {finding.check.name: finding for finding in findings}
    touched = set(compiled.rules)
    left_out = tuple(
        finding
        for finding in findings
        if finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)
        and finding.check.name not in touched
        and finding.check.limit.must
    )
    found = best(compiled.model)
    if isinstance(found, NoPlan):
        fixed = [name for name, rule in compiled.rules.items() if isinstance(rule, str)]
        rules = found.conflict or impossible_together(compiled.model, fixed)
        said = tuple(say_rule(compiled, name, by_name, words) for name in rules)
        return Stuck(compiled, rules, said, left_out)
    return _plan(compiled, found, shop, by_name, words, left_out)


def _plan(
    compiled: Compiled,
    optimum: Optimum,
    shop: Shop,
    findings: Mapping[str, Finding],
    words: Words,
    left_out: tuple[Finding, ...],
) -> Plan:
    problem = compiled.problem
    amounts = {
        name: Fraction(steps * compiled.steps[name], MICRO)
        for name, steps in optimum.amounts.items()
    }
    sizes = planned_sizes(problem.sizes, problem.groups, optimum.picks, amounts, problem.checks)
    ranges = amount_ranges(compiled, optimum.picks, optimum.amounts)
    return Plan(
        compiled,
        optimum,
        optimum.cost,
        tuple((group, group.option(optimum.picks[group.name])) for group in problem.groups),
        ranges,
        forced_by(compiled, optimum, findings, words),
        tuple(say_amount(compiled, item, findings, words) for item in ranges),
        sizes,
        judge_all(
            problem.checks,
            sizes,
            confidence=problem.confidence,
            rule=problem.rule,
            words=words,
        ),
        left_out,
        compiled.unjudged,
    )
