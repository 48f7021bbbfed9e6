"""What if: the plan solved again, exactly, with what a question changes; or why it cannot be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from sparkout.faults import Fault
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.words import Words
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.offers.days import cheapest_within, days_of
from sparkout.plan.offers.settle import settled
from sparkout.plan.whatif.changes import (
    Change,
    Inputs,
    Refuse,
    Supplied,
    Take,
    applied,
    asked_windows,
    with_windows,
)
from sparkout.plan.whatif.compare import (
    AmountChange,
    MarginChange,
    OptionChange,
    amounts_changed,
    margins_changed,
    options_changed,
)
from sparkout.plan.whatif.reading import Asked, read_question
from sparkout.plan.whatif.vocabulary import vocabulary
from sparkout.plan.whatif.why_not import why_not
from sparkout.sheet.shop import Shop
from sparkout.solve import Model, NoPlan, Optimum, best

__all__ = ["Answer", "ask", "solved_with"]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What follows from a question.

    understood, assumed: how it was read and what was taken for granted. plan: the cheapest under
    it, None where there is none; then why_not says what stands against it. shop: the shop as the
    question has it, to price the plan by. more_days and cost (cents) are differences to the plan at
    hand. instead: where the plan takes longer than the one at hand, the cheapest without the parts
    that come late, or else the cheapest that takes no longer.
    """

    text: str
    understood: tuple[str, ...]
    assumed: tuple[str, ...]
    was: Plan
    plan: Plan | None
    shop: Shop
    cost: int
    more_days: int
    options: tuple[OptionChange, ...]
    amounts: tuple[AmountChange, ...]
    margins: tuple[MarginChange, ...]
    why_not: tuple[str, ...] = ()
    instead: Plan | None = None


def ask(
    inputs: Inputs, plan: Plan, text: str, today: date
) -> tuple[Answer | None, tuple[Fault, ...]]:
    """The answer to one line, or the faults that say why it cannot be read.

    plan: the plan at hand, made from the same inputs. today: the day the question is asked.
    """
    known = vocabulary(plan.compiled.problem, inputs.sheet, inputs.checks)
    planned = {item.name: item.value for item in plan.amounts}
    unit = "in" if inputs.shop.units == "inch" else "mm"
    asked, faults = read_question(text, known, today, planned, unit)
    if asked is None:
        return None, faults
    return _answer(inputs, plan, text, asked), ()


def solved_with(inputs: Inputs, changes: Iterable[Change]) -> tuple[Compiled, Optimum | NoPlan]:
    """The model with the changes in it, and its proven optimum; of what was approved, where
    something is, the plan that departs from it in the fewest choices."""
    compiled = _compiled(inputs, tuple(changes))
    return compiled, best(_nearest(inputs, compiled))


def _nearest(inputs: Inputs, compiled: Compiled) -> Model:
    return compiled.model if inputs.nearest is None else inputs.nearest(compiled)


def _compiled(inputs: Inputs, some: tuple[Change, ...]) -> Compiled:
    now = applied(inputs, some)
    problem = problem_of(now.sheet, now.shop, now.state, now.checks)
    if now.begun is not None:
        problem = now.begun(problem, now.shop)
    compiled = compile_problem(problem)
    groups = {group.name for group in compiled.problem.groups}
    # A group can be gone: nothing is decided on the crank where the customer brings his own.
    held = [c for c in some if not isinstance(c, Take | Refuse) or c.group in groups]
    asked = asked_windows(compiled, held)
    rules = {**compiled.rules, **dict.fromkeys(asked, "what was asked for")}
    return replace(compiled, model=with_windows(compiled.model, asked), rules=rules)


def _answer(inputs: Inputs, was: Plan, text: str, asked: Asked) -> Answer:
    words = Words(inputs.shop.units)
    compiled, found = solved_with(inputs, asked.changes)
    now = applied(inputs, asked.changes)
    findings = _judged(compiled, words)
    empty = Answer(
        text, asked.said, asked.assumed, was, None, now.shop, 0, 0, (), (), (),
    )  # fmt: skip
    if isinstance(found, NoPlan):
        why = why_not(compiled, asked.changes, was, findings, words)
        return replace(empty, why_not=why)
    plan = settled(compiled, found, words, findings, was.left_out)
    return replace(
        empty,
        plan=plan,
        cost=plan.cost - was.cost,
        more_days=days_of(plan.chosen, now.shop) - days_of(was.chosen, inputs.shop),
        options=options_changed(was, plan),
        amounts=amounts_changed(was, plan),
        margins=margins_changed(was, plan),
        instead=_without_waiting(inputs, asked, was, plan, words, findings),
    )


def _judged(compiled: Compiled, words: Words) -> dict[str, Finding]:
    """What the limits say of the engine as the question has it."""
    problem = compiled.problem
    found = judge_all(
        problem.checks, problem.sizes, confidence=problem.confidence, rule=problem.rule, words=words
    )
    return {finding.check.name: finding for finding in found}


def _without_waiting(
    inputs: Inputs,
    asked: Asked,
    was: Plan,
    plan: Plan,
    words: Words,
    findings: dict[str, Finding],
) -> Plan | None:
    """The cheapest plan that need not wait, where the answer waits for something."""
    shop = applied(inputs, asked.changes).shop
    days = days_of(was.chosen, inputs.shop)
    late = {c.part for c in asked.changes if isinstance(c, Supplied) and c.days}
    waits = any(use.part in late for _, option in plan.chosen for use in option.parts)
    if not waits and days_of(plan.chosen, shop) <= days:
        return None
    if waits:
        gone = tuple(
            Supplied(c.part, None) if isinstance(c, Supplied) and c.part in late else c
            for c in asked.changes
        )
        compiled, found = solved_with(inputs, gone)
    else:
        compiled = _compiled(inputs, asked.changes)
        nearest = replace(compiled, model=_nearest(inputs, compiled))
        found = cheapest_within(nearest, shop, days)
    if isinstance(found, NoPlan):
        return None
    return settled(compiled, found, words, findings, was.left_out)
