"""Every plan of a small engine tried against the judge: the yardstick for the whole planner.

It shares the options and their prices with the planner, and nothing else: sizes come from
`planned_sizes`, verdicts from the judge, what belongs together from the options' own words. Plans
are cut short only where a rule that is already decided is broken, or where they already cost more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.judge.conformity.rules import Outcome
from sparkout.judge.finding import Verdict, judge
from sparkout.judge.proof import Range, decide, prove_all
from sparkout.measure.estimate import Estimate
from sparkout.plan.apply import planned_sizes
from sparkout.plan.forms import Group, Need
from sparkout.plan.problem import Problem

__all__ = ["Brute", "Rule", "brute", "count", "rules_of"]

Picks = Mapping[str, str]
Amounts = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Brute:
    """The cheapest plan of all."""

    cost: int
    picks: Picks
    amounts: Amounts


@dataclass(frozen=True, slots=True)
class Rule:
    """Something that must hold, as soon as these groups are decided."""

    name: str
    groups: tuple[str, ...]
    holds: Callable[[Picks, Amounts], bool]


def count(problem: Problem) -> int:
    """How many plans there are."""
    return math.prod(len(_moves(group)) for group in problem.groups)


def brute(problem: Problem) -> Brute | None:
    """The cheapest plan that the judge passes, None where there is none."""
    groups = sorted(problem.groups, key=lambda group: len(group.options))
    place = {group.name: at for at, group in enumerate(groups)}
    waiting: list[list[_Remembered]] = [[] for _ in groups]
    for rule in rules_of(problem):
        last = max((place[name] for name in rule.groups), default=0)
        waiting[last].append(_Remembered(rule, problem))
    best: Brute | None = None
    picks: dict[str, str] = {}
    amounts = {spec.name: Fraction(0) for group in groups for spec in group.amounts}
    cost_of = {g.name: {option.name: option.cost for option in g.options} for g in groups}
    # what the groups still to come cost at least
    rest = [0] * (len(groups) + 1)
    for at in range(len(groups) - 1, -1, -1):
        rest[at] = rest[at + 1] + min(cost_of[groups[at].name].values())

    def shared() -> int:
        return sum(
            item.cost
            for item in problem.shared
            if any(picks.get(group) == option for group, option in item.when)
        )

    def go(at: int, cost: int) -> None:
        nonlocal best
        if best is not None and cost + rest[at] + shared() >= best.cost:
            return
        if at == len(groups):
            best = Brute(cost + shared(), dict(picks), dict(amounts))
            return
        group = groups[at]
        for option, depths in sorted(_moves(group), key=lambda m: cost_of[group.name][m[0]]):
            picks[group.name] = option
            amounts.update(depths)
            if all(rule.holds(picks, amounts) for rule in waiting[at]):
                go(at + 1, cost + cost_of[group.name][option])
        del picks[group.name]
        amounts.update(dict.fromkeys((spec.name for spec in group.amounts), Fraction(0)))

    go(0, 0)
    return best


def _moves(group: Group) -> list[tuple[str, dict[str, Fraction]]]:
    """Every option with every depth it can be done to."""
    found: list[tuple[str, dict[str, Fraction]]] = []
    for option in group.options:
        depths: list[dict[str, Fraction]] = [{}]
        for spec in group.amounts:
            steps = [0]
            if spec.option == option.name:
                first = math.ceil(spec.least / spec.step)
                steps = list(range(first, math.floor(spec.most / spec.step) + 1))
            depths = [{**some, spec.name: spec.step * k} for some in depths for k in steps]
        found += [(option.name, some) for some in depths]
    return found


class _Remembered:
    """A rule with its answers, by what it hangs on."""

    def __init__(self, rule: Rule, problem: Problem) -> None:
        self.rule = rule
        mine = [group for group in problem.groups if group.name in rule.groups]
        self.amounts = [spec.name for group in mine for spec in group.amounts]
        self.known: dict[tuple[object, ...], bool] = {}

    def holds(self, picks: Picks, amounts: Amounts) -> bool:
        key = (
            *(picks[name] for name in self.rule.groups),
            *(amounts[name] for name in self.amounts),
        )
        found = self.known.get(key)
        if found is None:
            found = self.known[key] = self.rule.holds(picks, amounts)
        return found


def rules_of(problem: Problem) -> list[Rule]:
    """Everything a plan must keep."""
    found = [_limit(problem, check) for check in problem.checks if check.limit.must]
    rules = [rule for rule in found if rule is not None]
    for group in problem.groups:
        for option in group.options:
            rules += [_need(problem, group, option.name, need) for need in option.needs]
            if option.impossible:
                rules.append(_never(group.name, option.name))
            for tie in option.together:
                if any(other.name == tie.group for other in problem.groups):
                    rules.append(_tie(group.name, option.name, tie.group, tie.options))
            for hold in option.holds:
                rule = _hold(problem, group.name, option.name, hold.check)
                if rule is not None:
                    rules.append(rule)
    rules += [
        Rule(
            item.name,
            tuple(dict.fromkeys(name for name, _, _ in item.uses)),
            lambda picks, _, item=item: (
                sum(n for name, option, n in item.uses if picks[name] == option) <= item.at_most
            ),
        )
        for item in problem.stock
    ]
    return rules


def _touching(problem: Problem, keys: Iterable[Key]) -> tuple[Group, ...]:
    wanted = set(keys)
    return tuple(
        group
        for group in problem.groups
        if any(effect.key in wanted for option in group.options for effect in option.effects)
    )


def _keys(instance: Instance) -> set[Key]:
    found = {instance.key, *(key for _, key in instance.terms)}
    for _, inner in instance.inner:
        found |= _keys(inner)
    return found


def _limit(problem: Problem, check: Check) -> Rule | None:
    groups = _touching(problem, _keys(check.instance))
    if not groups:
        return None
    return Rule(check.name, tuple(g.name for g in groups), _judged(problem, check, groups))


def _judged(
    problem: Problem, check: Check, groups: tuple[Group, ...]
) -> Callable[[Picks, Amounts], bool]:
    def holds(picks: Picks, amounts: Amounts) -> bool:
        sizes = planned_sizes(problem.sizes, groups, picks, amounts, [check])
        found = judge(check, sizes, confidence=problem.confidence, rule=problem.rule)
        return found.verdict not in (Verdict.OUT, Verdict.NOT_PROVEN, Verdict.STALE)

    return holds


def _need(problem: Problem, group: Group, option: str, need: Need) -> Rule:
    names = {other.name for other in problem.groups}
    unless = [(other, excused) for other, excused in need.unless if other in names]

    def holds(picks: Picks, amounts: Amounts) -> bool:
        if picks[group.name] != option:
            return True
        if any(picks[other] == excused for other, excused in unless):
            return True
        margin = need.margin
        for name, per in need.amounts:
            margin = margin + Estimate(per * amounts[name])
        limits = Range(margin, margin, Fraction(0), None)
        proof = prove_all([limits])[0]
        return decide(limits, proof, problem.rule, problem.confidence) is Outcome.WITHIN

    return Rule(f"{option}: {need.name}", (group.name, *(other for other, _ in unless)), holds)


def _never(group: str, option: str) -> Rule:
    return Rule(f"{group}: {option}", (group,), lambda picks, _: picks[group] != option)


def _tie(group: str, option: str, other: str, allowed: tuple[str, ...]) -> Rule:
    return Rule(
        f"{group}, {option}: {other}",
        (group, other),
        lambda picks, _: picks[group] != option or picks[other] in allowed,
    )


def _hold(problem: Problem, group: str, option: str, check: Check) -> Rule | None:
    groups = _touching(problem, _keys(check.instance))
    inside = _judged(problem, check, groups)
    names = tuple(dict.fromkeys((group, *(g.name for g in groups))))
    return Rule(
        f"{option}: {check.name}",
        names,
        lambda picks, amounts: picks[group] != option or inside(picks, amounts),
    )
