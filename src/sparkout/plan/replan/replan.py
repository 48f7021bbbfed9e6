"""Planning again after the log has grown: as approved as far as that holds, and what is not said.

Of all plans that hold every limit from the real state on, the one that departs from the approved
one in the fewest choices and depths; of these the cheapest. What departing freely would save is
said beside it, never done by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from sparkout.engine.state import State
from sparkout.job.bodies import Work as WorkEntry
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.words import Words
from sparkout.plan.ask import impossible_together
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.explain import say_rule
from sparkout.plan.forms import Group, Option
from sparkout.plan.offers.days import days_of
from sparkout.plan.offers.settle import settled
from sparkout.plan.pricing import own_cost, set_ups, stock_limits
from sparkout.plan.problem import Problem, SharedCost
from sparkout.plan.replan.done import DONE, Done, continued, done_work, state_after
from sparkout.plan.whatif.compare import AmountChange
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import Choice, Model, NoPlan, Window, best, table, window

__all__ = ["Changed", "Replanned", "Situation", "replan"]

_KEPT = "as approved: "
_CENTS = 100


@dataclass(frozen=True, slots=True, eq=False)
class Situation:
    """A job as it stands. work: entries of work done, in order; received: parts that came."""

    sheet: DataSheet
    shop: Shop
    state: State
    checks: tuple[Check, ...]
    work: tuple[WorkEntry, ...] = ()
    received: tuple[str, ...] = ()

    @property
    def words(self) -> Words:
        return Words(self.shop.units)


@dataclass(frozen=True, slots=True)
class Changed:
    """An approved choice that no longer is one, and what stands against it."""

    group: str
    was: str
    now: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Replanned:
    """The plan from here on, and what sets it apart from the approved one.

    plan: of what is still open (None: nothing holds every limit; then why_not). state: the engine
    as it stands, work included. spent: cents of work that is done. cost: spent and plan together.
    cheaper: cents that the cheapest plan would save, departing from what was approved.
    needs_approval: why somebody has to be asked, nothing where it is as approved.
    """

    approved: Plan
    plan: Plan | None
    state: State
    findings: tuple[Finding, ...]
    done: tuple[Done, ...]
    extra: tuple[WorkEntry, ...]
    spent: int
    cost: int
    more_days: int
    changes: tuple[Changed, ...]
    amounts: tuple[AmountChange, ...]
    cheaper: int
    needs_approval: tuple[str, ...]
    notes: tuple[str, ...]
    why_not: tuple[str, ...] = ()

    @property
    def difference(self) -> int:
        """Cents beyond the approved plan."""
        return self.cost - self.approved.cost


def replan(approved: Plan, now: Situation, *, price: int | None = None) -> Replanned:
    """The plan from the state as it is, as near to the approved one as every limit allows.

    price: cents that were approved before tax; the approved plan's own cost where it is not given.
    """
    unit = "in" if now.shop.units == "inch" else "mm"
    done, extra = done_work(approved, now.work, now.state, unit)
    state = state_after(now.state, done, now.checks)
    problem = _open(problem_of(now.sheet, now.shop, state, now.checks), done, now)
    compiled = compile_problem(problem)
    findings = judge_all(
        problem.checks, problem.sizes, confidence=problem.confidence, rule=problem.rule,
        words=now.words,
    )  # fmt: skip
    by_name = {finding.check.name: finding for finding in findings}
    wanted = _wanted(approved, problem, done)
    depths = _wanted_depths(approved, compiled, done)
    found = best(_preferring(compiled.model, wanted, depths))
    spent = _spent(approved, done, now.shop)
    empty = Replanned(
        approved, None, state, findings, done, extra, spent, spent, 0, (), (), 0, (),
        _notes(done, extra),
    )  # fmt: skip
    if isinstance(found, NoPlan):
        broken = impossible_together(compiled.model, _fixed(compiled))
        why = tuple(say_rule(compiled, name, by_name, now.words) for name in broken)
        return replace(
            empty, why_not=why, needs_approval=("no plan holds every limit from here on",)
        )
    plan = settled(compiled, found, now.words, by_name)
    free = best(compiled.model)
    assert not isinstance(free, NoPlan)
    changes = _changes(compiled, plan, wanted, by_name, now.words)
    amounts = _amount_changes(approved, plan, done)
    cost = spent + plan.cost
    limit = approved.cost if price is None else price
    return replace(
        empty,
        plan=plan,
        cost=cost,
        more_days=days_of(plan.chosen, now.shop) - days_of(approved.chosen, now.shop),
        changes=changes,
        amounts=amounts,
        cheaper=plan.cost - free.cost,
        needs_approval=_asks(changes, amounts, cost - limit, now.shop.currency),
    )


# The problem from here on ------------------------------------------------------------------------


def _open(problem: Problem, done: tuple[Done, ...], now: Situation) -> Problem:
    """The problem of the state as it is, with what is left of every option that is begun.

    A set-up that is made already is not paid again for the rest of its own work.
    """
    by_group = {item.group.name: item for item in done}
    groups = []
    for group in problem.groups:
        item = by_group.pop(group.name, None)
        groups.append(group if item is None else _with_rest(group, item, now))
    for item in by_group.values():
        # Nothing more can be decided on it, but its parts are still to be fitted.
        rest = _rest(item, now)
        groups.append(Group(item.group.name, item.group.features, (rest,), rest.name))
    some = tuple(groups)
    return replace(
        problem,
        groups=some,
        shared=_set_ups(some, done, now.shop),
        stock=stock_limits(some, now.shop),
    )


def _rest(item: Done, now: Situation) -> Option:
    option = continued(item, now.received)
    return replace(option, cost=own_cost(option, now.shop))


def _with_rest(group: Group, item: Done, now: Situation) -> Group:
    rest = _rest(item, now)
    keep = group.keep if rest.work else rest.name
    bare = next((o for o in group.options if o.name == group.keep), None)
    options = group.options
    if bare is not None and not (bare.effects or bare.work or bare.parts) and not rest.work:
        # With the work done, to leave it is what is left of the option: there are not two ways.
        options = tuple(option for option in options if option.name != group.keep)
    specs = tuple(
        replace(spec, option=rest.name) if _pending(item, spec.name) else spec
        for spec in item.group.amounts
        if _pending(item, spec.name)
    )
    known = {spec.name for spec in specs}
    return replace(
        group,
        options=(rest, *options),
        keep=keep,
        amounts=(*specs, *(spec for spec in group.amounts if spec.name not in known)),
    )


def _pending(item: Done, amount: str) -> bool:
    """Whether an amount of the approved option is still to be cut."""
    spec = next((s for s in item.group.amounts if s.name == amount), None)
    return spec is not None and spec.option == item.option.name and amount not in item.depths


def _set_ups(
    groups: tuple[Group, ...], done: tuple[Done, ...], shop: Shop
) -> tuple[SharedCost, ...]:
    paid = {
        (item.group.name, item.option.name + DONE, operation)
        for item in done
        for operation in item.features
    }
    found = []
    for item in set_ups(groups, shop):
        operation = item.name.removeprefix("set-up: ")
        when = tuple((g, o) for g, o in item.when if (g, o, operation) not in paid)
        if when:
            found.append(replace(item, when=when))
    return tuple(found)


def _spent(approved: Plan, done: Iterable[Done], shop: Shop) -> int:
    """Cents of the work that is done: its share of the approved plan, each set-up once."""
    some = []
    for item in done:
        works = [w for w in item.option.work if w.operation in item.features]
        rows = tuple(
            replace(w, features=tuple(f for f in w.features if f in item.features[w.operation]))
            for w in works
        )
        option = replace(item.option, work=rows, parts=())
        some.append(replace(item.group, options=(replace(option, cost=own_cost(option, shop)),)))
    groups = tuple(some)
    return sum(group.options[0].cost for group in groups) + sum(
        item.cost for item in set_ups(groups, shop)
    )


# Preferring what was approved --------------------------------------------------------------------


def _wanted(approved: Plan, problem: Problem, done: Iterable[Done]) -> dict[str, str]:
    """The approved option of every group that can still be decided."""
    begun = {item.group.name: item.option.name + DONE for item in done}
    found = {}
    for group in problem.groups:
        option = next((o for g, o in approved.chosen if g.name == group.name), None)
        name = begun.get(group.name, group.keep if option is None else option.name)
        if any(o.name == name for o in group.options):
            found[group.name] = name
    return found


def _wanted_depths(approved: Plan, compiled: Compiled, done: Iterable[Done]) -> dict[str, int]:
    """Approved amounts in steps of the model, for what is not cut yet."""
    cut = {name for item in done for name in item.depths}
    planned = {item.name: item.value for item in approved.amounts}
    found = {}
    for name, step in compiled.steps.items():
        if name in cut:
            continue
        steps = planned.get(name, Fraction(0)) * 1_000_000 / step
        if steps.denominator == 1:
            found[name] = int(steps)
    return found


def _preferring(model: Model, wanted: Mapping[str, str], depths: Mapping[str, int]) -> Model:
    """The model in which a departure costs more than any plan: the fewest, then the cheapest."""
    spread = sum(max(choice.cost) - min(choice.cost) for choice in model.choices)
    dear = 1 + spread + sum(shared.cost for shared in model.shared)
    choices = [
        choice
        if choice.name not in wanted
        else Choice(
            choice.name,
            choice.options,
            tuple(
                cost + (0 if option == wanted[choice.name] else dear)
                for option, cost in zip(choice.options, choice.cost, strict=True)
            ),
            choice.prefer,
        )
        for choice in model.choices
    ]
    kept: list[Choice] = []
    windows: list[Window] = []
    spans = {amount.name: amount for amount in model.amounts}
    for name, steps in depths.items():
        span = spans[name]
        if span.low == span.high or not span.low <= steps <= span.high:
            continue
        own = _KEPT + name
        kept.append(Choice(own, ("yes", "no"), (0, dear)))
        windows.append(window(own, (own,), (name,), [1], [steps, span.low], [steps, span.high]))
    return Model(
        (*choices, *kept), model.amounts, (*model.windows, *windows), model.shared, model.tallies
    )


# What is otherwise, and who has to be asked ------------------------------------------------------


def _fixed(compiled: Compiled) -> set[str]:
    return {name for name, rule in compiled.rules.items() if isinstance(rule, str)}


def _changes(
    compiled: Compiled,
    plan: Plan,
    wanted: Mapping[str, str],
    findings: Mapping[str, Finding],
    words: Words,
) -> tuple[Changed, ...]:
    held = {name: pick for name, pick in wanted.items() if plan.optimum.picks[name] == pick}
    found = []
    for group, option in plan.chosen:
        was = wanted.get(group.name)
        if was is None or was == option.name:
            continue
        reason = _against(compiled, {**held, group.name: was}, findings, words)
        found.append(Changed(group.name, group.option(was).words, option.words, reason))
    return tuple(found)


def _against(
    compiled: Compiled, picks: Mapping[str, str], findings: Mapping[str, Finding], words: Words
) -> str:
    """What cannot hold together with these approved picks, in one sentence or two."""
    groups = {group.name: group for group in compiled.problem.groups}
    forced = tuple(
        table(
            f"approved: {name}", (name,), np.array([o.name == pick for o in groups[name].options])
        )
        for name, pick in picks.items()
    )
    model = compiled.model
    trial = Model(
        model.choices, model.amounts, (*model.windows, *forced), model.shared, model.tallies
    )
    given = _fixed(compiled) | {item.name for item in forced}
    broken = impossible_together(trial, given)
    said = dict.fromkeys(say_rule(compiled, name, findings, words) for name in broken)
    last, pick = list(picks.items())[-1]
    impossible = groups[last].option(pick).impossible
    if not said and impossible:
        return impossible + "."
    return " ".join(list(said)[:2]) or "it does not go together with the rest any more."


def _amount_changes(approved: Plan, plan: Plan, done: Iterable[Done]) -> tuple[AmountChange, ...]:
    """Depths that are otherwise: cut otherwise than approved, or to be cut otherwise."""
    zero = Fraction(0)
    planned = {item.name: item.value for item in approved.amounts}
    cut = {name: depth for item in done for name, (depth, _) in item.depths.items()}
    ahead = {item.name: item.value for item in plan.amounts}
    return tuple(
        AmountChange(name, planned.get(name, zero), cut.get(name, zero) + ahead.get(name, zero))
        for name in dict.fromkeys((*planned, *cut, *ahead))
        if planned.get(name, zero) != cut.get(name, zero) + ahead.get(name, zero)
    )


def _asks(
    changes: tuple[Changed, ...], amounts: tuple[AmountChange, ...], beyond: int, currency: str
) -> tuple[str, ...]:
    """Why somebody has to be asked before it goes on."""
    reasons = []
    if beyond > 0:
        reasons.append(f"it costs {beyond / _CENTS:.2f} {currency} more than was approved")
    reasons += [f"instead of “{item.was}”: {item.now}" for item in changes]
    return tuple(reasons)


def _notes(done: Iterable[Done], extra: Iterable[WorkEntry]) -> tuple[str, ...]:
    """What was taken for granted, and what was done without being asked for."""
    said = []
    for item in done:
        for name, (depth, known) in item.depths.items():
            if not known:
                said.append(
                    f"{name}: no depth was entered or read, so {float(depth):g} mm as planned is "
                    "taken for done; enter what was really cut."
                )
    for entry in extra:
        where = ", ".join(entry.features)
        said.append(f"{entry.operation} on {where} was not in the approved plan.")
    return tuple(said)
