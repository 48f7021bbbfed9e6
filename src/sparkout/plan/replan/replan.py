"""Planning again after the log has grown: as approved as far as that holds, and what is not said.

Of all plans that hold every limit from the real state on, the one that departs from the approved
one in the fewest choices and depths; of these the cheapest. What departing freely would save is
said beside it, never done by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import chain
from types import MappingProxyType

import numpy as np

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.state import State
from sparkout.job.bodies import Work as WorkEntry
from sparkout.judge.finding import Finding, Verdict, judge_all
from sparkout.judge.words import Words
from sparkout.plan.ask import impossible_together
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.explain import say_rule
from sparkout.plan.forms import Group, Need, Option, Together
from sparkout.plan.offers.days import days_of
from sparkout.plan.offers.settle import settled
from sparkout.plan.pricing import own_cost, set_ups, stock_limits
from sparkout.plan.problem import Problem, SharedCost
from sparkout.plan.replan.done import (
    DONE,
    Done,
    continued,
    made_fits,
    state_after,
)
from sparkout.plan.replan.implied import said_implied, work_so_far
from sparkout.plan.replan.owed import leaves_out_what_is_owed
from sparkout.plan.replan.situation import Situation
from sparkout.plan.replan.unproven import measure_again, said_to_measure, without
from sparkout.plan.whatif.changes import Inputs
from sparkout.plan.whatif.compare import AmountChange
from sparkout.sheet.shop import Shop
from sparkout.solve import Choice, Model, NoPlan, Window, best, table, window

__all__ = ["Before", "Changed", "Replanned", "inputs_from", "replan"]

_KEPT = "as approved: "
_CENTS = 100


@dataclass(frozen=True, slots=True, eq=False)
class Before:
    """What earlier plans had brought about when one was approved.

    stages: what was done of each, in their order. spent: cents of all that work. base: sizes the
    plan began from, where anything was done before it.
    """

    stages: tuple[tuple[Done, ...], ...] = ()
    spent: int = 0
    base: Mapping[Key, Dimension] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Changed:
    """An approved choice that no longer is one, and what stands against it.

    was, now: in words; "" where it is new or falls away. after_work: its work is done or begun, and
    this comes on top.
    """

    group: str
    was: str
    now: str
    reason: str
    after_work: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Replanned:
    """The plan from here on, and what sets it apart from the approved one.

    plan: of what is still open (None: nothing holds every limit; then why_not). state: the engine
    as it stands, work included; findings: of it; left_out: what is out and nothing mends. spent:
    cents of all work that is done; cost: spent and plan together; price: the same of the approved
    plan, work before it included. more_days: beyond what was left of the approved plan. unused:
    parts of it that came and are not used any more, with their price in cents. cheaper: cents that
    the cheapest plan from here on would save, free: that plan. needs_approval: why somebody has to
    be asked, nothing where it is as approved. noted: what was taken for granted. to_measure: work
    that is on size as read and only not proven; it stands as planned in state and findings.
    """

    approved: Plan
    plan: Plan | None
    state: State
    findings: tuple[Finding, ...]
    left_out: tuple[Finding, ...]
    done: tuple[Done, ...]
    extra: tuple[WorkEntry, ...]
    spent: int
    cost: int
    price: int
    days: int
    more_days: int
    changes: tuple[Changed, ...]
    amounts: tuple[AmountChange, ...]
    unused: tuple[tuple[str, int], ...]
    cheaper: int
    free: Plan | None
    needs_approval: tuple[str, ...]
    noted: tuple[str, ...]
    why_not: tuple[str, ...] = ()
    to_measure: tuple[Finding, ...] = ()

    @property
    def difference(self) -> int:
        """Cents beyond the approved plan."""
        return self.cost - self.price

    @property
    def as_approved(self) -> bool:
        return self.plan is not None and not (self.changes or self.amounts or self.difference)


def replan(approved: Plan, now: Situation, before: Before | None = None) -> Replanned:
    """The plan from the state as it is, as near to the approved one as every limit allows.

    now: with the work alone that was done under this plan. before: under earlier ones.
    """
    past = Before() if before is None else before
    done, extra, told = work_so_far(approved, now, past.base or None)
    state = state_after(now.state, (*past.stages, done), now.checks)
    findings = _judged(state, now)
    again = measure_again(findings, done, now.state)
    if again:
        # Not proven is no reason to take more metal: what was meant stands until it is measured.
        now = replace(now, state=without(now.state, again))
        state = state_after(now.state, (*past.stages, done), now.checks)
        findings = _judged(state, now)
    problem = _open(problem_of(now.sheet, now.shop, state, now.checks), done, now)
    compiled = compile_problem(problem)
    by_name = {finding.check.name: finding for finding in findings}
    left_out = tuple(f for f in findings if _nothing_mends(f, compiled))
    wanted, gone = _wanted(approved, problem, done)
    depths = _wanted_depths(approved, compiled, done)
    found = best(_preferring(compiled.model, wanted, depths))
    spent = past.spent + _spent(approved, done, now.shop)
    price = past.spent + approved.cost
    empty = Replanned(
        approved, None, state, findings, left_out, done, extra, spent, spent, price, 0, 0, (), (),
        (), 0, None, (),
        (*said_implied(told), *said_to_measure(again), *_notes(done, extra, now.words)),
        to_measure=again,
    )  # fmt: skip
    if isinstance(found, NoPlan):
        broken = impossible_together(compiled.model, _fixed(compiled))
        why = tuple(dict.fromkeys(say_rule(compiled, name, by_name, now.words) for name in broken))
        return replace(
            empty, why_not=why, needs_approval=("no plan holds every limit from here on",)
        )
    plan = settled(compiled, found, now.words, by_name, left_out)
    free = best(compiled.model)
    assert not isinstance(free, NoPlan)
    cheapest = settled(compiled, free, now.words, by_name, left_out)
    if leaves_out_what_is_owed(cheapest, plan, (*chain.from_iterable(past.stages), *done)):
        cheapest = plan
    changes = (*gone, *_changes(compiled, plan, wanted, by_name, now.words))
    amounts = _amount_changes(approved, plan, done)
    cost = spent + plan.cost
    days = days_of(plan.chosen, now.shop)
    return replace(
        empty,
        plan=plan,
        cost=cost,
        days=days,
        more_days=days - days_of(_left_of(approved, done, now), now.shop),
        changes=changes,
        amounts=amounts,
        unused=_unused(approved, plan, now),
        cheaper=plan.cost - cheapest.cost,
        free=cheapest,
        needs_approval=_asks(changes, cost - price, left_out, extra, approved, now.shop.currency),
    )


def inputs_from(again: Replanned, now: Situation) -> Inputs:
    """What a question about the plan from here on starts from. now: as it was planned from."""
    here = replace(now, state=without(now.state, again.to_measure)) if again.to_measure else now

    def begun(problem: Problem, shop: Shop) -> Problem:
        return _open(problem, again.done, replace(here, shop=shop))

    def nearest(compiled: Compiled) -> Model:
        wanted, _ = _wanted(again.approved, compiled.problem, again.done)
        depths = _wanted_depths(again.approved, compiled, again.done)
        return _preferring(compiled.model, wanted, depths)

    return Inputs(now.sheet, now.shop, again.state, now.checks, begun, nearest)


def _judged(state: State, now: Situation) -> tuple[Finding, ...]:
    return judge_all(
        now.checks,
        state.sizes,
        confidence=float(now.shop.confidence),
        rule=now.shop.rule,
        words=now.words,
    )


def _nothing_mends(finding: Finding, compiled: Compiled) -> bool:
    return (
        finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)
        and finding.check.name not in compiled.rules
        and finding.check.limit.must
    )


def _left_of(
    approved: Plan, done: Iterable[Done], now: Situation
) -> tuple[tuple[Group, Option], ...]:
    """What of the approved plan was still to be done, as it was approved."""
    begun = {item.group.name: _rest(item, now) for item in done}
    return tuple((group, begun.get(group.name, option)) for group, option in approved.chosen)


def _unused(approved: Plan, plan: Plan, now: Situation) -> tuple[tuple[str, int], ...]:
    """Parts that were bought for the approved plan, are here, and are not used any more."""
    have = set(now.received)
    still = {use.part for _, option in plan.chosen for use in option.parts}
    found: dict[str, int] = {}
    for _, option in approved.chosen:
        for use in option.parts:
            supply = now.shop.supply.get(use.part)
            if use.part in have and use.part not in still and supply is not None:
                packages = -(-use.count // supply.sold_in)
                found[use.part] = found.get(use.part, 0) + round(packages * supply.price * _CENTS)
    return tuple(found.items())


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
    some = _tied_to_done(groups, done)
    return replace(
        problem,
        groups=some,
        shared=_set_ups(some, done, now.shop),
        stock=stock_limits(some, now.shop),
    )


def _tied_to_done(groups: Iterable[Group], done: Iterable[Done]) -> tuple[Group, ...]:
    """The groups with every tie to an approved option kept to what is left of it; a tie to what
    cannot be had any more binds nobody."""
    some = tuple(groups)
    named = {group.name: {option.name for option in group.options} for group in some}
    rest = {
        (item.group.name, item.option.name): item.option.name.removesuffix(DONE) + DONE
        for item in done
    }

    def tie(item: Together) -> Together:
        more = [rest[item.group, name] for name in item.options if (item.group, name) in rest]
        return replace(item, options=tuple(dict.fromkeys((*item.options, *more))))

    def freed(need: Need) -> Need:
        more = [(g, rest[g, o]) for g, o in need.unless if (g, o) in rest]
        return replace(need, unless=(*need.unless, *more))

    found = []
    for group in some:
        options = []
        for option in group.options:
            ties = tuple(
                tied
                for tied in map(tie, option.together)
                if named.get(tied.group, set()) & set(tied.options)
            )
            options.append(
                replace(option, together=ties, needs=tuple(freed(need) for need in option.needs))
            )
        found.append(replace(group, options=tuple(options)))
    return tuple(found)


def _rest(item: Done, now: Situation) -> Option:
    option = continued(item, now.received, made_fits(item, now.state, now.checks))
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
        (item.group.name, item.option.name.removesuffix(DONE) + DONE, operation)
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


def _wanted(
    approved: Plan, problem: Problem, done: Iterable[Done]
) -> tuple[dict[str, str], tuple[Changed, ...]]:
    """The approved option of every group that can still be decided; and what was approved that
    cannot be had any more at all."""
    begun = {item.group.name: item.option.name.removesuffix(DONE) + DONE for item in done}
    chosen = {group.name: option for group, option in approved.chosen}
    found: dict[str, str] = {}
    gone: list[Changed] = []
    named = {group.name for group in problem.groups}
    for group in problem.groups:
        option = chosen.get(group.name)
        name = begun.get(group.name, group.keep if option is None else option.name)
        if any(o.name == name for o in group.options):
            found[group.name] = name
        elif option is not None and not _nothing(option):
            gone.append(Changed(group.name, option.words, "", "it is no longer on the lists."))
    for name, option in chosen.items():
        if name not in named and not _nothing(option):
            gone.append(Changed(name, option.words, "", "nothing is to be decided on it any more."))
    return found, tuple(gone)


def _nothing(option: Option) -> bool:
    return not (option.work or option.parts or option.effects)


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
        if was is None and not _nothing(option):
            found.append(Changed(group.name, "", option.words, "it is new to the plan."))
        if was is None or was == option.name:
            continue
        reason = _against(compiled, {**held, group.name: was}, findings, words)
        before = group.option(was).words
        found.append(Changed(group.name, before, option.words, reason, was.endswith(DONE)))
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
    changes: tuple[Changed, ...],
    beyond: int,
    left_out: tuple[Finding, ...],
    extra: Iterable[WorkEntry],
    approved: Plan,
    currency: str,
) -> tuple[str, ...]:
    """Why somebody has to be asked before it goes on."""
    reasons = []
    if beyond > 0:
        reasons.append(f"it costs {beyond / _CENTS:.2f} {currency} more than was approved")
    for item in changes:
        if not item.now:
            reasons.append(f"“{item.was}” was approved and falls away")
        elif not item.was:
            reasons.append(f"“{item.now}” was not in what was approved")
        elif item.after_work:
            reasons.append(f"“{item.now}” is needed beyond the work that is done")
        else:
            reasons.append(f"“{item.was}” was approved; now: “{item.now}”")
    known = {finding.check.name for finding in approved.left_out}
    reasons += [f.reason for f in left_out if f.check.name not in known]
    reasons += [
        f"{entry.operation} on {', '.join(entry.features)} was done and was not approved"
        for entry in extra
    ]
    return tuple(reasons)


def _notes(done: Iterable[Done], extra: Iterable[WorkEntry], words: Words) -> tuple[str, ...]:
    """What was taken for granted, and what was done without being asked for."""
    said = []
    for item in done:
        for name, (depth, known) in item.depths.items():
            if not known:
                said.append(
                    f"{name}: no depth was entered or read, so the planned "
                    f"{words.value(depth, 'deck height')} is taken for done; record what was "
                    "really cut."
                )
    for entry in extra:
        where = ", ".join(entry.features)
        said.append(
            f"What {entry.operation} on {where} did to the sizes is not known: read what it left "
            "and record it as left; until then they count as before that work."
        )
    return tuple(said)
