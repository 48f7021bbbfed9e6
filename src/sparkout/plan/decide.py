"""From a measured engine to its plan: options, model, proven optimum, reasons, outcome."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.state import State
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge_all
from sparkout.judge.words import Words
from sparkout.plan.apply import chosen_effects, keys_of, planned_sizes
from sparkout.plan.compile import Compiled, Unjudged, compile_problem
from sparkout.plan.conflict import Questions
from sparkout.plan.explain import Reason, forced_by, say_amount
from sparkout.plan.forms import Group, Option
from sparkout.plan.marginals import Extras
from sparkout.plan.options import Context, all_groups
from sparkout.plan.outcome import AmountRange, centred
from sparkout.plan.pricing import priced, set_ups, stock_limits
from sparkout.plan.problem import Problem
from sparkout.plan.relief import Relief, reliefs, standing_still
from sparkout.plan.said import say_rule
from sparkout.plan.sizes import MICRO
from sparkout.plan.tell import Teller
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan, Optimum, best
from sparkout.solve.answer import Fixed

__all__ = ["Plan", "Stuck", "decided", "make_plan", "problem_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The cheapest plan under which every limit holds, proven, with its reasons.

    cost: in cents, set-ups included, before contingency and tax. left_out: what is out of limits
    and nothing on the lists mends; it must be decided by a person. unjudged: limits that could not
    be part of the plan because something is not measured. after: every finding as the plan leaves
    the engine; before: as it stands. extras: what each other option costs over it, where known.
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
    before: tuple[Finding, ...] = ()
    extras: Extras | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True, eq=False)
class Stuck:
    """No plan exists: the smallest set of rules that cannot hold together, in words.

    reliefs: what could give, the cheapest plan first.
    """

    compiled: Compiled
    rules: tuple[str, ...]
    sentences: tuple[str, ...]
    left_out: tuple[Finding, ...]
    reliefs: tuple[Relief, ...] = ()


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
        currency=shop.currency,
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
    return decided(compiled, findings, Words(shop.units))


def decided(compiled: Compiled, findings: tuple[Finding, ...], words: Words) -> Plan | Stuck:
    """The plan of a compiled decision, or why there is none. findings: as things stand."""
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
        return _stuck(compiled, by_name, words, left_out)
    return _plan(compiled, found, findings, words, left_out)


def _stuck(
    compiled: Compiled,
    findings: Mapping[str, Finding],
    words: Words,
    left_out: tuple[Finding, ...],
) -> Stuck:
    questions = Questions(compiled, standing_still(compiled))
    conflict = questions.against({})
    if conflict is None:
        raise AssertionError("there is no plan, and nothing bars one")
    teller = Teller(questions, findings, words)
    (main,) = teller.said([teller.conflict(conflict, {})])
    rest = [say_rule(compiled, name, findings, words) for name in conflict.rules]
    said = tuple(dict.fromkeys((main, *rest))) if len(conflict.rules) > 1 else (main,)
    ways = reliefs(compiled, conflict.rules, conflict.silent, words)
    return Stuck(compiled, conflict.rules, said, left_out, ways)


def _plan(
    compiled: Compiled,
    optimum: Optimum,
    findings: tuple[Finding, ...],
    words: Words,
    left_out: tuple[Finding, ...],
) -> Plan:
    problem = compiled.problem
    steps_of, ranges = centred(compiled, optimum.picks, optimum.amounts)
    optimum = replace(optimum, amounts=Fixed(steps_of))
    amounts = {
        name: Fraction(steps * compiled.steps[name], MICRO)
        for name, steps in optimum.amounts.items()
    }
    sizes = planned_sizes(problem.sizes, problem.groups, optimum.picks, amounts, problem.checks)
    by_name = {finding.check.name: finding for finding in findings}
    extras = Extras(compiled.model, optimum)
    return Plan(
        compiled,
        optimum,
        optimum.cost,
        tuple((group, group.option(optimum.picks[group.name])) for group in problem.groups),
        ranges,
        forced_by(compiled, optimum, by_name, words, extras),
        tuple(say_amount(compiled, item, by_name, words) for item in ranges),
        sizes,
        _after(compiled, optimum, sizes, by_name, words),
        left_out,
        compiled.unjudged,
        findings,
        extras,
    )


def _after(
    compiled: Compiled,
    optimum: Optimum,
    sizes: Mapping[Key, Dimension],
    before: Mapping[str, Finding],
    words: Words,
) -> tuple[Finding, ...]:
    """Every finding as the plan leaves the engine; what it does not touch stands as it was."""
    problem = compiled.problem
    moved = set(chosen_effects(problem.groups, optimum.picks))
    asked = [
        check
        for check in problem.checks
        if check.name not in before or not moved.isdisjoint(keys_of(check.instance))
    ]
    judged = judge_all(
        tuple(asked), sizes, confidence=problem.confidence, rule=problem.rule, words=words
    )
    anew = {id(check): finding for check, finding in zip(asked, judged, strict=True)}
    return tuple(anew.get(id(check)) or before[check.name] for check in problem.checks)
